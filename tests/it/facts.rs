//! Facts of the trade, each with the source it was taken from, held against the pack and the units.
//!
//! A fact is a sentence, its source and one check. Every expected value was written down from the
//! source and not from the pack, so that a slip in either shows. The kinds of check:
//!
//! - `limit` and `is`: a threshold of the pack has this value, and is as sure as the fact;
//! - `table`, `row` and `cells`: cells of a table of the pack;
//! - `rule` and `cases`: what a rule makes of small surveys, with more than one outcome among them;
//! - `rule` and `do_holds`: words in the remedy that a rule gives;
//! - `reading`, `of`, `in`, `is` and `within`: a quantity written in another unit;
//! - `tube`, `metre_holds` and `within`: what a metre of pipe holds, by the arithmetic of quantities;
//! - `figure`, `of`, `is` and `within`: a formula of physics and what it gives;
//! - `condition`: something that the rule language finds true of the pack's limits.

mod against;
mod data;

use data::{Check, Fact, FactFile, files};
use std::collections::BTreeSet;

/// Runs a check on every fact and lists what is wrong, each with the line of its fact.
fn every(wrong_with: impl Fn(&FactFile, usize, &Fact) -> Vec<String>) {
    let mut wrong = Vec::new();
    for file in files() {
        for (at, fact) in file.facts.iter().enumerate() {
            let place = file.source.place(file.root.items()[at].span.start);
            let found = wrong_with(&file, at, fact);
            wrong.extend(
                found
                    .into_iter()
                    .map(|says| format!("{}:{place}: {}: {says}", file.source.name, fact.fact)),
            );
        }
    }
    assert!(
        wrong.is_empty(),
        "{}\n{} wrong",
        wrong.join("\n"),
        wrong.len()
    );
}

#[test]
fn every_fact_agrees_with_the_pack_and_the_units() {
    let packs = wetside_rules::packs();
    let pack = &packs.packs[0];
    every(|file, at, fact| match &fact.check {
        Check::Limit(check) => against::limit_differs(pack, fact, check)
            .into_iter()
            .collect(),
        Check::Cells(check) => against::cells_differ(pack, &packs.vocabulary, check),
        Check::Rule(check) => against::cases_differ(pack, &packs.vocabulary, file, at, check),
        Check::Words(check) => against::words_missing(pack, check).into_iter().collect(),
        Check::Reading(check) => against::reading_differs(check).into_iter().collect(),
        Check::Tube(check) => against::content_differs(check).into_iter().collect(),
        Check::Figure(check) => against::figure_differs(check).into_iter().collect(),
        Check::Condition(check) => against::condition_fails(&packs.vocabulary, &check.condition),
    });
}

#[test]
fn every_fact_names_its_source_and_how_sure_it_is() {
    every(|_, _, fact| {
        let mut wrong = Vec::new();
        let certainties = ["read", "second-hand", "from memory", "no source"];
        if !certainties.contains(&fact.source.certainty.as_str()) {
            wrong.push(format!(
                "`{}` says nothing of how sure it is",
                fact.source.certainty
            ));
        }
        let begins_well = fact
            .fact
            .chars()
            .next()
            .is_some_and(|first| !first.is_whitespace());
        if !begins_well || fact.fact.ends_with('.') {
            wrong.push("a fact is one sentence without a full stop".to_string());
        }
        let clause = fact.source.clause.as_deref().unwrap_or("none");
        for words in [fact.source.work.as_str(), clause] {
            if words.trim().is_empty() || super::pack::holds_private_code(words) {
                wrong.push(format!("`{words}` names no document"));
            }
        }
        wrong
    });
}

#[test]
fn the_facts_are_many_and_all_different() {
    let files = files();
    let facts: Vec<&str> = files
        .iter()
        .flat_map(|file| &file.facts)
        .map(|fact| fact.fact.as_str())
        .collect();
    let different: BTreeSet<&str> = facts.iter().copied().collect();
    assert_eq!(different.len(), facts.len());
    assert!(facts.len() >= 60, "{}", facts.len());
}

#[test]
fn every_row_of_the_protection_table_has_a_fact() {
    let packs = wetside_rules::packs();
    let files = files();
    let checked: BTreeSet<&str> = files
        .iter()
        .flat_map(|file| &file.facts)
        .filter_map(|fact| match &fact.check {
            Check::Cells(check) if check.table == "protection" => Some(check.row.as_str()),
            _ => None,
        })
        .collect();
    let table = packs.packs[0]
        .tables
        .iter()
        .find(|table| table.name == "protection")
        .expect("the table");
    let rows: BTreeSet<&str> = table
        .rows
        .iter()
        .filter_map(|row| Some(packs.vocabulary.word(row.word()?)))
        .collect();
    assert_eq!(checked, rows);
}

#[test]
fn every_limit_from_a_document_has_a_fact() {
    let packs = wetside_rules::packs();
    let files = files();
    let checked = |name: &str| {
        files
            .iter()
            .flat_map(|file| &file.facts)
            .any(|fact| match &fact.check {
                Check::Limit(check) => check.limit == name,
                Check::Condition(check) => check.condition.contains(&format!("limit.{name}")),
                _ => false,
            })
    };
    let undocumented = ["common practice", "trade knowledge"];
    let documented = packs.packs[0].limits.iter().filter(|entry| {
        let citation = against::in_england(&packs.packs[0], entry);
        citation.certainty != "no source" && !undocumented.contains(&citation.work.as_str())
    });
    let unchecked: Vec<&str> = documented
        .map(|entry| entry.limit.name.as_str())
        .filter(|name| !checked(name))
        .collect();
    assert!(unchecked.is_empty(), "no fact speaks of {unchecked:?}");
}
