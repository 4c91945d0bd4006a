//! A whole course of exercises from its recipe.
//!
//! Contract: a recipe is a list of exercises in the order in which they are done; each is either drawn by
//! options, or written by hand as changes of a clean survey. Surveys are named, and whoever calls fetches
//! them. What cannot be made as the recipe says is refused with the title of the exercise.

use super::batch::{Exercise, beside};
use super::hand::by_hand;
use super::options::{Options, Refused, refused};
use super::turns::{Used, fair_points};
use crate::draw::{self, Draw};
use crate::fault::{Answer, Catalogue};
use crate::sheet::{self, What};
use serde::de::Error;
use serde::{Deserialize, Deserializer};
use wetside_base::finding::Class;
use wetside_base::problem::Problem;
use wetside_base::source::Source;
use wetside_document::typed;
use wetside_engine::check::Packs;

/// How one exercise of a course is made.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Entry {
    pub title: String,
    /// What a trainee learns by it.
    pub practises: String,
    /// The clean survey that it is made from, seen from the recipe.
    pub from: String,
    /// The options that it is drawn by; nothing of one that was written by hand.
    pub draw: Option<Options>,
    pub by_hand: Option<ByHand>,
    /// A sheet filled in as an example, for the trainer.
    pub worked: Option<Worked>,
}

/// An exercise that was written by hand.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct ByHand {
    /// What is wrong, for the trainer.
    pub note: String,
    pub changes: Vec<Change>,
}

/// One line of the clean survey, changed.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Change {
    /// Words on the line from which on the changed line is looked for.
    pub below: Option<String>,
    pub was: String,
    pub is: String,
    /// The rule that is broken by it.
    pub finds: Option<String>,
}

/// A filled-in sheet. Its claims name lines by words on them, since numbers change with the survey.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Worked {
    pub trainee: String,
    pub verdict: String,
    pub claims: Vec<WorkedClaim>,
}

#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct WorkedClaim {
    pub on: String,
    #[serde(deserialize_with = "class")]
    pub class: Class,
    pub reason: String,
}

fn class<'de, D: Deserializer<'de>>(written: D) -> Result<Class, D::Error> {
    let word = String::deserialize(written)?;
    let words = &["hazard", "preparation", "advisory"];
    Class::named(&word).ok_or_else(|| D::Error::unknown_variant(&word, words))
}

/// One exercise of a course, made.
#[derive(Clone, Debug)]
pub struct Made {
    pub entry: Entry,
    pub exercise: Exercise,
    /// Of one that was written by hand: the survey as its author wrote it.
    pub written: Option<Source>,
    /// The sheet that is filled in as an example.
    pub worked: Option<String>,
}

/// A recipe, read.
pub fn read(source: &Source) -> Result<Vec<Entry>, Vec<Problem>> {
    let reading = wetside_document::read(source);
    if !reading.problems.is_empty() {
        return Err(reading.problems);
    }
    typed(&reading.root).map_err(|problem| vec![problem])
}

/// The exercise that an entry of a recipe describes, the `number`-th of its course, from the survey that
/// it names.
pub fn one(
    entry: &Entry,
    number: usize,
    base: &Source,
    packs: &Packs,
    catalogue: &Catalogue,
) -> Result<Made, Refused> {
    let in_course = |why: Refused| refused(format!("`{}`: {}", entry.title, why.says), why.help);
    let written = entry.by_hand.as_ref().map(|hand| hand.survey(base, number));
    let written = written.transpose().map_err(in_course)?;
    let made = match (&entry.draw, &written) {
        (Some(options), None) => drawn(base, packs, catalogue, options, &mut Used::default()),
        (None, Some(written)) => by_hand(written, base, packs).map_err(|mut problems| {
            let first = problems.swap_remove(0);
            refused(first.says, first.help)
        }),
        _ => Err(refused(
            "an exercise is either drawn or written by hand",
            "write either `draw` or `by_hand`",
        )),
    };
    let mut exercise = made.map_err(in_course)?;
    exercise.number = number;
    exercise.key.title = Some(entry.title.clone());
    let worked = entry.worked.as_ref().map(|worked| worked.sheet(&exercise));
    Ok(Made {
        entry: entry.clone(),
        worked: worked.transpose().map_err(in_course)?,
        exercise,
        written,
    })
}

fn drawn(
    base: &Source,
    packs: &Packs,
    catalogue: &Catalogue,
    options: &Options,
    used: &mut Used,
) -> Result<Exercise, Refused> {
    let made = beside(std::slice::from_ref(base), packs, catalogue, options, used);
    made.map(|mut made| made.remove(0))
}

/// A course for each trainee of a class: what the recipe draws is drawn anew from a private seed, with as many faults
/// as in the course itself and as many points of difficulty for everybody, each in another house; what was written by
/// hand is the same for all. What came on one paper of somebody comes on another only where nothing else fits, and over
/// the class everything has its turn: so who stands further up on the list is unmoved by who stands below. The order is
/// the trainee's own. `course` has each exercise with its survey.
pub fn of_class(
    course: &[(Made, Source)],
    trainees: &[&str],
    seed: u64,
    packs: &Packs,
    catalogue: &Catalogue,
) -> Result<Vec<Vec<Made>>, Refused> {
    let options = course.iter().map(|(model, base)| {
        let drawn = model.entry.draw.as_ref();
        let options = drawn.map(|options| for_a_class(model, options, base, packs, catalogue));
        options.transpose()
    });
    let options: Vec<Option<Options>> = options.collect::<Result<_, _>>()?;
    let mut used = Used::default();
    let of_trainee = |trainee: &&str| {
        used.next_person();
        let seed = draw::sum(draw::EMPTY ^ seed, trainee);
        let mut own = Vec::new();
        for ((model, base), options) in course.iter().zip(&options) {
            let mut made = model.clone();
            made.worked = None;
            if let Some(options) = options {
                let seed = draw::sum(seed, &model.entry.title);
                let options = Options {
                    seed,
                    ..options.clone()
                };
                let exercise = drawn(base, packs, catalogue, &options, &mut used);
                made.exercise = exercise.map_err(|why| {
                    let title = &model.entry.title;
                    refused(format!("`{title}` for {trainee}: {}", why.says), why.help)
                })?;
            }
            own.push(made);
        }
        in_their_order(&mut own, trainee, seed);
        Ok(own)
    };
    trainees.iter().map(of_trainee).collect()
}

/// What everybody's exercise is drawn by where the course has this one.
fn for_a_class(
    model: &Made,
    options: &Options,
    base: &Source,
    packs: &Packs,
    catalogue: &Catalogue,
) -> Result<Options, Refused> {
    let free = model.exercise.key.faults.is_empty();
    let mut options = Options {
        surveys: 1,
        fault_free: if free { 100 } else { 0 },
        own_house: Answer::Yes,
        common_words: Answer::Yes,
        ..options.clone()
    };
    if !free {
        options.points = fair_points(base, packs, catalogue, &options)?;
    }
    Ok(options)
}

fn in_their_order(own: &mut [Made], trainee: &str, seed: u64) {
    Draw::new(seed).shuffle(own);
    for (number, made) in (1..).zip(own) {
        made.exercise.number = number;
        made.exercise.key.title = Some(made.entry.title.clone());
        made.exercise.key.trainee = Some(trainee.to_string());
    }
}

impl ByHand {
    /// The survey as its author wrote it, with what must be found.
    fn survey(&self, base: &Source, number: usize) -> Result<Source, Refused> {
        let mut lines: Vec<String> = base.text.lines().map(str::to_string).collect();
        let not_there = |words: &str| {
            let says = format!("no line of `{}` holds `{words}`", base.name);
            refused(says, "copy words of the clean survey, letter for letter")
        };
        for change in &self.changes {
            let mut from = 0;
            if let Some(below) = &change.below {
                let head = lines.iter().position(|line| line.contains(below));
                from = head.ok_or_else(|| not_there(below))?;
            }
            let mut later = lines[from..].iter_mut();
            let line = later.find(|line| line.contains(&change.was));
            let line = line.ok_or_else(|| not_there(&change.was))?;
            *line = line.replacen(&change.was, &change.is, 1);
            if let Some(rule) = &change.finds {
                line.push_str(&format!("   # finds: {rule}"));
            }
        }
        let verdict = lines.iter_mut().find(|line| line.starts_with("# verdict:"));
        let verdict = verdict.ok_or_else(|| not_there("# verdict:"))?;
        *verdict = format!("# verdict: do not start\n# trainer: {}", self.note);
        Ok(Source::new(
            format!("exercise-{number:02}.yaml"),
            format!("{}\n", lines.join("\n")),
        ))
    }
}

impl Worked {
    /// The answer sheet of an exercise, filled in.
    fn sheet(&self, exercise: &Exercise) -> Result<String, Refused> {
        let survey = &exercise.survey;
        let claim = |claim: &WorkedClaim| {
            let holds = |line: &usize| survey.slice(survey.line_span(*line)).contains(&claim.on);
            let line = (1..=survey.line_count()).find(holds);
            let line = line.ok_or_else(|| {
                let says = format!("no line of the exercise holds `{}`", claim.on);
                refused(says, "name a line by words that stand on it")
            })?;
            Ok(What::Wrong {
                line,
                class: claim.class,
                reason: claim.reason.clone(),
            })
        };
        let claims: Vec<What> = self.claims.iter().map(claim).collect::<Result<_, _>>()?;
        Ok(sheet::filled(
            &exercise.key,
            &self.trainee,
            &self.verdict,
            &claims,
        ))
    }
}
