//! Every way to harm that was thought of, laid over a sound house.
//!
//! `tests/harms` holds the ways as data, one file a harm, and `bases.yaml` the sound houses. A way is a
//! few edits of a survey; the rules that bar it are named beside it and must all speak. A way that
//! nothing bars stands there with its reason, and a way that comes out clear without one fails. Beside
//! the ways stand odd houses that are rightly clear, and must stay so.

mod asked;
mod page;

use crate::examples::packs;
use serde::Deserialize;
use serde_yaml::{Mapping, Value};
use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::path::PathBuf;
use wetside_base::finding::{Class, Finding, Judgement, Stage, Verdict};
use wetside_base::source::Source;
use wetside_engine::check::{Ask, check};

/// A sound house: an example or another base, with edits.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Base {
    from: String,
    #[serde(default)]
    edits: Mapping,
    #[serde(default)]
    without: Vec<String>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Harm {
    harm: String,
    because: String,
    ways: Vec<Way>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Way {
    way: String,
    /// The house that it is laid over; none where the survey has no question for it.
    base: Option<String>,
    #[serde(default)]
    edits: Mapping,
    #[serde(default)]
    without: Vec<String>,
    expect: Option<Expected>,
    basis: Option<Basis>,
    barred_by: Option<Barriers>,
    /// Why nothing bars it, or why a sound house is stopped all the same.
    because: Option<String>,
    /// Why what bars it is of a softer class than was expected.
    softer: Option<String>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Expected {
    class: Kind,
    /// The stage by which it must be known, where that is not left to its rules.
    by: Option<String>,
}

#[derive(Deserialize, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Debug)]
#[serde(rename_all = "lowercase")]
enum Kind {
    Hazard,
    Preparation,
    Undecided,
    Problem,
    Advisory,
    Clear,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Basis {
    says: String,
    certainty: String,
}

#[derive(Deserialize)]
#[serde(untagged)]
enum Barriers {
    Rules(Vec<String>),
    /// `problem` of the file, `unlikely` number, or `none` with a reason beside it.
    Word(String),
}

fn folder() -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR"))
}

fn data<T: for<'a> Deserialize<'a>>(path: &str) -> T {
    let text = fs::read_to_string(folder().join(path)).expect("it can be read");
    serde_yaml::from_str(&text).unwrap_or_else(|error| panic!("{path}: {error}"))
}

fn harms() -> Vec<(String, Harm)> {
    let entries = fs::read_dir(folder().join("tests/harms")).expect("the harms are there");
    let mut names: Vec<String> = entries
        .map(|entry| entry.expect("it can be listed").file_name())
        .map(|name| name.to_string_lossy().into_owned())
        .filter(|name| name.ends_with(".yaml") && name != "bases.yaml")
        .collect();
    names.sort();
    let read = |name: String| {
        let harm = data(&format!("tests/harms/{name}"));
        (name, harm)
    };
    names.into_iter().map(read).collect()
}

type Bases = BTreeMap<String, Base>;

/// The sound houses that the ways are laid over.
pub(crate) fn sound_houses() -> Vec<Source> {
    let bases: Bases = data("tests/harms/bases.yaml");
    let houses = bases.keys();
    houses
        .map(|name| source(name, &house(name, &bases)))
        .collect()
}

/// The survey of a base, as a tree.
fn house(name: &str, bases: &Bases) -> Value {
    let Some(base) = bases.get(name) else {
        return data(&format!("examples/{name}"));
    };
    let mut survey = house(&base.from, bases);
    edit(&mut survey, &base.edits, &base.without);
    survey
}

fn edit(survey: &mut Value, edits: &Mapping, without: &[String]) {
    for (path, value) in edits {
        let path = path.as_str().expect("a path is text");
        lay(survey, path, &mut |map, key| {
            map.insert(key.into(), value.clone());
        });
    }
    for path in without {
        lay(survey, path, &mut |map, key| {
            map.remove(key);
        });
    }
}

/// Does something to the place at `a.b[id].c`: `[*]` is every element, `[+]` a new one, and an element
/// that ends the path is itself the place.
fn lay(node: &mut Value, path: &str, change: &mut dyn FnMut(&mut Mapping, &str)) {
    let end = path.find(['.', '[']).unwrap_or(path.len());
    let (key, rest) = path.split_at(end);
    let map = node.as_mapping_mut().expect("a section holds fields");
    if rest.is_empty() {
        return change(map, key);
    }
    let inner = map
        .entry(key.into())
        .or_insert_with(|| Mapping::new().into());
    if let Some(rest) = rest.strip_prefix('.') {
        return lay(inner, rest, change);
    }
    let (id, rest) = rest[1..].split_once(']').expect("the bracket closes");
    within(inner, id, rest.trim_start_matches('.'), change);
}

/// The same in a list, whose count follows what is added or taken away.
fn within(list: &mut Value, id: &str, rest: &str, change: &mut dyn FnMut(&mut Mapping, &str)) {
    let whole = list.as_mapping_mut().expect("a list has its count");
    let items = whole
        .get_mut("items")
        .and_then(Value::as_sequence_mut)
        .expect("it has items");
    let named = |item: &Value| id == "*" || item.get("id").and_then(Value::as_str) == Some(id);
    if rest.is_empty() {
        let mut slot = Mapping::new();
        slot.extend(
            items
                .iter()
                .find(|item| named(item))
                .map(|item| (id.into(), item.clone())),
        );
        change(&mut slot, id);
        items.retain(|item| !named(item));
        items.extend(slot.into_values());
        let count = items.len();
        whole.insert("count".into(), count.into());
        return;
    }
    let place = id.parse::<usize>().ok();
    let mut chosen = 0;
    for (number, item) in items.iter_mut().enumerate() {
        if named(item) || place == Some(number) {
            lay(item, rest, change);
            chosen += 1;
        }
    }
    assert!(chosen > 0, "no element is called {id}");
}

/// Every sound house of the harms, and every way laid over its house.
pub(crate) fn surveys() -> Vec<Source> {
    let bases: Bases = data("tests/harms/bases.yaml");
    let houses = bases.keys().map(|name| source(name, &house(name, &bases)));
    let mut all: Vec<Source> = houses.collect();
    for (_, harm) in harms() {
        for way in harm.ways.iter().filter(|way| way.base.is_some()) {
            let mut survey = house(way.base.as_deref().expect("it has one"), &bases);
            edit(&mut survey, &way.edits, &way.without);
            all.push(source(&way.way, &survey));
        }
    }
    all
}

fn source(name: &str, survey: &Value) -> Source {
    // JSON is YAML too, and writes a set in brackets, as a survey must.
    Source::new(
        name,
        serde_json::to_string(survey).expect("a tree can be written"),
    )
}

fn judged(name: &str, survey: &Value) -> Judgement {
    check(&source(name, survey), packs(), &Ask::default())
}

#[test]
fn the_houses_that_harms_are_laid_over_are_clear() {
    let bases: Bases = data("tests/harms/bases.yaml");
    for name in bases.keys() {
        let judgement = judged(name, &house(name, &bases));
        let rules: Vec<_> = judgement.findings.iter().map(|found| &found.rule).collect();
        assert_eq!(judgement.verdict, Verdict::Clear, "{name}: {rules:?}");
        assert!(judgement.problems.is_empty(), "{name}");
    }
}

#[test]
fn no_way_to_harm_comes_out_clear() {
    let bases: Bases = data("tests/harms/bases.yaml");
    let (mut faults, mut counts) = (String::new(), BTreeMap::new());
    for (file, harm) in harms() {
        assert!(!harm.harm.is_empty() && !harm.because.is_empty());
        for way in &harm.ways {
            match told(way, &bases) {
                Ok(kind) => *counts.entry(kind).or_insert(0) += 1,
                Err(fault) => faults.push_str(&format!("{file}: {}: {fault}\n", way.way)),
            }
        }
    }
    println!("ways: {counts:?}");
    assert!(faults.is_empty(), "\n{faults}");
}

#[test]
fn every_rule_that_stops_a_job_bars_a_way_to_harm() {
    let harms = harms();
    let ways = harms.iter().flat_map(|(_, harm)| &harm.ways);
    let named = ways.filter_map(|way| match &way.barred_by {
        Some(Barriers::Rules(rules)) => Some(rules),
        _ => None,
    });
    let named: BTreeSet<&str> = named.flatten().map(String::as_str).collect();
    let rules = packs().packs.iter().flat_map(|pack| &pack.rules);
    let idle = rules.filter(|rule| rule.class != Class::Advisory);
    let idle = idle.filter(|rule| !named.contains(rule.id.as_str()));
    let idle: Vec<_> = idle.map(|rule| &rule.id).collect();
    assert!(
        idle.is_empty(),
        "name in `tests/harms` what these bar: {idle:?}"
    );
}

/// What became of one way, or what is wrong with its entry.
fn told(way: &Way, bases: &Bases) -> Result<&'static str, String> {
    let reasoned = way
        .because
        .as_ref()
        .is_some_and(|because| because.len() > 10);
    let Some(base) = &way.base else {
        return if reasoned {
            Ok("not asked, with a reason")
        } else {
            Err("nobody says why it is not asked".into())
        };
    };
    let expected = way.expect.as_ref().ok_or("what is expected?")?;
    if expected
        .by
        .as_deref()
        .is_some_and(|by| Stage::named(by).is_none())
    {
        return Err("its stage is none".into());
    }
    let basis = way.basis.as_ref().ok_or("what is its basis?")?;
    if basis.says.is_empty() || basis.certainty.is_empty() {
        return Err("its basis or its certainty is empty".into());
    }
    let mut survey = house(base, bases);
    edit(&mut survey, &way.edits, &way.without);
    let judgement = judged(&way.way, &survey);
    let clear = judgement.verdict == Verdict::Clear;
    if expected.class == Kind::Clear {
        return sound(clear, &judgement, reasoned);
    }
    match &way.barred_by {
        Some(Barriers::Rules(rules)) => {
            barred(rules, expected.class, way.softer.is_some(), &judgement)
        }
        Some(Barriers::Word(word)) if word == "unlikely" => {
            let mut unlikely = judgement.unlikely.iter();
            if unlikely.all(|one| one.hazards.is_empty()) {
                Err("no hazard waits for an unlikely number".into())
            } else {
                Ok("barred until an unlikely number is confirmed")
            }
        }
        Some(Barriers::Word(word)) if word != "none" => {
            if judgement.problems.is_empty() {
                Err("the file has no problem".into())
            } else {
                Ok("barred by a problem of the file")
            }
        }
        _ if !reasoned => Err("it is silent, and nobody says why".into()),
        _ if !clear => Err("something bars it now: name what it is".into()),
        _ => Ok("open, with a reason"),
    }
}

/// An odd house that nothing may stop.
fn sound(clear: bool, judgement: &Judgement, reasoned: bool) -> Result<&'static str, String> {
    if clear && reasoned {
        return Err("it is clear now: strike the reason".into());
    }
    if clear {
        return Ok("rightly clear");
    }
    if reasoned {
        return Ok("a false alarm, with a reason");
    }
    let hard = |found: &&Finding| found.class != Class::Advisory;
    let rules: Vec<_> = judgement
        .findings
        .iter()
        .filter(hard)
        .map(|found| &found.rule)
        .collect();
    Err(format!("it is no longer clear: {rules:?}"))
}

/// A way with rules against it: each must speak, and together they must stop the job.
fn barred(
    rules: &[String],
    class: Kind,
    softer: bool,
    judgement: &Judgement,
) -> Result<&'static str, String> {
    let found: Vec<_> = judgement
        .findings
        .iter()
        .map(|found| found.rule.as_str())
        .collect();
    if let Some(silent) = rules.iter().find(|rule| !found.contains(&rule.as_str())) {
        return Err(format!("`{silent}` says nothing; found: {found:?}"));
    }
    if rules.is_empty() {
        return Err("no rule is named".into());
    }
    let as_strong = strongest(rules, judgement) <= class;
    match (as_strong, softer) {
        (true, false) => Ok("barred"),
        (false, true) => Ok("barred more softly, with a reason"),
        (true, true) => Err("it is no longer softer than expected: strike the reason".into()),
        (false, false) => Err(format!("it is barred more softly than as {class:?}")),
    }
}

/// The hardest class of the named rules that speak. A hazard that is undecided stops the job as well, and
/// more cannot be said of what nobody recorded.
fn strongest(rules: &[String], judgement: &Judgement) -> Kind {
    let named = judgement
        .findings
        .iter()
        .filter(|found| rules.contains(&found.rule));
    let kind = |found: &Finding| match found.class {
        Class::Hazard => Kind::Hazard,
        Class::Preparation => Kind::Preparation,
        Class::Advisory => Kind::Advisory,
    };
    named.map(kind).min().unwrap_or(Kind::Clear)
}
