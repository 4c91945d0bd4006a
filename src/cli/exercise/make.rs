//! `wetside exercise make`, `by-hand` and `course`: exercises to files.

use super::super::check::one_of;
use super::super::exit::Exit;
use super::super::files::Refusal;
use super::super::misuse::whole_number;
use super::super::packs::Setting;
use super::super::terminal::Look;
use super::batch::{Batch, Out};
use super::shared::{Shelf, faulty, folder_of, loaded, text};
use clap::Args;
use std::path::Path;
use wetside_base::source::Source;
use wetside_report::pen::number;
use wetside_report::trainer::pages::{self, Sitting};
use wetside_trainer::course::{self, Made};
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
    #[arg(long, value_name = "LEVEL", value_parser = one_of(Difficulty::ALL, Difficulty::word))]
    difficulty: Option<Difficulty>,
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
        difficulty: arguments.difficulty,
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

/// Make a whole course from its recipe
///
/// The recipe lists exercises in the order in which they are done, each drawn by the options of `make`, or
/// written by hand as changes of a clean survey. Beside the files of each exercise the trainer gets a table
/// of contents, and what the recipe has by hand: surveys with what must be found on their lines, sheets filled in.
///
/// With `--class` everybody has exercises of their own: what the recipe draws is drawn anew for each from the private
/// seed, as hard for everybody and in another house, in another order, on one paper with the name on it.
#[derive(Args, Debug)]
pub(super) struct Course {
    /// The recipe
    recipe: String,
    #[command(flatten)]
    out: Out,
    /// The names of a class, one a line: everybody has exercises of their own
    #[arg(long, value_name = "FILE", requires = "seed")]
    class: Option<String>,
    /// The private number that the exercises of a class are drawn from, of ten digits at least
    #[arg(long, requires = "class", value_parser = whole_number::<u64>(LEAST_SEED..=u64::MAX))]
    seed: Option<u64>,
    /// The minutes that a class has, for its paper
    #[arg(long, requires = "class", value_parser = whole_number::<u32>(1..=600))]
    minutes: Option<u32>,
    #[command(flatten)]
    shelf: Shelf,
    #[command(flatten)]
    setting: Setting,
}

pub(super) fn of_recipe(arguments: &Course) -> Result<Exit, Refusal> {
    let (look, out) = (&arguments.setting.look, &arguments.out);
    let recipe = text(&arguments.recipe)?;
    let (packs, catalogue) = loaded(&arguments.setting, &arguments.shelf)?;
    let called = ["problem in the recipe", "problems in the recipe"];
    let entries =
        course::read(&recipe).map_err(|problems| faulty(&recipe, &problems, called, look))?;
    let beside = Path::new(&arguments.recipe)
        .parent()
        .unwrap_or(Path::new(""));
    let mut course = Vec::new();
    for (number, entry) in (1..).zip(&entries) {
        let base = text(&beside.join(&entry.from).display().to_string())?;
        let made = course::one(entry, number, &base, &packs, &catalogue)?;
        course.push((made, base));
    }
    let mut batch = Batch::default();
    if let (Some(names), Some(seed)) = (&arguments.class, arguments.seed) {
        let names = names_of(&text(names)?)?;
        let alone: Vec<&str> = names.iter().map(|(_, name)| name.as_str()).collect();
        let class = course::of_class(&course, &alone, seed, &packs, &catalogue)?;
        for ((folder, name), mut own) in names.iter().zip(class) {
            let sitting = Sitting {
                trainee: Some(name),
                minutes: arguments.minutes,
            };
            own.iter_mut()
                .for_each(|made| out.asked(&mut made.exercise));
            of_trainee(&mut batch, folder, &own, sitting);
        }
        return batch.write(out, look);
    }
    let mut course: Vec<Made> = course.into_iter().map(|(made, _)| made).collect();
    for made in &mut course {
        out.asked(&mut made.exercise);
        batch.exercise("", &made.exercise, Sitting::default());
        if let Some(survey) = &made.written {
            batch.for_the_trainer(&format!("by-hand/{}", survey.name), survey.text.clone());
        }
        if let Some(sheet) = &made.worked {
            let name = format!("worked/exercise-{:02}-answers.yaml", made.exercise.number);
            batch.for_the_trainer(&name, sheet.clone());
        }
    }
    batch.for_the_trainer("contents.md", pages::contents(&course));
    batch.write(out, look)
}

/// A seed that nobody finds by trying.
const LEAST_SEED: u64 = 1_000_000_000;

/// The folders and names of a class.
fn names_of(names: &Source) -> Result<Vec<(String, String)>, Refusal> {
    let mut all: Vec<(String, String)> = Vec::new();
    for name in names
        .text
        .lines()
        .map(str::trim)
        .filter(|name| !name.is_empty())
    {
        let folder = folder_of(name);
        if let Some((_, other)) = all.iter().find(|(other, _)| *other == folder) {
            let says = format!(
                "`{}` names `{other}` and `{name}`, which are too much alike",
                names.name
            );
            return Err(Refusal::new(
                says,
                "give two people two names, or write each once",
            ));
        }
        all.push((folder, name.to_string()));
    }
    if all.is_empty() {
        let says = format!("there is no name in `{}`", names.name);
        return Err(Refusal::new(
            says,
            "write the names of the class, one a line",
        ));
    }
    Ok(all)
}

/// The files of one trainee of a class.
fn of_trainee(batch: &mut Batch, folder: &str, own: &[Made], sitting: Sitting<'_>) {
    let of = format!("{folder}/");
    for made in own {
        batch.exercise(&of, &made.exercise, sitting);
    }
    let exercises: Vec<&Exercise> = own.iter().map(|made| &made.exercise).collect();
    batch.for_trainees(
        &format!("{of}paper.html"),
        pages::on_paper(&exercises, sitting),
    );
    batch.for_the_trainer(&format!("{of}contents.md"), pages::contents(own));
    let keys = exercises.iter().map(|exercise| &exercise.key);
    let faults: usize = keys.clone().map(|key| key.faults.len()).sum();
    let free = keys.filter(|key| key.faults.is_empty()).count();
    let says = format!(
        "{}, {} in all, {free} without",
        number(own.len(), "exercise", "exercises"),
        number(faults, "fault", "faults")
    );
    batch.tell(folder, says);
}
