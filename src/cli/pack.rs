//! `wetside pack`: work on rule packs.

use super::check::one_of;
use super::compare;
use super::exit::Exit;
use super::files::Refusal;
use super::mutate;
use super::new;
use super::packs::{self, shown};
use super::rule;
use super::terminal::Look;
use clap::{Args, Subcommand};
use serde_json::{Value, json};
use wetside_base::vocabulary::Vocabulary;
use wetside_engine::analysis::{self, Analysed, LONGEST, WAYS};
use wetside_engine::cases::whole;
use wetside_engine::digest;
use wetside_engine::mutants::{self, Shown};
use wetside_engine::pack::{Pack, PackProblem, Rule};
use wetside_report::pen::{Ink, Pen, number};
use wetside_report::{Format, problems};
use wetside_units::truth::Truth;

/// Work on a pack of rules
#[derive(Args, Debug)]
#[command(arg_required_else_help = true)]
pub(super) struct Arguments {
    #[command(subcommand)]
    command: Command,
}

#[derive(Subcommand, Debug)]
enum Command {
    New(new::NewPack),
    Test(Test),
    Check(Check),
    Compare(compare::Arguments),
    Mutate(mutate::Arguments),
    Print(rule::Print),
}

/// Say what is wrong with a pack although it can be read
///
/// Rules that can never be broken, met or applied, parts of conditions that do nothing, rules that say the
/// same, rules that nobody can obey together, and slips in words and cases. What is said never to happen was
/// tried in every combination of what the rules can tell apart.
#[derive(Args, Debug)]
struct Check {
    #[command(flatten)]
    folder: packs::Folder,
    /// The format of what is said
    #[arg(long, default_value = "text", value_parser = one_of(Format::ALL, Format::name))]
    format: Format,
    #[command(flatten)]
    look: Look,
}

/// Check a pack and run the cases inside its rules
///
/// Words, units and tables are checked first. Then every case must come out as it is written, and
/// every rule must have a case for each outcome that it can have.
#[derive(Args, Debug)]
struct Test {
    #[command(flatten)]
    folder: packs::Folder,
    /// Say too of each part of the conditions which outcomes no case shows
    #[arg(long)]
    parts: bool,
    /// The format of what is said
    #[arg(long, default_value = "text", value_parser = one_of(Format::ALL, Format::name))]
    format: Format,
    #[command(flatten)]
    look: Look,
}

pub(super) fn run(arguments: &Arguments) -> Result<Exit, Refusal> {
    match &arguments.command {
        Command::New(arguments) => new::pack(arguments),
        Command::Test(arguments) => test(arguments),
        Command::Check(arguments) => check(arguments),
        Command::Compare(arguments) => compare::run(arguments),
        Command::Mutate(arguments) => mutate::run(arguments),
        Command::Print(arguments) => rule::print(arguments),
    }
}

fn check(arguments: &Check) -> Result<Exit, Refusal> {
    let (packs, files, mut wrong) = arguments.folder.stack()?;
    let pack = packs.packs.last().cloned().unwrap_or_default();
    if arguments.format == Format::Text {
        packs::sound(&wrong, &arguments.look)?;
    }
    let found = match wrong.as_slice() {
        [] => analysis::of(&pack, &files, &packs.vocabulary),
        _ => Analysed::default(),
    };
    let (rules, tried, open, steps) = (found.rules, found.tried, found.open, found.steps);
    wrong.extend(found.problems);
    if arguments.format == Format::Json {
        let came = json!({
            "pack": identity(&pack), "rules": rules, "tried": tried,
            "not_tried": open, "steps_at_most": steps,
        });
        return in_json(came, &wrong);
    }
    let mut pen = Pen::new(arguments.look.on_screen());
    told(&mut pen, &wrong, &arguments.look);
    let words = format!(
        "{}: {}. Tried {}; {} could not be tried in full, and nothing is said of them.",
        number(rules, "rule", "rules"),
        number(wrong.len(), "problem", "problems"),
        number(tried, "combination of facts", "combinations of facts"),
        number(open, "rule or pair of rules", "rules and pairs of rules"),
    );
    pen.paragraph(0, &words);
    let cost = format!(
        "A survey whose lists have at most {LONGEST} things costs at most {}, and where facts are open as many for each of at most {WAYS} trials.",
        number(
            usize::try_from(steps).unwrap_or(usize::MAX),
            "step",
            "steps"
        ),
    );
    pen.paragraph(0, &cost);
    shown(&pen.finish())?;
    Ok(faulty(&wrong))
}

fn faulty(wrong: &[PackProblem]) -> Exit {
    if wrong.is_empty() {
        Exit::Clear
    } else {
        Exit::FaultyPack
    }
}

/// What judges, for programs; nothing where the pack could not be read.
fn identity(pack: &Pack) -> Value {
    let named = pack.identities().pop();
    let named = named.filter(|one| !one.pack.is_empty());
    json!(named)
}

/// What came of it for programs, with what is wrong as in the report on surveys.
fn in_json(mut came: Value, wrong: &[PackProblem]) -> Result<Exit, Refusal> {
    let report: Value = serde_json::from_str(&packs::refuse_in_json(wrong)).unwrap_or_default();
    came["pack_problems"] = report["pack_problems"].clone();
    shown(&format!("{came:#}\n"))?;
    Ok(faulty(wrong))
}

/// What is wrong with a pack, if anything is.
fn told(pen: &mut Pen, wrong: &[PackProblem], look: &Look) {
    if wrong.is_empty() {
        return;
    }
    pen.add(&problems::of_packs(&packs::pairs(wrong), &look.on_screen()));
    pen.gap();
}

fn test(arguments: &Test) -> Result<Exit, Refusal> {
    let (packs, files, mut wrong) = arguments.folder.stack()?;
    let pack = packs.packs.last().cloned().unwrap_or_default();
    let ran = whole::all(&pack, &files, &packs.vocabulary);
    wrong.extend(ran.problems);
    let in_parts = arguments.parts || arguments.format == Format::Json;
    let parts = in_parts.then(|| Parts::of(&pack, &packs.vocabulary));
    if arguments.format == Format::Json {
        let came = json!({
            "pack": identity(&pack), "rules": ran.rules, "cases": ran.cases, "passed": ran.passed,
            "parts": parts.map(|parts| parts.in_json()),
        });
        return in_json(came, &wrong);
    }
    let mut pen = Pen::new(arguments.look.on_screen());
    told(&mut pen, &wrong, &arguments.look);
    let rules = number(ran.rules, "rule", "rules");
    let (tried, passed) = (ran.cases, ran.passed);
    let cases = number(tried, "case", "cases");
    let came = match tried - passed {
        _ if tried == 0 => "nothing to try".to_string(),
        0 => "all as written".to_string(),
        others => format!("{others} otherwise than written"),
    };
    if let Some(one) = pack.identities().last().filter(|one| !one.pack.is_empty()) {
        let changes = match one.changes.len() {
            0 => String::new(),
            count => format!("{}, ", number(count, "change", "changes")),
        };
        let words = format!(
            "Pack {} {}: {rules}, {changes}{cases}, {came}. Content {}.",
            one.pack,
            one.edition,
            digest::short(&one.digest)
        );
        pen.paragraph(0, &words);
    }
    if let Some(parts) = parts {
        parts.page(&mut pen);
    }
    shown(&pen.finish())?;
    Ok(faulty(&wrong))
}

/// What the cases of a pack show of each part of its conditions.
struct Parts<'p>(Vec<(&'p Rule, Shown)>);

impl<'p> Parts<'p> {
    /// Of the rules that the pack wrote and nobody changed: what is changed has cases of its own.
    fn of(pack: &'p Pack, vocabulary: &Vocabulary) -> Parts<'p> {
        let name = pack.identities().pop().unwrap_or_default().pack;
        let own = |rule: &&Rule| rule.pack == name && rule.changes.is_empty();
        let rules: Vec<&Rule> = pack.rules.iter().filter(own).collect();
        let shown = mutants::of_each(&rules, |rule| mutants::shown(pack, rule, vocabulary));
        Parts(rules.into_iter().zip(shown).collect())
    }

    fn outcomes(&self) -> usize {
        self.0.iter().map(|(_, shown)| shown.outcomes).sum()
    }

    fn missing(&self) -> usize {
        let parts = self.0.iter().flat_map(|(_, shown)| &shown.unshown);
        parts.map(|part| part.lacks.len()).sum()
    }

    fn in_json(&self) -> Value {
        let each = self.0.iter().flat_map(|(rule, shown)| {
            shown.unshown.iter().map(|one| {
                let lacks: Vec<&str> = one.lacks.iter().map(|lack| word(*lack)).collect();
                json!({"rule": rule.id, "key": one.key, "part": one.part, "no_case": lacks})
            })
        });
        let unshown: Vec<Value> = each.collect();
        json!({
            "outcomes": self.outcomes(), "shown": self.outcomes() - self.missing(),
            "unshown": unshown,
        })
    }

    fn page(&self, pen: &mut Pen) {
        for (rule, shown) in self.0.iter().filter(|(_, shown)| !shown.unshown.is_empty()) {
            pen.gap();
            pen.paragraph(0, &format!("{} ({}): no case shows", rule.id, rule.class));
            for one in &shown.unshown {
                let lacks: Vec<&str> = one.lacks.iter().map(|lack| word(*lack)).collect();
                let line = format!("`{}` in `{}` {}", one.part, one.key, lacks.join(", nor "));
                pen.hanging(0, "- ", &line, Ink::Usual);
            }
        }
        let outcomes = number(self.outcomes(), "outcome", "outcomes");
        let shown = self.outcomes() - self.missing();
        pen.gap();
        pen.paragraph(
            0,
            &format!("Parts of conditions: {outcomes}, {shown} shown by a case."),
        );
    }
}

fn word(truth: Truth) -> &'static str {
    match truth {
        Truth::Yes => "holding",
        Truth::No => "not holding",
        Truth::Undecided => "left open",
    }
}
