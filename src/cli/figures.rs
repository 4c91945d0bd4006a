//! `wetside figures`: what can be worked out from a survey.

use super::exit::Exit;
use super::files::{self, Refusal};
use super::packs::shown;
use super::terminal::Look;
use crate::check::{Packs, facts};
use crate::figures;
use crate::report::Format;
use crate::report::figures as page;
use crate::suggest;
use clap::Args;

/// Work out the figures of a job: volumes, doses, times, pressures and limits
///
/// Each figure is a range as wide as what it was worked out from. One that cannot be worked out says
/// which facts it waits for.
#[derive(Args, Debug)]
pub struct Arguments {
    /// The survey file; `-` is standard input
    #[arg(value_name = "SURVEY")]
    survey: String,
    /// Show how one figure was worked out, with this survey's numbers and their lines
    #[arg(long, value_name = "FIGURE")]
    explain: Option<String>,
    /// The format of the figures
    #[arg(long, default_value = "text", value_parser = super::check::formats(), conflicts_with = "explain")]
    format: Format,
    #[command(flatten)]
    look: Look,
}

pub fn run(arguments: &Arguments) -> Result<Exit, Refusal> {
    let source = match files::survey(&arguments.survey)? {
        Ok(source) => source,
        Err((_, problem)) => return Err(Refusal::new(problem.says, problem.help)),
    };
    let packs = Packs::none();
    let (facts, problems) = facts(&source, &packs.vocabulary);
    let style = arguments.look.on_screen();
    if let Some(name) = &arguments.explain {
        let Some(explained) = figures::explain(&facts, &packs.vocabulary, name) else {
            let help = suggest::help(
                name,
                figures::table().map(|figure| figure.name),
                "`wetside figures` with the survey alone lists all of them",
            );
            return Err(Refusal::new(format!("there is no figure `{name}`"), help));
        };
        shown(&page::explained(&source, &explained, &style))?;
    } else {
        let worked = figures::all(&facts, &packs.vocabulary);
        match arguments.format {
            Format::Text => shown(&page::page(&source, &worked, &style))?,
            Format::Json => shown(&page::document(&[(source, worked)]))?,
        }
    }
    Ok(if problems.is_empty() {
        Exit::Clear
    } else {
        Exit::FaultySurvey
    })
}
