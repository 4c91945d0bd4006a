//! `wetside exercise`: surveys with planted faults for trainees, and the marking of their answers.

mod class;
mod course;
mod faults;
mod make;
mod mark;

use super::exit::Exit;
use super::files::{self, Refusal};
use super::packs::{self, Choice, refuse, shown};
use super::terminal::Look;
use clap::{Args, Subcommand};
use std::path::{Path, PathBuf};
use wetside_base::problem::Problem;
use wetside_base::source::Source;
use wetside_engine::check::Packs;
use wetside_engine::pack::{PackFiles, PackProblem};
use wetside_report::pen::Pen;
use wetside_report::problems;
use wetside_trainer::Catalogue;

/// Make exercises for trainees, and mark their answers
///
/// Faults from a catalogue are planted into a clean survey. The key of an exercise is proved before the
/// exercise is written.
#[derive(Args, Debug)]
#[command(arg_required_else_help = true)]
pub(super) struct Arguments {
    #[command(subcommand)]
    command: Command,
}

#[derive(Subcommand, Debug)]
enum Command {
    Make(make::Make),
    Course(course::Course),
    ByHand(make::ByHand),
    Mark(mark::Mark),
    Class(class::Class),
    Faults(faults::Faults),
}

pub(super) fn run(arguments: &Arguments) -> Result<Exit, Refusal> {
    match &arguments.command {
        Command::Make(arguments) => make::run(arguments),
        Command::Course(arguments) => course::run(arguments),
        Command::ByHand(arguments) => make::by_hand(arguments),
        Command::Mark(arguments) => mark::run(arguments),
        Command::Class(arguments) => class::run(arguments),
        Command::Faults(arguments) => faults::run(arguments),
    }
}

/// The folders that exercises are written to, below the one that was named.
const FOR_TRAINEES: &str = "trainees";
const FOR_THE_TRAINER: &str = "trainer";

#[derive(Args, Clone, Debug)]
#[command(next_help_heading = "Catalogue")]
struct Shelf {
    /// Plant the faults in this folder instead of those that the program carries
    #[arg(long, value_name = "FOLDER")]
    catalogue: Option<PathBuf>,
}

/// Packs and catalogue, or the exit after their problems were shown.
fn loaded(
    choice: &Choice,
    shelf: &Shelf,
    look: &Look,
) -> Result<Result<(Packs, Catalogue), Exit>, Refusal> {
    let (packs, wrong) = packs::load(choice)?;
    if !wrong.is_empty() {
        return refuse(&wrong, look).map(Err);
    }
    let (files, mut wrong) = match &shelf.catalogue {
        Some(folder) => faults(folder)?,
        None => (wetside_trainer::built_in(), Vec::new()),
    };
    let (catalogue, faulty) = wetside_trainer::load(&files, &packs);
    wrong.extend(faulty);
    if wrong.is_empty() {
        return Ok(Ok((packs, catalogue)));
    }
    let kept: Vec<_> = wrong
        .iter()
        .map(|wrong| (wrong.source.as_ref(), &wrong.problem))
        .collect();
    told(
        &kept,
        "problem in the catalogue",
        "problems in the catalogue",
        look,
    )?;
    Ok(Err(Exit::FaultyPack))
}

/// The files of a catalogue.
fn faults(folder: &Path) -> Result<(PackFiles, Vec<PackProblem>), Refusal> {
    let help = "name the folder that holds the faults, each in the folder of its sort";
    let read = files::pack(folder, help)?;
    // A folder without a single fault is the wrong folder, and its files need no judging.
    if wetside_trainer::holds_a_fault(&read.0) {
        return Ok(read);
    }
    let says = format!("there is no fault in `{}`", folder.display());
    Err(Refusal::new(says, help))
}

/// A text that was named on the command line.
fn text(path: &str) -> Result<Source, Refusal> {
    let help = "check the name, and the folder that it is looked for in";
    files::text(path, help)
}

/// Shows what is wrong in files.
fn told(wrong: &[(&Source, &Problem)], one: &str, many: &str, look: &Look) -> Result<(), Refusal> {
    let mut pen = Pen::new(look.on_screen());
    pen.heading(
        &wetside_report::pen::number(wrong.len(), one, many),
        '~',
        wetside_report::pen::Ink::Wait,
    );
    for (number, (source, problem)) in (1..).zip(wrong) {
        pen.gap();
        problems::one(&mut pen, source, problem, number);
    }
    shown(&pen.finish())
}

/// Writes a file into a folder that is made where it is missing.
fn write(folder: &Path, name: &str, text: &str, replace: bool) -> Result<(), Refusal> {
    files::make_folder(folder)?;
    let help = "name another folder, or write `--replace`";
    files::write(&folder.join(name), text, replace, help)
}
