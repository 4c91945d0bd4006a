//! What the reader of facts takes without a word, the schema takes too: so the schema's checker is only
//! asked where there is something to say.

use crate::generate::{examples, full, packs};
use std::collections::BTreeSet;
use wetside_base::source::{Source, Span};
use wetside_base::vocabulary::{FieldId, Shape, Vocabulary};
use wetside_engine::read;
use wetside_engine::schema::check;
use wetside_schemas::Which;

/// Values of every sort, and near misses of those that a survey may hold.
const VALUES: &[&str] = &[
    "5",
    "-1.5",
    "0x1F",
    "1e3",
    "true",
    "no",
    "unknown",
    "\"unknown\"",
    "\"\"",
    "\"5\"",
    "some words",
    "15 mm",
    "2026-10-13",
    "2026-10-13T10:05",
    "[]",
    "[5]",
    "[copper]",
    "[copper, copper]",
    "[[copper]]",
    "[{id: a}]",
    "[{id: a}, {id: 5}]",
    "[{id: \"\"}]",
    "[{kind: radiator}]",
    "{}",
    "{unknown: 5}",
    "{unknown: \"\"}",
    "{unknown: [a]}",
    "{unknown: why, more: 5}",
    "{count: 2}",
    "{count: \"2\", items: []}",
    "{count: 2.5, items: [{id: a}]}",
    "{count: {unknown: why}, items: []}",
    "{count: [1], items: []}",
    "{items: 5}",
    "{items: {unknown: why}}",
];

/// What the schema says of a text of which the reader says nothing.
fn unheard(text: &str) -> Option<String> {
    let source = Source::new("s.yaml".to_string(), text.to_string());
    let reading = wetside_document::read(&source);
    let (_, problems) = read::survey(&source, &reading, &packs().vocabulary);
    if !reading.problems.is_empty() || !problems.is_empty() {
        return None;
    }
    let more = check::problems(Which::Survey, &source, &reading);
    more.first().map(|problem| problem.says.clone())
}

/// The places of one text where something else could stand, each named by its path without numbers.
fn places(text: &str) -> Vec<(String, Span)> {
    let source = Source::new("s.yaml".to_string(), text.to_string());
    let reading = wetside_document::read(&source);
    let mut places = Vec::new();
    walk(&reading.root, "", &mut places);
    places
}

fn walk(node: &wetside_document::Node, path: &str, places: &mut Vec<(String, Span)>) {
    places.push((path.to_string(), node.span));
    for item in node.items() {
        walk(item, &format!("{path}[]"), places);
    }
    for entry in node.entries() {
        walk(&entry.value, &format!("{path}.{}", entry.key.text), places);
    }
}

#[test]
fn what_the_reader_takes_the_schema_takes() {
    let (mut seen, mut tried, mut missed) = (BTreeSet::new(), 0, Vec::new());
    for example in examples() {
        for (path, span) in places(&example.text) {
            // Each field once is enough, unless asked for more.
            if !seen.insert(path.clone()) && !full() {
                continue;
            }
            for value in VALUES {
                let mut text = example.text.clone();
                text.replace_range(span.range(), value);
                tried += 1;
                if let Some(says) = unheard(&text) {
                    missed.push(format!("{}{path}: {value}: {says}", example.name));
                }
            }
        }
    }
    assert!(tried > 5000, "{tried}");
    assert!(
        missed.is_empty(),
        "{} of {tried}:\n{}",
        missed.len(),
        missed.join("\n")
    );
}

/// A survey that says nothing but one thing of one field.
fn alone(vocabulary: &Vocabulary, id: FieldId, value: &str) -> String {
    let field = vocabulary.field(id);
    let Some(parent) = field.parent else {
        return value.to_string();
    };
    let above = vocabulary.field(parent);
    if matches!(above.shape, Shape::List { .. }) {
        return alone(
            vocabulary,
            parent,
            &format!("{{count: 1, items: [{value}]}}"),
        );
    }
    if parent == Vocabulary::ROOT {
        return match field.name.as_str() {
            "survey" => format!("survey: {value}\n"),
            name => format!("survey: 1\n{name}: {value}\n"),
        };
    }
    let listed = above
        .parent
        .is_some_and(|list| matches!(vocabulary.field(list).shape, Shape::List { .. }));
    let named = listed && field.name != "id" && vocabulary.child(parent, "id").is_some();
    let name = if named { "id: a, " } else { "" };
    let group = format!("{{{name}{}: {value}}}", field.name);
    alone(vocabulary, parent, &group)
}

#[test]
fn what_the_reader_takes_of_any_field_the_schema_takes() {
    let vocabulary = &packs().vocabulary;
    let recorded = vocabulary.fields().filter(|(_, field)| {
        let worked_out = field.path.split('.').next() == Some(Vocabulary::FIGURES);
        !field.path.is_empty() && !worked_out
    });
    let (mut tried, mut missed) = (0, Vec::new());
    for (id, field) in recorded {
        for value in VALUES {
            let text = alone(vocabulary, id, value);
            tried += 1;
            if let Some(says) = unheard(&text) {
                missed.push(format!("{}: {value}: {says}\n{text}", field.path));
            }
        }
    }
    assert!(tried > 10_000, "{tried}");
    assert!(
        missed.is_empty(),
        "{} of {tried}:\n{}",
        missed.len(),
        missed.join("\n")
    );
}
