//! What an open fact can be, cut into the finitely many cells that a rule's own limits make of it.
//!
//! Contract: within a cell every comparison of that fact with a fixed limit has one answer, so trying
//! all cells tells a truth that does not depend on the fact from one that does: one reading used
//! twice is one reading. Only facts read more than once can gain by it. The number of trials is
//! bounded by [`BUDGET`], a count: the result never depends on time or machine, and learning more
//! never raises the number of cells.

use super::eval::{Scene, Supposed};
use super::node::Cuts;
use crate::facts::{Content, FactId, Value};
use crate::units::{Exact, Interval};
use crate::vocabulary::{FieldId, Shape, Type, WordId};

/// The most trials for one rule on one element.
pub const BUDGET: usize = 4_096;

/// A set with more words in question than this is left open.
const MOST_SET_WORDS: usize = 6;

/// The cells of every fact that is open and read more than once; nothing if trying all of their
/// combinations would exceed the budget, or if there are none.
pub fn cells(
    readings: &[FactId],
    scene: Scene<'_>,
    cuts: &[&Cuts],
) -> Option<Vec<(FactId, Vec<Supposed>)>> {
    let mut repeated: Vec<FactId> = Vec::new();
    for (at, fact) in readings.iter().enumerate() {
        if readings[..at].contains(fact) && !repeated.contains(fact) {
            repeated.push(*fact);
        }
    }
    let cut: Vec<(FactId, Vec<Supposed>)> = repeated
        .into_iter()
        .map(|fact| (fact, cells_of(fact, scene, cuts)))
        .filter(|(_, cells)| cells.len() > 1)
        .collect();
    let trials = cut.iter().try_fold(1_usize, |trials, (_, cells)| {
        trials.checked_mul(cells.len())
    });
    (!cut.is_empty() && trials.is_some_and(|trials| trials <= BUDGET)).then_some(cut)
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
        (Type::Choice(words), Content::Open(_)) => choices(held.field, words, cuts),
        (Type::Set(words), Content::Open(_)) => sets(held.field, words, 0, u64::MAX, cuts),
        (Type::Set(words), Content::Known(Value::Set { has, may })) => {
            sets(held.field, words, *has, *may, cuts)
        }
        _ => Vec::new(),
    }
}

fn ranges(field: FieldId, range: &Interval, cuts: &[&Cuts]) -> Vec<Supposed> {
    let points = cuts.iter().flat_map(|cuts| cuts.points.iter());
    let mut own: Vec<Exact> = points
        .filter(|(cut, _)| *cut == field)
        .map(|(_, point)| *point)
        .collect();
    own.sort();
    own.dedup();
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

/// Every way in which the words that the rule names may belong or not.
fn sets(field: FieldId, words: &[WordId], has: u64, may: u64, cuts: &[&Cuts]) -> Vec<Supposed> {
    let named = named(field, cuts);
    let bits: Vec<u64> = words
        .iter()
        .enumerate()
        .filter(|(_, word)| named.contains(word))
        .map(|(at, _)| 1 << at)
        .filter(|bit| has & bit == 0 && may & bit != 0)
        .collect();
    if bits.len() > MOST_SET_WORDS {
        return Vec::new();
    }
    let cell = |choice: usize| {
        let chosen = bits
            .iter()
            .enumerate()
            .filter(|(at, _)| choice & (1 << at) != 0);
        let yes = chosen.fold(0, |all, (_, bit)| all | bit);
        let no = bits.iter().fold(0, |all, bit| all | bit) & !yes;
        Supposed::Set {
            has: has | yes,
            may: may & !no,
        }
    };
    (0..1 << bits.len()).map(cell).collect()
}
