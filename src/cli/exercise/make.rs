//! `wetside exercise make` and `by-hand`: exercises to files.

use super::super::exit::Exit;
use super::super::files::Refusal;
use super::super::misuse::whole_number;
use super::super::packs::Setting;
use super::super::terminal::Look;
use super::batch::{Batch, Out};
use super::shared::{Shelf, faulty, loaded, text};
use clap::Args;
use clap::builder::PossibleValuesParser;
use wetside_base::source::Source;
use wetside_report::trainer::pages::Sitting;
use wetside_trainer::{
    Answer, Difficulty, Exercise, MOST_CHANGES, MOST_FAULTS, MOST_SURVEYS, Options,
};

/// Make exercises from clean surveys
///
/// Each exercise has a house of its own, varied from one of the surveys in turn. For trainees: the survey, an answer sheet, a schema by which an editor completes it, and the exercise
/// on paper. For the trainer, in a folder of its own: the key. The same survey, packs, catalogue and
/// options give the same files everywhere.
#[derive(Args, Debug)]
pub(super) struct Make {
    /// The surveys to start from, which must come to `clear` with nothing to tell
    #[arg(required = true)]
    from: Vec<String>,
    #[command(flatten)]
    out: Out,
    /// The number that all drawing starts from
    #[arg(long, default_value_t = 1, value_parser = whole_number::<u64>(0..=u64::MAX))]
    seed: u64,
    /// Surveys to make
    #[arg(long, value_name = "COUNT", default_value_t = 1, value_parser = whole_number::<usize>(1..=MOST_SURVEYS as u64))]
    surveys: usize,
    /// Faults in each survey
    #[arg(long, value_name = "COUNT", default_value_t = 3, value_parser = whole_number::<usize>(1..=MOST_FAULTS as u64))]
    faults: usize,
    /// Things in each survey that look wrong and are right, as many as it takes
    #[arg(long, value_name = "COUNT", default_value_t = 2, value_parser = whole_number::<usize>(0..=MOST_CHANGES as u64))]
    decoys: usize,
    /// Numbers in each survey that are changed a little, to no effect
    #[arg(long, value_name = "COUNT", default_value_t = 3, value_parser = whole_number::<usize>(0..=MOST_CHANGES as u64))]
    small_changes: usize,
    /// Of a hundred surveys, those without any fault
    #[arg(long, value_name = "PERCENT", default_value_t = 0, value_parser = whole_number::<u8>(0..=100))]
    fault_free: u8,
    /// Only faults of this difficulty
    #[arg(long, value_name = "LEVEL", value_parser = PossibleValuesParser::new(Difficulty::ALL.map(Difficulty::word)))]
    difficulty: Option<String>,
    /// Only faults of this part of the pack; may be given several times
    #[arg(long = "part", value_name = "PART")]
    parts: Vec<String>,
    /// Plant only words that sound houses have too, so that comparing papers finds no fault
    #[arg(long)]
    common_words: bool,
    /// Leave the survey as it stands but for its remarks, instead of a house of its own for each exercise
    #[arg(long)]
    same_house: bool,
    #[command(flatten)]
    shelf: Shelf,
    #[command(flatten)]
    setting: Setting,
}

pub(super) fn run(arguments: &Make) -> Result<Exit, Refusal> {
    let from = arguments.from.iter().map(|path| text(path));
    let from: Vec<Source> = from.collect::<Result<_, _>>()?;
    let (packs, catalogue) = loaded(&arguments.setting, &arguments.shelf)?;
    let options = Options {
        seed: arguments.seed,
        surveys: arguments.surveys,
        faults: arguments.faults,
        decoys: arguments.decoys,
        small_changes: arguments.small_changes,
        difficulty: arguments.difficulty.as_deref().and_then(Difficulty::named),
        parts: arguments.parts.clone(),
        fault_free: usize::from(arguments.fault_free),
        own_house: Answer::from(!arguments.same_house),
        common_words: Answer::from(arguments.common_words),
        points: None,
    };
    let made = wetside_trainer::make(&from, &packs, &catalogue, &options)?;
    written(made, &arguments.out, &arguments.setting.look)
}

/// Take exercises that were written by hand
///
/// Each survey is a changed copy of a clean one, with what must be found, such as `# finds: rule`, on its lines. It is
/// held to the same proof as a made one: exactly that must be found, and undoing one change must
/// take its findings away and no other's.
#[derive(Args, Debug)]
pub(super) struct ByHand {
    /// The changed surveys, with what must be found on their lines
    #[arg(required = true)]
    surveys: Vec<String>,
    /// The clean survey that they were written from
    #[arg(long, value_name = "SURVEY")]
    from: String,
    #[command(flatten)]
    out: Out,
    #[command(flatten)]
    setting: Setting,
}

pub(super) fn by_hand(arguments: &ByHand) -> Result<Exit, Refusal> {
    let clean = text(&arguments.from)?;
    let (packs, _) = loaded(&arguments.setting, &Shelf::default())?;
    let look = &arguments.setting.look;
    let called = [
        "reason why this is no exercise",
        "reasons why this is no exercise",
    ];
    let mut made = Vec::new();
    for (number, survey) in (1..).zip(&arguments.surveys) {
        let marked = text(survey)?;
        let exercise = wetside_trainer::by_hand(&marked, &clean, &packs)
            .map_err(|problems| faulty(&marked, &problems, called, look))?;
        made.push(Exercise { number, ..exercise });
    }
    written(made, &arguments.out, look)
}

/// Writes the files of exercises and says what was written.
fn written(made: Vec<Exercise>, out: &Out, look: &Look) -> Result<Exit, Refusal> {
    let mut batch = Batch::default();
    for mut exercise in made {
        out.asked(&mut exercise);
        batch.exercise("", &exercise, Sitting::default());
    }
    batch.write(out, look)
}
