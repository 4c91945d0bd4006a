//! What the answers of a survey must agree on: the cases of each row, judged without any pack.

use crate::generate::{examples, judged};
use serde::Deserialize;
use serde_json::Value;
use std::collections::BTreeSet;
use std::fs;
use std::path::Path;
use wetside_base::finding::Verdict;
use wetside_base::source::Source;
use wetside_engine::check::{Ask, Packs, check};
use wetside_schemas::AGREED;

#[derive(Deserialize)]
struct Table {
    #[serde(default)]
    rows: Vec<Row>,
}

#[derive(Deserialize)]
struct Row {
    id: String,
    says: String,
    cases: Vec<Case>,
}

#[derive(Deserialize)]
struct Case {
    name: Option<String>,
    given: Value,
    then: Then,
}

#[derive(Deserialize, Clone, Copy, PartialEq, Eq, Debug)]
#[serde(rename_all = "lowercase")]
enum Then {
    Holds,
    Breaks,
}

fn read(file: &str, text: &str) -> Vec<Row> {
    let table: Table = serde_yaml::from_str(text).unwrap_or_else(|error| panic!("{file}: {error}"));
    table.rows
}

/// What must hold of every survey.
fn rows() -> Vec<Row> {
    AGREED
        .iter()
        .flat_map(|(file, text)| read(file, text))
        .collect()
}

/// What usually holds, by the built-in pack.
fn usual_rows() -> Vec<Row> {
    let files = wetside_rules::files().files;
    let tables = files
        .iter()
        .filter(|(path, _)| path.starts_with("agreements/"));
    tables.flat_map(|(path, text)| read(path, text)).collect()
}

/// A case as survey text, once for each value of an `any_of`. JSON is YAML too, and writes a set in brackets, as a
/// survey must.
fn each_text(case: &Case) -> Vec<(&Case, String)> {
    let texts = each_of(&case.given).into_iter();
    let texts = texts.map(|given| serde_json::to_string(&given).expect("a tree can be written"));
    texts.map(|text| (case, text)).collect()
}

fn each_of(given: &Value) -> Vec<Value> {
    let parts: Vec<(String, &Value)> = match given {
        Value::Object(map) if map.contains_key("any_of") => {
            let any = map["any_of"].as_array().expect("`any_of` is a list");
            return any.iter().flat_map(each_of).collect();
        }
        Value::Object(map) => map
            .iter()
            .map(|(key, part)| (format!("/{key}"), part))
            .collect(),
        Value::Array(list) => (0..).map(|at: usize| format!("/{at}")).zip(list).collect(),
        _ => return vec![given.clone()],
    };
    parts
        .into_iter()
        .fold(vec![given.clone()], |all, (place, part)| {
            let with = |one: &Value, part| {
                let mut one = one.clone();
                *one.pointer_mut(&place).expect("the place is there") = part;
                one
            };
            let parts = each_of(part);
            all.iter()
                .flat_map(|one| parts.iter().map(move |part| with(one, part.clone())))
                .collect()
        })
}

#[test]
fn every_case_of_every_row_comes_out_as_it_says() {
    let packs = Packs::none();
    let mut wrong = String::new();
    for row in rows() {
        for (case, text) in row.cases.iter().flat_map(each_text) {
            let judgement = check(&Source::new(&row.id, text), &packs, &Ask::default());
            let (ours, others): (Vec<_>, Vec<_>) = judgement
                .problems
                .iter()
                .partition(|problem| problem.says.ends_with(&row.says));
            let of_a_part = ["edition-missing", "stage-missing"];
            let stray = others
                .iter()
                .find(|problem| !of_a_part.contains(&problem.kind));
            let found = if ours.is_empty() {
                Then::Holds
            } else {
                Then::Breaks
            };
            if found != case.then || stray.is_some() {
                let name = case.name.as_deref().unwrap_or_default();
                wrong += &format!("{} {name}: {found:?}, {stray:?}\n", row.id);
            }
        }
    }
    assert!(wrong.is_empty(), "\n{wrong}");
}

#[test]
fn every_row_is_shown_to_hold_to_break_and_to_spare_an_odd_house() {
    let mut ids = BTreeSet::new();
    for row in rows() {
        assert!(ids.insert(row.id.clone()), "{} is there twice", row.id);
        let shown = |then: Then| row.cases.iter().filter(move |case| case.then == then);
        assert!(shown(Then::Breaks).count() >= 1, "{} never breaks", row.id);
        assert!(
            shown(Then::Holds).any(|case| case.name.is_none()),
            "{}: what holds?",
            row.id
        );
        assert!(
            shown(Then::Holds).any(|case| case.name.is_some()),
            "{}: no odd house",
            row.id
        );
    }
}

#[test]
fn every_table_beside_the_schema_is_carried() {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("schemas/agreements");
    let entries = fs::read_dir(folder).expect("the tables are there");
    let names = entries.map(|entry| entry.expect("it can be listed").file_name());
    let lying: BTreeSet<String> = names
        .map(|name| name.to_string_lossy().into_owned())
        .collect();
    let carried: BTreeSet<String> = AGREED.iter().map(|(name, _)| (*name).to_string()).collect();
    assert_eq!(lying, carried);
}

#[test]
fn no_example_contradicts_itself() {
    for example in examples() {
        let problems = judged(&example.text).problems;
        let found: Vec<_> = problems
            .iter()
            .filter(|one| one.kind == "contradiction")
            .collect();
        assert!(found.is_empty(), "{}: {found:?}", example.name);
    }
}

/// One contradiction on a clear house: told once at both lines, asked once, and what waits is counted there.
#[test]
fn a_contradiction_is_one_message_and_one_question() {
    let clear = examples()
        .iter()
        .find(|example| example.name == "open-vented-gravity");
    let text = &clear.expect("the example is there").text;
    let line = text
        .lines()
        .find(|line| line.contains("static_pressure:"))
        .expect("it says how much");
    let slip = line.replacen("2.9 bar", "0 bar", 1);
    let before = judged(text);
    let after = judged(&text.replacen(line, &slip, 1));
    assert_eq!(before.verdict, Verdict::Clear);
    assert_eq!(after.verdict, Verdict::FindOut);
    let [problem] = &after.problems[..] else {
        panic!("{:?}", after.problems);
    };
    assert_eq!((problem.kind, problem.also.len()), ("contradiction", 1));
    assert!(
        problem.help.contains("rules wait for it"),
        "{}",
        problem.help
    );
    let told = |judgement: &wetside_base::finding::Judgement| {
        judgement
            .findings
            .iter()
            .map(|one| one.rule.clone())
            .collect::<BTreeSet<String>>()
    };
    assert_eq!(told(&before), told(&after));
    let [question] = &after.questions[..] else {
        panic!("{:?}", after.questions);
    };
    assert_eq!(
        question.fact,
        "water_supply.static_pressure and water_supply.flow"
    );
    assert_eq!(
        after.counts.undecided - before.counts.undecided,
        question.rules.len()
    );
}

#[test]
fn every_case_of_what_is_usual_comes_out_as_it_says() {
    let mut wrong = String::new();
    for row in usual_rows() {
        for (case, text) in row.cases.iter().flat_map(each_text) {
            let told = judged(&text).unlikely;
            let spoken = told.iter().any(|one| one.says.ends_with(&row.says));
            if spoken != (case.then == Then::Breaks) {
                let name = case.name.as_deref().unwrap_or_default();
                wrong += &format!("{} {name}: {told:?}\n", row.id);
            }
        }
    }
    assert!(wrong.is_empty(), "\n{wrong}");
}

/// An unlikely answer is asked about once, stands in the way of nothing, and keeps its reason once confirmed.
#[test]
fn an_unlikely_answer_is_worth_a_look_until_it_is_confirmed() {
    let clear = examples()
        .iter()
        .find(|example| example.name == "open-vented-gravity");
    let text = &clear.expect("the example is there").text;
    assert_eq!(judged(text).unlikely, []);
    let slip = text.replacen("flow: 16 L/min", "flow: 86 L/min", 1);
    let after = judged(&slip);
    assert_eq!(after.verdict, Verdict::Clear);
    let [unlikely] = &after.unlikely[..] else {
        panic!("{:?}", after.unlikely);
    };
    let says = "`water_supply.flow` is 86 L/min: usual is 3 L/min to 60 L/min";
    assert_eq!((unlikely.says.as_str(), &unlikely.confirmed), (says, &None));
    let confirmed = "confirmed:\n  - {id: water_supply.flow, because: a farm with its own main}\n";
    let after = judged(&format!("{slip}{confirmed}"));
    assert_eq!(after.verdict, Verdict::Clear);
    let reason = after
        .unlikely
        .first()
        .and_then(|one| one.confirmed.as_deref());
    assert_eq!(reason, Some("a farm with its own main"));
}

/// A number that hardly any system has passes no hazard until the survey confirms it, and a slip in the name of what is
/// confirmed is told.
#[test]
fn an_unlikely_number_passes_no_hazard_until_it_is_confirmed() {
    let clear = examples()
        .iter()
        .find(|example| example.name == "open-vented-gravity");
    let text = &clear.expect("the example is there").text;
    let slip = text.replacen("acceptance: 60 L/min", "acceptance: 600 L/min", 1);
    let after = judged(&slip);
    assert_eq!(after.verdict, Verdict::FindOut);
    assert_eq!(after.problems, []);
    let [unlikely] = &after.unlikely[..] else {
        panic!("{:?}", after.unlikely);
    };
    assert_eq!(unlikely.hazards, ["dump-faster-than-the-drain-takes"]);
    let [question] = &after.questions[..] else {
        panic!("{:?}", after.questions);
    };
    assert_eq!(question.fact, "drain.acceptance");
    assert_eq!(question.rules, unlikely.hazards);
    let confirmed =
        |name| format!("{slip}confirmed:\n  - {{id: {name}, because: a storm drain}}\n");
    assert_eq!(
        judged(&confirmed("drain.acceptance")).verdict,
        Verdict::Clear
    );
    let in_vain = judged(&confirmed("drain.acceptence"));
    let [problem] = &in_vain.problems[..] else {
        panic!("{:?}", in_vain.problems);
    };
    assert_eq!(problem.kind, "confirmed-in-vain");
    assert_eq!(problem.help, "did you mean `drain.acceptance`?");
}

/// What is unlikely of several things alike is told once, and confirmed by the name of their field or each by its own.
#[test]
fn what_is_unlikely_of_several_things_is_one_answer() {
    let survey = |confirmed: &str| {
        format!("emitters: [{{id: hall, panels: 5}}, {{id: bath, panels: 5}}]\n{confirmed}")
    };
    let told = |confirmed: &str| {
        let judgement = judged(&survey(confirmed));
        let told = judgement.unlikely.iter();
        told.map(|one| (one.fact.clone(), one.confirmed.is_some()))
            .collect::<Vec<_>>()
    };
    let field = "emitters.panels".to_string();
    let hall = "emitters, hall: panels".to_string();
    let bath = "emitters, bath: panels".to_string();
    assert_eq!(told(""), [(field.clone(), false)]);
    let all = "confirmed: [{id: emitters.panels, because: old columns}]\n";
    assert_eq!(told(all), [(field, true)]);
    let one = "confirmed: [{id: \"emitters, hall: panels\", because: old columns}]\n";
    assert_eq!(told(one), [(hall, true), (bath, false)]);
}
