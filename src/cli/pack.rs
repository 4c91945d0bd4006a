//! `wetside pack`: work on rule packs.

use super::check::formats;
use super::compare;
use super::exit::Exit;
use super::files::Refusal;
use super::first;
use super::mutate;
use super::packs::{self, shown};
use super::parts::Parts;
use super::print;
use super::terminal::Look;
use clap::{Args, Subcommand};
use serde_json::{Value, json};
use wetside_engine::analysis::{self, Analysed, LONGEST, WAYS};
use wetside_engine::cases::whole;
use wetside_engine::digest;
use wetside_engine::pack::{Pack, PackProblem};
use wetside_report::pen::{Pen, number};
use wetside_report::{Format, problems};

/// Work on a pack of rules
#[derive(Args, Debug)]
#[command(arg_required_else_help = true)]
pub(super) struct Arguments {
    #[command(subcommand)]
    command: Command,
}

#[derive(Subcommand, Debug)]
enum Command {
    New(first::Arguments),
    Test(Test),
    Check(Check),
    Compare(compare::Arguments),
    Mutate(mutate::Arguments),
    Print(print::Arguments),
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
    #[arg(long, default_value = "text", value_parser = formats())]
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
    #[arg(long, default_value = "text", value_parser = formats())]
    format: Format,
    #[command(flatten)]
    look: Look,
}

pub(super) fn run(arguments: &Arguments) -> Result<Exit, Refusal> {
    match &arguments.command {
        Command::New(arguments) => first::run(arguments),
        Command::Test(arguments) => test(arguments),
        Command::Check(arguments) => check(arguments),
        Command::Compare(arguments) => compare::run(arguments),
        Command::Mutate(arguments) => mutate::run(arguments),
        Command::Print(arguments) => print::run(arguments),
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
            "parts": parts.map(|parts| parts.for_programs()),
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
