//! `wetside pack`: work on rule packs.

use super::compare;
use super::exit::Exit;
use super::files::Refusal;
use super::mutate;
use super::packs::{self, shown};
use super::terminal::Look;
use clap::{Args, Subcommand};
use std::path::PathBuf;
use wetside_engine::analysis;
use wetside_engine::cases::whole;
use wetside_engine::check::Packs;
use wetside_engine::digest;
use wetside_engine::pack::PackProblem;
use wetside_report::pen::{Pen, number};
use wetside_report::problems;

/// Work on a pack of rules
#[derive(Args, Debug)]
#[command(arg_required_else_help = true)]
pub(super) struct Arguments {
    #[command(subcommand)]
    command: Command,
}

#[derive(Subcommand, Debug)]
enum Command {
    Test(Test),
    Check(Check),
    Compare(compare::Arguments),
    Mutate(mutate::Arguments),
}

/// Say what is wrong with a pack although it can be read
///
/// Rules that can never be broken, met or applied, parts of conditions that do nothing, rules that say the
/// same, rules that nobody can obey together, and slips in words and cases. What is said never to happen was
/// tried in every combination of what the rules can tell apart.
#[derive(Args, Debug)]
struct Check {
    /// The folder that holds `pack.yaml`; without it the pack that the program carries
    folder: Option<PathBuf>,
    /// For a layer: the folders of the layers between it and the pack that the program carries
    #[arg(long, value_name = "FOLDER")]
    over: Vec<PathBuf>,
    #[command(flatten)]
    look: Look,
}

/// Check a pack and run the cases inside its rules
///
/// Words, units and tables are checked first. Then every case must come out as it is written, and
/// every rule must have a case for each outcome that it can have.
#[derive(Args, Debug)]
struct Test {
    /// The folder that holds `pack.yaml`; without it the pack that the program carries
    folder: Option<PathBuf>,
    /// For a layer: the folders of the layers between it and the pack that the program carries
    #[arg(long, value_name = "FOLDER")]
    over: Vec<PathBuf>,
    #[command(flatten)]
    look: Look,
}

pub(super) fn run(arguments: &Arguments) -> Result<Exit, Refusal> {
    match &arguments.command {
        Command::Test(arguments) => test(arguments),
        Command::Check(arguments) => check(arguments),
        Command::Compare(arguments) => compare::run(arguments),
        Command::Mutate(arguments) => mutate::run(arguments),
    }
}

fn check(arguments: &Check) -> Result<Exit, Refusal> {
    let (pack, files, wrong) = packs::one(arguments.folder.as_deref(), &arguments.over)?;
    if !wrong.is_empty() {
        return packs::refuse(&wrong, &arguments.look);
    }
    let found = analysis::of(&pack, &files, &Packs::none().vocabulary);
    let mut pen = Pen::new(arguments.look.on_screen());
    told(&mut pen, &found.problems, &arguments.look);
    let words = format!(
        "{}: {}. Tried {}; {} could not be tried in full, and nothing is said of them.",
        number(found.rules, "rule", "rules"),
        number(found.problems.len(), "problem", "problems"),
        number(found.tried, "combination of facts", "combinations of facts"),
        number(
            found.open,
            "rule or pair of rules",
            "rules and pairs of rules"
        ),
    );
    pen.paragraph(0, &words);
    shown(&pen.finish())?;
    Ok(faulty(&found.problems))
}

fn faulty(wrong: &[PackProblem]) -> Exit {
    if wrong.is_empty() {
        Exit::Clear
    } else {
        Exit::FaultyPack
    }
}

/// What is wrong with a pack, if anything is.
fn told(pen: &mut Pen, wrong: &[PackProblem], look: &Look) {
    if wrong.is_empty() {
        return;
    }
    let pairs = wrong
        .iter()
        .map(|wrong| (wrong.source.as_ref(), &wrong.problem));
    let pairs: Vec<_> = pairs.collect();
    pen.add(&problems::of_packs(&pairs, &look.on_screen()));
    pen.gap();
}

fn test(arguments: &Test) -> Result<Exit, Refusal> {
    let (pack, files, mut wrong) = packs::one(arguments.folder.as_deref(), &arguments.over)?;
    let vocabulary = Packs::none().vocabulary;
    let ran = whole::all(&pack, &files, &vocabulary);
    wrong.extend(ran.problems);
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
    shown(&pen.finish())?;
    Ok(faulty(&wrong))
}
