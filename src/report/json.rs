//! The report for programs, as described by `report.schema.json`.
//!
//! Contract: one document for any number of surveys, always of the same shape; every key is always
//! there, `null` where there is nothing to say. `report` is the edition of the format: a key may be
//! added within an edition, never taken away or given another meaning. Each object of the document is
//! a struct with its keys in their order, and borrows what it writes.

use super::layout::written;
use super::verdict::ENGINE;
use serde::Serialize;
use wetside_base::finding::{
    self, CauseKind, Citation, Counts, Departure, Identity, Judgement, On, PackLine, Stage, Verdict,
};
use wetside_base::problem;
use wetside_base::source::{Source, Span};
use wetside_engine::digest;

/// The edition of the format.
pub(crate) const EDITION: u32 = 2;

/// The report on all surveys as JSON.
///
/// Problems of packs come with no surveys: nothing is judged by a faulty pack.
pub fn document(
    judged: &[(Source, Judgement)],
    pack_problems: &[(&Source, &problem::Problem)],
) -> String {
    let worst = judged.iter().map(|(_, judgement)| judgement.verdict).max();
    written(&Document {
        report: EDITION,
        verdict: worst.map(Verdict::words),
        surveys: each(judged, |(source, judgement)| Survey::new(source, judgement)),
        pack_problems: each(pack_problems, |(source, found)| PackProblem {
            problem: Problem::new(source, found),
            file: &source.name,
        }),
    })
}

/// One survey of that document on one line.
pub fn line(source: &Source, judgement: &Judgement) -> String {
    let survey = Survey::new(source, judgement);
    let mut text = serde_json::to_string(&survey).expect("every key is a word");
    text.push('\n');
    text
}

/// A survey that could not be read, on one line.
pub fn unread(survey: &str, says: &str) -> String {
    serde_json::json!({"survey": survey, "verdict": null, "unread": says}).to_string() + "\n"
}

pub(crate) fn each<'a, T, W>(things: &'a [T], write: impl FnMut(&'a T) -> W) -> Vec<W> {
    things.iter().map(write).collect()
}

#[derive(Serialize)]
struct Document<'a> {
    report: u32,
    verdict: Option<&'static str>,
    surveys: Vec<Survey<'a>>,
    pack_problems: Vec<PackProblem<'a>>,
}

#[derive(Serialize)]
struct PackProblem<'a> {
    #[serde(flatten)]
    problem: Problem<'a>,
    file: &'a str,
}

#[derive(Serialize)]
struct Survey<'a> {
    survey: &'a str,
    verdict: &'static str,
    verdict_says: String,
    stage: &'static str,
    as_of: Option<&'a str>,
    packs: &'a [String],
    judged_by: Basis<'a>,
    problems: Vec<Problem<'a>>,
    departures: Option<Beside<'a>>,
    findings: Vec<Finding<'a>>,
    gaps: Vec<Asked<'a>>,
    more_gaps: usize,
    questions: Vec<Asked<'a>>,
    more_questions: usize,
    read_as: Vec<Line<'a>>,
    unlikely: Vec<Unlikely<'a>>,
    more_unlikely: usize,
    ahead: Vec<Finding<'a>>,
    counts: &'a Counts,
}

impl<'a> Survey<'a> {
    fn new(source: &'a Source, judgement: &'a Judgement) -> Survey<'a> {
        let place = |span| Place::new(source, span);
        Survey {
            survey: &source.name,
            verdict: judgement.verdict.words(),
            verdict_says: judgement.verdict.at(judgement.stage),
            stage: judgement.stage.words(),
            as_of: judgement.as_of.as_deref(),
            packs: &judgement.packs,
            judged_by: Basis {
                engine: ENGINE,
                packs: &judgement.basis.packs,
                left_out: &judgement.basis.left_out,
                survey_digest: digest::of_text(&source.text),
                asked_stage: judgement.basis.stage.map(Stage::words),
                asked_as_of: judgement.basis.as_of.as_deref(),
            },
            problems: each(&judgement.problems, |one| Problem::new(source, one)),
            departures: judgement.beside.as_ref().map(|beside| Beside {
                file: &beside.source.name,
                digest: digest::of_text(&beside.source.text),
                problems: each(&beside.problems, |one| Problem::new(&beside.source, one)),
            }),
            findings: each(&judgement.findings, |one| Finding::new(source, one)),
            gaps: each(&judgement.gaps, |gap| Asked {
                fact: &gap.fact,
                asks: &gap.asks,
                answers: &gap.answers,
                place: place(gap.span),
                rules: None,
            }),
            more_gaps: judgement.more_gaps,
            questions: each(&judgement.questions, |question| Asked {
                fact: &question.fact,
                asks: &question.asks,
                answers: &question.answers,
                place: place(question.span),
                rules: Some(&question.rules),
            }),
            more_questions: judgement.more_questions,
            read_as: lines(source, &judgement.read_as),
            unlikely: each(&judgement.unlikely, |one| Unlikely {
                fact: &one.fact,
                says: &one.says,
                place: place(one.span),
                confirmed: one.confirmed.as_deref(),
                hazards: &one.hazards,
            }),
            more_unlikely: judgement.more_unlikely,
            ahead: each(&judgement.ahead, |one| Finding::new(source, one)),
            counts: &judgement.counts,
        }
    }
}

/// All that is needed to judge again, and to tell whether it is the same that judges.
#[derive(Serialize)]
struct Basis<'a> {
    engine: &'static str,
    packs: &'a [Identity],
    left_out: &'a [String],
    survey_digest: String,
    asked_stage: Option<&'static str>,
    asked_as_of: Option<&'a str>,
}

/// The file of departures beside the survey.
#[derive(Serialize)]
struct Beside<'a> {
    file: &'a str,
    digest: String,
    problems: Vec<Problem<'a>>,
}

/// Lines and columns from 1, columns in characters; the end is the first column after it.
#[derive(Serialize)]
struct Place {
    line: usize,
    column: usize,
    end_line: usize,
    end_column: usize,
}

impl Place {
    fn new(source: &Source, span: Span) -> Place {
        let (start, end) = (source.place(span.start), source.place(span.end));
        Place {
            line: start.line,
            column: start.column,
            end_line: end.line,
            end_column: end.column,
        }
    }
}

#[derive(Serialize)]
struct Line<'a> {
    place: Place,
    words: &'a str,
}

fn lines<'a>(source: &Source, labels: &'a [problem::Label]) -> Vec<Line<'a>> {
    each(labels, |label| Line {
        place: Place::new(source, label.span),
        words: &label.words,
    })
}

/// A problem of a survey, in the form that every document for programs gives it.
#[derive(Serialize)]
pub(crate) struct Problem<'a> {
    kind: &'static str,
    place: Place,
    says: &'a str,
    help: &'a str,
    also: Vec<Line<'a>>,
}

impl<'a> Problem<'a> {
    pub(crate) fn new(source: &Source, problem: &'a problem::Problem) -> Problem<'a> {
        Problem {
            kind: problem.kind,
            place: Place::new(source, problem.span),
            says: &problem.says,
            help: &problem.help,
            also: lines(source, &problem.also),
        }
    }
}

/// The first outcome stands in the finding itself; others of the same rule follow it.
#[derive(Serialize)]
struct Finding<'a> {
    rule: &'a str,
    pack: &'a str,
    pack_lines: &'a [PackLine],
    title: &'a str,
    class: &'static str,
    stage: &'static str,
    outcome: &'static str,
    element: Option<&'a str>,
    says: &'a str,
    #[serde(rename = "do")]
    remedy: &'a str,
    because: &'a str,
    source: &'a Citation,
    caution: Option<&'a str>,
    place: Place,
    place_words: &'a str,
    lines: Vec<Line<'a>>,
    more_lines: usize,
    causes: Vec<Cause<'a>>,
    more_causes: usize,
    others: Vec<Other<'a>>,
    also_on: &'a [String],
    more: usize,
    explained_by: Option<&'a str>,
    after: &'a [String],
    departure: Option<&'a Departure>,
}

/// The same rule on another element.
#[derive(Serialize)]
struct Other<'a> {
    element: Option<&'a str>,
    says: &'a str,
    #[serde(rename = "do")]
    remedy: &'a str,
    place: Place,
    place_words: &'a str,
    lines: Vec<Line<'a>>,
    more_lines: usize,
    causes: Vec<Cause<'a>>,
    more_causes: usize,
}

impl<'a> Other<'a> {
    fn new(source: &Source, on: &'a On) -> Other<'a> {
        Other {
            element: on.element.as_deref(),
            says: &on.says,
            remedy: &on.remedy,
            place: Place::new(source, on.place),
            place_words: &on.place_words,
            lines: lines(source, &on.lines),
            more_lines: on.more_lines,
            causes: each(&on.causes, |cause| Cause::new(source, cause)),
            more_causes: on.more_causes,
        }
    }
}

impl<'a> Finding<'a> {
    fn new(source: &Source, finding: &'a finding::Finding) -> Finding<'a> {
        let (first, others) = finding.split();
        let first = Other::new(source, first);
        Finding {
            rule: &finding.rule,
            pack: &finding.pack,
            pack_lines: &finding.pack_lines,
            title: &finding.title,
            class: finding.class.word(),
            stage: finding.stage.words(),
            outcome: finding.outcome.words(),
            element: first.element,
            says: first.says,
            remedy: first.remedy,
            because: &finding.because,
            source: &finding.source,
            caution: finding.caution.as_deref(),
            place: first.place,
            place_words: first.place_words,
            lines: first.lines,
            more_lines: first.more_lines,
            causes: first.causes,
            more_causes: first.more_causes,
            others: each(others, |on| Other::new(source, on)),
            also_on: &finding.also_on,
            more: finding.more,
            explained_by: finding.explained_by.as_deref(),
            after: &finding.after,
            departure: finding.departure.as_ref(),
        }
    }
}

#[derive(Serialize)]
struct Cause<'a> {
    fact: &'a str,
    why: &'static str,
    detail: Option<&'a str>,
    place: Place,
}

impl<'a> Cause<'a> {
    fn new(source: &Source, cause: &'a finding::Cause) -> Cause<'a> {
        let (why, detail) = match &cause.why {
            CauseKind::NotRecorded => ("not recorded", None),
            CauseKind::Unknown(reason) => ("unknown", reason.as_deref()),
            CauseKind::Malformed => ("malformed", None),
            CauseKind::Range(range) => ("range across the limit", Some(range.as_str())),
            CauseKind::ListOpen => ("list may hold more", None),
            CauseKind::RangeBehind { written, .. } => {
                ("range behind a figure", Some(written.as_str()))
            }
            CauseKind::NotWorkedOut(reason) => ("not worked out", Some(reason.as_str())),
        };
        Cause {
            fact: &cause.fact,
            why,
            detail,
            place: Place::new(source, cause.span),
        }
    }
}

/// A fact to find out; only what rules wait for has a key for them.
#[derive(Serialize)]
struct Asked<'a> {
    fact: &'a str,
    asks: &'a str,
    answers: &'a str,
    place: Place,
    #[serde(skip_serializing_if = "Option::is_none")]
    rules: Option<&'a [String]>,
}

#[derive(Serialize)]
struct Unlikely<'a> {
    fact: &'a str,
    says: &'a str,
    place: Place,
    confirmed: Option<&'a str>,
    hazards: &'a [String],
}
