//! The report for programs, as described by `report.schema.json`.
//!
//! Contract: one document for any number of surveys, always of the same shape; every key is always
//! there, `null` where there is nothing to say. `report` is the edition of the format: a key may be
//! added within an edition, never taken away or given another meaning.

use serde_json::{Value, json};
use wetside_base::finding::{
    Cause, CauseKind, Citation, Counts, Finding, Gap, Judgement, Question, Verdict,
};
use wetside_base::problem::{Label, Problem};
use wetside_base::source::{Source, Span};

/// The edition of the format.
pub const EDITION: u32 = 1;

/// The report on all surveys as JSON, two spaces deep, with a line break at the end.
///
/// Problems of packs come with no surveys: nothing is judged by a faulty pack.
pub fn document(judged: &[(Source, Judgement)], pack_problems: &[(&Source, &Problem)]) -> String {
    let worst = judged.iter().map(|(_, judgement)| judgement.verdict).max();
    let surveys = judged
        .iter()
        .map(|(source, judgement)| survey(source, judgement));
    let in_packs = pack_problems.iter().map(|(source, found)| {
        let mut found = problem(source, found);
        found["file"] = json!(source.name);
        found
    });
    let document = json!({
        "report": EDITION,
        "verdict": worst.map(Verdict::words),
        "surveys": surveys.collect::<Vec<_>>(),
        "pack_problems": in_packs.collect::<Vec<_>>(),
    });
    format!("{document:#}\n")
}

fn survey(source: &Source, judgement: &Judgement) -> Value {
    json!({
        "survey": source.name,
        "verdict": judgement.verdict.words(),
        "stage": judgement.stage.words(),
        "as_of": judgement.as_of,
        "packs": judgement.packs,
        "problems": each(&judgement.problems, |one| problem(source, one)),
        "findings": each(&judgement.findings, |one| finding(source, one)),
        "gaps": each(&judgement.gaps, |one| gap(source, one)),
        "questions": each(&judgement.questions, |one| question(source, one)),
        "ahead": each(&judgement.ahead, |one| finding(source, one)),
        "counts": counts(judgement.counts),
    })
}

fn each<T>(things: &[T], write: impl Fn(&T) -> Value) -> Vec<Value> {
    things.iter().map(write).collect()
}

/// Lines and columns from 1, columns in characters; the end is the first column after it.
fn place(source: &Source, span: Span) -> Value {
    let (start, end) = (source.place(span.start), source.place(span.end));
    json!({
        "line": start.line,
        "column": start.column,
        "end_line": end.line,
        "end_column": end.column,
    })
}

fn label(source: &Source, label: &Label) -> Value {
    json!({ "place": place(source, label.span), "words": label.words })
}

/// A problem of a survey, in the form that every document for programs gives it.
pub(super) fn problem(source: &Source, problem: &Problem) -> Value {
    json!({
        "kind": problem.kind,
        "place": place(source, problem.span),
        "says": problem.says,
        "help": problem.help,
        "also": each(&problem.also, |one| label(source, one)),
    })
}

fn finding(source: &Source, finding: &Finding) -> Value {
    json!({
        "rule": finding.rule,
        "pack": finding.pack,
        "pack_lines": each(&finding.pack_lines, |line| json!({
            "file": line.file,
            "line": line.line,
            "words": line.words,
        })),
        "title": finding.title,
        "class": finding.class.word(),
        "stage": finding.stage.words(),
        "outcome": finding.outcome.words(),
        "element": finding.element,
        "says": finding.says,
        "do": finding.remedy,
        "because": finding.because,
        "source": citation(&finding.source),
        "caution": finding.caution,
        "place": place(source, finding.place),
        "place_words": finding.place_words,
        "lines": each(&finding.lines, |one| label(source, one)),
        "causes": each(&finding.causes, |one| cause(source, one)),
    })
}

fn citation(citation: &Citation) -> Value {
    json!({
        "work": citation.work,
        "clause": citation.clause,
        "standing": citation.standing,
        "certainty": citation.certainty,
    })
}

fn cause(source: &Source, cause: &Cause) -> Value {
    let (why, detail) = match &cause.why {
        CauseKind::NotRecorded => ("not recorded", None),
        CauseKind::Unknown(reason) => ("unknown", reason.as_ref()),
        CauseKind::Malformed => ("malformed", None),
        CauseKind::Range(range) => ("range across the limit", Some(range)),
        CauseKind::ListOpen => ("list may hold more", None),
        CauseKind::RangeBehind { written, .. } => ("range behind a figure", Some(written)),
        CauseKind::NotWorkedOut(reason) => ("not worked out", Some(reason)),
    };
    json!({ "fact": cause.fact, "why": why, "detail": detail, "place": place(source, cause.span) })
}

fn gap(source: &Source, gap: &Gap) -> Value {
    json!({ "fact": gap.fact, "asks": gap.asks, "place": place(source, gap.span) })
}

fn question(source: &Source, question: &Question) -> Value {
    json!({
        "fact": question.fact,
        "asks": question.asks,
        "place": place(source, question.span),
        "rules": question.rules,
    })
}

fn counts(counts: Counts) -> Value {
    json!({
        "met": counts.met,
        "broken": counts.broken,
        "undecided": counts.undecided,
        "not_applicable": counts.not_applicable,
        "later": counts.later,
    })
}
