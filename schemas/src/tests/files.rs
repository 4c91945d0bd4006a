//! What holds of the schema files themselves.

use std::collections::BTreeSet;

use serde_json::{Value, json};

use super::FILES;
use crate::Which;

/// Every keyword that our schemas use. A misspelt one would be accepted in silence.
const KEYWORDS: &[&str] = &[
    "$comment",
    "$defs",
    "$id",
    "$ref",
    "$schema",
    "additionalProperties",
    "allOf",
    "anyOf",
    "const",
    "description",
    "else",
    "enum",
    "examples",
    "if",
    "items",
    "minItems",
    "minLength",
    "minProperties",
    "minimum",
    "pattern",
    "patternErrorMessage",
    "properties",
    "propertyNames",
    "required",
    "type",
    "uniqueItems",
    "x-asked-when",
    "x-for-the-record",
    "x-kind",
    "x-least",
    "x-list",
    "x-most",
    "x-place",
    "x-read-as",
    "x-set",
    "x-stays",
    "x-tier",
    "x-true-anyway",
    "x-usual-unit",
];

/// The kinds of quantity that a survey's field may be.
const KINDS: &[&str] = &[
    "acidity",
    "area",
    "concentration",
    "count",
    "dissolved solids",
    "dose rate",
    "electric current",
    "voltage",
    "frequency",
    "gauge pressure",
    "hardness",
    "length",
    "number",
    "power",
    "pressure difference",
    "share",
    "temperature",
    "temperature difference",
    "time",
    "volume",
    "volume flow",
    "year",
];

/// Kinds that are written as bare numbers.
const BARE: &[&str] = &["acidity", "count", "number", "year"];

/// Words that stand in capitals because they are codes, names or abbreviations.
const CAPITALS: &[&str] = &[
    "BS 9593",
    "CHP",
    "England",
    "LPG",
    "Northern Ireland",
    "Scotland",
    "WC pan",
    "Wales",
    "type CA permanent",
];

/// Calls `visit` on every schema inside a schema, with its JSON Pointer.
fn walk(schema: &Value, pointer: &str, visit: &mut impl FnMut(&str, &Value)) {
    visit(pointer, schema);
    for keyword in ["properties", "$defs"] {
        for (name, inner) in schema[keyword].as_object().into_iter().flatten() {
            walk(inner, &format!("{pointer}/{keyword}/{name}"), visit);
        }
    }
    for keyword in ["anyOf", "allOf"] {
        for (place, inner) in schema[keyword].as_array().into_iter().flatten().enumerate() {
            walk(inner, &format!("{pointer}/{keyword}/{place}"), visit);
        }
    }
    for keyword in ["items", "propertyNames", "additionalProperties"] {
        if schema[keyword].is_object() {
            walk(&schema[keyword], &format!("{pointer}/{keyword}"), visit);
        }
    }
}

fn every_schema(which: Which) -> Vec<(String, Value)> {
    let mut all = Vec::new();
    walk(which.schema(), "", &mut |pointer, schema| {
        all.push((pointer.to_owned(), schema.clone()));
    });
    all
}

/// The schemas that stand for a field: members of `properties`, those behind a mere reference
/// taken from where they are described.
fn fields(which: Which) -> Vec<(String, Value)> {
    let is_field = |pointer: &str| {
        pointer
            .rsplit_once('/')
            .is_some_and(|(parent, _)| parent.ends_with("/properties"))
    };
    every_schema(which)
        .into_iter()
        .filter(|(pointer, _)| is_field(pointer))
        .map(|(pointer, field)| {
            let only_reference = field.as_object().is_some_and(|keys| keys.len() == 1);
            match field["$ref"].as_str() {
                Some(target) if only_reference => (pointer, target_of(which, target).clone()),
                _ => (pointer, field),
            }
        })
        .collect()
}

fn target_of(which: Which, reference: &str) -> &'static Value {
    let pointer = reference.trim_start_matches('#');
    which
        .schema()
        .pointer(pointer)
        .unwrap_or_else(|| panic!("{reference} leads nowhere"))
}

/// The words of a choice or of a set, without `unknown`.
fn words(field: &Value) -> Option<Vec<&str>> {
    let first = field["anyOf"].get(0)?;
    let words = first["enum"]
        .as_array()
        .or(first["items"]["enum"].as_array())?;
    Some(
        words
            .iter()
            .filter_map(Value::as_str)
            .filter(|word| *word != "unknown")
            .collect(),
    )
}

#[test]
fn every_keyword_is_known() {
    for which in FILES {
        for (pointer, schema) in every_schema(which) {
            for keyword in schema.as_object().into_iter().flat_map(|keys| keys.keys()) {
                assert!(
                    KEYWORDS.contains(&keyword.as_str()),
                    "{which:?} {pointer}: {keyword}"
                );
            }
        }
    }
}

#[test]
fn the_files_are_sound_schemas_that_refer_only_to_themselves() {
    for which in FILES {
        jsonschema::draft202012::meta::validate(which.schema())
            .unwrap_or_else(|error| panic!("{which:?}: {error}"));
        for (pointer, schema) in every_schema(which) {
            if let Some(reference) = schema["$ref"].as_str() {
                assert!(
                    reference.starts_with("#/$defs/"),
                    "{which:?} {pointer}: {reference}"
                );
                target_of(which, reference);
            }
        }
    }
}

#[test]
fn every_definition_is_used() {
    for which in FILES {
        let used: BTreeSet<String> = every_schema(which)
            .iter()
            .filter_map(|(_, schema)| schema["$ref"].as_str().map(str::to_owned))
            .collect();
        for name in which.schema()["$defs"]
            .as_object()
            .expect("definitions")
            .keys()
        {
            assert!(
                used.contains(&format!("#/$defs/{name}")),
                "{which:?}: {name}"
            );
        }
    }
}

#[test]
fn every_field_and_definition_is_described() {
    for which in FILES {
        let definitions = every_schema(which).into_iter().filter(|(pointer, _)| {
            pointer
                .strip_prefix("/$defs/")
                .is_some_and(|name| !name.contains('/'))
        });
        for (pointer, field) in fields(which).into_iter().chain(definitions) {
            // A shape of values has a comment only: an editor would show its description in place of
            // the field's own.
            let says = field.get("description").or(field.get("$comment"));
            let sentence = says
                .and_then(Value::as_str)
                .is_some_and(|says| says.ends_with('.'));
            assert!(sentence, "{which:?} {pointer}: {says:?}");
        }
    }
}

#[test]
fn every_field_of_the_survey_has_a_tier() {
    for (pointer, field) in fields(Which::Survey) {
        let group = field["properties"].is_object();
        let part = pointer.starts_with("/$defs/unknown/") || pointer.contains("/anyOf/");
        let tier = field["x-tier"].as_str();
        let known = tier.is_some_and(|tier| ["minimum", "detail", "record"].contains(&tier));
        assert_eq!(known, !group && !part, "{pointer}: {tier:?}");
    }
}

#[test]
fn every_quantity_has_a_known_kind_and_a_range() {
    for (pointer, field) in fields(Which::Survey) {
        let Some(kind) = field["x-kind"].as_str() else {
            continue;
        };
        assert!(KINDS.contains(&kind), "{pointer}: {kind}");
        let bare = BARE.contains(&kind);
        assert_eq!(
            field["$ref"],
            format!("#/$defs/{}", kind.replace(' ', "_")),
            "{pointer}"
        );
        assert_eq!(field["x-usual-unit"].is_null(), bare, "{pointer}");
        for end in ["x-least", "x-most"] {
            let text = field[end]
                .as_str()
                .unwrap_or_else(|| panic!("{pointer}: no {end}"));
            assert_eq!(text.parse::<f64>().is_ok(), bare, "{pointer}: {text}");
        }
    }
}

#[test]
fn every_reference_to_a_quantity_names_its_kind() {
    for (pointer, field) in fields(Which::Survey) {
        let name = field["$ref"].as_str().unwrap_or_default().replace('_', " ");
        let quantity = KINDS.contains(&name.trim_start_matches("#/$defs/"));
        assert_eq!(quantity, field["x-kind"].is_string(), "{pointer}");
    }
}

#[test]
fn the_words_of_a_choice_are_unique_and_in_lower_case() {
    for (pointer, field) in fields(Which::Survey) {
        let Some(words) = words(&field) else {
            continue;
        };
        let distinct: BTreeSet<&str> = words.iter().copied().collect();
        assert_eq!(distinct.len(), words.len(), "{pointer}");
        for word in words {
            // H314, EUH031: as labels write them.
            let code = word.len() <= 6
                && word
                    .chars()
                    .all(|c| c.is_ascii_uppercase() || c.is_ascii_digit());
            let plain = word == word.to_lowercase() && word == word.trim();
            assert!(
                plain || code || CAPITALS.contains(&word),
                "{pointer}: {word}"
            );
        }
    }
}

#[test]
fn every_choice_and_every_set_may_be_unknown() {
    for (pointer, field) in fields(Which::Survey) {
        let Some(shapes) = field["anyOf"].as_array() else {
            continue;
        };
        let set = field["x-set"] == json!(true);
        let list = field["x-list"] == json!(true);
        let last = shapes.last().map(|shape| shape["$ref"].clone());
        let list_and_word = list && shapes.last() == Some(&json!({"const": "unknown"}));
        assert!(
            list_and_word || last == Some(json!("#/$defs/unknown")),
            "{pointer}"
        );
        if set {
            assert_eq!(shapes[1], json!({"const": "unknown"}), "{pointer}");
        } else if !list && words(&field).is_some() {
            assert_eq!(
                shapes[0]["enum"].as_array().and_then(|words| words.last()),
                Some(&json!("unknown")),
                "{pointer}"
            );
        }
    }
}

#[test]
fn keys_are_lower_case_words() {
    for which in FILES {
        for (pointer, _) in fields(which) {
            let name = pointer.rsplit('/').next().unwrap_or_default();
            assert!(
                name.chars().all(|c| c.is_ascii_lowercase() || c == '_'),
                "{which:?} {pointer}"
            );
        }
    }
}

#[test]
fn definitions_of_the_same_name_agree_between_the_pack_files() {
    let shared = [
        ("source", Which::Pack, Which::Rule),
        ("source", Which::Agreements, Which::Rule),
        ("source", Which::Moved, Which::Rule),
        ("kind", Which::Pack, Which::Table),
        ("name", Which::Pack, Which::Table),
    ];
    for (name, one, other) in shared {
        assert_eq!(
            one.schema()["$defs"][name],
            other.schema()["$defs"][name],
            "{name}"
        );
    }
}

#[test]
fn the_patterns_accept_their_own_examples() {
    for which in FILES {
        for (pointer, schema) in every_schema(which) {
            let Some(examples) = schema["examples"].as_array() else {
                continue;
            };
            let alone = json!({"$schema": which.schema()["$schema"], "$defs": which.schema()["$defs"], "allOf": [schema]});
            let validator = jsonschema::options()
                .offline()
                .build(&alone)
                .expect("a sound schema");
            for example in examples {
                assert!(
                    validator.is_valid(example),
                    "{which:?} {pointer}: {example}"
                );
            }
        }
    }
}

/// Texts of quantities that an editor must and must not underline.
#[test]
fn the_pattern_of_a_quantity_is_loose_but_wants_a_unit() {
    let length = json!({"$schema": Which::Survey.schema()["$schema"], "$defs": Which::Survey.schema()["$defs"], "$ref": "#/$defs/length"});
    let validator = jsonschema::options()
        .offline()
        .build(&length)
        .expect("a sound schema");
    for text in [
        "15 mm",
        "15mm",
        "4 to 6 m",
        "4 m to 6 m",
        "about 8 m",
        "at least 9 m",
        "5.2 m ± 0.2 m",
        "5.2 ± 0.2 m",
        "5.2 +/- 0.2 m",
        "300 ppm ± 10 %",
        "-5 °C",
        "−5 °C",
        "unknown",
    ] {
        assert!(validator.is_valid(&json!(text)), "{text}");
    }
    for text in [
        "15",
        "4 to 6",
        "2,5 m",
        "about",
        "roughly 5 m",
        "mm 15",
        "",
        "Unknown",
        "not known",
    ] {
        assert!(!validator.is_valid(&json!(text)), "{text}");
    }
}
