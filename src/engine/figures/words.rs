//! Facts in words, and the lines that stand behind a figure.
//!
//! Contract: a value reads as the survey wrote it, or as its unit has it where it was worked out.

use super::view::View;
use std::collections::BTreeSet;
use wetside_base::facts::{Content, FactId, Value, Why, fact_name};
use wetside_base::source::Span;
use wetside_units::{Exact, Interval, Kind, Quantity, UnitId, datetime, print};

/// A fact behind a number.
#[derive(Clone, Debug, PartialEq)]
pub struct Line {
    pub fact: String,
    /// In words, or what is the matter with it.
    pub value: String,
    pub span: Span,
}

pub(super) fn line(view: &View<'_>, id: FactId) -> Line {
    Line {
        fact: fact_name(view.facts, view.vocabulary, id),
        value: value(view, id),
        span: view.facts.fact(id).span,
    }
}

/// Every recorded line behind a fact that was worked out, in the order of the survey. What is not
/// recorded has no line.
pub(super) fn lines_behind(view: &View<'_>, id: FactId) -> Vec<Span> {
    let mut spans = BTreeSet::new();
    for id in view.facts.with_inputs([id]) {
        let fact = view.facts.fact(id);
        let told = match &fact.content {
            Content::Open(why) => *why != Why::NotRecorded,
            Content::List { listed, .. } => *listed > 0,
            Content::Known(_) => true,
            Content::Group { .. } => false,
        };
        if told && !view.facts.is_worked_out(id) {
            spans.insert(fact.span);
        }
    }
    spans.into_iter().collect()
}

/// A range that was worked out, in words: a bore in millimetres, whatever the usual unit of a length.
pub fn worked_out(kind: Kind, range: &Interval) -> String {
    const LONGEST_BORE: f64 = 0.3;
    const DIGITS: u32 = 3;
    let high = range.high().at().map(Exact::to_f64);
    let bore = kind == Kind::Length && high.is_some_and(|high| high < LONGEST_BORE);
    match UnitId::spelt("mm", kind).filter(|_| bore) {
        Some(unit) => print::worked_out_in(kind, range, unit, DIGITS),
        None => print::worked_out(kind, range),
    }
}

/// What is known of a fact, in words.
pub(super) fn value(view: &View<'_>, id: FactId) -> String {
    let fact = view.facts.fact(id);
    match &fact.content {
        Content::Known(Value::Quantity(held)) => quantity(held),
        Content::Known(Value::Word(word)) => view.vocabulary.word(*word).to_string(),
        Content::Known(Value::Set { .. }) => {
            let held = view.set(id).map(|(sure, _)| sure.join(", "));
            held.unwrap_or_default()
        }
        Content::Known(Value::Text(text)) => wetside_base::facts::one_line(text),
        Content::Known(Value::Time(time)) => datetime::told(time, true),
        Content::Group { .. } => String::new(),
        Content::List { listed, .. } => format!("{listed} listed"),
        Content::Open(Why::NotRecorded) => "not recorded".to_string(),
        Content::Open(Why::Unknown(_)) => "unknown".to_string(),
        Content::Open(Why::Malformed) => "not understood".to_string(),
        Content::Open(Why::NotWorkedOut(..)) => "not worked out".to_string(),
    }
}

fn quantity(held: &Quantity) -> String {
    match held.form {
        wetside_units::Form::Computed => worked_out(held.kind, &held.range),
        _ => held.to_string(),
    }
}
