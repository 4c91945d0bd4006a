//! `wetside pack`: work on rule packs.

use super::exit::Exit;
use super::files::{self, Refusal};
use super::mutate;
use super::packs::{PACK_FOLDER, shown};
use super::terminal::Look;
use clap::{Args, Subcommand};
use std::path::PathBuf;
use wetside_engine::cases;
use wetside_engine::check::Packs;
use wetside_engine::pack::{PackProblem, idle, load};
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
    Mutate(mutate::Arguments),
}

/// Check a pack and run the cases inside its rules
///
/// Words, units and tables are checked first. Then every case must come out as it is written, and
/// every rule must have a case for each outcome that it can have.
#[derive(Args, Debug)]
struct Test {
    /// The folder that holds `pack.yaml`; without it the pack that the program carries
    folder: Option<PathBuf>,
    #[command(flatten)]
    look: Look,
}

pub(super) fn run(arguments: &Arguments) -> Result<Exit, Refusal> {
    match &arguments.command {
        Command::Test(arguments) => test(arguments),
        Command::Mutate(arguments) => mutate::run(arguments),
    }
}

fn test(arguments: &Test) -> Result<Exit, Refusal> {
    let (files, mut wrong) = match &arguments.folder {
        Some(folder) => files::pack(folder, PACK_FOLDER)?,
        None => (wetside_rules::files(), Vec::new()),
    };
    let vocabulary = Packs::none().vocabulary;
    let (pack, faulty) = load(&files, &vocabulary);
    wrong.extend(faulty);
    if wrong.is_empty() {
        wrong = idle(&pack, &files);
    }
    let ran = cases::all(&pack, &files, &vocabulary);
    wrong.extend(ran.problems);
    let style = arguments.look.on_screen();
    let mut pen = Pen::new(style);
    if !wrong.is_empty() {
        let pair = |wrong: &'_ PackProblem| (wrong.source.clone(), wrong.problem.clone());
        let kept: Vec<_> = wrong.iter().map(pair).collect();
        let pairs: Vec<_> = kept
            .iter()
            .map(|(source, problem)| (source.as_ref(), problem))
            .collect();
        pen.add(&problems::of_packs(&pairs, &style));
        pen.gap();
    }
    let rules = number(ran.rules, "rule", "rules");
    let (tried, passed) = (ran.cases, ran.passed);
    let cases = number(tried, "case", "cases");
    let came = match tried - passed {
        _ if tried == 0 => "nothing to try".to_string(),
        0 => "all as written".to_string(),
        others => format!("{others} otherwise than written"),
    };
    if !pack.name.is_empty() {
        let words = format!("Pack {}: {rules}, {cases}, {came}.", pack.cited());
        pen.paragraph(0, &words);
    }
    shown(&pen.finish())?;
    Ok(if wrong.is_empty() {
        Exit::Clear
    } else {
        Exit::FaultyPack
    })
}
