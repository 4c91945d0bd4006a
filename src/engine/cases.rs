//! The cases inside the rules: small surveys, and the outcome that the rule must give for each.
//!
//! Contract: every case is run through the same reader, facts and judgement as a survey. A case that
//! gives another outcome, a fragment that is no part of a survey, and a rule without a case for each
//! outcome it can have are problems at the lines of the rule's own file. That a rule has no cases at
//! all is a matter of its shape, and whoever loads the pack says it.

use crate::figures;
use crate::pack::{Pack, PackProblem, Rule};
use crate::read;
use crate::run::{Judged, element_name, judge, scene};
use crate::schema;
use wetside_base::finding::Outcome;
use wetside_base::problem::Problem;
use wetside_base::source::Span;
use wetside_base::vocabulary::Vocabulary;
use wetside_document::{Node, Reading, Value};
use wetside_lang::eval::Scene;
use wetside_schemas::Which;
use wetside_units::Date;

/// What came of running the cases of a pack.
#[derive(Debug, Default)]
pub struct CaseRun {
    pub rules: usize,
    pub cases: usize,
    pub passed: usize,
    /// Cases that came out otherwise, and rules that lack a case.
    pub problems: Vec<PackProblem>,
}

/// A case as written.
#[derive(Clone, Debug)]
pub struct Case {
    pub name: String,
    pub given: Node,
    pub as_of: Option<Date>,
    pub then: Expected,
    /// The line of its outcome.
    pub span: Span,
}

/// The outcome that a case asks for.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Expected {
    /// Of the rule as a whole: of its elements the worst.
    Whole(Outcome),
    /// Of elements by their ids.
    Elements(Vec<(String, Outcome)>),
}

/// Runs the cases of every rule.
pub fn run(pack: &Pack, vocabulary: &Vocabulary) -> CaseRun {
    let mut done = CaseRun {
        rules: pack.rules.len(),
        ..CaseRun::default()
    };
    for rule in &pack.rules {
        let mut problems = Vec::new();
        let cases = read_cases(rule, &mut problems);
        done.cases += cases.len();
        for case in &cases {
            match run_case(pack, rule, case, vocabulary) {
                Ok(()) => done.passed += 1,
                Err(wrong) => problems.extend(wrong),
            }
        }
        // Of a case that could not be read, and of a rule that has none, a problem speaks already.
        let written = written_cases(rule);
        if written > 0 && cases.len() >= written {
            problems.extend(missing_outcomes(rule, &cases));
        }
        done.problems
            .extend(problems.into_iter().map(|problem| PackProblem {
                source: rule.source().clone(),
                problem,
            }));
    }
    done
}

/// The cases of a rule, in the order of its file.
pub fn read_cases(rule: &Rule, problems: &mut Vec<Problem>) -> Vec<Case> {
    let root = wetside_document::read(rule.source()).root;
    let items = root
        .get("cases")
        .map_or(&[][..], |entry| entry.value.items());
    items
        .iter()
        .filter_map(|item| read_case(item, problems))
        .collect()
}

fn written_cases(rule: &Rule) -> usize {
    let root = wetside_document::read(rule.source()).root;
    root.get("cases")
        .map_or(0, |entry| entry.value.items().len())
}

fn read_case(item: &Node, problems: &mut Vec<Problem>) -> Option<Case> {
    let text = |key: &str| item.get(key).and_then(|entry| entry.value.as_text());
    let as_of = match text("as_of").map(Date::parse) {
        None => None,
        Some(Ok(date)) => Some(date),
        Some(Err(fault)) => {
            let span = item
                .get("as_of")
                .map_or(item.span, |entry| entry.value.span);
            problems.push(Problem::new("not-a-date", span, fault.says, fault.help));
            return None;
        }
    };
    let then = item.get("then")?;
    let expected = match &then.value.value {
        Value::Scalar(scalar) => Expected::Whole(Outcome::named(&scalar.text)?),
        Value::Map(entries) => {
            let outcome = |entry: &wetside_document::Entry| {
                let outcome = Outcome::named(entry.value.as_text()?)?;
                Some((entry.key.text.to_string(), outcome))
            };
            Expected::Elements(entries.iter().map(outcome).collect::<Option<Vec<_>>>()?)
        }
        _ => return None,
    };
    Some(Case {
        name: text("name").unwrap_or_default().to_string(),
        given: item.get("given")?.value.clone(),
        as_of,
        then: expected,
        span: then.value.span,
    })
}

fn run_case(
    pack: &Pack,
    rule: &Rule,
    case: &Case,
    vocabulary: &Vocabulary,
) -> Result<(), Vec<Problem>> {
    let reading = Reading {
        root: case.given.clone(),
        problems: Vec::new(),
        lost: Vec::new(),
    };
    let (mut facts, mut problems) = read::read(rule.source(), &reading, vocabulary);
    figures::derive(&mut facts, vocabulary);
    let more = schema::check::beside(Which::Fragment, rule.source(), &reading, &problems);
    problems.extend(more);
    if !problems.is_empty() {
        return Err(problems);
    }
    let scene = Scene {
        tables: &pack.tables,
        ..scene(vocabulary, &facts, case.as_of)
    };
    compared(case, &judge(rule, scene), scene)
}

fn compared(case: &Case, judged: &[Judged], scene: Scene<'_>) -> Result<(), Vec<Problem>> {
    let wrong = |says: String| {
        let help = format!("mend the rule or the case `{}`", case.name);
        Err(vec![Problem::new("case-differs", case.span, says, help)])
    };
    match &case.then {
        Expected::Whole(expected) => {
            let found = Outcome::worst(judged.iter().map(|judged| judged.outcome));
            match found == *expected {
                true => Ok(()),
                false => wrong(format!(
                    "the case asks for {expected}, the rule gives {found}"
                )),
            }
        }
        Expected::Elements(expected) => {
            let found = |name: &str| {
                let mut of_element = judged.iter().filter(|judged| {
                    judged
                        .element
                        .is_some_and(|element| element_name(scene, element) == name)
                });
                of_element.next().map(|judged| judged.outcome)
            };
            for (name, outcome) in expected {
                match found(name) {
                    Some(found) if found == *outcome => {}
                    Some(found) => {
                        return wrong(format!(
                            "for `{name}` the case asks for {outcome}, the rule gives {found}"
                        ));
                    }
                    None => return wrong(format!("the rule judges nothing called `{name}`")),
                }
            }
            Ok(())
        }
    }
}

/// A rule is shown by its cases to be able to fail, to be content, and to be in doubt.
fn missing_outcomes(rule: &Rule, cases: &[Case]) -> Option<Problem> {
    let guarded = rule.when.is_some() || rule.selection.is_some();
    let wanted = Outcome::ALL
        .into_iter()
        .filter(|outcome| guarded || *outcome != Outcome::NotApplicable);
    let shown = |outcome: Outcome| {
        cases.iter().any(|case| match &case.then {
            Expected::Whole(expected) => *expected == outcome,
            Expected::Elements(elements) => {
                elements.iter().any(|(_, expected)| *expected == outcome)
            }
        })
    };
    let missing: Vec<&str> = wanted
        .filter(|outcome| !shown(*outcome))
        .map(Outcome::words)
        .collect();
    if missing.is_empty() {
        return None;
    }
    let says = format!("no case shows this rule {}", missing.join(", nor "));
    let help = "add a case for each outcome that the rule can have";
    let root = wetside_document::read(rule.source()).root;
    let span = root
        .get("cases")
        .map_or(rule.must_span, |entry| entry.key.span);
    Some(Problem::new("case-missing", span, says, help))
}
