//! `wetside exercise course`: a whole course to files.

use super::super::exit::Exit;
use super::super::files::Refusal;
use super::super::misuse::whole_number;
use super::super::packs::Setting;
use super::batch::{Batch, Out};
use super::shared::{Shelf, faulty, folder_of, loaded, text};
use clap::Args;
use std::path::Path;
use wetside_base::source::Source;
use wetside_report::pen::number;
use wetside_report::trainer::contents;
use wetside_report::trainer::pages::{self, Sitting};
use wetside_trainer::Exercise;
use wetside_trainer::course::{self, Made};

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

pub(super) fn run(arguments: &Course) -> Result<Exit, Refusal> {
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
    batch.for_the_trainer("contents.md", contents::page(&course));
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
    batch.for_the_trainer(&format!("{of}contents.md"), contents::page(own));
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
