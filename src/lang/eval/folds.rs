//! Counts, sums, least and greatest over lists that may hold more than is listed.
//!
//! Contract: a result holds the value for every completion of the list and of its open facts.
//! This module must not know conditions other than through the evaluator.

use super::Evaluator;
use crate::ast::Fold;
use crate::node::{Each, Node};
use wetside_base::facts::{FactId, Facts};
use wetside_units::truth::Truth;
use wetside_units::{End, Exact, Interval};

/// Whether a list has an element, not listed, that could turn an answer: no where its extent is
/// complete, else undecided, for nothing is known of such an element.
pub(super) fn others(facts: &Facts, list: FactId) -> Truth {
    let listed = listed(facts, list);
    let unlisted = facts.extent(list).map(|extent| extent.unlisted(listed));
    match unlisted {
        Some((_, Some(0))) => Truth::No,
        _ => Truth::Undecided,
    }
}

fn listed(facts: &Facts, list: FactId) -> u32 {
    u32::try_from(facts.elements(list).count()).unwrap_or(u32::MAX)
}

/// The least or greatest of several values.
pub(super) fn pick(fold: Fold, ranges: &[Interval]) -> Interval {
    let join = |a: Interval, b: &Interval| match fold {
        Fold::Least => a.lesser(b),
        _ => a.greater(b),
    };
    match ranges.split_first() {
        Some((first, others)) => others.iter().fold(*first, join),
        None => Interval::EVERYTHING,
    }
}

impl<'a> Evaluator<'a> {
    pub(super) fn count(&mut self, each: &'a Each) -> Interval {
        let (mut surely, mut perhaps) = (0, 0);
        let list = self.each_element(each, |asker| {
            let meant = asker.meant(each);
            surely += u32::from(meant == Truth::Yes);
            perhaps += u32::from(meant == Truth::Undecided);
        });
        self.note(list);
        let listed = listed(self.scene.facts, list);
        let (more, at_most) = match self.scene.facts.extent(list) {
            Some(extent) => extent.unlisted(listed),
            None => (0, None),
        };
        // Which of the unlisted ones a filter would mean is not known.
        let least = surely + if each.filter.is_none() { more } else { 0 };
        let number = |count: u32| Exact::from(i64::from(count));
        let high = match at_most {
            Some(most) => End::Closed(number((surely + perhaps).saturating_add(most))),
            None => End::Unbounded,
        };
        Interval::new(End::Closed(number(least)), high).unwrap_or(Interval::EVERYTHING)
    }

    /// `possible` is what the value can be for an element that nobody listed.
    pub(super) fn fold(
        &mut self,
        fold: Fold,
        value: &'a Node,
        each: &'a Each,
        otherwise: Option<&'a Node>,
        possible: &Interval,
    ) -> Interval {
        let mut values = Vec::new();
        let list = self.each_element(each, |asker| {
            let meant = asker.meant(each);
            if meant != Truth::No {
                values.push((meant, asker.range(value)));
            }
        });
        self.note(list);
        let otherwise = otherwise.map(|node| self.range(node));
        let more = others(self.scene.facts, list) != Truth::No;
        let unlisted = more.then_some(*possible);
        if matches!(fold, Fold::First | Fold::Last) {
            if fold == Fold::Last {
                values.reverse();
            }
            return foremost(&values, otherwise, unlisted);
        }
        let of = |wanted| {
            let some = values.iter().filter(move |(meant, _)| *meant == wanted);
            some.map(|(_, range)| *range)
        };
        let (sure, mut open) = (
            Vec::from_iter(of(Truth::Yes)),
            Vec::from_iter(of(Truth::Undecided)),
        );
        if fold == Fold::Sum {
            return sum(&sure, &open, unlisted.as_ref());
        }
        open.extend(unlisted);
        extreme(fold, &sure, &open, otherwise)
    }
}

/// The first of some values that may or may not take part: up to the first that surely does, or whatever
/// holds where none does. What is not listed may stand before all of them.
fn foremost(
    values: &[(Truth, Interval)],
    otherwise: Option<Interval>,
    unlisted: Option<Interval>,
) -> Interval {
    let sure = values.iter().position(|(meant, _)| *meant == Truth::Yes);
    let seen = values.iter().take(sure.map_or(values.len(), |at| at + 1));
    let seen = seen.map(|(_, range)| *range).chain(unlisted);
    let all = seen.chain(otherwise.filter(|_| sure.is_none()));
    all.reduce(|all, range| all.hull(&range))
        .unwrap_or(Interval::EVERYTHING)
}

/// A sum in which the open values may or may not take part, and perhaps any number of unlisted ones.
fn sum(sure: &[Interval], open: &[Interval], unlisted: Option<&Interval>) -> Interval {
    let zero = Interval::exact(Exact::ZERO);
    let part = open.iter().map(|range| range.hull(&zero));
    let total = sure
        .iter()
        .copied()
        .chain(part)
        .try_fold(zero, |total, range| total.plus(&range));
    let Some(total) = total else {
        return Interval::EVERYTHING;
    };
    match unlisted {
        None => total,
        // Unlisted elements can only add where their values are never negative.
        Some(possible) if Interval::at_least(Exact::ZERO).encloses(possible) => {
            Interval::new(total.low(), End::Unbounded).unwrap_or(Interval::EVERYTHING)
        }
        Some(_) => Interval::EVERYTHING,
    }
}

/// The least or greatest, where the open values may or may not take part.
fn extreme(
    fold: Fold,
    sure: &[Interval],
    open: &[Interval],
    otherwise: Option<Interval>,
) -> Interval {
    let of_sure = (!sure.is_empty()).then(|| pick(fold, sure)).or(otherwise);
    let Some(of_sure) = of_sure else {
        return Interval::EVERYTHING;
    };
    let with_each = open.iter().map(|range| {
        if sure.is_empty() {
            *range
        } else {
            pick(fold, &[of_sure, *range])
        }
    });
    with_each.fold(of_sure, |all, range| all.hull(&range))
}
