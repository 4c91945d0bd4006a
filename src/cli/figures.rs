//! `wetside figures`: what can be worked out from a survey.

use super::exit::Exit;
use super::files::{self, Refusal};
use super::packs::{self, shown};
use super::terminal;
use clap::Args;
use clap::builder::PossibleValuesParser;
use wetside_engine::check::{Ask, Packs, check};
use wetside_report::{Format, figures};

/// Work out the figures of a job: plan, branches, volumes, doses, times, pressures and limits
///
/// The verdict of a check comes first, then the plan, the branches with the worst first, and the figures by
/// what they decide. Each figure is a range as wide as what it was worked out from. One that cannot be worked out says
/// which facts it waits for.
#[derive(Args, Debug)]
pub(super) struct Arguments {
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
    #[arg(long, default_value = "text", value_parser = super::check::formats(), conflicts_with = "explain")]
    format: Format,
    #[command(flatten)]
    setting: packs::Setting,
}

pub(super) fn run(arguments: &Arguments) -> Result<Exit, Refusal> {
    let help = "name the survey file, or `-` for standard input";
    let source = files::text(&arguments.survey, help)?;
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
