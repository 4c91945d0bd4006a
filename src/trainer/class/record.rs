//! The record of a centre: what everybody was asked in every sitting, and what that says over time.
//!
//! Contract: rows in, data out; what is said depends on no order of the rows. Nothing here reads the clock: a
//! sitting has the day that it was given. Intervals, levels and the rule of passing a sitting are *our own choice,
//! no source*.

use crate::fault::{Answer, Difficulty};
use crate::key::Key;
use crate::mark::{Asked, Change, Marked, PASS_MARK};
use crate::sheet::person;
use crate::survey::number::days_later;
use serde::{Deserialize, Serialize};
use std::collections::{BTreeMap, BTreeSet};

/// One thing that one sheet was asked for; of a sheet without a fault, that there is none.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Attempt {
    pub sitting: String,
    /// The day, as `2026-10-13`.
    pub on: String,
    pub trainee: String,
    pub exercise: String,
    /// The survey that its house was varied from.
    pub made_from: String,
    pub packs: String,
    pub catalogue: String,
    /// Eighths of a point that the whole sheet reached, and that were to be had.
    pub reached: i64,
    pub possible: i64,
    /// Whether nothing in the whole sheet is unsafe.
    pub safe: Answer,
    /// What a person has changed in the whole sheet, with who and why; and what it came to without that.
    #[serde(default)]
    pub changed: String,
    #[serde(default)]
    pub reached_unchanged: Option<i64>,
    #[serde(default)]
    pub safe_unchanged: Option<Answer>,
    /// Claims in words of one's own that nobody has read, so that their lines alone count.
    #[serde(default)]
    pub unread: usize,
    /// Of the reasoning of the whole sheet, reached and to be had.
    #[serde(default)]
    pub reasoned: usize,
    #[serde(default)]
    pub to_reason: usize,
    /// Empty where there was no fault.
    pub fault: String,
    pub title: String,
    pub part: String,
    pub difficulty: u32,
    pub found: Answer,
}

impl Attempt {
    /// Whether both are of one exercise and one person.
    pub fn is_of_sheet(&self, other: &Attempt) -> bool {
        self.exercise == other.exercise && person(&self.trainee) == person(&other.trainee)
    }
}

/// The rows of one sheet.
pub fn attempts(sheet: &Marked, key: &Key, sitting: &str, on: &str) -> Vec<Attempt> {
    let unchanged = sheet.unchanged.as_deref();
    let safe = |sheet: &Marked| Answer::from(sheet.unsafe_because().is_empty());
    let changes = sheet.changes.iter();
    let changes: Vec<String> = changes.map(Change::says).collect();
    let (reasoned, to_reason) = sheet.reasoning.all();
    let questions = sheet.claims.iter().flat_map(|claim| &claim.questions);
    let ruled = |asked: &Asked| sheet.changes.iter().any(|change| change.asked == *asked);
    let unread = questions.filter(|one| one.words.is_some() && !ruled(&one.asked));
    let whole = Attempt {
        sitting: sitting.to_string(),
        on: on.to_string(),
        trainee: sheet.trainee.clone(),
        exercise: sheet.exercise.clone(),
        made_from: key.made_from.clone(),
        packs: key.packs.join(" and "),
        catalogue: key.catalogue.clone(),
        reached: sheet.score.0,
        possible: sheet.score.1,
        safe: safe(sheet),
        changed: changes.join("; "),
        reached_unchanged: unchanged.map(|sheet| sheet.score.0),
        safe_unchanged: unchanged.map(safe),
        unread: unread.count(),
        reasoned,
        to_reason,
        fault: String::new(),
        title: String::new(),
        part: String::new(),
        difficulty: 0,
        found: Answer::from(sheet.claims.is_empty()),
    };
    if sheet.targets.is_empty() {
        return vec![whole];
    }
    let of = |target: &crate::mark::TargetMark| Attempt {
        fault: target.fault.clone(),
        title: target.title.clone(),
        part: target.part.clone(),
        difficulty: target.difficulty,
        found: Answer::from(target.eighths > 0),
        ..whole.clone()
    };
    sheet.targets.iter().map(of).collect()
}

/// Whether a sitting is on record as it is now, but for what was changed since: the same sheets of the same day, and
/// nothing that was changed before is lost.
pub fn same_sitting(before: &[Attempt], now: &[Attempt]) -> bool {
    let sheets = |rows: &[Attempt]| -> BTreeSet<(String, String, String)> {
        let sheet = |row: &Attempt| (row.on.clone(), person(&row.trainee), row.exercise.clone());
        rows.iter().map(sheet).collect()
    };
    let kept = |old: &Attempt| {
        let mut same = now.iter().filter(|row| row.is_of_sheet(old));
        same.all(|row| row.changed.contains(&old.changed))
    };
    sheets(before) == sheets(now) && before.iter().all(kept)
}

/// What the record says.
#[derive(Clone, Debug, PartialEq)]
pub struct Progress {
    pub people: Vec<Person>,
    /// The least found first.
    pub items: Vec<Item>,
}

#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Person {
    pub name: String,
    /// By day.
    pub sittings: Vec<Sat>,
    /// What is to be practised first stands first.
    pub parts: Vec<Part>,
}

/// One sitting of one person.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Sat {
    pub sitting: String,
    pub on: String,
    pub exercises: usize,
    /// Exercises with something unsafe in them.
    pub unsafe_exercises: usize,
    /// Hundredths, of all exercises together.
    pub score: i64,
    pub judged_by: String,
    pub passed: bool,
    /// What a person has changed, each with who and why; and whether it would be passed without that.
    pub changed: Vec<String>,
    pub passed_unchanged: bool,
    /// Claims in words of one's own that nobody has read.
    pub unread: usize,
    /// Of the reasoning, reached and to be had.
    pub reasoning: (usize, usize),
}

/// One part of the pack, of one person.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Part {
    pub part: String,
    /// By day: what was found of what was asked.
    pub found: Vec<(usize, usize)>,
    /// The day on which it is to be practised again.
    pub again: String,
}

/// One fault, over all sittings.
#[derive(Clone, Debug, PartialEq)]
pub struct Item {
    pub fault: String,
    pub title: String,
    pub asked: usize,
    pub found: usize,
    /// By the points of the catalogue.
    pub meant: Difficulty,
    /// The points by what was found of it; nothing where few were asked.
    pub is: Option<u32>,
    /// How many hundredths those who found it reached on the rest of their sitting beyond those who did not;
    /// nothing where few were asked, or all or none found it.
    pub parts_by: Option<i64>,
}

/// Fewer times asked than this say nothing of a fault.
const FEWEST: usize = 10;
/// The days until a part is practised again, after so many sittings in a row in which all of it was found; the last
/// for all further ones.
const AGAIN: [i64; 6] = [2, 7, 21, 60, 120, 240];

/// What the record says of everybody and of every fault.
pub fn progress(record: &[Attempt]) -> Progress {
    let mut of_people: BTreeMap<String, Vec<&Attempt>> = BTreeMap::new();
    let mut of_faults: BTreeMap<(&str, &str), Vec<&Attempt>> = BTreeMap::new();
    for row in record {
        of_people.entry(person(&row.trainee)).or_default().push(row);
        if !row.fault.is_empty() {
            let fault = (row.fault.as_str(), row.title.as_str());
            of_faults.entry(fault).or_default().push(row);
        }
    }
    let people: Vec<Person> = of_people.values().map(|rows| of_person(rows)).collect();
    let mut items: Vec<Item> = of_faults
        .into_iter()
        .map(|((fault, title), rows)| of_fault(fault, title, &rows, &of_people))
        .collect();
    items.sort_by_key(|item| (item.found * 1000 / item.asked, item.fault.clone()));
    Progress { people, items }
}

fn found(rows: &[&Attempt]) -> usize {
    rows.iter().filter(|row| row.found == Answer::Yes).count()
}

/// One row of each sheet among these.
fn sheets<'r>(rows: &[&'r Attempt]) -> Vec<&'r Attempt> {
    let by_exercise: BTreeMap<&str, &Attempt> = rows
        .iter()
        .map(|row| (row.exercise.as_str(), *row))
        .collect();
    by_exercise.into_values().collect()
}

/// The hundredths that sheets reached together.
fn score(sheets: &[&Attempt], reached: fn(&Attempt) -> i64) -> i64 {
    let all: i64 = sheets.iter().map(|row| reached(row)).sum();
    let possible: i64 = sheets.iter().map(|row| row.possible).sum();
    all * 100 / possible.max(1)
}

/// A sitting is passed where nothing was unsafe and all exercises together reach the pass mark.
fn sat(on: &str, sitting: &str, rows: &[&Attempt]) -> Sat {
    let sheets = sheets(rows);
    let by = rows
        .iter()
        .map(|row| format!("{}, catalogue {}", row.packs, row.catalogue));
    let by: BTreeSet<String> = by.collect();
    let unsafe_exercises = sheets.iter().filter(|row| row.safe == Answer::No).count();
    let reached = score(&sheets, |row| row.reached);
    let unchanged = score(&sheets, |row| row.reached_unchanged.unwrap_or(row.reached));
    let safe = |row: &&Attempt| row.safe_unchanged.unwrap_or(row.safe) == Answer::Yes;
    let changed = sheets.iter().filter(|row| !row.changed.is_empty());
    let sum = |of: fn(&Attempt) -> usize| sheets.iter().map(|row| of(row)).sum();
    Sat {
        sitting: sitting.to_string(),
        on: on.to_string(),
        exercises: sheets.len(),
        unsafe_exercises,
        score: reached,
        judged_by: by.into_iter().collect::<Vec<_>>().join("; "),
        passed: unsafe_exercises == 0 && reached >= PASS_MARK,
        changed: changed
            .map(|row| format!("exercise {}, {}", row.exercise, row.changed))
            .collect(),
        passed_unchanged: sheets.iter().all(safe) && unchanged >= PASS_MARK,
        unread: sum(|row| row.unread),
        reasoning: (sum(|row| row.reasoned), sum(|row| row.to_reason)),
    }
}

fn of_person(rows: &[&Attempt]) -> Person {
    let mut by_sitting: BTreeMap<(&str, &str), Vec<&Attempt>> = BTreeMap::new();
    for row in rows {
        let sitting = (row.on.as_str(), row.sitting.as_str());
        by_sitting.entry(sitting).or_default().push(row);
    }
    let parts: BTreeSet<&str> = rows.iter().map(|row| row.part.as_str()).collect();
    let part = |part: &str| {
        let asked = by_sitting.iter().filter_map(|((on, _), rows)| {
            let of: Vec<&Attempt> = rows
                .iter()
                .copied()
                .filter(|row| row.part == part)
                .collect();
            (!of.is_empty()).then(|| (*on, (found(&of), of.len())))
        });
        let asked: Vec<(&str, (usize, usize))> = asked.collect();
        let whole = asked
            .iter()
            .rev()
            .take_while(|(_, (found, of))| found == of);
        let days = AGAIN[whole.count().min(AGAIN.len() - 1)];
        let last = asked.last().map_or("", |(on, _)| on);
        Part {
            part: part.to_string(),
            found: asked.iter().map(|(_, counts)| *counts).collect(),
            again: days_later(last, days).unwrap_or_else(|| last.to_string()),
        }
    };
    let mut parts: Vec<Part> = parts
        .into_iter()
        .filter(|part| !part.is_empty())
        .map(part)
        .collect();
    parts.sort_by(|a, b| (&a.again, &a.part).cmp(&(&b.again, &b.part)));
    Person {
        // Of one person's spellings the first in the alphabet.
        name: rows
            .iter()
            .map(|row| row.trainee.clone())
            .min()
            .unwrap_or_default(),
        sittings: by_sitting
            .iter()
            .map(|((on, sitting), rows)| sat(on, sitting, rows))
            .collect(),
        parts,
    }
}

fn of_fault(
    fault: &str,
    title: &str,
    rows: &[&Attempt],
    of_people: &BTreeMap<String, Vec<&Attempt>>,
) -> Item {
    let (asked, found) = (rows.len(), found(rows));
    let enough = asked >= FEWEST;
    let rest = |row: &Attempt| {
        let own = of_people.get(&person(&row.trainee)).into_iter().flatten();
        let others = own.filter(|other| {
            let same = other.on == row.on && other.sitting == row.sitting;
            same && other.exercise != row.exercise
        });
        let others: Vec<&Attempt> = others.copied().collect();
        (!others.is_empty()).then(|| score(&sheets(&others), |row| row.reached))
    };
    let mean = |answer: Answer| {
        let scores = rows
            .iter()
            .filter(|row| row.found == answer)
            .filter_map(|row| rest(row));
        let scores: Vec<i64> = scores.collect();
        let count = i64::try_from(scores.len())
            .ok()
            .filter(|count| *count > 0)?;
        Some(scores.iter().sum::<i64>() / count)
    };
    let parted = mean(Answer::Yes).zip(mean(Answer::No));
    // As points of the catalogue: easy up to 1, medium up to 3, hard above.
    let points = match found * 100 / asked {
        90.. => 0,
        80.. => 1,
        65.. => 2,
        50.. => 3,
        35.. => 4,
        20.. => 5,
        _ => 6,
    };
    Item {
        fault: fault.to_string(),
        title: title.to_string(),
        asked,
        found,
        meant: Difficulty::of(rows[0].difficulty),
        is: enough.then_some(points),
        parts_by: parted.filter(|_| enough).map(|(yes, no)| yes - no),
    }
}
