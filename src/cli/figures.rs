//! `wetside figures`: what can be worked out from a survey.

use super::exit::Exit;
use super::files::{self, Refusal};
use super::packs::shown;
use super::terminal::{self, Look};
use clap::Args;
use wetside_base::facts::Facts;
use wetside_base::source::Source;
use wetside_base::suggest;
use wetside_engine::check::{Packs, facts};
use wetside_engine::figures;
use wetside_engine::figures::tell::tell;
use wetside_report::figures as page;
use wetside_report::pen::number;
use wetside_report::{Format, Style};

/// Work out the figures of a job: plan, branches, volumes, doses, times, pressures and limits
///
/// Each figure is a range as wide as what it was worked out from. One that cannot be worked out says
/// which facts it waits for.
#[derive(Args, Debug)]
pub struct Arguments {
    /// The survey file; `-` is standard input
    #[arg(value_name = "SURVEY")]
    survey: String,
    /// Show how one figure was worked out, with this survey's numbers and their lines: `rinse_time`,
    /// `branches.NAME.alone_speed`, `plan`, `connections`
    #[arg(long, value_name = "FIGURE")]
    explain: Option<String>,
    /// The format of the figures
    #[arg(long, default_value = "text", value_parser = super::check::formats(), conflicts_with = "explain")]
    format: Format,
    #[command(flatten)]
    look: Look,
}

pub fn run(arguments: &Arguments) -> Result<Exit, Refusal> {
    let help = "name the survey file, or `-` for standard input";
    let source = match files::survey(&arguments.survey, help)? {
        Ok(source) => source,
        Err((_, problem)) => return Err(files::unreadable(&arguments.survey, problem)),
    };
    let packs = Packs::none();
    let (facts, problems) = facts(&source, &packs.vocabulary);
    let style = arguments.look.on_screen();
    if let Some(name) = &arguments.explain {
        shown(&explanation(&source, &facts, &packs, name, &style)?)?;
    } else {
        let figures = figures::all(&facts, &packs.vocabulary);
        let told = tell(&facts, &packs.vocabulary);
        match arguments.format {
            Format::Text => shown(&page::page(&source, &figures, &told, &style))?,
            Format::Json => shown(&page::document(&[page::Survey {
                source,
                problems: problems.clone(),
                figures,
                told,
            }]))?,
        }
    }
    if problems.is_empty() {
        return Ok(Exit::Clear);
    }
    let says = number(
        problems.len(),
        "problem in the file",
        "problems in the file",
    );
    let help = "what could not be read counts as not known; `wetside check` tells what is wrong";
    terminal::complain(&says, help);
    Ok(Exit::FaultySurvey)
}

/// One figure or one part of the house in full.
fn explanation(
    source: &Source,
    facts: &Facts,
    packs: &Packs,
    name: &str,
    style: &Style,
) -> Result<String, Refusal> {
    let name = name.strip_prefix("figure.").unwrap_or(name);
    if page::PARTS.contains(&name) {
        let told = tell(facts, &packs.vocabulary).map_err(|why| {
            let help = "record what it waits for, and ask again";
            Refusal::new(format!("`{name}` is not worked out: {}", why.0), help)
        })?;
        let figures = figures::all(facts, &packs.vocabulary);
        let part = page::part(source, name, &told, &figures, style);
        return part.ok_or_else(|| {
            let help =
                "record `machine.points_available`: the points at which the machine could join";
            Refusal::new("no points of connection are recorded".to_string(), help)
        });
    }
    if let Some(explained) = figures::explain(facts, &packs.vocabulary, name) {
        return Ok(page::explained(source, &explained, style));
    }
    let all = figures::all(facts, &packs.vocabulary);
    let names: Vec<String> = all.iter().map(|figure| figure.dotted()).collect();
    let known = names.iter().map(String::as_str).chain(page::PARTS);
    let help = suggest::help(
        name,
        known,
        "`wetside figures` with the survey alone lists all of them",
    );
    Err(Refusal::new(format!("there is no figure `{name}`"), help))
}
