//! The tables of a class as comma-separated values, for a spreadsheet; and the marks of another marker.
//!
//! Contract: a head, rows that end as RFC 4180 has it, and no cell that a spreadsheet would take for a
//! formula: such a word gets an apostrophe, which is taken off again where the table is read.

use csv::{ReaderBuilder, StringRecord, Terminator, WriterBuilder};
use wetside_base::problem::Problem;
use wetside_base::source::{Source, Span};
use wetside_trainer::class::skill::Skill;
use wetside_trainer::class::{Class, MarkRow};

/// The table of the trainees.
pub fn trainees(class: &Class) -> String {
    let head = "trainee,sheets,passed,score in %,found,to find,false alarms,hazards let pass,sensitivity,bias";
    let rows = class.trainees.iter().map(|row| {
        let (sensitivity, bias) = shown(row.skill);
        vec![
            word(&row.name),
            row.sheets.to_string(),
            row.passed.to_string(),
            row.score.to_string(),
            row.hits.to_string(),
            row.targets.to_string(),
            row.false_alarms.to_string(),
            row.hazards_let_pass.to_string(),
            sensitivity,
            bias,
        ]
    });
    written(head, rows)
}

/// The table of the faults.
pub fn faults(class: &Class) -> String {
    let rows = class.faults.iter().map(|row| {
        let counts = [row.asked.to_string(), row.found.to_string()];
        [word(&row.fault), word(&row.title)]
            .into_iter()
            .chain(counts)
            .collect()
    });
    written("fault,title,asked,found", rows)
}

/// What was found, a row for each fault of each sheet: also the form in which another marker answers.
pub fn marks(class: &Class) -> String {
    let rows = class.marks.iter().map(|row| {
        let found = if row.found { "yes" } else { "no" };
        vec![
            word(&row.exercise),
            word(&row.trainee),
            word(&row.fault),
            found.to_string(),
        ]
    });
    written(MARKS_HEAD, rows)
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

/// What a spreadsheet takes for the beginning of a formula.
const FORMULA: [char; 6] = ['=', '+', '-', '@', '\t', '\r'];

fn word(text: &str) -> String {
    let apostrophe = if is_formula(text) { "'" } else { "" };
    format!("{apostrophe}{text}")
}

/// Whether a word must be told from a formula, or from one that was.
fn is_formula(text: &str) -> bool {
    text.trim_start_matches('\'').starts_with(FORMULA)
}

fn as_it_was(cell: &str) -> String {
    let bare = cell.strip_prefix('\'').filter(|bare| is_formula(bare));
    bare.unwrap_or(cell).to_string()
}

fn written(head: &str, rows: impl Iterator<Item = Vec<String>>) -> String {
    let mut table = WriterBuilder::new()
        .terminator(Terminator::CRLF)
        .from_writer(Vec::new());
    let head = head.split(',').map(str::to_string).collect();
    for row in std::iter::once(head).chain(rows) {
        table
            .write_record(&row)
            .expect("memory takes every row of as many cells as the head");
    }
    let bytes = table.into_inner().expect("memory can be written");
    String::from_utf8(bytes).expect("texts are written")
}

/// The marks of another marker, in the form of [`marks`].
///
/// # Errors
/// With every row that cannot be understood.
pub fn read_marks(source: &Source) -> Result<Vec<MarkRow>, Vec<Problem>> {
    let text = source.text.trim_start_matches('\u{feff}');
    let before = source.text.len() - text.len();
    let mut reader = ReaderBuilder::new()
        .has_headers(false)
        .flexible(true)
        .trim(csv::Trim::All)
        .from_reader(text.as_bytes());
    let head = StringRecord::from_iter(MARKS_HEAD.split(','));
    let (mut rows, mut problems) = (Vec::new(), Vec::new());
    let mut record = StringRecord::new();
    while reader.read_record(&mut record).unwrap_or(false) {
        let place = record.position().map_or(0, csv::Position::byte);
        let at = before + usize::try_from(place).unwrap_or(0);
        if record == head && at == before {
            continue;
        }
        match mark(&record) {
            Some(row) => rows.push(row),
            None => problems.push(bad_row(source, at)),
        }
    }
    if problems.is_empty() {
        Ok(rows)
    } else {
        Err(problems)
    }
}

fn bad_row(source: &Source, at: usize) -> Problem {
    let help = "write exercise, trainee, fault, and `yes` or `no`, with commas between them, as in the table of marks that a class gives";
    let line = source.line_of(Span::new(at, at).start);
    Problem::new(
        "not-a-mark",
        source.line_span(line),
        "this row is no mark",
        help,
    )
}

fn mark(record: &StringRecord) -> Option<MarkRow> {
    if record.len() != 4 {
        return None;
    }
    Some(MarkRow {
        exercise: as_it_was(&record[0]),
        trainee: as_it_was(&record[1]),
        fault: as_it_was(&record[2]),
        found: match &record[3] {
            "yes" => true,
            "no" => false,
            _ => return None,
        },
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn no_word_is_a_formula_and_each_comes_back() {
        for name in [
            "=1+1",
            "@x",
            "'=x",
            "-",
            "Ann",
            "'Ann'",
            "\"B\", the =",
            "+4 ' 4",
        ] {
            assert!(!word(name).starts_with(FORMULA), "{name}");
            let row = MarkRow {
                exercise: "1".to_string(),
                trainee: name.to_string(),
                fault: "f".to_string(),
                found: true,
            };
            let class = Class {
                marks: vec![row.clone()],
                ..Class::default()
            };
            assert_eq!(
                read_marks(&Source::new("marks", marks(&class))),
                Ok(vec![row])
            );
        }
    }
}
