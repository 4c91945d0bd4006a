//! `wetside sheet`: the papers of a job.

use super::check::Asked;
use super::exit::Exit;
use super::files::{self, Refusal};
use super::packs::{self, shown};
use super::terminal;
use clap::Args;
use std::path::PathBuf;
use wetside_report::pen::Pen;
use wetside_sheet::papers;

/// Make the papers of a job: job sheet, customer's page, record of water treatment, label
///
/// Each is one page of HTML for the telephone, the desktop and A4, which needs nothing from elsewhere and runs
/// nothing. The papers say what is missing for the hand-over; they are complete once the survey is clear
/// for hand-back.
#[derive(Args, Debug)]
pub(super) struct Arguments {
    /// The survey file; `-` is standard input
    #[arg(value_name = "SURVEY")]
    survey: String,
    /// The folder to write to; it is made where it is missing
    #[arg(long, value_name = "FOLDER")]
    into: PathBuf,
    #[command(flatten)]
    asked: Asked,
    /// Let the papers take the place of those that are there already
    #[arg(long)]
    replace: bool,
    #[command(flatten)]
    setting: packs::Setting,
}

pub(super) fn run(arguments: &Arguments) -> Result<Exit, Refusal> {
    let source = files::text(
        &arguments.survey,
        "name the survey file, or `-` for standard input",
    )?;
    let beside = files::departures(&arguments.survey)?;
    let packs = arguments.setting.packs()?;
    let made = papers(&source, &packs, &arguments.asked.ask(), beside.as_ref());
    let all: Vec<(&str, &str)> = made
        .papers
        .iter()
        .map(|paper| (paper.name, paper.text.as_str()))
        .collect();
    files::write_all(&arguments.into, &all, arguments.replace)?;
    let mut pen = Pen::new(arguments.setting.look.on_screen());
    for (name, _) in &all {
        pen.paragraph(0, &arguments.into.join(name).display().to_string());
    }
    pen.paragraph(0, &wetside_report::headline(&made.judgement));
    shown(&pen.finish())?;
    Ok(terminal::counted(made.judgement.problem_count()))
}
