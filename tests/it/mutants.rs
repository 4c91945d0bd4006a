//! The cases of the built-in pack notice the slips that a writer of its rules could make.

use serde::Deserialize;
use std::collections::BTreeSet;
use wetside_base::finding::Class;
use wetside_engine::cases;
use wetside_engine::check::Packs;
use wetside_engine::mutants::{self, Missed, Tried};
use wetside_engine::pack::{self, PackFiles, Rule};

/// A change that no case can notice.
#[derive(Deserialize)]
struct Equal {
    rule: String,
    says: String,
    because: String,
}

fn tried(rules: &[&Rule], packs: &Packs) -> Vec<Tried> {
    mutants::of_each(rules, |rule| {
        mutants::tried(&packs.packs[0], rule, &packs.vocabulary)
    })
}

fn told(rule: &Rule, missed: &Missed) -> String {
    format!("{}: {}", rule.id, missed.says)
}

#[test]
fn a_case_notices_every_slip_in_a_hazard() {
    let packs = wetside_rules::packs();
    let rules = packs.packs[0].rules.iter();
    let hazards: Vec<&Rule> = rules.filter(|rule| rule.class == Class::Hazard).collect();
    let tried = tried(&hazards, &packs);
    let missed = hazards.iter().zip(&tried);
    let missed =
        missed.flat_map(|(rule, tried)| tried.missed.iter().map(|missed| told(rule, missed)));
    let missed: BTreeSet<String> = missed.collect();
    let equal: Vec<Equal> =
        serde_yaml::from_str(include_str!("../mutants/equal.yaml")).expect("a list");
    assert!(equal.iter().all(|equal| !equal.because.is_empty()));
    let equal = equal
        .iter()
        .map(|equal| format!("{}: {}", equal.rule, equal.says));
    assert_eq!(
        missed,
        equal.collect(),
        "try `wetside pack mutate rules/gb-domestic <rule>`"
    );
    assert!(tried.iter().map(|tried| tried.mutants).sum::<usize>() > 1_000);
}

#[test]
fn cases_notice_nearly_every_slip_in_the_rest() {
    let packs = wetside_rules::packs();
    let rules = packs.packs[0].rules.iter();
    let rest: Vec<&Rule> = rules.filter(|rule| rule.class != Class::Hazard).collect();
    let tried = tried(&rest, &packs);
    let all: usize = tried.iter().map(|tried| tried.mutants).sum();
    let missed = rest.iter().zip(&tried);
    let missed =
        missed.flat_map(|(rule, tried)| tried.missed.iter().map(|missed| told(rule, missed)));
    let missed: Vec<String> = missed.collect();
    println!("{} of {all} changes unnoticed", missed.len());
    assert!(
        missed.len() * 20 <= all,
        "of {all} changes:\n{}",
        missed.join("\n")
    );
}

/// Takes cases away, and pastes those that are proposed instead: they come out as written, and what they
/// were said to notice is noticed.
#[test]
fn a_proposed_case_does_what_it_was_proposed_for() {
    let packs = wetside_rules::packs();
    let ids = [
        "dump-too-acid-or-alkaline",
        "metal-and-plastic-mixed",
        "machine-draws-more-than-its-plug-carries",
        "capped-with-a-source-able-to-fire",
        "exposed-pipes-on-a-freezing-day",
        "yearly-water-test-overdue",
    ];
    for id in ids {
        let path = packs.packs[0]
            .rule(id)
            .expect("a rule of the pack")
            .source()
            .name;
        let fewer = with(&path, &|text| shortened(&text));
        let (pack, _) = pack::load(&fewer, &packs.vocabulary);
        let before = mutants::tried(&pack, &pack.rules[0], &packs.vocabulary);
        let proposed = mutants::proposals(&pack, &pack.rules[0], &packs.vocabulary, &before.missed);
        assert!(!proposed.is_empty(), "{id}");
        let lines: Vec<&str> = proposed
            .iter()
            .map(|proposal| proposal.line.as_str())
            .collect();
        let named = |line: &&str| {
            line.split(", given: ")
                .next()
                .unwrap_or_default()
                .to_string()
        };
        let names: BTreeSet<String> = lines.iter().map(named).collect();
        assert_eq!(names.len(), lines.len(), "{id}: {lines:#?}");
        let more = with(&path, &|text| {
            format!("{}\n{}\n", shortened(&text), lines.join("\n"))
        });
        let (pack, problems) = pack::load(&more, &packs.vocabulary);
        assert!(problems.is_empty(), "{id}: {problems:?}");
        let run = cases::run(&pack, &pack.name, &packs.vocabulary);
        assert_eq!(run.passed, run.cases, "{id}");
        let after = mutants::tried(&pack, &pack.rules[0], &packs.vocabulary);
        let promised: usize = proposed.iter().map(|proposal| proposal.notices.len()).sum();
        assert_eq!(after.missed.len() + promised, before.missed.len(), "{id}");
    }
}

/// The built-in pack with one rule alone, its text changed.
fn with(path: &str, change: &dyn Fn(String) -> String) -> PackFiles {
    let mut files = wetside_rules::files();
    let name = path
        .strip_prefix(&format!("{}/", files.name))
        .unwrap_or(path)
        .to_string();
    let kept = ["pack.yaml", "tables/", "agreements/"];
    files
        .files
        .retain(|(path, _)| *path == name || kept.iter().any(|kept| path.starts_with(kept)));
    for (path, text) in &mut files.files {
        if *path == name {
            *text = change(text.to_string()).into();
        } else if path == "pack.yaml" {
            *text = crate::examples::unlocked(text).into();
        }
    }
    files
}

/// The text of a rule with the first two of its cases.
fn shortened(text: &str) -> String {
    let (head, cases) = text.split_once("\ncases:\n").expect("cases stand last");
    let cases: Vec<&str> = cases.lines().take(2).collect();
    format!("{head}\ncases:\n{}", cases.join("\n"))
}
