//! `wetside exercise class`: the sheets of many trainees to tables.

use super::super::exit::Exit;
use super::super::files::{self, Refusal};
use super::super::folder;
use super::super::packs::{self, Choice, refuse, shown};
use super::super::terminal::Look;
use super::mark::{Unmarked, marked};
use super::record::{self, Sitting, in_row};
use super::shared::{Exercises, FOR_THE_TRAINER, FOR_TRAINEES, folder_of, text, told, write};
use clap::Args;
use std::collections::BTreeMap;
use std::path::{Path, PathBuf};
use wetside_base::problem::Problem;
use wetside_base::source::Source;
use wetside_engine::check::Packs;
use wetside_report::pen::{Ink, Pen, number};
use wetside_report::trainer::{pages, record as record_pages, tables};
use wetside_trainer::class::{Class as Summed, Compared, MarkRow, class, compared, person};
use wetside_trainer::{Change, Marked, read_key, sheet};

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
    /// Write over files of the same name
    #[arg(long)]
    replace: bool,
    #[command(flatten)]
    choice: Choice,
    #[command(flatten)]
    look: Look,
}

const SHEETS: &str = "name the folder that holds the sheets, each a `.yaml` file";

pub(super) fn run(arguments: &Class) -> Result<Exit, Refusal> {
    let (packs, wrong) = packs::load(&arguments.choice)?;
    if !wrong.is_empty() {
        return refuse(&wrong, &arguments.look);
    }
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
    if !wrong.is_empty() {
        let pairs: Vec<_> = wrong
            .iter()
            .map(|(source, problem)| (source, problem))
            .collect();
        told(
            &pairs,
            "problem in the sheets",
            "problems in the sheets",
            &arguments.look,
        )?;
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
    let record = if whole {
        record::with_sitting(&arguments.record, &sheets, exercises)?
    } else {
        None
    };
    write_tables(arguments, &sheets)?;
    write_feedback(arguments, done, exercises)?;
    match record {
        Some((path, text)) => files::write(path, &text, true, ""),
        None if arguments.record.is_asked() => {
            shown("The sitting is not on record, since not every sheet could be marked.\n")
        }
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
    let marked = marked(filled, survey, key, packs, changes).map_err(|why| match why {
        Unmarked::Survey(problem) => vec![(survey.clone(), problem)],
        Unmarked::Sheet(problems) => problems.into_iter().map(of_sheet).collect(),
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
    let asked = tables::asked(&change.asked);
    let says = format!("no sheet of {trainee} for `{exercise}` has `{asked}` to be changed so");
    let help = "take exercise, trainee and what is asked as `marks.csv` has them; that a verdict is wrong nobody needs to say";
    Err(Refusal::new(says, help))
}

/// A page for everybody.
fn write_feedback(
    arguments: &Class,
    done: &[(Marked, Source)],
    exercises: &Exercises,
) -> Result<(), Refusal> {
    let mut people: BTreeMap<String, Vec<(&Marked, &Source, &Source)>> = BTreeMap::new();
    for (marked, filled) in done {
        let (_, survey) = &exercises[&marked.exercise];
        let sheets = people.entry(folder_of(&marked.trainee)).or_default();
        sheets.push((marked, filled, survey));
    }
    let folder = arguments.into.join("feedback");
    for (name, sheets) in &people {
        let page = record_pages::feedback(&sheets[0].0.trainee, sheets);
        write(&folder, &format!("{name}.html"), &page, arguments.replace)?;
    }
    Ok(())
}

fn write_tables(arguments: &Class, done: &[Marked]) -> Result<(), Refusal> {
    let class = class(done);
    let others: Vec<Vec<MarkRow>> = arguments
        .other_marker
        .iter()
        .map(|path| of_another(path))
        .collect::<Result<_, _>>()?;
    let markers: Vec<&[MarkRow]> = std::iter::once(&class.marks)
        .chain(&others)
        .map(Vec::as_slice)
        .collect();
    let compared = (!others.is_empty()).then(|| compared(&markers));
    let put = |name: &str, text: &str| write(&arguments.into, name, text, arguments.replace);
    put("trainees.csv", &tables::trainees(&class))?;
    put("faults.csv", &tables::faults(&class))?;
    put("marks.csv", &tables::marks(&class))?;
    if let Some(words) = tables::own_words(done) {
        put("own-words.csv", &words)?;
    }
    put("class.html", &pages::of_class(&class, compared.as_ref()))?;
    summed_up(arguments, done.len(), &class, compared.as_ref())
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

/// The tables in a few sentences.
fn summed_up(
    arguments: &Class,
    sheets: usize,
    class: &Summed,
    compared: Option<&Compared>,
) -> Result<(), Refusal> {
    let mut pen = Pen::new(arguments.look.on_screen());
    for row in &class.trainees {
        let (sensitivity, bias) = tables::shown(row.skill);
        let skill = match row.skill {
            Some(_) => format!("sensitivity {sensitivity}, bias {bias}"),
            None => "too few for sensitivity and bias".to_string(),
        };
        let says = format!(
            "{} % in {}, {} passed; {} of {} found, {}, {}; {skill}",
            row.score,
            number(row.sheets, "sheet", "sheets"),
            row.passed,
            row.hits,
            row.targets,
            number(row.false_alarms, "false alarm", "false alarms"),
            number(row.hazards_let_pass, "hazard let pass", "hazards let pass"),
        );
        pen.hanging(0, &format!("{}  ", row.name), &says, Ink::Usual);
    }
    pen.gap();
    if let Some(worst) = class.faults.first().filter(|row| row.found < row.asked) {
        pen.paragraph(
            0,
            &format!(
                "Most missed: {} ({} of {}).",
                worst.title,
                worst.asked - worst.found,
                worst.asked
            ),
        );
    }
    if let Some((reason, count)) = class.alarms.first() {
        pen.paragraph(0, &format!("Most claimed in vain: {reason} ({count})."));
    }
    pen.paragraph(0, &pages::reliability(class));
    if let Some(compared) = compared {
        between_markers(&mut pen, compared);
    }
    pen.paragraph(
        0,
        &format!(
            "{} marked. The tables are in {}.",
            number(sheets, "sheet", "sheets"),
            arguments.into.display()
        ),
    );
    shown(&pen.finish())
}

/// How far markers agree, and what was left out of it.
fn between_markers(pen: &mut Pen, compared: &Compared) {
    for (question, agreement) in &compared.by_question {
        let says = format!(
            "Between markers, of {question}: {}.",
            tables::agreed(agreement)
        );
        pen.paragraph(0, &says);
    }
    if let Some(first) = compared.alone.first() {
        let says = format!(
            "{} of {} have one marker alone and were left out, the first {}, {}, {}; `class.html` lists them.",
            compared.alone.len(),
            number(compared.rows, "row", "rows"),
            first.exercise,
            first.trainee,
            tables::asked(&first.asked),
        );
        pen.paragraph(0, &says);
    }
}
