//! Conditions with their answers, from tables.

use super::bench::{bench, truth};
use super::data;
use serde::Deserialize;
use std::collections::BTreeMap;

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Row {
    ask: String,
    #[serde(default)]
    given: String,
    is: String,
    /// The answer before cells are tried, where it differs.
    plain: Option<String>,
}

fn hold(table: &str) {
    let mut wrong = Vec::new();
    for row in data::<Vec<Row>>(table) {
        let found = bench().ask(&row.ask, &row.given);
        let plain = row.plain.as_ref().unwrap_or(&row.is);
        if (found.plain, found.sharp) != (truth(plain), truth(&row.is)) {
            wrong.push(format!(
                "{} | {} : {} then {}, expected {plain} then {}",
                row.ask, row.given, found.plain, found.sharp, row.is
            ));
        }
    }
    assert!(wrong.is_empty(), "{}:\n{}", table, wrong.join("\n"));
}

#[test]
fn comparisons_of_each_sort() {
    hold("comparisons");
}

#[test]
fn arithmetic_keeps_kinds_and_ranges() {
    hold("arithmetic");
}

#[test]
fn dates_count_calendar_months() {
    hold("dates");
}

#[test]
fn tables_with_and_without_a_known_row() {
    hold("tables");
}

#[test]
fn one_reading_used_twice_is_one_reading() {
    hold("sharpening");
}

#[test]
fn lists_inside_conditions() {
    hold("nesting");
}

#[derive(Deserialize)]
struct Connectives {
    /// p, q, p and q, p or q, not p
    two: Vec<[String; 5]>,
    /// p, q, r, if p then q else r
    three: Vec<[String; 4]>,
}

#[test]
fn connectives_keep_to_their_tables() {
    let tables: Connectives = data("connectives");
    assert_eq!((tables.two.len(), tables.three.len()), (9, 27));
    let word = |answer: &str| match answer {
        "undecided" => "unknown".to_string(),
        known => known.to_string(),
    };
    for [p, q, and, or, not] in &tables.two {
        let given = format!("{{a: {}, b: {}}}", word(p), word(q));
        for (ask, expected) in [
            ("a is yes and b is yes", and),
            ("b is yes and a is yes", and),
            ("a is yes or b is yes", or),
            ("b is yes or a is yes", or),
            ("not a is yes", not),
            ("a is not yes", not),
            ("not (a is no or not b is yes)", and),
            ("not (not a is yes and b is no)", or),
        ] {
            assert_eq!(
                bench().ask(ask, &given).plain,
                truth(expected),
                "{ask}, {given}"
            );
        }
    }
    for [p, q, r, expected] in &tables.three {
        let given = format!("{{a: {}, b: {}, c: {}}}", word(p), word(q), word(r));
        for ask in [
            "if a is yes then b is yes else c is yes",
            "(if a is yes then b else c) is yes",
            "if not a is yes then c is yes else b is yes",
        ] {
            assert_eq!(
                bench().ask(ask, &given).plain,
                truth(expected),
                "{ask}, {given}"
            );
        }
    }
}

#[derive(Deserialize)]
struct Lists {
    given: BTreeMap<String, String>,
    /// A question with its answer for each list.
    asked: Vec<(String, BTreeMap<String, String>)>,
}

#[test]
fn every_question_of_every_extent_of_a_list() {
    let lists: Lists = data("lists");
    let mut wrong = Vec::new();
    for (ask, answers) in &lists.asked {
        let names: Vec<&String> = answers.keys().collect();
        assert_eq!(names, lists.given.keys().collect::<Vec<_>>(), "{ask}");
        for (name, expected) in answers {
            let found = bench().ask(ask, &lists.given[name]).plain;
            if found != truth(expected) {
                wrong.push(format!("{ask} | {name}: {found}, expected {expected}"));
            }
        }
    }
    assert!(wrong.is_empty(), "\n{}", wrong.join("\n"));
}
