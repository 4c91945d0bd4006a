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
    let marked = marked(&filled, &survey, &key, &packs, &[]).map_err(|why| match why {
        Unmarked::Survey(problem) => wrong(&survey, &[problem]),
        Unmarked::Sheet(problems) => wrong(&filled, &problems),
    })?;
    let mut pen = Pen::new(look.on_screen());
    trainer::marked::page(&mut pen, &marked, &filled, &survey);
    shown(&pen.finish())?;
    Ok(Exit::Clear)
}

/// Why a sheet has no marks.
pub(super) enum Unmarked {
    /// Survey, key and packs do not belong together.
    Survey(Problem),
    Sheet(Vec<Problem>),
}

/// Marks one sheet.
pub(super) fn marked(
    filled: &Source,
    survey: &Source,
    key: &Key,
    packs: &Packs,
    changes: &[Change],
) -> Result<Marked, Unmarked> {
    let ready = ready(survey, key, packs).map_err(Unmarked::Survey)?;
    let sheet = sheet::read(filled, key, &ready.titles, ready.lines()).map_err(Unmarked::Sheet)?;
    let trainee = person(&sheet.trainee);
    let of_sheet =
        |change: &&Change| change.exercise == key.exercise && person(&change.trainee) == trainee;
    let changes: Vec<Change> = changes.iter().filter(of_sheet).cloned().collect();
    ready.mark(&sheet, &changes).map_err(Unmarked::Sheet)
}
