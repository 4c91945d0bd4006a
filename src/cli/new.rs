//! `wetside new`: a survey to fill in.

use super::exit::Exit;
use super::files::{self, Refusal};
use super::packs::shown;
use clap::Args;
use std::path::PathBuf;
use wetside_engine::schema;
use wetside_report::starter;

/// Write a survey to fill in, with every minimum fact still unknown
///
/// Each line says what is asked. Facts that are asked only of some systems stand as comments, with
/// the condition that opens them.
#[derive(Args, Debug)]
pub(super) struct Arguments {
    /// The file to write, which must not exist yet; without it the survey is shown
    file: Option<PathBuf>,
    /// Write every field, not only those that a first look needs
    #[arg(long)]
    full: bool,
}

pub(super) fn run(arguments: &Arguments) -> Result<Exit, Refusal> {
    let vocabulary = schema::vocabulary();
    let survey = if arguments.full {
        starter::full(&vocabulary)
    } else {
        starter::survey(&vocabulary)
    };
    match &arguments.file {
        Some(path) => files::write(path, &survey, false, "name a file that does not exist yet")?,
        None => shown(&survey)?,
    }
    Ok(Exit::Clear)
}
