//! `wetside steps`: what is moved, in which order, and what is back.

use super::exit::Exit;
use super::files::{self, Refusal};
use super::packs::{self, shown};
use super::terminal;
use clap::Args;
use wetside_engine::check::registers;
use wetside_report::{Format, steps};

/// Show what is to be moved for the work, in which order, and what is back
///
/// First the steps of making safe, each after all that it needs; then the register with its count; then the
/// way back, in reverse. A box is ticked only where the survey says so of every thing in it.
#[derive(Args, Debug)]
pub(super) struct Arguments {
    /// The survey file; `-` is standard input
    #[arg(value_name = "SURVEY")]
    survey: String,
    /// The format of the steps
    #[arg(long, default_value = "text", value_parser = super::check::formats())]
    format: Format,
    #[command(flatten)]
    setting: packs::Setting,
}

pub(super) fn run(arguments: &Arguments) -> Result<Exit, Refusal> {
    let help = "name the survey file, or `-` for standard input";
    let source = files::text(&arguments.survey, help)?;
    files::holds_survey(&source, help)?;
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
        Format::Text => steps::page(&source, register, &arguments.setting.look.on_screen()),
        Format::Json => steps::document(&source, register, problems.len()),
    })?;
    Ok(terminal::counted(problems.len()))
}
