//! Holds what is written as JSON to the schema that describes it, key by key.

use serde_json::{Map, Value};
use std::collections::BTreeSet;

/// Every object has exactly the keys that its schema names, in that order, and every part of the schema
/// is met.
pub(crate) fn assert_keys(text: &str, schema: &str) {
    let document: Value = serde_json::from_str(text).expect("the document is JSON");
    let schema: Value = serde_json::from_str(schema).expect("the schema is JSON");
    let mut met = BTreeSet::new();
    walk(&document, &schema, &schema, &mut met);
    let parts = schema["$defs"].as_object().expect("the schema has parts");
    let objects = parts
        .iter()
        .filter(|(_, part)| part["properties"].is_object());
    let unmet: Vec<&String> = objects
        .map(|(name, _)| name)
        .filter(|name| !met.contains(*name))
        .collect();
    assert!(unmet.is_empty(), "not in the document: {unmet:?}");
}

fn walk(value: &Value, part: &Value, schema: &Value, met: &mut BTreeSet<String>) {
    if let Some(name) = part["$ref"]
        .as_str()
        .and_then(|at| at.strip_prefix("#/$defs/"))
    {
        // What is not there says nothing of its part.
        if !value.is_null() {
            met.insert(name.to_string());
        }
        return walk(value, &schema["$defs"][name], schema, met);
    }
    for choice in ["allOf", "anyOf", "oneOf"] {
        for part in part[choice].as_array().into_iter().flatten() {
            if fits(value, part, schema) {
                walk(value, part, schema, met);
            }
        }
    }
    for one in value.as_array().into_iter().flatten() {
        walk(one, &part["items"], schema, met);
    }
    if let (Some(object), Some(described)) = (value.as_object(), part["properties"].as_object()) {
        let keys = |map: &Map<String, Value>| map.keys().cloned().collect::<Vec<String>>();
        assert_eq!(keys(object), keys(described));
        for (key, value) in object {
            walk(value, &described[key], schema, met);
        }
    }
}

/// Whether a choice is meant: of objects the one that has all its keys.
fn fits(value: &Value, part: &Value, schema: &Value) -> bool {
    let named = part["$ref"]
        .as_str()
        .and_then(|at| at.strip_prefix("#/$defs/"));
    let part = named.map_or(part, |name| &schema["$defs"][name]);
    match (value.as_object(), part["properties"].as_object()) {
        (Some(object), Some(described)) => described.keys().all(|key| object.contains_key(key)),
        _ => true,
    }
}
