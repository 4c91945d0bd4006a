//! A document against its schema: what does not fit, in our own words at the line concerned.
//!
//! Contract: a problem for every fault that the schema finds, unless one stands for it already.
//! For surveys the reader of facts has said most of it better; the schema is then the second
//! opinion that lets nothing slip through.

use crate::document::{self, Node, Reading};
use crate::problem::Problem;
use crate::source::{Source, Span};
use crate::suggest;
use wetside_schemas::{Fault, Sort, What, Which};

/// The problems of a document that is held against its schema alone.
pub fn problems(which: Which, source: &Source, reading: &Reading) -> Vec<Problem> {
    let value = document::to_json(&reading.root);
    let faults = wetside_schemas::check(which, &value);
    faults
        .iter()
        .filter_map(|fault| placed(source, reading, fault))
        .collect()
}

/// The problems that the schema finds beside those `known` already.
pub fn beside(which: Which, source: &Source, reading: &Reading, known: &[Problem]) -> Vec<Problem> {
    let mut more = problems(which, source, reading);
    more.retain(|problem| {
        !known
            .iter()
            .any(|other| touches(source, other.span, problem.span))
    });
    more
}

/// Whether two problems speak of the same line.
fn touches(source: &Source, a: Span, b: Span) -> bool {
    source.line_of(a.start) == source.line_of(b.start)
}

/// A fault as a problem; nothing where the document reader reported the value already.
fn placed(source: &Source, reading: &Reading, fault: &Fault) -> Option<Problem> {
    let found = reading.root.pointer(&fault.pointer)?;
    let node = found.node;
    if node.is_faulty() || reading.lost_within(node.span) {
        return None;
    }
    let own = match (found.key, node.as_scalar()) {
        (_, Some(_)) => node.span,
        (Some(key), None) => key.span,
        (None, None) => first_key(source, node),
    };
    Some(match &fault.what {
        What::NotAllowedKey { names, allowed } => not_allowed(node, own, names, allowed),
        What::MissingKey { name } => {
            let says = format!("`{name}` is missing here");
            Problem::new("key-missing", own, says, format!("add a line `{name}:`"))
        }
        What::NotOneOf { allowed } => {
            let written = node.as_text().unwrap_or_default();
            let all = format!(
                "it can be {}",
                suggest::either(allowed.iter().map(String::as_str))
            );
            let help = suggest::help(written, allowed.iter().map(String::as_str), &all);
            Problem::new(
                "not-a-choice",
                own,
                format!("`{written}` is not one of the words for this"),
                help,
            )
        }
        What::WrongType { expected } => {
            let sorts: Vec<&str> = expected.iter().map(|sort| sort_words(*sort)).collect();
            let says = "this is not the sort of value that belongs here".to_string();
            Problem::new(
                "value-expected",
                own,
                says,
                format!("write {}", sorts.join(" or ")),
            )
        }
        What::Pattern { hint } => {
            let written = node.as_text().unwrap_or_default();
            let help = hint
                .clone()
                .unwrap_or_else(|| "see the field's description in the schema".to_string());
            Problem::new(
                "wrong-form",
                own,
                format!("`{written}` has not the form that belongs here"),
                help,
            )
        }
        What::Repeated => {
            let says = "this says the same thing twice".to_string();
            Problem::new("said-twice", own, says, "say each thing once")
        }
        What::TooFew { least } => {
            let says = "there is too little here".to_string();
            Problem::new(
                "too-few",
                own,
                says,
                format!("at least {least} belong here"),
            )
        }
        What::BadKey { name, hint } => {
            let span = node.get(name).map_or(own, |entry| entry.key.span);
            let help = hint
                .clone()
                .unwrap_or_else(|| "use lower-case words".to_string());
            Problem::new(
                "wrong-form",
                span,
                format!("`{name}` has not the form of a name here"),
                help,
            )
        }
        What::Other { keyword } => {
            let says = "this does not fit the schema".to_string();
            Problem::new(
                "does-not-fit",
                own,
                says,
                format!("the schema asks for `{keyword}` here"),
            )
        }
    })
}

fn not_allowed(node: &Node, own: Span, names: &[String], allowed: &[String]) -> Problem {
    let name = names.first().map_or("", String::as_str);
    let span = node.get(name).map_or(own, |entry| entry.key.span);
    let all = format!(
        "it can be {}",
        suggest::either(allowed.iter().map(String::as_str))
    );
    let help = suggest::help(name, allowed.iter().map(String::as_str), &all);
    let mut problem = Problem::new(
        "unknown-key",
        span,
        format!("there is no `{name}` here"),
        help,
    );
    for other in names.iter().skip(1) {
        if let Some(entry) = node.get(other) {
            problem = problem.with(entry.key.span, "nor this");
        }
    }
    problem
}

fn first_key(source: &Source, node: &Node) -> Span {
    match node.entries().first() {
        Some(entry) => entry.key.span,
        None => {
            let line = source.line_span(source.line_of(node.span.start));
            Span {
                start: node.span.start,
                end: node.span.end.min(line.end).max(node.span.start),
            }
        }
    }
}

fn sort_words(sort: Sort) -> &'static str {
    match sort {
        Sort::Text => "words or a quantity with its unit",
        Sort::Number => "a number",
        Sort::WholeNumber => "a whole number",
        Sort::List => "a list",
        Sort::Mapping => "facts with their names",
        Sort::Truth => "`yes` or `no`",
        Sort::Nothing => "nothing",
    }
}
