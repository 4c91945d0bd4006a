//! Whether a change of a text changed what it should and nothing else.
//!
//! Contract: both readings are held against each other as plain values, without looking at the text, so
//! that no slip of the writer can agree with itself.

use super::place::Step;
use serde_json::{Map, Value as Json, json};
use wetside_document::{Node, Reading, Value};

/// What is to become of a survey.
pub(crate) enum Wanted {
    Set(Json),
    Append(Json),
    Removed,
}

/// Whether the reading of the new text is that of the old one with the change made, and no problem more.
pub(crate) fn holds(old: &Reading, new: &Reading, steps: &[Step], wanted: &Wanted) -> bool {
    let mut expected = plain(&old.root);
    let said = |reading: &Reading| -> Vec<String> {
        let mut said: Vec<String> = reading
            .problems
            .iter()
            .map(|one| one.says.clone())
            .collect();
        said.sort();
        said
    };
    let before = said(old);
    change(&mut expected, steps, wanted)
        && expected == plain(&new.root)
        && said(new).iter().all(|one| before.contains(one))
        && new.problems.len() <= old.problems.len()
}

fn plain(node: &Node) -> Json {
    match &node.value {
        Value::Scalar(scalar) => json!(scalar.text.as_str()),
        Value::List(items) => items.iter().map(plain).collect(),
        Value::Map(entries) => {
            let pairs = entries.iter();
            let pairs = pairs.map(|entry| (entry.key.text.to_string(), plain(&entry.value)));
            Json::Object(pairs.collect())
        }
        Value::Empty => Json::Null,
        Value::Broken => json!(false),
    }
}

/// Makes the change; false where the place cannot hold it.
fn change(at: &mut Json, steps: &[Step], wanted: &Wanted) -> bool {
    match (steps, wanted) {
        ([], Wanted::Set(value)) => {
            *at = value.clone();
            true
        }
        ([], Wanted::Append(thing)) => append(at, thing),
        ([], Wanted::Removed) => false,
        ([Step::Key(key)], Wanted::Removed) => at
            .as_object_mut()
            .is_some_and(|group| group.remove(key).is_some()),
        ([Step::Thing(thing)], Wanted::Removed) => {
            let items = items(at).filter(|items| *thing < items.len());
            items.map(|items| items.remove(*thing)).is_some()
        }
        ([Step::Thing(thing), rest @ ..], _) => {
            let thing = items(at).and_then(|items| items.get_mut(*thing));
            thing.is_some_and(|thing| change(thing, rest, wanted))
        }
        ([Step::Key(key), rest @ ..], _) => {
            if rest.is_empty() && key == "count" && !at.is_object() {
                let items = if at.is_array() { at.take() } else { json!([]) };
                *at = json!({ "items": items });
            }
            if at.is_null() {
                *at = Json::Object(Map::new());
            }
            let Some(group) = at.as_object_mut() else {
                return false;
            };
            change(group.entry(key.clone()).or_insert(Json::Null), rest, wanted)
        }
    }
}

/// The things of a list in either of its forms.
fn items(at: &mut Json) -> Option<&mut Vec<Json>> {
    match at {
        Json::Array(items) => Some(items),
        Json::Object(list) => list.get_mut("items")?.as_array_mut(),
        _ => None,
    }
}

fn append(at: &mut Json, thing: &Json) -> bool {
    if at.is_null() || *at == json!("unknown") {
        *at = json!({"count": "unknown"});
    }
    if let Json::Object(list) = at {
        list.entry("items").or_insert_with(|| json!([]));
    }
    items(at).map(|items| items.push(thing.clone())).is_some()
}
