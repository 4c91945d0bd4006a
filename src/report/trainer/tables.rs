//! The tables of a class as comma-separated values, for a spreadsheet; and the marks of another marker.
//!
//! Contract: a head, rows that end as RFC 4180 has it, and no cell that a spreadsheet would take for a
//! formula: such a word gets an apostrophe, which is taken off again where the table is read.

use crate::pen::number;
use csv::{ReaderBuilder, StringRecord, Terminator, Writer, WriterBuilder};
use serde::de::DeserializeOwned;
use wetside_base::problem::Problem;
use wetside_base::source::{Source, Span};
use wetside_trainer::class::record::Attempt;
use wetside_trainer::class::skill::{Agreement, Skill};
use wetside_trainer::class::{Class, MarkRow};
use wetside_trainer::{Asked, Change, Marked};

/// The table of the trainees.
pub fn trainees(class: &Class) -> String {
    let head = "trainee,sheets,passed,score in %,found,to find,false alarms,hazards let pass,reasoning,of,reasons that were so,claimed of these,reasons that were not so,claimed of those,sensitivity,from,to,bias,bias from,bias to";
    let rows = class.trainees.iter().map(|row| {
        let offered = row.offered;
        let (reasoned, to_reason) = row.reasoning.all();
        let score = row.score.to_string();
        let before = [row.sheets, row.passed].map(|count| count.to_string());
        let after = [
            row.hits,
            row.targets,
            row.false_alarms,
            row.hazards_let_pass,
            reasoned,
            to_reason,
            offered.so,
            offered.claimed,
            offered.not_so,
            offered.in_vain,
        ];
        let cells = [word(&row.name)].into_iter().chain(before).chain([score]);
        let cells = cells.chain(after.map(|count| count.to_string()));
        cells.chain(figures(row.skill)).collect()
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

/// What was found and called right, a row for each question of each sheet: also the form in which another marker answers.
pub fn marks(class: &Class) -> String {
    let rows = class.marks.iter().map(|row| {
        vec![
            word(&row.exercise),
            word(&row.trainee),
            word(&row.asked.words()),
            yes_or_no(row.yes).to_string(),
        ]
    });
    written(MARKS_HEAD, rows)
}

fn yes_or_no(yes: bool) -> &'static str {
    if yes { "yes" } else { "no" }
}

const MARKS_HEAD: &str = "exercise,trainee,asked,answer";
/// Sensitivity and bias, each with the ends of its interval, with two decimals.
fn figures(skill: Option<Skill>) -> [String; 6] {
    let figures = skill.map(|skill| {
        let ((from, to), (less, more)) = (skill.interval, skill.bias_interval);
        [skill.sensitivity, from, to, skill.bias, less, more].map(two_decimals)
    });
    figures.unwrap_or_else(|| ["none"; 6].map(str::to_string))
}

/// Sensitivity and bias with their intervals, for people.
pub fn shown(skill: Option<Skill>) -> (String, String) {
    let [sensitivity, from, to, bias, less, more] = figures(skill);
    let with = |figure: String, from: String, to: String| match (from == OPEN, to == OPEN) {
        _ if skill.is_none() => figure,
        (true, true) => format!("{figure} (anything)"),
        (true, false) => format!("{figure} ({to} or less)"),
        (false, true) => format!("{figure} ({from} or more)"),
        (false, false) => format!("{figure} ({from} to {to})"),
    };
    (with(sensitivity, from, to), with(bias, less, more))
}

/// An end of an interval that has no bound.
const OPEN: &str = "open";

/// How far markers agree, in a sentence without a full stop.
pub fn agreed(agreement: &Agreement) -> String {
    let alpha = match (agreement.alpha, agreement.interval) {
        (None, _) => "no alpha, since all say the same".to_string(),
        (Some(alpha), None) => format!("alpha {}, too few for an interval", two_decimals(alpha)),
        (Some(alpha), Some((from, to))) => {
            let [alpha, from, to] = [alpha, from, to].map(two_decimals);
            format!("alpha {alpha} ({from} to {to})")
        }
    };
    let alike = agreement.alike * 100.0;
    format!(
        "{alike:.0} % alike over {}, {alpha}",
        number(agreement.questions, "mark", "marks")
    )
}

fn two_decimals(figure: f64) -> String {
    if figure.is_infinite() {
        return OPEN.to_string();
    }
    let text = format!("{figure:.2}");
    // A rounded nought has no sign.
    if text == "-0.00" {
        "0.00".to_string()
    } else {
        text
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

/// The record of a centre.
pub fn record(rows: &[Attempt]) -> String {
    let mut table = new_table();
    for row in rows {
        let row = with_words(row.clone(), word);
        table.serialize(row).expect("memory takes every row");
    }
    finished(table)
}

/// A row with its words as a table has them, or as they were.
fn with_words(row: Attempt, written: fn(&str) -> String) -> Attempt {
    Attempt {
        sitting: written(&row.sitting),
        trainee: written(&row.trainee),
        title: written(&row.title),
        changed: written(&row.changed),
        ..row
    }
}

fn new_table() -> Writer<Vec<u8>> {
    let mut table = WriterBuilder::new();
    table.terminator(Terminator::CRLF).from_writer(Vec::new())
}

fn finished(table: Writer<Vec<u8>>) -> String {
    let bytes = table.into_inner().expect("memory can be written");
    String::from_utf8(bytes).expect("texts are written")
}

/// The record of a centre, read again.
pub fn read_record(source: &Source) -> Result<Vec<Attempt>, Problem> {
    let rows: Vec<Attempt> = rows(source, "put the record back as `exercise class` wrote it")?;
    let rows = rows.into_iter();
    Ok(rows.map(|row| with_words(row, as_it_was)).collect())
}

/// Marks that a person has changed.
///
/// # Errors
/// With the first row that cannot be understood, or says neither who nor why.
pub fn read_changes(source: &Source) -> Result<Vec<Change>, Problem> {
    let help = "write the head `exercise,trainee,asked,answer,by,reason` and below it a row for each change: a row of `marks.csv` with `yes` or `no` for its answer, who changed it, and why";
    let rows: Vec<Change> = rows(source, help)?;
    let nobody = |row: &Change| row.by.is_empty() || row.reason.is_empty();
    if let Some(at) = rows.iter().position(nobody) {
        let line = source.line_span((at + 2).min(source.line_count()));
        let says = "a changed mark needs a name and a reason";
        return Err(Problem::new("bad-row", line, says, help));
    }
    let change = |row: Change| Change {
        exercise: as_it_was(&row.exercise),
        trainee: as_it_was(&row.trainee),
        asked: Asked::named(&as_it_was(&row.asked.words())),
        answer: row.answer,
        by: as_it_was(&row.by),
        reason: as_it_was(&row.reason),
    };
    Ok(rows.into_iter().map(change).collect())
}

/// The words of their own that trainees wrote, as a table of changes in which somebody has yet to sign; nothing where
/// there are none.
pub fn own_words(sheets: &[Marked]) -> Option<String> {
    let rows = sheets.iter().flat_map(|sheet| {
        let questions = sheet.claims.iter().flat_map(|claim| &claim.questions);
        questions.filter_map(|one| {
            let words = word(one.words.as_ref()?);
            let (exercise, of) = (sheet.exercise.clone(), word(&sheet.trainee));
            let (asked, answer) = (one.asked.words(), yes_or_no(one.is).to_string());
            Some(vec![exercise, of, asked, answer, String::new(), words])
        })
    });
    let mut rows = rows.peekable();
    rows.peek()?;
    Some(written("exercise,trainee,asked,answer,by,reason", rows))
}

fn rows<T: DeserializeOwned>(source: &Source, help: &str) -> Result<Vec<T>, Problem> {
    let text = source.text.trim_start_matches('\u{feff}');
    let mut reader = ReaderBuilder::new()
        .trim(csv::Trim::All)
        .from_reader(text.as_bytes());
    let row = |row: Result<T, csv::Error>| {
        row.map_err(|error| {
            let line = error.position().map_or(1, csv::Position::line);
            let line = usize::try_from(line)
                .unwrap_or(1)
                .clamp(1, source.line_count());
            let says = "this row cannot be understood";
            Problem::new("bad-row", source.line_span(line), says, help)
        })
    };
    reader.deserialize().map(row).collect()
}

fn written(head: &str, rows: impl Iterator<Item = Vec<String>>) -> String {
    let mut table = new_table();
    let head = head.split(',').map(str::to_string).collect();
    for row in std::iter::once(head).chain(rows) {
        table
            .write_record(&row)
            .expect("memory takes every row of as many cells as the head");
    }
    finished(table)
}

/// The marks of another marker, in the form of [`marks`].
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
    let help = "write exercise, trainee, what is asked, and `yes` or `no`, with commas between them, as in the table of marks that a class gives";
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
        asked: Asked::named(&as_it_was(&record[2])),
        yes: match &record[3] {
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
                asked: Asked::Class("f".to_string()),
                yes: true,
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
