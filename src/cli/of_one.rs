//! `wetside figures`, `wetside steps` and `wetside sheet`: what is shown of one survey.

use super::check::{Asked, one_of};
use super::exit::Exit;
use super::files::{self, Refusal};
use super::packs::{self, shown};
use super::terminal;
use clap::Args;
use clap::builder::PossibleValuesParser;
use std::path::PathBuf;
use wetside_engine::check::{Ask, Packs, check, registers};
use wetside_record::{LastRead, Read};
use wetside_report::pen::Pen;
use wetside_report::{Format, figures, headline, steps};
use wetside_sheet::papers;

const HELP: &str = "name the survey file, or `-` for standard input";

/// Work out the figures of a job: plan, branches, volumes, doses, times, pressures and limits
///
/// The verdict of a check comes first, then the plan, the branches with the worst first, and the figures by
/// what they decide. Each figure is a range as wide as what it was worked out from. One that cannot be worked out says
/// which facts it waits for.
#[derive(Args, Debug)]
pub(super) struct Figures {
    /// The survey file; `-` is standard input
    #[arg(value_name = "SURVEY")]
    survey: String,
    /// Show how one figure was worked out, with this survey's numbers and their lines: `"rinse time"`,
    /// `branches.NAME.alone_speed`, `plan`, `connections`
    #[arg(long, value_name = "FIGURE")]
    explain: Option<String>,
    /// Write one curve as an SVG picture: `rinse`, `pump`, `tank` or `day`
    #[arg(long, value_name = "NAME", conflicts_with_all = ["explain", "format"],
        value_parser = PossibleValuesParser::new(figures::CURVES))]
    curve: Option<String>,
    /// The format of the figures
    #[arg(long, default_value = "text", value_parser = one_of(Format::ALL, Format::name), conflicts_with = "explain")]
    format: Format,
    #[command(flatten)]
    setting: packs::Setting,
}

pub(super) fn figures(arguments: &Figures) -> Result<Exit, Refusal> {
    let source = files::text(&arguments.survey, HELP)?;
    let vocabulary = Packs::none().vocabulary;
    let style = arguments.setting.look.on_screen();
    if let Some(name) = &arguments.explain {
        let told = figures::explanation(&source, &vocabulary, name, &style);
        let (page, problems) = told.map_err(|why| Refusal::new(why.says, why.help))?;
        shown(&page)?;
        return Ok(terminal::counted(problems.len()));
    }
    let survey = figures::Survey::new(source, &vocabulary);
    if let Some(name) = &arguments.curve {
        let help = "record what it waits for, and ask again";
        let picture = figures::curve(&survey.told, name).map_err(|why| Refusal::new(why, help))?;
        shown(&picture.svg)?;
        return Ok(terminal::counted(survey.problems.len()));
    }
    shown(&match arguments.format {
        Format::Text => {
            let packs = arguments.setting.packs()?;
            let judgement = check(&survey.source, &packs, &Ask::default());
            figures::page(&survey, Some(&judgement), terminal::is_one(), &style)
        }
        Format::Json => figures::document(std::slice::from_ref(&survey)),
    })?;
    Ok(terminal::counted(survey.problems.len()))
}

/// Show what is to be moved for the work, in which order, and what is back
///
/// First the steps of making safe, each after all that it needs; then the register with its count, and which parts
/// were read in the flush; then the way back, in reverse. A box is ticked only where the survey says so of every
/// thing in it.
#[derive(Args, Debug)]
pub(super) struct Steps {
    /// The survey file; `-` is standard input
    #[arg(value_name = "SURVEY")]
    survey: String,
    /// The format of the steps
    #[arg(long, default_value = "text", value_parser = one_of(Format::ALL, Format::name))]
    format: Format,
    #[command(flatten)]
    setting: packs::Setting,
}

pub(super) fn steps(arguments: &Steps) -> Result<Exit, Refusal> {
    let source = files::text(&arguments.survey, HELP)?;
    files::holds_survey(&source, HELP)?;
    let packs = arguments.setting.packs()?;
    let (registers, problems) = registers(&source, &packs);
    let known = registers.iter().find(|register| !register.steps.is_empty());
    let Some(register) = known else {
        let says = "none of the packs says what is moved for the work";
        return Err(Refusal::new(
            says,
            "a pack says it in its file `moved.yaml`",
        ));
    };
    shown(&match arguments.format {
        Format::Text => {
            let read = wetside_record::read(&source, &packs).unwrap_or_default();
            let style = arguments.setting.look.on_screen();
            steps::page(&source, register, &states(&read), &style)
        }
        Format::Json => steps::document(&source, register, problems.len()),
    })?;
    Ok(terminal::counted(problems.len()))
}

/// The parts by how they read last; nothing before the first reading.
fn states(read: &Read) -> Vec<(&str, Vec<String>)> {
    let told = |one: &LastRead| {
        let beside = [&one.value, &one.at].into_iter().flatten();
        let beside: Vec<&str> = beside.map(String::as_str).collect();
        format!("{} ({})", one.of, beside.join(" at "))
    };
    let of = |clean| {
        let some = read.last.iter().filter(move |one| one.is_clean == clean);
        some.map(told).collect()
    };
    let states = [
        ("clean", of(true)),
        ("not clean yet", of(false)),
        ("not read yet", read.not_yet.clone()),
    ];
    let any = states.into_iter().filter(|(_, parts)| !parts.is_empty());
    any.filter(|_| !read.last.is_empty()).collect()
}

/// Make the papers of a job: job sheet, customer's page, record of water treatment, label
///
/// Each is one page of HTML for the telephone, the desktop and A4, which needs nothing from elsewhere and runs
/// nothing. The papers say what is missing for the hand-over; they are complete once the survey is clear
/// for hand-back.
#[derive(Args, Debug)]
pub(super) struct Sheet {
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

pub(super) fn sheet(arguments: &Sheet) -> Result<Exit, Refusal> {
    let source = files::text(&arguments.survey, HELP)?;
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
    pen.paragraph(0, &headline(&made.judgement));
    shown(&pen.finish())?;
    Ok(terminal::counted(made.judgement.problem_count()))
}
