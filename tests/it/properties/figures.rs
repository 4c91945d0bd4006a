//! What no rule reads is told the same as well: every figure, and all that is told of the house, whatever
//! the order of keys and lists and the units that a survey is written in.

use crate::generate::trees::{in_other_units, written};
use crate::generate::{Chance, Example, Read, examples, full, in_two, packs};
use serde_json::{Map, Value};
use wetside_base::source::Source;
use wetside_engine::figures;
use wetside_engine::figures::tell::tell;
use wetside_report::figures::{Survey, document};

/// Rewritings of each example and of each sort.
fn times() -> u64 {
    if full() { 60 } else { 2 }
}

/// Everything that `wetside figures --format json` tells, without its lines, and in an order of its own
/// where the order is that of the survey.
pub(super) fn told(text: &str) -> Value {
    let read = Read::survey(text);
    let vocabulary = &packs().vocabulary;
    let survey = Survey {
        figures: figures::all(&read.facts, vocabulary),
        told: tell(&read.facts, vocabulary),
        problems: Vec::new(),
        source: Source::new("survey.yaml", text),
    };
    let document = serde_json::from_str(&document(&[survey])).expect("it is JSON");
    essence("", document)
}

fn essence(key: &str, value: Value) -> Value {
    match value {
        Value::Object(entries) => {
            let entries = entries.into_iter().filter(|(key, _)| key != "lines");
            let entries = entries.map(|(key, value)| {
                let value = essence(&key, value);
                (key, value)
            });
            Value::Object(entries.collect::<Map<String, Value>>())
        }
        Value::Array(items) => {
            let mut items: Vec<Value> = items.into_iter().map(|item| essence("", item)).collect();
            // The order in which branches take their turn is itself worked out.
            if key != "order" {
                items.sort_by_key(Value::to_string);
            }
            Value::Array(items)
        }
        other => other,
    }
}

/// The first place at which two documents differ, with both values.
fn difference(at: &str, a: &Value, b: &Value) -> Option<String> {
    match (a, b) {
        (Value::Object(one), Value::Object(other)) if one.keys().eq(other.keys()) => one
            .iter()
            .find_map(|(key, value)| difference(&format!("{at}.{key}"), value, &other[key])),
        (Value::Array(one), Value::Array(other)) if one.len() == other.len() => one
            .iter()
            .zip(other)
            .enumerate()
            .find_map(|(place, (one, other))| difference(&format!("{at}[{place}]"), one, other)),
        _ => (a != b).then(|| format!("{at} is {a} and then {b}")),
    }
}

/// What differs between an example and its rewritings.
fn differences(example: &Example, rewritten: impl Fn(u64) -> String) -> Vec<String> {
    let plain = told(&example.text);
    let seeds = 0..times();
    let wrong = seeds.filter_map(|seed| {
        let what = difference("", &plain, &told(&rewritten(seed)))?;
        Some(format!("{} {seed}: {what}", example.name))
    });
    wrong.collect()
}

#[test]
fn the_order_of_keys_and_lists_changes_no_figure() {
    let wrong = in_two(examples(), |example| {
        let source = Source::new("survey.yaml", example.text.as_str());
        let reading = wetside_document::read(&source);
        differences(example, |seed| {
            written(&reading.root, &mut Some(Chance::new(seed)))
        })
    });
    let wrong: Vec<String> = wrong.into_iter().flatten().collect();
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn another_unit_of_the_same_quantity_changes_no_figure() {
    let wrong = in_two(examples(), |example| {
        let read = Read::by(&example.text, &packs().vocabulary);
        differences(example, |seed| {
            in_other_units(&read.source, &read.facts, &mut Chance::new(seed)).0
        })
    });
    let wrong: Vec<String> = wrong.into_iter().flatten().collect();
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

/// The two laws above are of use only where there is something to be told of every sort.
#[test]
fn the_examples_tell_every_sort_of_figure() {
    let all: Vec<Value> = examples()
        .iter()
        .map(|example| told(&example.text))
        .collect();
    let surveys = || all.iter().map(|document| &document["surveys"][0]);
    for name in [
        "best_point",
        "best_point_gain",
        "mixing_volume",
        "time_on_site",
    ] {
        let known = |survey: &Value| {
            let figures = survey["figures"].as_array().into_iter().flatten();
            figures
                .filter(|figure| figure["name"] == *name)
                .any(|figure| figure["value"].is_string())
        };
        assert!(surveys().any(known), "no example has `{name}`");
    }
    for part in [
        "/house/branches/0/flow/low",
        "/house/all_open/machine_flow/low",
        "/house/connections/best",
        "/house/floor_loop/speed/low",
        "/house/plan/order/1/time/low",
        "/house/plan/dump/rate/low",
        "/house/plan/rinse_one_by_one/water/low",
        "/house/plan/return/early/low",
        "/house/supposed/0",
    ] {
        let known = |survey: &Value| survey.pointer(part).is_some_and(|value| !value.is_null());
        assert!(surveys().any(known), "no example has `{part}`");
    }
}
