//! One pack beside another: what became of each rule, and whether anything that the older finds is lost.
//!
//! Contract: *tighter* and *alike* are proved as a layer's changes are, *looser* comes with what shows it, and what
//! can be neither proved nor shown is *tried*: no case of either rule found anything less. A difference is shown by
//! facts that were tried, or by a case that stands in one of the packs. Pure; the same packs give the same answer.

use crate::cases::{self, worst};
use crate::layers::{Compared, compare, weight};
use crate::mutants::each_combination;
use crate::pack::{Pack, Rule};
use std::collections::BTreeSet;
use std::ops::ControlFlow;
use wetside_base::finding::Outcome;
use wetside_base::vocabulary::Vocabulary;

/// What became of one rule.
pub struct Change {
    pub rule: String,
    pub became: Became,
    /// What is otherwise: `most was 2 bar, is 3 bar`.
    pub why: String,
    /// What a survey would show, as the end of a sentence; nothing where none was found.
    pub shown: Option<String>,
}

/// In the order of the weight that they have for whoever judges by the pack.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Became {
    /// Nothing is judged otherwise: proved.
    Alike,
    New,
    /// What was found is still found: proved.
    Tighter,
    /// Neither proved nor shown to be looser.
    Tried,
    Gone,
    Looser,
}

/// What became of the rules that are not the same in both, by their names.
pub fn of(old: &[Pack], new: &[Pack], vocabulary: &Vocabulary) -> Vec<Change> {
    let rules = old.iter().chain(new).flat_map(|pack| &pack.rules);
    let ids: BTreeSet<&str> = rules.map(|rule| rule.id.as_str()).collect();
    let ids: Vec<&str> = ids.into_iter().collect();
    let changes = crate::mutants::of_each(&ids, |id| {
        let sides = [find(old, id), find(new, id)];
        let digests = sides.map(|side| side.map(|(pack, rule)| pack.digest_of(rule)));
        (digests[0] != digests[1]).then(|| change(id, sides, vocabulary))
    });
    changes.into_iter().flatten().collect()
}

fn find<'p>(packs: &'p [Pack], id: &str) -> Option<(&'p Pack, &'p Rule)> {
    packs.iter().find_map(|pack| Some((pack, pack.rule(id)?)))
}

fn change(id: &str, sides: [Option<(&Pack, &Rule)>; 2], vocabulary: &Vocabulary) -> Change {
    let (became, shown, why) = match sides {
        [Some(old), Some(new)] => {
            let (became, shown) = beside(old, new, vocabulary);
            let found = || {
                differs(old, new, vocabulary).or_else(|| on_cases(sides, vocabulary, |a, b| a != b))
            };
            let shown = shown.or_else(|| (became != Became::Alike).then(found)?);
            (became, shown, why(old, new))
        }
        [old, new] => {
            let (became, word) = match old {
                Some(_) => (Became::Gone, "gone"),
                None => (Became::New, "new"),
            };
            let there = old.or(new);
            let broken = |a: Option<Outcome>, b: Option<Outcome>| a.or(b) == Some(Outcome::Broken);
            let shown = there.and_then(|there| breaks(there, vocabulary));
            let shown = shown.or_else(|| on_cases(sides, vocabulary, broken));
            (became, shown, word.to_string())
        }
    };
    Change {
        rule: id.to_string(),
        became,
        why,
        shown,
    }
}

/// Whether a rule finds all that it found, with what shows the opposite.
fn beside(
    old: (&Pack, &Rule),
    new: (&Pack, &Rule),
    vocabulary: &Vocabulary,
) -> (Became, Option<String>) {
    match compare(old, new, vocabulary) {
        Compared::Looser(shown) => (Became::Looser, Some(shown)),
        Compared::Tighter => match compare(new, old, vocabulary) {
            Compared::Tighter => (Became::Alike, None),
            _ => (Became::Tighter, None),
        },
        Compared::Open => {
            let weight = |outcome: Option<Outcome>| outcome.map_or(0, weight);
            let lost = |a, b| weight(b) < weight(a);
            match on_cases([Some(old), Some(new)], vocabulary, lost) {
                Some(shown) => (Became::Looser, Some(shown)),
                None => (Became::Tried, None),
            }
        }
    }
}

/// Facts on which two rules come out otherwise.
fn differs(old: (&Pack, &Rule), new: (&Pack, &Rule), vocabulary: &Vocabulary) -> Option<String> {
    let mut shown = None;
    each_combination(old, new, vocabulary, &mut |tried| {
        let (was, is) = (worst(tried.one), worst(tried.other));
        if was != is
            && let Some(facts) = tried.told(vocabulary)
        {
            shown = Some(format!("with {facts} it was {was} and is {is}"));
            return ControlFlow::Break(());
        }
        ControlFlow::Continue(())
    });
    shown
}

/// Facts that break a rule which stands in one of the packs alone.
fn breaks(rule: (&Pack, &Rule), vocabulary: &Vocabulary) -> Option<String> {
    let mut shown = None;
    each_combination(rule, rule, vocabulary, &mut |tried| {
        let mut all = tried.one.iter();
        if all.any(|one| one.outcome == Outcome::Broken)
            && let Some(facts) = tried.told(vocabulary)
        {
            shown = Some(format!("a survey with {facts} breaks it"));
            return ControlFlow::Break(());
        }
        ControlFlow::Continue(())
    });
    shown
}

/// The first case of either rule on which the outcomes are as asked.
fn on_cases(
    sides: [Option<(&Pack, &Rule)>; 2],
    vocabulary: &Vocabulary,
    asked: impl Fn(Option<Outcome>, Option<Outcome>) -> bool,
) -> Option<String> {
    sides.iter().flatten().find_map(|(_, rule)| {
        let mut all = cases::outcomes_on(rule, sides, vocabulary);
        let (name, [was, is]) = all.find(|(_, [was, is])| asked(*was, *is))?;
        let told = |outcome: Option<Outcome>| outcome.map_or("not there", Outcome::words);
        Some(format!(
            "on its case `{name}` it was {} and is {}",
            told(was),
            told(is)
        ))
    })
}

/// What is otherwise in a rule of both packs: the limits, tables and lists of words that it names, or its own text.
fn why((old, was): (&Pack, &Rule), (new, is): (&Pack, &Rule)) -> String {
    let names = |pack: &Pack, rule: &Rule| -> BTreeSet<String> {
        let reads = rule.reads();
        let limits = reads.limits.iter().map(|at| pack.limits[*at].limit.named());
        let tables = reads.tables.iter().map(|at| pack.tables[*at].named());
        limits.chain(tables).collect()
    };
    let written = |pack: &Pack, name: &str| {
        let mut limits = pack.limits.iter();
        let found = limits.find(|entry| entry.limit.named() == name);
        found.map(|entry| entry.limit.written.clone())
    };
    let both = names(old, was)
        .into_iter()
        .filter(|name| names(new, is).contains(name));
    let moved = both
        .filter(|name| old.stamp(name) != new.stamp(name))
        .map(|name| {
            let bare = name.split_once('.').map_or("", |(_, bare)| bare);
            match (written(old, &name), written(new, &name)) {
                (Some(was), Some(is)) => format!("{bare} was {was}, is {is}"),
                _ => format!("the table {bare} is another"),
            }
        });
    let mut moved: Vec<String> = moved.collect();
    let text = |rule: &Rule| {
        crate::digest::of_node(&wetside_document::read(&rule.source()).root, &["cases"])
    };
    if moved.is_empty() || text(was) != text(is) {
        moved.push("changed".to_string());
    }
    moved.join(", ")
}
