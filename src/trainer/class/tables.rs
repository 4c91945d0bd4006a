//! Many sheets of one class: who found what, what was missed, what was claimed in vain.
//!
//! Contract: the order of the sheets cannot be seen in the tables. Sensitivity and bias are of all sheets
//! of a trainee together, since one sheet has too few faults. Names that differ in capitals and spaces alone
//! are one person.

use super::skill::{Agreement, Skill, agreement, reliability, skill};
use crate::mark::{Asked, Fate, Marked, Offered, Reasoning};
use crate::sheet::person;
use std::collections::{BTreeMap, BTreeSet};

/// The tables of a class.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Class {
    /// By name.
    pub trainees: Vec<Trainee>,
    /// The most missed first.
    pub faults: Vec<FaultRow>,
    /// The most common first: the reason, and how often it was claimed in vain.
    pub alarms: Vec<(String, usize)>,
    /// What each trainee found of each thing, for comparison with another marker.
    pub marks: Vec<MarkRow>,
    /// Of the scores of those who did all exercises of the class; nothing where they are too few.
    pub reliability: Option<f64>,
}

#[derive(Clone, Debug, Default, PartialEq)]
pub struct Trainee {
    pub name: String,
    pub sheets: usize,
    pub passed: usize,
    /// Hazards missed, left open, or called less than they are.
    pub hazards_let_pass: usize,
    /// Hundredths, of all sheets together.
    pub score: i64,
    pub hits: usize,
    pub targets: usize,
    pub false_alarms: usize,
    /// What the sheets said to the reasons that they offered.
    pub offered: Offered,
    pub reasoning: Reasoning,
    /// Nothing where there are too few.
    pub skill: Option<Skill>,
}

/// One fault of the catalogue.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct FaultRow {
    pub fault: String,
    pub title: String,
    /// How often it stood in a survey that somebody marked.
    pub asked: usize,
    pub found: usize,
}

/// One question that every marker of one sheet answers.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct MarkRow {
    pub exercise: String,
    pub trainee: String,
    pub asked: Asked,
    pub yes: bool,
}

/// The tables of all sheets of a class.
pub fn class(sheets: &[Marked]) -> Class {
    let mut trainees: BTreeMap<String, (Trainee, (i64, i64))> = BTreeMap::new();
    // Changes by hand are named by their lines, which may be the same in two surveys.
    let mut faults: BTreeMap<(&str, &str), FaultRow> = BTreeMap::new();
    let mut alarms: BTreeMap<&str, usize> = BTreeMap::new();
    for sheet in sheets {
        let (row, score) = trainees.entry(person(&sheet.trainee)).or_default();
        // Of one person's spellings the first in the alphabet is shown, whatever the order of the sheets.
        if row.sheets == 0 || sheet.trainee < row.name {
            row.name.clone_from(&sheet.trainee);
        }
        row.sheets += 1;
        row.passed += usize::from(sheet.passed());
        row.hazards_let_pass += sheet
            .targets
            .iter()
            .filter(|target| target.harm.is_some())
            .count();
        row.hits += sheet.hits();
        row.targets += sheet.targets.len();
        row.false_alarms += sheet.false_alarms();
        row.offered = row.offered.with(sheet.offered);
        row.reasoning = row.reasoning.with(sheet.reasoning);
        *score = (score.0 + sheet.score.0, score.1 + sheet.score.1);
        for target in &sheet.targets {
            let named = (target.fault.as_str(), target.title.as_str());
            let row = faults.entry(named).or_insert_with(|| FaultRow {
                fault: target.fault.clone(),
                title: target.title.clone(),
                asked: 0,
                found: 0,
            });
            row.asked += 1;
            row.found += usize::from(target.eighths > 0);
        }
        let vain = sheet
            .claims
            .iter()
            .filter(|claim| claim.fate == Fate::FalseAlarm);
        vain.for_each(|claim| *alarms.entry(&claim.reason).or_default() += 1);
    }
    let trainees = trainees.into_values().map(|(row, score)| Trainee {
        score: score.0 * 100 / score.1.max(1),
        skill: skill(row.offered),
        ..row
    });
    let mut faults: Vec<FaultRow> = faults.into_values().collect();
    faults.sort_by_key(|row| std::cmp::Reverse(row.asked - row.found));
    let mut alarms: Vec<(String, usize)> = alarms
        .into_iter()
        .map(|(reason, count)| (reason.to_string(), count))
        .collect();
    alarms.sort_by_key(|(_, count)| std::cmp::Reverse(*count));
    Class {
        trainees: trainees.collect(),
        faults,
        alarms,
        marks: marks(sheets),
        reliability: reliability(&complete(sheets)),
    }
}

/// The scores of everybody who did all the exercises, in the order of the exercises. In a class where everybody has
/// exercises of their own, those of one title are taken for one: they are as hard as each other.
fn complete(sheets: &[Marked]) -> Vec<Vec<f64>> {
    let of = |sheet: &Marked| sheet.title.as_ref().unwrap_or(&sheet.exercise).clone();
    let exercises: BTreeSet<String> = sheets.iter().map(of).collect();
    let mut people: BTreeMap<String, BTreeMap<String, f64>> = BTreeMap::new();
    for sheet in sheets {
        let scores = people.entry(person(&sheet.trainee)).or_default();
        let score = sheet.score.0 as f64 / sheet.score.1.max(1) as f64;
        scores.insert(of(sheet), score);
    }
    let all = people
        .into_values()
        .filter(|scores| scores.len() == exercises.len());
    all.map(|scores| scores.into_values().collect()).collect()
}

fn marks(sheets: &[Marked]) -> Vec<MarkRow> {
    let mut marks: BTreeMap<(String, String, Asked), bool> = BTreeMap::new();
    for sheet in sheets {
        let mut put = |asked: Asked, yes: bool| {
            let of = (sheet.exercise.clone(), sheet.trainee.clone(), asked);
            // A fault is found when all that it raises is.
            *marks.entry(of).or_insert(true) &= yes;
        };
        for target in &sheet.targets {
            put(Asked::Fault(target.fault.clone()), target.eighths > 0);
            if let Some(right) = target.class_right() {
                put(Asked::Class(target.fault.clone()), right);
            }
        }
        for one in sheet.claims.iter().flat_map(|claim| &claim.questions) {
            put(one.asked.clone(), one.is);
        }
        put(Asked::Verdict, sheet.verdict.0 == sheet.verdict.1);
    }
    let row = |((exercise, trainee, asked), yes)| MarkRow {
        exercise,
        trainee,
        asked,
        yes,
    };
    marks.into_iter().map(row).collect()
}

/// How far markers agree, by what was asked.
#[derive(Clone, Debug, PartialEq)]
pub struct Compared {
    /// What was asked in a few words, with the agreement; only what two or more have answered.
    pub by_question: Vec<(&'static str, Agreement)>,
    /// Rows that only one marker has, so that nothing compares with them.
    pub alone: Vec<MarkRow>,
    /// How many rows there are in all, each counted once.
    pub rows: usize,
}

/// How far these markers agree with each other.
pub fn compared(markers: &[&[MarkRow]]) -> Compared {
    let mut questions: BTreeMap<(&str, String, &Asked), Vec<&MarkRow>> = BTreeMap::new();
    for row in markers.iter().copied().flatten() {
        let of = (row.exercise.as_str(), person(&row.trainee), &row.asked);
        questions.entry(of).or_default().push(row);
    }
    let kind = |asked: &Asked| match asked {
        Asked::Fault(_) => 0,
        Asked::Class(_) => 1,
        Asked::Verdict => 2,
        Asked::Claim(_) | Asked::Step(_) => 3,
    };
    let words = [
        "what was found",
        "its class",
        "the verdict",
        "what is in own words or in vain",
    ];
    let by_question = words.into_iter().enumerate().filter_map(|(at, words)| {
        let of_kind = questions
            .iter()
            .filter(|((_, _, asked), _)| kind(asked) == at);
        let counts = of_kind.map(|(_, rows)| {
            let yes = rows.iter().filter(|row| row.yes).count();
            (yes, rows.len() - yes)
        });
        Some((words, agreement(&counts.collect::<Vec<_>>())?))
    });
    let by_question = by_question.collect();
    let alone = questions.values().filter(|rows| rows.len() == 1);
    Compared {
        by_question,
        alone: alone.map(|rows| rows[0].clone()).collect(),
        rows: questions.len(),
    }
}
