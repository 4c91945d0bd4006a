//! `wetside exercise course`: a whole course to files.

use super::super::exit::Exit;
use super::super::files::Refusal;
use super::super::packs::Choice;
use super::super::terminal::Look;
use super::make::written;
use super::shared::{FOR_THE_TRAINER, Shelf, loaded, text, told, write};
use clap::Args;
use std::path::{Path, PathBuf};
use wetside_report::trainer::contents;
use wetside_trainer::Exercise;
use wetside_trainer::course;

/// Make a whole course from its recipe
///
/// The recipe lists exercises in the order in which they are done, each drawn by the options of `make`, or
/// written by hand as changes of a clean survey. Beside the files of each exercise the trainer gets a table
/// of contents, and what the recipe has by hand: surveys with what must be found on their lines, sheets filled in.
#[derive(Args, Debug)]
pub(super) struct Course {
    /// The recipe
    recipe: String,
    /// The folder to write to
    #[arg(long, value_name = "FOLDER")]
    into: PathBuf,
    /// Write over files of the same name
    #[arg(long)]
    replace: bool,
    #[command(flatten)]
    shelf: Shelf,
    #[command(flatten)]
    choice: Choice,
    #[command(flatten)]
    look: Look,
}

pub(super) fn run(arguments: &Course) -> Result<Exit, Refusal> {
    let (look, replace) = (&arguments.look, arguments.replace);
    let recipe = text(&arguments.recipe)?;
    let (packs, catalogue) = match loaded(&arguments.choice, &arguments.shelf, look)? {
        Ok(loaded) => loaded,
        Err(exit) => return Ok(exit),
    };
    let entries = match course::read(&recipe) {
        Ok(entries) => entries,
        Err(problems) => {
            let wrong: Vec<_> = problems.iter().map(|problem| (&recipe, problem)).collect();
            told(
                &wrong,
                "problem in the recipe",
                "problems in the recipe",
                look,
            )?;
            return Ok(Exit::FaultySurvey);
        }
    };
    let beside = Path::new(&arguments.recipe)
        .parent()
        .unwrap_or(Path::new(""));
    let mut course = Vec::new();
    for (number, entry) in (1..).zip(&entries) {
        let base = text(&beside.join(&entry.from).display().to_string())?;
        let made = course::one(entry, number, &base, &packs, &catalogue);
        course.push(made.map_err(|refused| Refusal::new(refused.says, refused.help))?);
    }
    let trainer = arguments.into.join(FOR_THE_TRAINER);
    for made in &course {
        if let Some(survey) = &made.written {
            write(
                &trainer.join("by-hand"),
                &survey.name,
                &survey.text,
                replace,
            )?;
        }
        if let Some(sheet) = &made.worked {
            let name = format!("exercise-{:02}-answers.yaml", made.exercise.number);
            write(&trainer.join("worked"), &name, sheet, replace)?;
        }
    }
    write(&trainer, "contents.md", &contents::page(&course), replace)?;
    let exercises: Vec<Exercise> = course.into_iter().map(|made| made.exercise).collect();
    written(&exercises, &arguments.into, replace, look)
}
