//! Pages of a class over time: what one trainee hears of the sheets, and the record of a centre.
//!
//! Contract: whole HTML files, as `pages` makes them. What a person has changed is shown as changed.

use super::marked;
use super::pages::{table, whole};
use crate::Style;
use crate::pen::{Pen, number};
use maud::html;
use std::collections::BTreeMap;
use wetside_base::source::Source;
use wetside_trainer::class::record::{Person, Progress, Sat};
use wetside_trainer::{Difficulty, Marked, PASS_MARK};

/// So many letters fit on a telephone.
const WIDTH: usize = 48;

/// What one trainee hears: each sheet with its marks, and with its survey.
pub fn feedback(sheets: &[(&Marked, &Source, &Source)]) -> String {
    let trainee = sheets.first().map_or("", |(marked, ..)| &marked.trainee);
    let body = html! {
        h1 { (trainee) }
        p { (number(sheets.len(), "sheet", "sheets")) ". A mark can be asked about: name the exercise and the line." }
        div.said {
            @for (marked, sheet, survey) in sheets {
                h2 { (marked.title.as_deref().unwrap_or("Exercise")) " " small { (marked.exercise) } }
                pre { (one(marked, sheet, survey)) }
            }
        }
    };
    whole(trainee, &body)
}

fn one(marked: &Marked, sheet: &Source, survey: &Source) -> String {
    let mut pen = Pen::new(Style::wide(WIDTH));
    marked::page(&mut pen, marked, sheet, survey);
    pen.finish()
}

/// The record of a centre: who sat and passed what, what everybody is to practise next, and what each fault taught.
pub fn page(progress: &Progress) -> String {
    let rows = progress.people.iter().flat_map(|person| {
        person.sittings.iter().map(|sat| {
            vec![
                person.name.clone(),
                sat.sitting.clone(),
                sat.on.clone(),
                sat.exercises.to_string(),
                format!("{} %", sat.score),
                sat.unsafe_exercises.to_string(),
                format!("{} of {}", sat.reasoning.0, sat.reasoning.1),
                result(sat),
                String::new(),
            ]
        })
    });
    let items = progress.items.iter().map(|item| {
        let few = || "too few".to_string();
        vec![
            item.title.clone(),
            item.asked.to_string(),
            format!("{} %", item.found * 100 / item.asked),
            item.meant.word().to_string(),
            item.is
                .map_or_else(few, |points| Difficulty::of(points).word().to_string()),
            item.parts_by.map_or_else(few, |by| format!("{by} %")),
        ]
    });
    let head = [
        "Trainee",
        "Sitting",
        "Day",
        "Exercises",
        "Score",
        "Unsafe",
        "Reasoning",
        "Sitting is",
        "Signed",
    ];
    let item_head = ["Fault", "Asked", "Found", "Meant to be", "Is", "Parts by"];
    let body = html! {
        h1 { "The record" }
        h2 { "Sittings" }
        p { (format!("A sitting is passed when no exercise of it was unsafe and all together reach {PASS_MARK} %. It says that somebody read surveys on paper under supervision. It licenses nobody, and replaces no supervised work on a real system.")) }
        (table(&head, rows))
        @for (of, change) in changes(progress) { p { "Changed, " (of) ": " (change) "." } }
        @for (of, count) in unread(progress) { p { "Not read, " (of) ": " (number(count, "answer", "answers")) " in words of their own, marked by the line alone." } }
        @for (by, sittings) in &judged_by(progress) { p { "Judged by " (by) ": " (sittings.join(", ")) "." } }
        @for person in &progress.people { (of_person(person)) }
        h2 { "Faults, the least found first" }
        p { "Is: easy where four of five or more found it, hard where fewer than half did. Parts by: how much more those who found it reached in the rest of their sitting than those who did not; about nought or below says that the fault tells nothing of who can." }
        (table(&item_head, items))
    };
    whole("The record", &body)
}

/// Whether a sitting is passed, and whether that is so by what a person has changed.
fn result(sat: &Sat) -> String {
    let words = |passed| if passed { "passed" } else { "not passed" };
    match (sat.passed, sat.passed_unchanged) {
        (is, _) if sat.changed.is_empty() => words(is).to_string(),
        (is, was) if is == was => format!("{}, with a changed mark and without", words(is)),
        (is, was) => format!("{} by a changed mark, {} without", words(is), words(was)),
    }
}

/// Every sitting, with whose it is.
fn sat(progress: &Progress) -> impl Iterator<Item = (String, &Sat)> {
    progress.people.iter().flat_map(|person| {
        let of = |sat: &Sat| format!("{}, {}", person.name, sat.sitting);
        person.sittings.iter().map(move |sat| (of(sat), sat))
    })
}

/// What a person has changed.
fn changes(progress: &Progress) -> impl Iterator<Item = (String, &str)> {
    sat(progress).flat_map(|(of, sat)| {
        let changes = sat.changed.iter();
        changes.map(move |change| (of.clone(), change.as_str()))
    })
}

/// How many answers in words of one's own nobody has read.
fn unread(progress: &Progress) -> impl Iterator<Item = (String, usize)> {
    let unread = sat(progress).map(|(of, sat)| (of, sat.unread));
    unread.filter(|(_, count)| *count > 0)
}

/// By which packs and catalogues which sittings were judged.
fn judged_by(progress: &Progress) -> BTreeMap<&str, Vec<&str>> {
    let mut all: BTreeMap<&str, Vec<&str>> = BTreeMap::new();
    for sat in progress.people.iter().flat_map(|person| &person.sittings) {
        let sittings = all.entry(&sat.judged_by).or_default();
        if !sittings.contains(&sat.sitting.as_str()) {
            sittings.push(&sat.sitting);
        }
    }
    all
}

fn of_person(person: &Person) -> maud::Markup {
    let rows = person.parts.iter().map(|part| {
        let found = part
            .found
            .iter()
            .map(|(found, of)| format!("{found} of {of}"));
        vec![
            part.part.clone(),
            found.collect::<Vec<_>>().join(", "),
            part.again.clone(),
        ]
    });
    html! {
        h2 { (person.name) ": what to practise" }
        (table(&["Part", "Found, by sitting", "Again on"], rows))
    }
}
