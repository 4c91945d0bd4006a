//! `wetside ask`: questions until a survey says what is due.

mod talk;

use super::check::{date, one_of};
use super::exit::{Exit, TABLE};
use super::files::{self, Refusal, STANDARD_INPUT};
use super::packs::{self, in_shell, shown};
use super::terminal;
use clap::Args;
use std::io;
use wetside_base::finding::Stage;
use wetside_engine::check::{Ask, check_with};
use wetside_engine::interview::{Session, interview};
use wetside_report::{asking, starter};
use wetside_units::Date;

/// Ask what is due and not known, and write each answer into the survey
///
/// Asks only what something waits for at the stage of the job: first what settles most, then onward as one
/// walks through the house. Every answer is saved at once, at its place in the file; everything else in the
/// file stays as it was. Stop at any time, and go on another day.
#[derive(Args, Debug)]
#[command(after_help = TABLE)]
pub(super) struct Arguments {
    /// The survey file
    survey: String,
    /// The stage to ask for, instead of the one that the survey gives
    #[arg(long, value_parser = one_of(Stage::ALL, Stage::words))]
    stage: Option<Stage>,
    /// The date to judge by, as 2026-10-13, instead of the survey's work date
    #[arg(long, value_name = "DATE", value_parser = date)]
    as_of: Option<Date>,
    /// Ask nothing: print the questions as lines of a survey to fill in, with the words to choose from
    #[arg(long, group = "instead")]
    list: bool,
    /// Ask nothing: print the questions for programs
    #[arg(long, group = "instead")]
    json: bool,
    /// Ask nothing: take the answers from this file, such as a list that was filled in
    #[arg(long, value_name = "FILE", group = "instead")]
    from: Option<String>,
    #[command(flatten)]
    setting: packs::Setting,
}

impl Arguments {
    /// The survey and the options that bear on what is asked, for a command that goes on.
    fn again(&self) -> String {
        let stage = self.stage.map(|stage| format!(" --stage {stage}"));
        let as_of = self.as_of.map(|day| format!(" --as-of {day}"));
        let parts = [
            Some(in_shell(&self.survey)),
            stage,
            as_of,
            Some(self.setting.choice.again()),
        ];
        parts.into_iter().flatten().collect()
    }
}

pub(super) fn run(arguments: &Arguments) -> Result<Exit, Refusal> {
    let packs = arguments.setting.packs()?;
    let ask = Ask {
        stage: arguments.stage,
        as_of: arguments.as_of,
    };
    let name = arguments.survey.as_str();
    let help = "name the survey; `wetside new house.yaml` writes one to begin with";
    let source = files::text(name, help)?;
    let beside = files::departures(name)?;
    if arguments.list || arguments.json {
        let facts = files::facts(&source, &packs.vocabulary);
        let questions = interview(&facts, &packs, &ask, &Session::default());
        let page = if arguments.json {
            asking::document(&facts, &packs.vocabulary, &questions)
        } else {
            let width = arguments.setting.look.on_screen().columns();
            starter::questions(&facts, &packs.vocabulary, &questions, width)
        };
        shown(&page)?;
        let judged = check_with(&source, &packs, &ask, beside.as_ref());
        return Ok(Exit::of(&judged));
    }
    if name == STANDARD_INPUT {
        let says = "answers cannot be written into standard input";
        return Err(Refusal::new(says, "name the file of the survey"));
    }
    files::holds_survey(&source, help)?;
    let style = arguments.setting.look.on_screen();
    let talk = talk::Talk::new(source, beside, &packs, ask, style, arguments.again());
    let save = |before: &str, after: &str| files::change(name, before, after);
    let done = match &arguments.from {
        Some(from) => {
            let filled = files::text(from, "name the list that was filled in")?;
            talk.take(&filled, terminal::out(), save)
        }
        None => talk.hold(io::stdin().lock(), terminal::out(), save),
    };
    std::mem::forget(packs);
    done
}
