//! What the check says of values.

use std::collections::BTreeSet;

use serde_json::{Value, json};

use super::FILES;
use crate::{Fault, Plain, Sort, What, Which, check, is_valid};

fn faults(which: Which, value: &Value) -> Vec<(String, What)> {
    let found = check(which, value);
    assert_eq!(found.is_empty(), is_valid(which, value));
    found
        .into_iter()
        .map(|Fault { pointer, what, .. }| (pointer, what))
        .collect()
}

/// The faults of a survey that has an edition and the given member besides.
fn of_survey(key: &str, value: &Value) -> Vec<(String, What)> {
    faults(Which::Survey, &json!({"survey": 1, key: value}))
}

#[test]
fn a_survey_in_the_decided_manner_is_accepted() {
    let survey = json!({
        "survey": 1,
        "job": {"reference": "ALDER-14", "stage": "set-up", "work_date": "2026-10-13", "operator": {"trained": "yes"}},
        "premises": {"built": 1974, "storeys": "2 to 3", "forecast_minimum": "about 2 °C"},
        "water_supply": {"flow": "14 L/min", "backflow_device": "ED", "softener": {"unknown": "nobody knew"}},
        "electrical": {"supplies": {"count": "unknown", "items": [{"id": "spur", "kind": "boiler spur"}]}},
        "circuit": {"pipe_materials": ["copper"], "other_circuits": [], "age": "about 45 years"},
        "emitters": [{"id": 1, "kind": "panel radiator", "panels": 2, "tails": {"bore": "13.6 mm"}, "note": "behind the sofa"}],
        "controls": {"count": 0, "items": []},
        "readings": {"system": {"ph": 7.2, "tds": "unknown"}},
        "flush_log": [{"at": "2026-10-13T10:05", "direction": "forward"}],
        "machine": {"points_available": "unknown"},
        "notes": "seen with the tenant"
    });
    assert_eq!(faults(Which::Survey, &survey), []);
}

fn not_one_of(pointer: &str) -> impl Fn(&(String, What)) -> bool {
    let pointer = pointer.to_owned();
    move |(at, what)| *at == pointer && matches!(what, What::NotOneOf { .. })
}

#[test]
fn a_key_that_is_not_allowed_brings_the_allowed_ones() {
    let found = of_survey("job", &json!({"reson": "noise", "stage": "flush"}));
    let [(pointer, What::NotAllowedKey { names, allowed })] = &found[..] else {
        panic!("{found:?}");
    };
    assert_eq!(
        (pointer.as_str(), names.as_slice()),
        ("/job", &["reson".to_owned()][..])
    );
    assert!(allowed.contains(&"reason".to_owned()) && allowed.contains(&"note".to_owned()));
}

#[test]
fn keys_that_are_not_allowed_are_found_at_the_root_and_in_elements() {
    let found = faults(Which::Survey, &json!({"survey": 1, "drains": {}}));
    assert!(matches!(&found[..], [(at, What::NotAllowedKey { .. })] if at.is_empty()));
    for emitters in [
        json!([{"id": "a", "flor": 1}]),
        json!({"count": 3, "items": [{"id": "a", "flor": 1}]}),
    ] {
        let found = of_survey("emitters", &emitters);
        let [(at, What::NotAllowedKey { names, allowed })] = &found[..] else {
            panic!("{found:?}");
        };
        assert!(at.ends_with("/0") && names == &["flor"] && allowed.contains(&"floor".to_owned()));
    }
}

#[test]
fn a_word_that_is_no_choice_is_told_as_such() {
    let found = of_survey("circuit", &json!({"kind": "open"}));
    assert!(
        found.len() == 1 && not_one_of("/circuit/kind")(&found[0]),
        "{found:?}"
    );
    let found = of_survey("circuit", &json!({"pipe_materials": ["copper", "lead"]}));
    assert!(
        found.len() == 1 && not_one_of("/circuit/pipe_materials/1")(&found[0]),
        "{found:?}"
    );
    let found = of_survey("job", &json!({"risks_accepted": true}));
    assert!(
        found.len() == 1 && not_one_of("/job/risks_accepted")(&found[0]),
        "{found:?}"
    );
    let found = faults(Which::Survey, &json!({"survey": 2}));
    assert!(
        found.len() == 1 && not_one_of("/survey")(&found[0]),
        "{found:?}"
    );
}

#[test]
fn a_value_of_another_sort_is_told_by_what_belongs_there() {
    let cases = [
        (
            "circuit",
            json!({"smallest_bore": 15}),
            "/circuit/smallest_bore",
            Sort::Text,
        ),
        (
            "circuit",
            json!({"smallest_bore": {"size": 15}}),
            "/circuit/smallest_bore",
            Sort::Text,
        ),
        (
            "circuit",
            json!({"pipe_materials": "copper"}),
            "/circuit/pipe_materials",
            Sort::List,
        ),
        ("circuit", json!("sealed"), "/circuit", Sort::Mapping),
        ("emitters", json!("nine"), "/emitters", Sort::List),
        ("emitters", json!(["hall"]), "/emitters/0", Sort::Mapping),
    ];
    for (key, value, pointer, sort) in cases {
        let found = of_survey(key, &value);
        let keys: &[&str] = match pointer {
            "/emitters/0" => &["id"],
            _ => &[],
        };
        assert_eq!(
            found,
            [(
                pointer.to_owned(),
                What::WrongType {
                    expected: vec![sort],
                    keys: keys.iter().map(|key| (*key).to_owned()).collect(),
                }
            )]
        );
    }
}

#[test]
fn an_unknown_with_a_faulty_reason_is_told_by_the_reason() {
    let found = of_survey("circuit", &json!({"kind": {"unknown": ["a"]}}));
    assert!(
        matches!(&found[..], [(at, What::WrongType { .. })] if at == "/circuit/kind/unknown"),
        "{found:?}"
    );
    let found = of_survey(
        "circuit",
        &json!({"kind": {"unknown": "dark", "because": "loft"}}),
    );
    assert!(
        matches!(&found[..], [(at, What::NotAllowedKey { .. })] if at == "/circuit/kind"),
        "{found:?}"
    );
}

#[test]
fn a_thing_without_its_id_and_a_word_said_twice_are_told() {
    let found = of_survey("emitters", &json!([{"floor": 1}]));
    assert_eq!(
        found,
        [(
            "/emitters/0".to_owned(),
            What::MissingKey {
                name: "id".to_owned()
            }
        )]
    );
    let found = of_survey("circuit", &json!({"pipe_materials": ["copper", "copper"]}));
    assert_eq!(
        found,
        [("/circuit/pipe_materials".to_owned(), What::Repeated)]
    );
}

#[test]
fn several_faults_are_all_told() {
    let found = faults(
        Which::Survey,
        &json!({
            "job": {"stage": "late", "reson": "noise"},
            "emitters": {"count": 2, "itens": []},
            "heat_sources": [{"id": "a", "kind": "gas"}, {"kind": "oil", "output": 15}]
        }),
    );
    let at: BTreeSet<&str> = found.iter().map(|(at, _)| at.as_str()).collect();
    let expected = [
        "",
        "/emitters",
        "/heat_sources/0/kind",
        "/heat_sources/1",
        "/heat_sources/1/output",
        "/job",
        "/job/stage",
    ];
    assert_eq!(at, BTreeSet::from(expected), "{found:?}");
}

#[test]
fn a_fragment_needs_no_edition_and_is_otherwise_a_survey() {
    assert_eq!(
        faults(Which::Fragment, &json!({"premises": {"kind": "house"}})),
        []
    );
    assert_eq!(faults(Which::Fragment, &json!({})), []);
    let found = faults(Which::Fragment, &json!({"premises": {"kind": "castle"}}));
    assert!(
        found.len() == 1 && not_one_of("/premises/kind")(&found[0]),
        "{found:?}"
    );
    let found = faults(Which::Survey, &json!({}));
    assert_eq!(
        found,
        [(
            String::new(),
            What::MissingKey {
                name: "survey".to_owned()
            }
        )]
    );
}

#[test]
fn the_text_of_a_quantity_is_left_to_its_reader() {
    assert_eq!(
        of_survey("circuit", &json!({"smallest_bore": "fifteen"})),
        []
    );
    assert_eq!(of_survey("job", &json!({"work_date": "next week"})), []);
}

#[test]
fn the_pack_files_are_held_to_their_shapes() {
    let source = json!({"work": "common practice, no source", "standing": "common practice", "certainty": "no source"});
    let pack = json!({"pack": "gb-domestic", "edition": "2026.1", "title": "t", "scope": "s",
        "limits": {"sewer_temperature": {"value": "43 °C", "kind": "temperature", "says": "s", "source": source}}});
    assert_eq!(faults(Which::Pack, &pack), []);
    let table = json!({"table": "protection", "says": "s", "keyed_by": "water_supply.backflow_device",
        "columns": {"back_pressure": {"kind": "count", "says": "s"}, "arrangement": {"kind": "text", "says": "s"}},
        "rows": {"AA": {"back_pressure": 5, "arrangement": "air gap"}, "none": {"back_pressure": 0}}});
    assert_eq!(faults(Which::Table, &table), []);
    let rule = json!({"title": "t", "class": "hazard", "stage": "set-up", "must": "m", "says": "s\n", "do": "d", "because": "b", "source": source,
        "cases": [{"name": "n", "given": {"premises": {"kind": "house"}}, "then": "broken", "as_of": "2026-10-13"},
            {"name": "n", "given": {}, "then": {"boiler": "broken", "store": "met"}}]});
    assert_eq!(faults(Which::Rule, &rule), []);
}

#[test]
fn faults_of_pack_files_carry_the_hints_of_the_schema() {
    let found = faults(
        Which::Pack,
        &json!({"pack": "GB Domestic", "edition": "1", "title": "t", "scope": "s", "limits": {"Sewer": {}}}),
    );
    let pattern = found
        .iter()
        .find(|(at, _)| at == "/pack")
        .expect("the name is refused");
    assert!(
        matches!(&pattern.1, What::Pattern { hint: Some(hint) } if hint.contains("gb-domestic")),
        "{found:?}"
    );
    let key = found
        .iter()
        .find(|(at, _)| at == "/limits")
        .expect("the key is refused");
    assert!(
        matches!(&key.1, What::BadKey { name, hint: Some(_) } if name == "Sewer"),
        "{found:?}"
    );
    let missing = found
        .iter()
        .filter(|(at, what)| at == "/limits/Sewer" && matches!(what, What::MissingKey { .. }));
    assert_eq!(missing.count(), 3, "{found:?}");
    let found = faults(
        Which::Table,
        &json!({"table": "t", "says": "s", "keyed_by": "a.b", "rows": {"x": {}}, "columns": {"c": {"kind": "colour", "says": "s"}}}),
    );
    assert!(
        found.len() == 1 && not_one_of("/columns/c/kind")(&found[0]),
        "{found:?}"
    );
}

/// The quick compiling gives the same answers as the library's ordinary way.
#[test]
fn the_trusted_compiling_agrees_with_the_ordinary_one() {
    for which in FILES {
        let ordinary = jsonschema::options()
            .offline()
            .build(which.schema())
            .expect("a sound schema");
        for value in [
            json!({}),
            json!([]),
            json!({"survey": 1, "job": {"x": 1}}),
            json!({"pack": "a", "limits": {"A": 1}}),
            json!({"title": "t.", "cases": []}),
        ] {
            let told: Vec<String> = ordinary
                .iter_errors(&value)
                .map(|error| format!("{} {}", error.instance_path(), error.schema_path()))
                .collect();
            let ours: Vec<String> = crate::faults::validator(which)
                .iter_errors(&Plain::from(&value))
                .map(|error| format!("{} {}", error.instance_path(), error.schema_path()))
                .collect();
            assert_eq!(told, ours, "{which:?}");
        }
    }
}

#[test]
fn every_schema_pointer_leads_to_a_keyword() {
    let broken = json!({"job": {"stage": "late", "x": 1}, "emitters": [{"tails": {"bore": 15}}], "circuit": {"pipe_materials": 3}});
    for fault in check(Which::Survey, &broken) {
        assert!(
            Which::Survey
                .schema()
                .pointer(&fault.schema_pointer)
                .is_some(),
            "{fault:?}"
        );
    }
}
