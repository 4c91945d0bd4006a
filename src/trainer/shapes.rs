//! Holds each shape that is read with serde to its schema: the same keys, and the same of them needed.

use serde::de::DeserializeOwned;
use serde_json::Value;
use wetside_document::keys_of as keys;
use wetside_schemas::Which;

/// The keys of a part of a schema, less those that the reader deals with before the struct.
fn described(which: Which, pointer: &str, apart: &[&str]) -> Vec<String> {
    let part = which.schema().pointer(pointer).expect("the schema has it");
    let properties = part["properties"]
        .as_object()
        .expect("it describes a mapping");
    let mut keys: Vec<String> = properties.keys().cloned().collect();
    keys.retain(|key| !apart.contains(&key.as_str()));
    keys.sort();
    keys
}

#[test]
fn each_struct_has_the_keys_of_its_schema() {
    use crate::fault::{Sight, WrittenEdit, WrittenFault, WrittenLook, WrittenPromise};
    use crate::key::{Drawn, Key, KeyDecoy, KeyFault, WrittenFinding};
    use crate::sheet::{WrittenClaim, WrittenSheet};
    type Row = (
        Which,
        &'static str,
        &'static [&'static str],
        &'static [&'static str],
    );
    let rows: [Row; 12] = [
        (Which::Fault, "", &[], keys::<WrittenFault<'_>>()),
        (Which::Fault, "/$defs/edit", &[], keys::<WrittenEdit<'_>>()),
        (
            Which::Fault,
            "/$defs/promise",
            &[],
            keys::<WrittenPromise<'_>>(),
        ),
        (
            Which::Fault,
            "/properties/looks_like",
            &[],
            keys::<WrittenLook<'_>>(),
        ),
        (Which::Fault, "/$defs/see", &[], keys::<Sight>()),
        (Which::Key, "", &["seal", "key"], keys::<Key>()),
        (Which::Key, "/properties/recipe", &[], keys::<Drawn>()),
        (
            Which::Key,
            "/properties/decoys/items",
            &[],
            keys::<KeyDecoy>(),
        ),
        (Which::Key, "/$defs/fault", &[], keys::<KeyFault>()),
        (Which::Key, "/$defs/finding", &[], keys::<WrittenFinding>()),
        (Which::Answers, "", &["answers"], keys::<WrittenSheet<'_>>()),
        (
            Which::Answers,
            "/$defs/claim",
            &["note"],
            keys::<WrittenClaim<'_>>(),
        ),
    ];
    for (which, pointer, apart, keys) in rows {
        let mut keys = keys.to_vec();
        keys.sort_unstable();
        assert_eq!(
            described(which, pointer, apart),
            keys,
            "{which:?} {pointer}"
        );
    }
}

/// What a schema lets be left out, the struct lets be left out; and what it asks for, the struct needs.
#[test]
fn what_a_schema_requires_a_struct_needs() {
    fn needs<T: DeserializeOwned>(whole: &Value, key: &str) -> bool {
        let mut less = whole.clone();
        less.as_object_mut().expect("it is a mapping").remove(key);
        serde_json::from_value::<T>(less).is_err()
    }
    let decoy = serde_json::json!({"id": "a", "title": "b", "lines": [1], "because": "c"});
    let fault =
        serde_json::json!({"id": "a", "title": "b", "difficulty": 1, "lines": [1], "findings": []});
    let field = serde_json::json!({"field": "a", "is": "b"});
    let key = serde_json::json!({
        "exercise": "a", "survey": "b", "made_from": "c", "recipe": {"seed": 1, "variant": 1},
        "packs": ["p"], "catalogue": "d", "reasons": [], "fields": [field], "steps": [], "faults": [fault],
        "neutral": [], "decoys": [decoy],
    });
    type Needs = fn(&Value, &str) -> bool;
    let rows: [(&str, &Value, Needs); 3] = [
        ("", &key, needs::<crate::key::Key>),
        ("/$defs/fault", &fault, needs::<crate::key::KeyFault>),
        (
            "/properties/decoys/items",
            &decoy,
            needs::<crate::key::KeyDecoy>,
        ),
    ];
    for (pointer, whole, needs) in rows {
        let part = Which::Key
            .schema()
            .pointer(pointer)
            .expect("the schema has it");
        for name in whole.as_object().expect("it is a mapping").keys() {
            let required = part["required"].as_array().expect("it is a list");
            let required = required.contains(&Value::from(name.as_str()));
            assert_eq!(needs(whole, name), required, "{pointer} {name}");
        }
    }
}
