//! Many sheets of one class: who found what, what was missed, what was claimed in vain.
//!
//! Contract: the order of the sheets cannot be seen in the tables. Sensitivity and bias are of all sheets
//! of a trainee together, since one sheet has too few faults.

use super::skill::{Agreement, Skill, agreement, skill};
use crate::mark::{Fate, Marked};
use std::collections::BTreeMap;

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
    pub opportunities: usize,
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

/// Whether one trainee found one fault in one exercise.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct MarkRow {
    pub exercise: String,
    pub trainee: String,
    pub fault: String,
    pub found: bool,
}

/// The tables of all sheets of a class.
pub fn class(sheets: &[Marked]) -> Class {
    let mut trainees: BTreeMap<&str, (Trainee, (i64, i64))> = BTreeMap::new();
    // Changes by hand are named by their lines, which may be the same in two surveys.
    let mut faults: BTreeMap<(&str, &str), FaultRow> = BTreeMap::new();
    let mut alarms: BTreeMap<&str, usize> = BTreeMap::new();
    for sheet in sheets {
        let (row, score) = trainees.entry(&sheet.trainee).or_default();
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
        row.opportunities += sheet.opportunities;
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
    let trainees = trainees.into_iter().map(|(name, (row, score))| Trainee {
        name: name.to_string(),
        score: score.0 * 100 / score.1.max(1),
        skill: skill(row.hits, row.targets, row.false_alarms, row.opportunities),
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
    }
}

fn marks(sheets: &[Marked]) -> Vec<MarkRow> {
    let mut found: BTreeMap<(String, String, String), bool> = BTreeMap::new();
    for sheet in sheets {
        for target in &sheet.targets {
            let of = (
                sheet.exercise.clone(),
                sheet.trainee.clone(),
                target.fault.clone(),
            );
            // A fault is found when all that it raises is.
            let all = found.entry(of).or_insert(true);
            *all &= target.eighths > 0;
        }
    }
    let row = |((exercise, trainee, fault), found)| MarkRow {
        exercise,
        trainee,
        fault,
        found,
    };
    found.into_iter().map(row).collect()
}

/// How far another marker agrees with these marks, over what both marked.
pub fn compared(marks: &[MarkRow], others: &[MarkRow]) -> Option<Agreement> {
    let same = |row: &MarkRow| {
        let other = others.iter().find(|other| {
            (&other.exercise, &other.trainee, &other.fault)
                == (&row.exercise, &row.trainee, &row.fault)
        })?;
        Some((row.found, other.found))
    };
    agreement(marks.iter().filter_map(same))
}
