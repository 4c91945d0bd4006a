//! `wetside sheet`: the papers of a job.

use super::exit::Exit;
use super::files::{self, Refusal};
use super::packs::{self, shown};
use super::terminal::{self, Look};
use clap::Args;
use std::path::PathBuf;
use wetside_base::finding::Stage;
use wetside_engine::check::Ask;
use wetside_report::pen::Pen;
use wetside_sheet::papers;
use wetside_units::Date;

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
    /// The stage to judge for, instead of the one that the survey gives
    #[arg(long, value_parser = super::check::stages())]
    stage: Option<Stage>,
    /// The date to judge by, as 2026-10-13, instead of the survey's work date
    #[arg(long, value_name = "DATE", value_parser = super::check::date)]
    as_of: Option<Date>,
    /// Let the papers take the place of those that are there already
    #[arg(long)]
    replace: bool,
    #[command(flatten)]
    packs: packs::Choice,
    #[command(flatten)]
    look: Look,
}

pub(super) fn run(arguments: &Arguments) -> Result<Exit, Refusal> {
    let source = files::text(
        &arguments.survey,
        "name the survey file, or `-` for standard input",
    )?;
    let beside = files::departures(&arguments.survey)?;
    let (packs, wrong) = packs::load(&arguments.packs)?;
    if !wrong.is_empty() {
        return packs::refuse(&wrong, &arguments.look);
    }
    let ask = Ask {
        stage: arguments.stage,
        as_of: arguments.as_of,
    };
    let made = papers(&source, &packs, &ask, beside.as_ref());
    let all: Vec<(&str, &str)> = made
        .papers
        .iter()
        .map(|paper| (paper.name, paper.text.as_str()))
        .collect();
    files::write_all(&arguments.into, &all, arguments.replace)?;
    let mut pen = Pen::new(arguments.look.on_screen());
    for (name, _) in &all {
        pen.paragraph(0, &arguments.into.join(name).display().to_string());
    }
    pen.paragraph(0, &wetside_report::headline(&made.judgement));
    shown(&pen.finish())?;
    Ok(terminal::counted(made.judgement.problem_count()))
}
