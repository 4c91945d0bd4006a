//! What an open fact can be, cut into the finitely many cells that a rule's own limits make of it.
//!
//! Contract: within a cell every comparison of that fact with a fixed limit has one answer, so trying
//! all cells tells a truth that does not depend on the fact from one that does: one reading used
//! twice is one reading. Only facts read more than once can gain by it. The number of trials is
//! bounded by [`BUDGET`], a count: the result never depends on time or machine, and learning what a
//! fact is never raises the number of cells. Learning of more elements of a list may; then the
//! elements are left open, and only the facts outside lists are tried.

use super::eval::{Scene, Supposed};
use super::node::Cuts;
use std::collections::BTreeMap;
use wetside_base::facts::{Content, FactId, Facts, Value};
use wetside_base::vocabulary::{FieldId, Shape, Type, WordId};
use wetside_units::{Exact, Interval};

/// The most trials for one rule on one element.
pub const BUDGET: usize = 4_096;

/// A set with more words in question than this is left open.
pub const MOST_SET_WORDS: usize = 6;

/// A fact with the cells that it is cut into.
pub type Cut = (FactId, Vec<Supposed>);

/// The cells of every fact that is open and read more than once; nothing if trying all of their
/// combinations would exceed the budget, or if there are none.
pub fn cells(readings: &[FactId], scene: Scene<'_>, cuts: &[&Cuts]) -> Option<Vec<Cut>> {
    let mut times: BTreeMap<FactId, usize> = BTreeMap::new();
    for fact in readings {
        *times.entry(*fact).or_default() += 1;
    }
    let repeated = times.into_iter().filter(|(_, times)| *times > 1);
    let cut: Vec<Cut> = repeated
        .map(|(fact, _)| (fact, cells_of(fact, scene, cuts)))
        .filter(|(_, cells)| cells.len() > 1)
        .collect();
    within_budget(cut.clone()).or_else(|| {
        let alone = cut
            .into_iter()
            .filter(|(fact, _)| !in_list(scene.facts, *fact));
        within_budget(alone.collect())
    })
}

fn within_budget(cut: Vec<Cut>) -> Option<Vec<Cut>> {
    let trials = cut.iter().try_fold(1_usize, |trials, (_, cells)| {
        trials.checked_mul(cells.len())
    });
    (!cut.is_empty() && trials.is_some_and(|trials| trials <= BUDGET)).then_some(cut)
}

fn in_list(facts: &Facts, fact: FactId) -> bool {
    let mut at = fact;
    while at != Facts::ROOT {
        at = facts.fact(at).parent;
        if matches!(facts.fact(at).content, Content::List { .. }) {
            return true;
        }
    }
    false
}

/// The cells of one fact: none if it is not open or nothing cuts it.
pub fn cells_of(fact: FactId, scene: Scene<'_>, cuts: &[&Cuts]) -> Vec<Supposed> {
    let held = scene.facts.fact(fact);
    let Shape::Fact(what) = &scene.vocabulary.field(held.field).shape else {
        return Vec::new();
    };
    match (what, &held.content) {
        (Type::Quantity { possible, .. }, Content::Open(_)) => ranges(held.field, possible, cuts),
        (Type::Quantity { .. }, Content::Known(Value::Quantity(quantity))) => {
            ranges(held.field, &quantity.range, cuts)
        }
        (Type::Date | Type::DateTime, Content::Open(_)) => {
            ranges(held.field, &Interval::EVERYTHING, cuts)
        }
        (_, Content::Known(Value::Time(time))) => ranges(held.field, time, cuts),
        (Type::Choice(words), Content::Open(_)) => choices(held.field, words, cuts),
        (Type::Set(words), Content::Open(_)) => sets(
            held.field,
            words,
            0,
            super::eval::all_bits(words.len()),
            cuts,
        ),
        (Type::Set(words), Content::Known(Value::Set { has, may })) => {
            sets(held.field, words, *has, *may, cuts)
        }
        _ => Vec::new(),
    }
}

fn ranges(field: FieldId, range: &Interval, cuts: &[&Cuts]) -> Vec<Supposed> {
    let points = cuts.iter().flat_map(|cuts| cuts.points.iter());
    let own: Vec<Exact> = points
        .filter(|(cut, _)| *cut == field)
        .map(|(_, point)| *point)
        .collect();
    range.cells(&own).into_iter().map(Supposed::Range).collect()
}

fn named(field: FieldId, cuts: &[&Cuts]) -> Vec<WordId> {
    let words = cuts.iter().flat_map(|cuts| cuts.words.iter());
    let mut own: Vec<WordId> = words
        .filter(|(cut, _)| *cut == field)
        .map(|(_, word)| *word)
        .collect();
    own.sort();
    own.dedup();
    own
}

/// Each word that the rule names apart, and all others together.
fn choices(field: FieldId, words: &[WordId], cuts: &[&Cuts]) -> Vec<Supposed> {
    let named = named(field, cuts);
    let (apart, together): (Vec<WordId>, Vec<WordId>) =
        words.iter().partition(|word| named.contains(word));
    let rest = (!together.is_empty()).then_some(together);
    apart
        .into_iter()
        .map(|word| vec![word])
        .chain(rest)
        .map(Supposed::Words)
        .collect()
}

/// Every way in which the words that the rule names may belong or not, and whether any other does.
///
/// No rule can tell the words apart that it does not name, so all of them stand for any of them.
fn sets(field: FieldId, words: &[WordId], has: u64, may: u64, cuts: &[&Cuts]) -> Vec<Supposed> {
    let named = named(field, cuts);
    let open = may & !has;
    let bit = |word: &WordId| 1_u64 << words.iter().position(|known| known == word).unwrap_or(0);
    let apart = named.iter().filter(|word| words.contains(word)).map(bit);
    let mut parts: Vec<u64> = apart.filter(|bit| open & bit != 0).collect();
    if parts.len() > MOST_SET_WORDS {
        return Vec::new();
    }
    let rest = parts.iter().fold(open, |rest, bit| rest & !bit);
    parts.extend((rest != 0).then_some(rest));
    let cell = |choice: usize| {
        let chosen = parts
            .iter()
            .enumerate()
            .filter(|(at, _)| choice & (1 << at) != 0);
        let known = chosen.fold(has, |all, (_, part)| all | part);
        Supposed::Set {
            has: known,
            may: known,
        }
    };
    (0..1 << parts.len()).map(cell).collect()
}
