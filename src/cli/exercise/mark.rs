//! `wetside exercise mark`: one answer sheet against its key.

use super::super::exit::Exit;
use super::super::files::Refusal;
use super::super::packs::{Setting, shown};
use super::shared::{faulty, text};
use clap::Args;
use wetside_base::problem::Problem;
use wetside_base::source::Source;
use wetside_engine::check::Packs;
use wetside_report::pen::Pen;
use wetside_report::trainer;
use wetside_trainer::sheet::{self, person};
use wetside_trainer::{Change, Key, Marked, read_key, ready};

/// Mark an answer sheet
///
/// Says what was found, missed and claimed in vain, each with its lines. A sheet that cannot be marked is
/// a problem at its line, and never a wrong answer.
#[derive(Args, Debug)]
pub(super) struct Mark {
    /// The sheet that was handed in
    sheet: String,
    /// The survey of the exercise, as it was handed out
    #[arg(long, value_name = "SURVEY")]
    survey: String,
    /// The key of the exercise
    #[arg(long, value_name = "KEY")]
    key: String,
    #[command(flatten)]
    setting: Setting,
}

pub(super) fn run(arguments: &Mark) -> Result<Exit, Refusal> {
    let (filled, survey, key_file) = (
        text(&arguments.sheet)?,
        text(&arguments.survey)?,
        text(&arguments.key)?,
    );
    let packs = arguments.setting.packs()?;
    let look = &arguments.setting.look;
    let wrong = |source: &Source, problems: &[Problem]| {
        let called = [
            "reason why this cannot be marked",
            "reasons why this cannot be marked",
        ];
        faulty(source, problems, called, look)
    };
    let key = read_key(&key_file).map_err(|problems| wrong(&key_file, &problems))?;
    let marked = marked(&filled, &survey, &key, &packs, &[])
        .map_err(|(source, problems)| wrong(source, &problems))?;
    let mut pen = Pen::new(look.on_screen());
    trainer::marked::page(&mut pen, &marked, &filled, &survey);
    shown(&pen.finish())?;
    Ok(Exit::Clear)
}

/// Marks one sheet; or says what is wrong, and in which file.
pub(super) fn marked<'s>(
    filled: &'s Source,
    survey: &'s Source,
    key: &Key,
    packs: &Packs,
    changes: &[Change],
) -> Result<Marked, (&'s Source, Vec<Problem>)> {
    let of_sheet = |problems| (filled, problems);
    let ready = ready(survey, key, packs).map_err(|problem| (survey, vec![problem]))?;
    let sheet = sheet::read(filled, key, &ready.titles, ready.lines()).map_err(of_sheet)?;
    let trainee = person(&sheet.trainee);
    let is_of_sheet =
        |change: &&Change| change.exercise == key.exercise && person(&change.trainee) == trainee;
    let changes: Vec<Change> = changes.iter().filter(is_of_sheet).cloned().collect();
    ready.mark(&sheet, &changes).map_err(of_sheet)
}
