//! Many sheets of one class: who found what, what was missed, what was claimed in vain.
//!
//! Contract: the order of the sheets cannot be seen in the tables. Sensitivity and bias are of all sheets
//! of a trainee together, since one sheet has too few faults.

use super::marked::{Fate, Marked};
use super::skill::{Agreement, Skill, agreement, skill};
use std::collections::BTreeMap;
use wetside_base::problem::Problem;
use wetside_base::source::{Source, Span};

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
    pub missed_hazards: usize,
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
        row.missed_hazards += sheet.targets.iter().filter(|target| target.fatal).count();
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

/// The table of the trainees as comma-separated values (RFC 4180), with a head.
pub fn trainees_csv(class: &Class) -> String {
    let head = "trainee,sheets,passed,score in %,found,to find,false alarms,missed hazards,sensitivity,bias\r\n";
    let row = |row: &Trainee| {
        let (sensitivity, bias) = shown(row.skill);
        let cells = [
            row.name.clone(),
            row.sheets.to_string(),
            row.passed.to_string(),
            row.score.to_string(),
            row.hits.to_string(),
            row.targets.to_string(),
            row.false_alarms.to_string(),
            row.missed_hazards.to_string(),
            sensitivity,
            bias,
        ];
        csv_row(&cells)
    };
    std::iter::once(head.to_string())
        .chain(class.trainees.iter().map(row))
        .collect()
}

/// The table of the faults as comma-separated values.
pub fn faults_csv(class: &Class) -> String {
    let head = "fault,title,asked,found\r\n".to_string();
    let row = |row: &FaultRow| {
        csv_row(&[
            row.fault.clone(),
            row.title.clone(),
            row.asked.to_string(),
            row.found.to_string(),
        ])
    };
    std::iter::once(head)
        .chain(class.faults.iter().map(row))
        .collect()
}

/// What was found, a row for each fault of each sheet: also the form in which another marker answers.
pub fn marks_csv(class: &Class) -> String {
    let head = format!("{MARKS_HEAD}\r\n");
    let row = |row: &MarkRow| {
        let found = if row.found { "yes" } else { "no" };
        csv_row(&[
            row.exercise.clone(),
            row.trainee.clone(),
            row.fault.clone(),
            found.to_string(),
        ])
    };
    std::iter::once(head)
        .chain(class.marks.iter().map(row))
        .collect()
}

const MARKS_HEAD: &str = "exercise,trainee,fault,found";

/// Sensitivity and bias as they are shown: two decimals, or `too few`.
pub fn shown(skill: Option<Skill>) -> (String, String) {
    match skill {
        Some(skill) => (
            format!("{:.2}", skill.sensitivity),
            format!("{:.2}", skill.bias),
        ),
        None => ("too few".to_string(), "too few".to_string()),
    }
}

fn csv_row(cells: &[String]) -> String {
    let cell = |cell: &String| match cell.contains(['"', ',', '\r', '\n']) {
        true => format!("\"{}\"", cell.replace('"', "\"\"")),
        false => cell.clone(),
    };
    let cells: Vec<String> = cells.iter().map(cell).collect();
    format!("{}\r\n", cells.join(","))
}

/// The marks of another marker, in the form of [`marks_csv`].
///
/// # Errors
/// With every row that cannot be understood.
pub fn read_marks(source: &Source) -> Result<Vec<MarkRow>, Vec<Problem>> {
    let mut rows = Vec::new();
    let mut problems = Vec::new();
    for line in 1..=source.line_count() {
        let span = source.line_span(line);
        let text = source.slice(span);
        if text.trim().is_empty()
            || (line == 1 && text.trim_start_matches('\u{feff}') == MARKS_HEAD)
        {
            continue;
        }
        match mark_row(text) {
            Some(row) => rows.push(row),
            None => problems.push(bad_row(span)),
        }
    }
    if problems.is_empty() {
        Ok(rows)
    } else {
        Err(problems)
    }
}

fn bad_row(span: Span) -> Problem {
    let help = "write exercise, trainee, fault, and `yes` or `no`, with commas between them, as in the table of marks that a class gives";
    Problem::new("not-a-mark", span, "this row is no mark", help)
}

fn mark_row(text: &str) -> Option<MarkRow> {
    let cells = csv_cells(text)?;
    let [exercise, trainee, fault, found] = cells.as_slice() else {
        return None;
    };
    Some(MarkRow {
        exercise: exercise.clone(),
        trainee: trainee.clone(),
        fault: fault.clone(),
        found: match found.as_str() {
            "yes" => true,
            "no" => false,
            _ => return None,
        },
    })
}

/// The cells of one row; nothing where a quote is never closed.
fn csv_cells(text: &str) -> Option<Vec<String>> {
    let mut cells = vec![String::new()];
    let mut quoted = false;
    let mut letters = text.chars().peekable();
    while let Some(letter) = letters.next() {
        let cell = cells.last_mut()?;
        match letter {
            '"' if quoted && letters.peek() == Some(&'"') => {
                letters.next();
                cell.push('"');
            }
            '"' => quoted = !quoted,
            ',' if !quoted => cells.push(String::new()),
            other => cell.push(other),
        }
    }
    (!quoted).then(|| cells.iter().map(|cell| cell.trim().to_string()).collect())
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
