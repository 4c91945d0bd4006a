//! `wetside exercise make` and `by-hand`: exercises to files.

use super::super::exit::Exit;
use super::super::files::Refusal;
use super::super::misuse::whole_number;
use super::super::packs::{Choice, shown};
use super::super::terminal::Look;
use super::shared::{FOR_THE_TRAINER, FOR_TRAINEES, Shelf, loaded, text, told, write};
use clap::Args;
use clap::builder::PossibleValuesParser;
use std::path::{Path, PathBuf};
use wetside_report::pen::{Ink, Pen, number};
use wetside_report::trainer::pages;
use wetside_trainer::{
    Answer, Difficulty, Exercise, MOST_CHANGES, MOST_FAULTS, MOST_SURVEYS, Options, sheet,
    write_key,
};

/// Make exercises from a clean survey
///
/// For trainees: the survey, an answer sheet, a schema by which an editor completes it, and the exercise
/// on paper. For the trainer, in a folder of its own: the key. The same survey, packs, catalogue and
/// options give the same files everywhere.
#[derive(Args, Debug)]
pub(super) struct Make {
    /// The survey to start from, which must come to `clear` with nothing to tell
    survey: String,
    /// The folder to write to
    #[arg(long, value_name = "FOLDER")]
    into: PathBuf,
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
    /// Leave all of the survey's comments out; else half of those beside values stay, none beside a change
    #[arg(long)]
    without_comments: bool,
    /// Write over files of the same name
    #[arg(long)]
    replace: bool,
    #[command(flatten)]
    shelf: Shelf,
    #[command(flatten)]
    choice: Choice,
    #[command(flatten)]
    look: Look,
}

pub(super) fn run(arguments: &Make) -> Result<Exit, Refusal> {
    let survey = text(&arguments.survey)?;
    let (packs, catalogue) = match loaded(&arguments.choice, &arguments.shelf, &arguments.look)? {
        Ok(loaded) => loaded,
        Err(exit) => return Ok(exit),
    };
    let options = Options {
        seed: arguments.seed,
        surveys: arguments.surveys,
        faults: arguments.faults,
        decoys: arguments.decoys,
        small_changes: arguments.small_changes,
        difficulty: arguments.difficulty.as_deref().and_then(Difficulty::named),
        parts: arguments.parts.clone(),
        fault_free: usize::from(arguments.fault_free),
        comments: if arguments.without_comments {
            Answer::No
        } else {
            Answer::Yes
        },
    };
    let made = wetside_trainer::make(&survey, &packs, &catalogue, &options);
    let made = made.map_err(|refused| Refusal::new(refused.says, refused.help))?;
    written(&made, &arguments.into, arguments.replace, &arguments.look)
}

/// Take an exercise that was written by hand
///
/// The survey is a changed copy of a clean one, with what must be found, such as `# finds: rule`, on its lines. It is
/// held to the same proof as a made one: exactly that must be found, and undoing one change must
/// take its findings away and no other's.
#[derive(Args, Debug)]
pub(super) struct ByHand {
    /// The changed survey, with what must be found on its lines
    survey: String,
    /// The clean survey that it was written from
    #[arg(long, value_name = "SURVEY")]
    from: String,
    /// The folder to write to
    #[arg(long, value_name = "FOLDER")]
    into: PathBuf,
    /// Write over files of the same name
    #[arg(long)]
    replace: bool,
    #[command(flatten)]
    choice: Choice,
    #[command(flatten)]
    look: Look,
}

pub(super) fn by_hand(arguments: &ByHand) -> Result<Exit, Refusal> {
    let (marked, clean) = (text(&arguments.survey)?, text(&arguments.from)?);
    let shelf = Shelf { catalogue: None };
    let (packs, _) = match loaded(&arguments.choice, &shelf, &arguments.look)? {
        Ok(loaded) => loaded,
        Err(exit) => return Ok(exit),
    };
    match wetside_trainer::by_hand(&marked, &clean, &packs) {
        Ok(made) => written(&[made], &arguments.into, arguments.replace, &arguments.look),
        Err(problems) => {
            let wrong: Vec<_> = problems.iter().map(|problem| (&marked, problem)).collect();
            told(
                &wrong,
                "reason why this is no exercise",
                "reasons why this is no exercise",
                &arguments.look,
            )?;
            Ok(Exit::FaultySurvey)
        }
    }
}

/// Writes the files of exercises and says what was written.
pub(super) fn written(
    made: &[Exercise],
    into: &Path,
    replace: bool,
    look: &Look,
) -> Result<Exit, Refusal> {
    let (trainees, trainer) = (into.join(FOR_TRAINEES), into.join(FOR_THE_TRAINER));
    let mut pen = Pen::new(look.on_screen());
    for exercise in made {
        let name = format!("exercise-{:02}", exercise.number);
        let key = &exercise.key;
        for (ending, text) in for_trainees(exercise) {
            write(&trainees, &format!("{name}{ending}"), &text, replace)?;
        }
        let sealed = write_key(key);
        write(&trainer, &format!("{name}-key.yaml"), &sealed, replace)?;
        let faults: Vec<&str> = key
            .faults
            .iter()
            .map(|fault| fault.title.as_str())
            .collect();
        let says = if faults.is_empty() {
            "no fault".to_string()
        } else {
            let count = number(faults.len(), "fault", "faults");
            format!("{count}: {}", faults.join("; "))
        };
        pen.hanging(0, &format!("{name}  "), &says, Ink::Usual);
    }
    pen.gap();
    pen.paragraph(
        0,
        &format!(
            "For trainees: {}. For the trainer only: {}.",
            trainees.display(),
            trainer.display()
        ),
    );
    shown(&pen.finish())?;
    Ok(Exit::Clear)
}

/// The files that trainees get, each with the end of its name.
fn for_trainees(exercise: &Exercise) -> [(&'static str, String); 4] {
    let key = &exercise.key;
    [
        (".yaml", exercise.survey.text.clone()),
        ("-answers.yaml", sheet::blank(key)),
        ("-answers.schema.json", sheet::schema_for(key)),
        (".html", pages::on_paper(exercise)),
    ]
}
