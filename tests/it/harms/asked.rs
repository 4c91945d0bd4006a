//! Nothing is asked in vain: each field of a survey, and each word of each choice, changes some outcome.
//!
//! Every fact of every sound house is in turn said to be unknown, and every choice is given each of its
//! words; the outcomes at the last stage must differ somewhere. What is asked for the record alone says so
//! in the schema, with the reason (`x-for-the-record`).

use super::{Bases, data, edit, harms, house};
use crate::examples::packs;
use crate::generate::examples;
use serde_yaml::{Mapping, Value};
use std::cell::OnceCell;
use std::collections::BTreeSet;
use std::fs;
use wetside_base::finding::{Finding, Stage};
use wetside_base::source::Source;
use wetside_base::vocabulary::{Field, Shape, Type, Vocabulary};
use wetside_engine::check::{Ask, check};

const UNKNOWN: &str = "unknown";

/// The fields that the schema asks for the record alone.
fn for_the_record() -> BTreeSet<String> {
    let text = fs::read_to_string("schemas/survey.schema.json").expect("the schema is there");
    let schema: serde_json::Value = serde_json::from_str(&text).expect("the schema is JSON");
    let mut found = BTreeSet::new();
    marked(&schema, &schema, "", &mut found);
    found
}

fn marked(
    schema: &serde_json::Value,
    group: &serde_json::Value,
    path: &str,
    found: &mut BTreeSet<String>,
) {
    let element = group.pointer("/anyOf/0/items").unwrap_or(group);
    let shared = element["$ref"]
        .as_str()
        .and_then(|shape| shape.strip_prefix('#'));
    let element = shared
        .and_then(|shape| schema.pointer(shape))
        .unwrap_or(element);
    for (name, field) in element["properties"].as_object().into_iter().flatten() {
        let path = format!("{path}{name}");
        let reason = field["x-for-the-record"].as_str();
        if reason.is_some_and(|reason| reason.len() > 20) {
            found.insert(path.clone());
        }
        marked(schema, field, &format!("{path}."), found);
    }
}

/// What a survey comes to at the last stage, when every rule is due.
type Outcomes = BTreeSet<String>;

fn outcomes(survey: &Value) -> Outcomes {
    let text = serde_json::to_string(survey).expect("a tree can be written");
    let ask = Ask {
        stage: Some(Stage::Upkeep),
        ..Ask::default()
    };
    let judgement = check(&Source::new("asked", text), packs(), &ask);
    let line = |found: &Finding| {
        let on: Vec<_> = found.on.iter().map(|on| on.element.clone()).collect();
        format!(
            "{} {:?} {on:?} {:?}",
            found.rule, found.outcome, found.also_on
        )
    };
    let findings = judgement.findings.iter().map(line);
    let problems = judgement.problems.iter().map(|one| one.says.clone());
    let unlikely = judgement.unlikely.iter();
    let unlikely = unlikely.map(|one| format!("{} {:?}", one.says, one.confirmed));
    findings.chain(problems).chain(unlikely).collect()
}

/// The fields that are asked: what is worked out, names and remarks are not.
fn asked(vocabulary: &Vocabulary) -> impl Iterator<Item = &Field> {
    let fields = vocabulary.fields().map(|(_, field)| field);
    fields.filter(|field| {
        matches!(field.shape, Shape::Fact(_))
            && !field.path.starts_with("figure")
            && !matches!(field.name.as_str(), "id" | "note" | "notes" | "survey")
            // The stage is what the rules are chosen by, and all are asked here.
            && field.path != "job.stage"
    })
}

/// Where a field stands: in the first element of each list on the way that has it, or in all of them.
fn place(survey: &Value, path: &str, all: bool) -> Option<String> {
    let (name, rest) = path.split_once('.').unwrap_or((path, ""));
    let inner = survey.get(name)?;
    if rest.is_empty() {
        return Some(name.to_string());
    }
    let Some(items) = inner.get("items").and_then(Value::as_sequence) else {
        return Some(format!("{name}.{}", place(inner, rest, all)?));
    };
    let mut items = items.iter().enumerate();
    items.find_map(|(at, item)| {
        let rest = place(item, rest, all)?;
        let at = if all { "*".to_string() } else { at.to_string() };
        Some(format!("{name}[{at}].{rest}"))
    })
}

fn with(survey: &Value, path: &str, value: Value) -> Value {
    let mut changed = survey.clone();
    let edits: Mapping = [(Value::from(path), value)].into_iter().collect();
    edit(&mut changed, &edits, &[]);
    changed
}

/// A survey, with the places that were edited and what it comes to once that is asked.
struct Tried {
    edits: String,
    survey: Value,
    outcomes: OnceCell<Outcomes>,
}

/// The sound houses, and every way to harm with the places that it edits: rare things are answered only there.
fn surveys() -> Vec<Tried> {
    let bases: Bases = data("tests/harms/bases.yaml");
    // Of an example whose text is broken no tree can be made.
    let examples = examples().iter().map(|example| example.name.clone());
    let examples = examples.filter(|name| !name.starts_with("cottage"));
    let examples = examples.map(|name| format!("{}.yaml", name.trim_end_matches(".yaml")));
    let names = bases.keys().cloned().chain(examples);
    let sound = names.map(|name| (String::new(), house(&name, &bases)));
    let sound: Vec<_> = sound.collect();
    let harms = harms();
    let ways = harms.iter().flat_map(|(_, harm)| &harm.ways);
    let ways = ways.filter_map(|way| {
        let mut survey = house(way.base.as_ref()?, &bases);
        edit(&mut survey, &way.edits, &way.without);
        let edits = serde_json::to_string(&way.edits).expect("edits can be written");
        Some((edits, survey))
    });
    let all = sound.into_iter().chain(ways);
    all.map(|(edits, survey)| Tried {
        edits,
        survey,
        outcomes: OnceCell::new(),
    })
    .collect()
}

/// What nothing was seen to read: the field itself, or those of its words that are like all others.
fn unread(field: &Field, vocabulary: &Vocabulary, surveys: &[Tried]) -> Option<String> {
    let words: Vec<&str> = match &field.shape {
        Shape::Fact(Type::Choice(words)) => words.iter().map(|id| vocabulary.word(*id)).collect(),
        _ => Vec::new(),
    };
    let mut silent: BTreeSet<&str> = words.iter().copied().collect();
    let (mut answered, mut told) = (false, false);
    let named = |edits: &String| edits.is_empty() || edits.contains(&field.name);
    let tried = surveys.iter().filter(|tried| named(&tried.edits));
    let tried = tried.flat_map(|tried| [(tried, false), (tried, true)]);
    for (tried, all) in tried {
        let survey = &tried.survey;
        let Some(path) = place(survey, &field.path, all) else {
            continue;
        };
        answered = true;
        let before = || tried.outcomes.get_or_init(|| outcomes(survey));
        told = told || outcomes(&with(survey, &path, UNKNOWN.into())) != *before();
        if !silent.is_empty() {
            let of = |word: &&str| outcomes(&with(survey, &path, Value::from(*word)));
            let all: Vec<Outcomes> = words.iter().map(of).collect();
            let alike = |one: &Outcomes| all.iter().all(|other| other == one);
            silent.retain(|word| {
                all.iter()
                    .zip(&words)
                    .any(|(one, own)| own == word && alike(one))
            });
        }
        if told && silent.is_empty() {
            return None;
        }
    }
    match (answered, told) {
        (false, _) => Some(format!("`{}` is answered nowhere", field.path)),
        (_, false) => Some(format!("`{}` is read by nothing", field.path)),
        _ => Some(format!(
            "`{}`: nothing tells these words from others: {silent:?}",
            field.path
        )),
    }
}

#[test]
fn each_field_and_each_word_changes_some_outcome() {
    let vocabulary = &packs().vocabulary;
    let surveys = surveys();
    let record = for_the_record();
    let unread: Vec<String> = asked(vocabulary)
        .filter(|field| !record.contains(&field.path))
        .filter_map(|field| unread(field, vocabulary, &surveys))
        .collect();
    assert!(unread.is_empty(), "\n{}", unread.join("\n"));
}
