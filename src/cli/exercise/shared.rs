//! What the commands of exercises share: packs with a catalogue, the files, and what is told of them.

use super::super::exit::Exit;
use super::super::files::{self, Refusal};
use super::super::folder;
use super::super::packs::{self, Setting, shown};
use super::super::terminal::Look;
use clap::Args;
use std::collections::BTreeMap;
use std::path::{Path, PathBuf};
use wetside_base::problem::Problem;
use wetside_base::source::Source;
use wetside_engine::check::Packs;
use wetside_engine::pack::{PackFiles, PackProblem};
use wetside_report::problems;
use wetside_report::trainer::tables;
use wetside_trainer::class::record::{Attempt, progress};
use wetside_trainer::sheet::person;
use wetside_trainer::{Catalogue, Key, Refused};

/// The folders that exercises are written to, below the one that was named.
pub(super) const FOR_TRAINEES: &str = "trainees";
pub(super) const FOR_THE_TRAINER: &str = "trainer";

/// Keys with their surveys, by the exercise.
pub(super) type Exercises = BTreeMap<String, (Key, Source)>;

impl From<Refused> for Refusal {
    fn from(refused: Refused) -> Refusal {
        Refusal::new(refused.says, refused.help)
    }
}

#[derive(Args, Clone, Debug, Default)]
#[command(next_help_heading = "Catalogue")]
pub(super) struct Shelf {
    /// Plant the faults in this folder instead of those that the program carries
    #[arg(long, value_name = "FOLDER")]
    pub(super) catalogue: Option<PathBuf>,
    /// Take how hard each fault is from what trainees found of it in this record, where it was asked often enough
    #[arg(long, value_name = "CSV")]
    pub(super) found: Option<String>,
}

/// Packs and catalogue.
///
/// # Errors
/// When they cannot be read, or something is wrong with them, which is then shown.
pub(super) fn loaded(setting: &Setting, shelf: &Shelf) -> Result<(Packs, Catalogue), Refusal> {
    let packs = setting.packs()?;
    let (files, mut wrong) = match &shelf.catalogue {
        Some(folder) => faults(folder)?,
        None => (wetside_trainer::built_in(), Vec::new()),
    };
    let (mut catalogue, faulty) = wetside_trainer::load(&files, &packs);
    wrong.extend(faulty);
    if let Some(path) = &shelf.found {
        let found = progress(&on_record(path)?).items.into_iter();
        let found = found.filter_map(|item| Some((item.fault, item.is?)));
        catalogue.are_found(&found.collect());
    }
    if wrong.is_empty() {
        return Ok((packs, catalogue));
    }
    let called = ["problem in the catalogue", "problems in the catalogue"];
    told(&packs::pairs(&wrong), called, &setting.look)?;
    Err(Refusal::told(Exit::FaultyPack))
}

/// The files of a catalogue.
fn faults(folder: &Path) -> Result<(PackFiles, Vec<PackProblem>), Refusal> {
    let help = "name the folder that holds the faults, each in the folder of its sort";
    let read = folder::texts(folder, help)?;
    // A folder without a single fault is the wrong folder, and its files need no judging.
    if wetside_trainer::holds_a_fault(&read.0) {
        return Ok(read);
    }
    let says = format!("there is no fault in `{}`", folder.display());
    Err(Refusal::new(says, help))
}

/// A text that was named on the command line.
pub(super) fn text(path: &str) -> Result<Source, Refusal> {
    let help = "check the name, and the folder that it is looked for in";
    files::text(path, help)
}

/// The name of a person as a folder or a file.
pub(super) fn folder_of(name: &str) -> String {
    let letters = |sign: char| if sign.is_alphanumeric() { sign } else { '-' };
    person(name).chars().map(letters).collect()
}

/// The rows of a record.
pub(super) fn on_record(path: &str) -> Result<Vec<Attempt>, Refusal> {
    let source = text(path)?;
    tables::read_record(&source).map_err(|problem| in_row(path, &source, problem))
}

/// A row of a table that cannot be used.
pub(super) fn in_row(path: &str, source: &Source, problem: Problem) -> Refusal {
    let line = source.line_of(problem.span.start);
    Refusal::new(
        format!("line {line} of `{path}`: {}", problem.says),
        problem.help,
    )
}

/// Shows what is wrong in files, under what one such thing and several are called.
pub(super) fn told(
    wrong: &[(&Source, &Problem)],
    called: [&str; 2],
    look: &Look,
) -> Result<(), Refusal> {
    shown(&problems::under(called, wrong, &look.on_screen()))
}

/// Shows what is wrong in one file, which ends the command.
pub(super) fn faulty(
    source: &Source,
    problems: &[Problem],
    called: [&str; 2],
    look: &Look,
) -> Refusal {
    let wrong: Vec<_> = problems.iter().map(|problem| (source, problem)).collect();
    let failed = told(&wrong, called, look).err();
    failed.unwrap_or_else(|| Refusal::told(Exit::FaultySurvey))
}
