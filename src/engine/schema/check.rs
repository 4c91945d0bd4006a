//! A document against its schema: what does not fit, in our own words at the line concerned.
//!
//! Contract: a problem for every fault that the schema finds, unless one stands for it already.
//! Of a survey the reader of facts says all of it better, and is held to the schema by the tests; beside
//! what it says of a faulty one the schema is the second opinion that lets nothing slip through.

use wetside_base::problem::Problem;
use wetside_base::source::{Source, Span};
use wetside_base::suggest;
use wetside_document::{CoreWord, Node, Reading, Value};
use wetside_schemas::{Fault, Plain, Sort, What, Which};

/// The problems of a document that is held against its schema alone.
pub fn problems(which: Which, source: &Source, reading: &Reading) -> Vec<Problem> {
    let faults = wetside_schemas::check(which, plain(&reading.root));
    // A key that is misspelt is missing too.
    let misspelt = |fault: &&Fault| {
        let What::MissingKey { name } = &fault.what else {
            return false;
        };
        faults.iter().any(|other| match &other.what {
            What::NotAllowedKey { names, .. } => {
                other.pointer == fault.pointer
                    && names
                        .iter()
                        .any(|other| suggest::nearest(other, [name.as_str()]).is_some())
            }
            _ => false,
        })
    };
    faults
        .iter()
        .filter(|fault| !misspelt(fault))
        .filter_map(|fault| placed(source, reading, fault))
        .collect()
}

/// The problems that the schema finds beside those `known` already.
pub fn beside(which: Which, source: &Source, reading: &Reading, known: &[Problem]) -> Vec<Problem> {
    let also = known.iter().flat_map(|one| &one.also);
    let also = also.map(|label| label.span);
    let spoken_of: Vec<Span> = known.iter().map(|one| one.span).chain(also).collect();
    let mut more = problems(which, source, reading);
    more.retain(|problem| {
        let mut spoken_of = spoken_of.iter();
        !spoken_of.any(|known| touches(source, *known, problem.span))
    });
    more
}

/// The values of a document without their places. What has a problem already is nothing here.
fn plain(node: &Node) -> Plain<'_> {
    match &node.value {
        Value::Scalar(scalar) => match wetside_document::core_word(scalar) {
            Some(CoreWord::Truth(truth)) => Plain::Truth(truth),
            Some(CoreWord::Number(number)) => Plain::Number(number),
            None => Plain::Text(&scalar.text),
        },
        Value::List(items) => Plain::List(items.iter().map(plain).collect()),
        Value::Map(entries) => {
            let entries = entries.iter();
            Plain::Map(
                entries
                    .map(|entry| (entry.key.text.as_str(), plain(&entry.value)))
                    .collect(),
            )
        }
        Value::Empty | Value::Broken => Plain::Nothing,
    }
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
    Some(worded(node, own, &fault.what))
}

/// What is wrong with a value, in words.
fn worded(node: &Node, own: Span, what: &What) -> Problem {
    let written = node.as_text().unwrap_or_default();
    let (kind, says, help) = match what {
        What::NotAllowedKey { names, allowed } => return not_allowed(node, own, names, allowed),
        What::BadKey { name, hint } => {
            let span = node.get(name).map_or(own, |entry| entry.key.span);
            let help = hint
                .clone()
                .unwrap_or_else(|| "use lower-case words".to_string());
            let says = format!("`{name}` has not the form of a name here");
            return Problem::new("wrong-form", span, says, help);
        }
        What::MissingKey { name } => (
            "key-missing",
            format!("`{name}` is missing here"),
            format!("add a line `{name}:`"),
        ),
        What::NotOneOf { allowed } => {
            let words = || allowed.iter().map(String::as_str);
            let all = format!("it can be {}", suggest::either(words()));
            let says = format!("`{written}` is not one of the words for this");
            ("not-a-choice", says, suggest::help(written, words(), &all))
        }
        What::WrongType { expected, keys } => (
            "value-expected",
            "this is not the sort of value that belongs here".to_string(),
            of_sort(expected, keys, written),
        ),
        What::Pattern { hint } => {
            let help = hint.clone();
            let help =
                help.unwrap_or_else(|| "see the field's description in the schema".to_string());
            (
                "wrong-form",
                format!("`{written}` has not the form that belongs here"),
                help,
            )
        }
        What::Repeated => (
            "said-twice",
            "this says the same thing twice".to_string(),
            "say each thing once".to_string(),
        ),
        What::TooFew { least } => (
            "too-few",
            "there is too little here".to_string(),
            at_least(*least),
        ),
        What::Other { keyword } => (
            "does-not-fit",
            "this does not fit the schema".to_string(),
            format!("the schema asks for `{keyword}` here"),
        ),
    };
    Problem::new(kind, own, says, help)
}

/// What sort of value to write; of a mapping the keys that it must have.
fn of_sort(expected: &[Sort], keys: &[String], written: &str) -> String {
    match expected {
        // What looks like a number or a truth is one, unless it stands in quotation marks.
        [Sort::Text] if !written.is_empty() => {
            format!("put it in quotation marks: `\"{written}\"`")
        }
        [Sort::Mapping] if !keys.is_empty() => {
            let keys = suggest::either(keys.iter().map(String::as_str));
            format!(
                "write its parts by their names: {}",
                keys.replace(" or ", " and ")
            )
        }
        _ => {
            let sorts: Vec<&str> = expected.iter().map(|sort| sort_words(*sort)).collect();
            format!("write {}", sorts.join(" or "))
        }
    }
}

fn at_least(least: u64) -> String {
    match least {
        1 => "at least one belongs here".to_string(),
        more => format!("at least {more} belong here"),
    }
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
    if let Some(entry) = node.entries().first() {
        entry.key.span
    } else {
        let line = source.line_span(source.line_of(node.span.start));
        Span {
            start: node.span.start,
            end: node.span.end.min(line.end).max(node.span.start),
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
