//! `wetside exercise class`: the sheets of many trainees to tables.

use super::super::exit::Exit;
use super::super::files::{self, Refusal};
use super::super::folder;
use super::super::packs::{Setting, shown};
use super::mark::marked;
use super::record::{self, Sitting};
use super::shared::{Exercises, FOR_THE_TRAINER, FOR_TRAINEES, folder_of, in_row, text, told};
use clap::Args;
use std::collections::{BTreeMap, BTreeSet};
use std::path::{Path, PathBuf};
use wetside_base::problem::Problem;
use wetside_base::source::Source;
use wetside_engine::check::Packs;
use wetside_report::pen::{Pen, number};
use wetside_report::trainer::{marked as screen, pages, record as record_pages, tables};
use wetside_trainer::class::{Class as Summed, Compared, MarkRow, class, compared};
use wetside_trainer::sheet::{self, person};
use wetside_trainer::{Change, Marked, read_key};

/// Mark the sheets of a class and sum them up
///
/// Writes `trainees.csv`, `faults.csv`, `marks.csv` and `class.html`, and a page of feedback for everybody. `marks.csv`
/// is also the form in which another marker answers, for comparison.
#[derive(Args, Debug)]
pub(super) struct Class {
    /// The folder that holds the sheets that were handed in
    sheets: PathBuf,
    /// The folder that the exercises were written to
    #[arg(long, value_name = "FOLDER")]
    exercises: PathBuf,
    /// The folder to write the tables to
    #[arg(long, value_name = "FOLDER")]
    into: PathBuf,
    /// The marks of another marker, to compare with; once for each
    #[arg(long, value_name = "CSV")]
    other_marker: Vec<String>,
    /// Marks that a person has changed: exercise, trainee, asked, answer, by, reason
    #[arg(long, value_name = "CSV")]
    changes: Option<String>,
    #[command(flatten)]
    record: Sitting,
    /// Put the folder in the place of the one that is there, which is kept under another name
    #[arg(long)]
    replace: bool,
    #[command(flatten)]
    setting: Setting,
}

const SHEETS: &str = "name the folder that holds the sheets, each a `.yaml` file";

pub(super) fn run(arguments: &Class) -> Result<Exit, Refusal> {
    let packs = arguments.setting.packs()?;
    let (files, no_text) = folder::texts(&arguments.sheets, SHEETS)?;
    if files.files.is_empty() && no_text.is_empty() {
        let says = format!("there is no sheet in `{}`", arguments.sheets.display());
        return Err(Refusal::new(says, SHEETS));
    }
    let exercises = exercises(&arguments.exercises)?;
    let changes = changes(arguments)?;
    let mut done: Vec<(Marked, Source)> = Vec::new();
    let mut wrong: Vec<(Source, Problem)> = no_text
        .into_iter()
        .map(|wrong| (wrong.source.as_ref().clone(), wrong.problem))
        .collect();
    let mut handed_in = BTreeMap::new();
    for (name, text) in files.files {
        let filled = Source::new(arguments.sheets.join(name).display().to_string(), text);
        match one(&filled, &exercises, &packs, &changes, &mut handed_in) {
            Ok(marked) => done.push((marked, filled)),
            Err(problems) => wrong.extend(problems),
        }
    }
    if wrong.is_empty() && arguments.record.is_asked() {
        wrong = not_handed_in(&exercises, &done);
    }
    if !wrong.is_empty() {
        let pairs: Vec<_> = wrong
            .iter()
            .map(|(source, problem)| (source, problem))
            .collect();
        let called = ["problem in the sheets", "problems in the sheets"];
        told(&pairs, called, &arguments.setting.look)?;
    }
    all_fit(&done, &changes)?;
    put_down(arguments, &done, &exercises, wrong.is_empty())?;
    Ok(if wrong.is_empty() {
        Exit::Clear
    } else {
        Exit::FaultySurvey
    })
}

/// Writes what the sheets come to. What goes on record is a `whole` sitting.
fn put_down(
    arguments: &Class,
    done: &[(Marked, Source)],
    exercises: &Exercises,
    whole: bool,
) -> Result<(), Refusal> {
    let sheets: Vec<Marked> = done.iter().map(|(marked, _)| marked.clone()).collect();
    let changed = arguments.changes.is_some();
    let record = if whole {
        record::with_sitting(&arguments.record, &sheets, changed, exercises)?
    } else {
        None
    };
    let class = class(&sheets);
    let compared = with_others(arguments, &class)?;
    let mut files = tables_of(&sheets, &class, compared.as_ref());
    files.extend(feedback(done, exercises));
    let kept = files::write_folder(&arguments.into, &files, arguments.replace)?;
    let mut pen = Pen::new(arguments.setting.look.on_screen());
    screen::summed_up(&mut pen, &class, compared.as_ref());
    let marked = number(sheets.len(), "sheet", "sheets");
    let into = arguments.into.display();
    let mut says = format!("{marked} marked. The tables are in {into}.");
    if let Some(kept) = kept {
        says += &format!(" What was there before is now {}.", kept.display());
    }
    pen.paragraph(0, &says);
    shown(&pen.finish())?;
    match record {
        Some((path, text)) => files::write(path, &text, true, ""),
        None if arguments.record.is_asked() => shown(
            "The sitting is not on record, since not every sheet is here and could be marked.\n",
        ),
        None => Ok(()),
    }
}

/// The sheets that were handed in, by person and exercise.
type HandedIn = BTreeMap<(String, String), String>;

/// One sheet with its marks, or why it has none.
fn one(
    filled: &Source,
    exercises: &Exercises,
    packs: &Packs,
    changes: &[Change],
    handed_in: &mut HandedIn,
) -> Result<Marked, Vec<(Source, Problem)>> {
    let of_sheet = |problem: Problem| (filled.clone(), problem);
    let of = sheet::exercise_of(filled);
    let (key, survey) = of
        .and_then(|id| exercises.get(&id))
        .ok_or_else(|| vec![of_sheet(stranger(filled))])?;
    let marked = marked(filled, survey, key, packs, changes).map_err(|(source, problems)| {
        let problems = problems.into_iter();
        problems
            .map(|problem| (source.clone(), problem))
            .collect::<Vec<_>>()
    })?;
    let of = (person(&marked.trainee), marked.exercise.clone());
    match handed_in.insert(of, filled.name.clone()) {
        None => Ok(marked),
        Some(first) => Err(vec![of_sheet(twice(filled, &marked, &first))]),
    }
}

fn stranger(filled: &Source) -> Problem {
    Problem::new(
        "other-exercise",
        filled.line_span(1),
        "this sheet belongs to none of the exercises",
        "put only answer sheets of these exercises into the folder",
    )
}

/// Two sheets of one trainee for one exercise: the first in the order of their names counts.
fn twice(filled: &Source, marked: &Marked, first: &str) -> Problem {
    let says = format!(
        "`{}` has handed in this exercise in `{first}` already",
        marked.trainee
    );
    let help = "keep one of the two sheets, or give two people two names";
    Problem::new("second-sheet", filled.line_span(1), says, help)
}

/// The sheets that are not there of those who handed in some: of the exercises that were made for them, and of those
/// that others of the class handed in. Who handed in none was not there.
fn not_handed_in(exercises: &Exercises, done: &[(Marked, Source)]) -> Vec<(Source, Problem)> {
    let sheets = done.iter().map(|(marked, _)| marked);
    let handed_in = sheets
        .clone()
        .map(|sheet| (person(&sheet.trainee), sheet.exercise.as_str()));
    let handed_in: BTreeSet<(String, &str)> = handed_in.collect();
    let people: BTreeMap<String, &str> = sheets
        .map(|sheet| (person(&sheet.trainee), sheet.trainee.as_str()))
        .collect();
    let mut missing = Vec::new();
    for (name, written) in &people {
        for (id, (key, survey)) in exercises {
            let asked = match &key.trainee {
                Some(of) => person(of) == *name,
                None => handed_in.iter().filter(|(_, other)| other == id).count() > 1,
            };
            if asked && !handed_in.contains(&(name.clone(), id.as_str())) {
                let says =
                    format!("`{written}` has handed in other sheets, and none for this exercise");
                let help = "put the sheet beside the others; of a paper that came back empty, one with `verdict: no answer`";
                let first = survey.line_span(1);
                missing.push((
                    survey.clone(),
                    Problem::new("not-handed-in", first, says, help),
                ));
            }
        }
    }
    missing
}

/// The keys of a folder of exercises with their surveys, by the exercise.
fn exercises(folder: &Path) -> Result<Exercises, Refusal> {
    let trainer = folder.join(FOR_THE_TRAINER);
    let help = format!(
        "name the folder that the exercises were written to, with `{FOR_TRAINEES}` and `{FOR_THE_TRAINER}` in it"
    );
    let (files, _) = folder::texts(&trainer, &help)?;
    let mut exercises = BTreeMap::new();
    for (name, content) in files.files {
        let Some(stem) = name.strip_suffix("-key.yaml") else {
            continue;
        };
        let key = read_key(&Source::new(name.clone(), content)).map_err(|problems| {
            let says = problems
                .first()
                .map_or(String::new(), |problem| problem.says.clone());
            Refusal::new(
                format!("the key `{name}` cannot be used: {says}"),
                "take the key as it was made",
            )
        })?;
        let survey = folder.join(FOR_TRAINEES).join(format!("{stem}.yaml"));
        exercises.insert(
            key.exercise.clone(),
            (key, text(&survey.display().to_string())?),
        );
    }
    if exercises.is_empty() {
        let says = format!("there is no key in `{}`", trainer.display());
        return Err(Refusal::new(says, help));
    }
    Ok(exercises)
}

/// Marks that a person has changed.
fn changes(arguments: &Class) -> Result<Vec<Change>, Refusal> {
    let Some(path) = &arguments.changes else {
        return Ok(Vec::new());
    };
    let source = text(path)?;
    tables::read_changes(&source).map_err(|problem| in_row(path, &source, problem))
}

/// Each change is of something that a sheet has.
fn all_fit(done: &[(Marked, Source)], changes: &[Change]) -> Result<(), Refusal> {
    let fits = |change: &Change| {
        done.iter()
            .any(|(marked, _)| marked.changes.contains(change))
    };
    let Some(change) = changes.iter().find(|change| !fits(change)) else {
        return Ok(());
    };
    let (exercise, trainee) = (&change.exercise, &change.trainee);
    let asked = change.asked.words();
    let says = format!("no sheet of {trainee} for `{exercise}` has `{asked}` to be changed so");
    let help = "take exercise, trainee and what is asked as `marks.csv` has them; that a verdict is wrong nobody needs to say";
    Err(Refusal::new(says, help))
}

/// A page for everybody.
fn feedback(done: &[(Marked, Source)], exercises: &Exercises) -> Vec<(String, String)> {
    let mut people: BTreeMap<String, Vec<(&Marked, &Source, &Source)>> = BTreeMap::new();
    for (marked, filled) in done {
        let (_, survey) = &exercises[&marked.exercise];
        let sheets = people.entry(folder_of(&marked.trainee)).or_default();
        sheets.push((marked, filled, survey));
    }
    let page = |(name, sheets): (String, Vec<_>)| {
        let page = record_pages::feedback(&sheets);
        (format!("feedback/{name}.html"), page)
    };
    people.into_iter().map(page).collect()
}

fn tables_of(
    done: &[Marked],
    class: &Summed,
    compared: Option<&Compared>,
) -> Vec<(String, String)> {
    let words = tables::own_words(done).map(|words| ("own-words.csv", words));
    let files = [
        ("trainees.csv", tables::trainees(class)),
        ("faults.csv", tables::faults(class)),
        ("marks.csv", tables::marks(class)),
        ("class.html", pages::of_class(class, compared)),
    ];
    let files = files.into_iter().chain(words);
    files.map(|(name, text)| (name.to_string(), text)).collect()
}

/// How far other markers agree, if there are any.
fn with_others(arguments: &Class, class: &Summed) -> Result<Option<Compared>, Refusal> {
    let others = arguments.other_marker.iter().map(|path| of_another(path));
    let others: Vec<Vec<MarkRow>> = others.collect::<Result<_, _>>()?;
    let markers = std::iter::once(&class.marks).chain(&others);
    let markers: Vec<&[MarkRow]> = markers.map(Vec::as_slice).collect();
    Ok((!others.is_empty()).then(|| compared(&markers)))
}

/// The marks that another marker wrote.
fn of_another(path: &str) -> Result<Vec<MarkRow>, Refusal> {
    tables::read_marks(&text(path)?).map_err(|problems| {
        let problem = &problems[0];
        Refusal::new(
            format!("in `{path}`: {}", problem.says),
            problem.help.clone(),
        )
    })
}
