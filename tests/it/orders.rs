//! What the findings of one survey order goes together.
//!
//! `do` of a rule fits the phase that the job is in; what follows from another finding stands under it; and
//! no two rules that can be broken at once leave one thing in two states, unless one of them is known to
//! come first. Which can be broken at once is seen from every survey there is, and from cases of two rules
//! laid over each other.

use crate::examples::{examples, packs};
use serde_yaml::{Mapping, Value};
use std::collections::{BTreeMap, BTreeSet};
use std::sync::OnceLock;
use wetside_base::finding::{Finding, Judgement, Outcome, Stage};
use wetside_base::source::Source;
use wetside_engine::check::{Ask, check, facts};
use wetside_engine::pack::{Pack, Rule};
use wetside_engine::run::{judge, scene};
use wetside_lang::eval::Scene;
use wetside_report::{Style, brief, text};
use wetside_units::Date;

fn pack() -> &'static Pack {
    &packs().packs[0]
}

/// Every example, every way to harm and every planted fault, judged with everything due.
fn judged() -> &'static [(Source, Judgement)] {
    static JUDGED: OnceLock<Vec<(Source, Judgement)>> = OnceLock::new();
    JUDGED.get_or_init(|| {
        let harms = crate::harms::surveys().into_iter();
        let all = examples().into_iter().chain(harms);
        let all = all.chain(crate::exercise::planted());
        let ask = Ask {
            stage: Some(Stage::Upkeep),
            ..Ask::default()
        };
        all.map(|source| {
            let judgement = check(&source, packs(), &ask);
            (source, judgement)
        })
        .collect()
    })
}

fn broken(judgement: &Judgement) -> impl Iterator<Item = &Finding> {
    let findings = judgement.findings.iter();
    findings.filter(|finding| finding.outcome == Outcome::Broken)
}

#[test]
fn what_follows_from_another_finding_stands_under_it_and_nothing_is_lost() {
    let mut followed = 0;
    let follows = |finding: &Finding| finding.explained_by.is_some();
    let some = judged()
        .iter()
        .filter(|(_, of)| of.findings.iter().any(follows));
    for (source, judgement) in some {
        let long = text::survey(source, judgement, &Style::wide(100));
        let short = brief::survey(source, judgement, &Style::wide(100));
        for finding in &judgement.findings {
            let name = format!("{}: {}", source.name, finding.rule);
            // In short what is undecided is told by the facts that would settle it.
            let in_short = finding.outcome == Outcome::Undecided || short.contains(&finding.rule);
            assert!(long.contains(&finding.rule) && in_short, "{name}");
            let Some(of) = &finding.explained_by else {
                continue;
            };
            followed += 1;
            let leading = broken(judgement).find(|other| other.rule == *of);
            let leading = leading.unwrap_or_else(|| panic!("{name} follows from nothing"));
            assert_eq!(leading.explained_by, None, "{name}");
            assert!(leading.class <= finding.class, "{name}");
            assert_eq!(finding.outcome, Outcome::Broken, "{name}");
        }
    }
    assert!(followed > 50, "{followed}");
}

#[test]
fn what_comes_before_another_finding_stands_before_it() {
    let mut ordered = 0;
    for (source, judgement) in judged() {
        for (at, finding) in judgement.findings.iter().enumerate() {
            let later = judgement.findings[at..].iter();
            // The same rule may be undecided on other things, which nothing waits for.
            let mut later = later
                .filter(|other| other.class == finding.class && other.outcome == Outcome::Broken);
            let wrong = later.find(|other| finding.after.contains(&other.rule));
            assert!(wrong.is_none(), "{}: {}", source.name, finding.rule);
            ordered += finding.after.len();
        }
    }
    assert!(ordered > 50, "{ordered}");
}

/// Words of an order that fit before the flush only, and must not be told when it is over.
const TOO_LATE: [&str; 12] = [
    "put no cleaner",
    "choose a neutral",
    "before the flush",
    "before a cleaner",
    "before any chemical",
    "before the day",
    "before the clean",
    "before pumping",
    "do not start",
    "do not flush",
    "milder day",
    "going on",
];

#[test]
fn nobody_is_told_too_late_what_should_have_been_done_before() {
    let mut faults = String::new();
    for rule in &pack().rules {
        let last = said(rule, "do", "after").expect("a rule says what to do");
        for words in TOO_LATE.iter().filter(|words| last.contains(**words)) {
            faults.push_str(&format!("{}: {words}: {last}\n", rule.id));
        }
    }
    assert!(faults.is_empty(), "\n{faults}");
}

/// The phases in their order, and those that a rule can be told in from its stage on.
const PHASES: [&str; 4] = ["before", "dosed", "flushing", "after"];

fn phases_from(stage: Stage) -> &'static [&'static str] {
    match stage {
        Stage::Survey | Stage::MakeSafe | Stage::SetUp => &PHASES,
        Stage::Flush => &["before", "flushing", "after"],
        Stage::Prove | Stage::Protect => &["flushing", "after"],
        Stage::HandBack | Stage::Upkeep => &["after"],
    }
}

/// What a rule says under a key in one phase.
fn said(rule: &Rule, key: &str, phase: &str) -> Option<String> {
    let file: Mapping = serde_yaml::from_str(&rule.source().text).expect("a rule is YAML");
    let upto = PHASES
        .iter()
        .position(|name| *name == phase)
        .expect("a phase");
    let said = match file.get(key)? {
        Value::Mapping(by_phase) => {
            let told = PHASES[..=upto].iter().rev();
            told.filter_map(|name| by_phase.get(name)).next()?.clone()
        }
        always => always.clone(),
    };
    Some(said.as_str().expect("it is text").to_string())
}

/// In each phase the state that a rule's remedy leaves things in.
type Moves = BTreeMap<&'static str, BTreeMap<String, String>>;

fn moves(rule: &Rule) -> Moves {
    let of = |phase: &&'static str| {
        let said = said(rule, "moves", phase)?;
        let pairs = said.split(", ").filter_map(|one| one.split_once(": "));
        let pairs = pairs.map(|(thing, state)| (thing.to_string(), state.to_string()));
        Some((*phase, pairs.collect()))
    };
    phases_from(rule.stage).iter().filter_map(of).collect()
}

/// The thing that two rules would leave in two states in some phase.
fn opposite(one: &Moves, other: &Moves) -> Option<String> {
    one.iter().find_map(|(phase, things)| {
        let others = other.get(phase)?;
        let differs = |(thing, state): &(&String, &String)| {
            others.get(*thing).is_some_and(|another| another != *state)
        };
        let (thing, _) = things.iter().find(differs)?;
        Some(format!("{phase}: {thing}"))
    })
}

#[test]
fn no_two_findings_order_opposite_things() {
    let mut seen = BTreeSet::new();
    for (_, judgement) in judged() {
        let rules: Vec<&str> = broken(judgement).map(|found| found.rule.as_str()).collect();
        for one in &rules {
            seen.extend(rules.iter().map(|other| (*one, *other)));
        }
    }
    let moving: Vec<(&Rule, Moves)> = pack()
        .rules
        .iter()
        .map(|rule| (rule, moves(rule)))
        .collect();
    let (mut faults, mut ordered) = (String::new(), 0);
    for (at, (one, these)) in moving.iter().enumerate() {
        for (other, those) in &moving[at + 1..] {
            let Some(thing) = opposite(these, those) else {
                continue;
            };
            let (one, other) = (*one, *other);
            let linked = |a: &Rule, b: &Rule| a.comes_before(b) || a.explains(b);
            if linked(one, other) || linked(other, one) {
                ordered += 1;
            } else if seen.contains(&(one.id.as_str(), other.id.as_str())) {
                faults.push_str(&format!("{thing}: {} and {} (seen)\n", one.id, other.id));
            } else if can_meet(one, other) {
                faults.push_str(&format!("{thing}: {} and {}\n", one.id, other.id));
            }
        }
    }
    println!("{ordered} pairs are ordered");
    assert!(faults.is_empty(), "\n{faults}");
}

/// Whether some case that breaks one rule, laid over one that breaks the other, breaks both.
fn can_meet(one: &Rule, other: &Rule) -> bool {
    let (these, those) = (breaking(one), breaking(other));
    let mut pairs = these
        .iter()
        .flat_map(|a| those.iter().flat_map(move |b| [(a, b), (b, a)]));
    pairs.any(|(below, above)| {
        let mut given = below.given.clone();
        lay_over(&mut given, &above.given);
        let as_of = above.as_of.clone().or_else(|| below.as_of.clone());
        is_broken(one, &given, as_of.as_deref()) && is_broken(other, &given, as_of.as_deref())
    })
}

/// A case of a rule that breaks it.
struct Breaking {
    given: Value,
    as_of: Option<String>,
}

fn breaking(rule: &Rule) -> Vec<Breaking> {
    let file: Value = serde_yaml::from_str(&rule.source().text).expect("a rule is YAML");
    let cases = file["cases"].as_sequence().expect("a rule has cases");
    let breaks = |case: &&Value| match &case["then"] {
        Value::Mapping(by_thing) => by_thing
            .values()
            .any(|then| then.as_str() == Some("broken")),
        then => then.as_str() == Some("broken"),
    };
    let read = |case: &Value| Breaking {
        given: case["given"].clone(),
        as_of: case["as_of"].as_str().map(str::to_string),
    };
    cases.iter().filter(breaks).map(read).collect()
}

/// Lays one survey over another: the things of a list stand beside each other.
fn lay_over(below: &mut Value, above: &Value) {
    match (below, above) {
        (Value::Mapping(below), Value::Mapping(above)) => {
            for (key, value) in above {
                match below.get_mut(key) {
                    Some(under) if key != "count" => lay_over(under, value),
                    _ => {
                        below.insert(key.clone(), value.clone());
                    }
                }
            }
            if let Some(items) = below.get("items").and_then(Value::as_sequence) {
                let count = items.len();
                below.insert("count".into(), count.into());
            }
        }
        (Value::Sequence(below), Value::Sequence(above)) if above.iter().all(Value::is_mapping) => {
            let id = |thing: &Value| thing["id"].clone();
            let new = above
                .iter()
                .filter(|thing| !below.iter().any(|other| id(other) == id(thing)));
            let new: Vec<Value> = new.cloned().collect();
            below.extend(new);
        }
        (below, above) => *below = above.clone(),
    }
}

fn is_broken(rule: &Rule, given: &Value, as_of: Option<&str>) -> bool {
    let text = serde_json::to_string(given).expect("a tree can be written");
    let (facts, _) = facts(&Source::new("case", text), &packs().vocabulary);
    let as_of = as_of.map(|day| Date::parse(day).expect("a day"));
    let scene = Scene {
        tables: &pack().tables,
        ..scene(&packs().vocabulary, &facts, as_of)
    };
    let outcomes = judge(rule, scene);
    outcomes
        .iter()
        .any(|judged| judged.outcome == Outcome::Broken)
}
