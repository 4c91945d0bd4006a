//! What is likely of a figure of the survey beside what is sure, for people; of the branches the house tells it.
//!
//! Contract: the value comes from the middle of every number, the range by moving each of them by itself, through
//! every figure on the way that takes it, and adding what that does by squares. So what two figures share is moved
//! once. Nothing is likely where a fact behind it is open, where a number has no end, and where the day's stages
//! stand behind it: what is likely of the day its plan tells. No rule reads it.

use super::catalogue::table;
use super::emitters::elements;
use super::table::{Figure, Input, Origin};
use super::view::{Gathered, View};
use super::work;
use std::collections::BTreeMap;
use wetside_base::facts::{Content, FactId, Facts};
use wetside_house::{Likely, Range, likely_by};

/// A number behind figures: a recorded fact, something gathered for one figure, or a convention by its words.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
enum Key {
    Fact(FactId),
    Gathered(&'static str, &'static str),
    Convention(&'static str),
}

/// A figure with the numbers that are known as ranges behind it.
pub struct Numbers<'a> {
    view: View<'a>,
    figure: &'static Figure,
    wide: BTreeMap<Key, Range>,
}

/// What is likely of a figure of the survey.
pub(crate) fn likely(view: &View<'_>, figure: &'static Figure) -> Option<Likely> {
    let sure = view.range(view.figure(figure.name)).ok()?;
    let numbers = Numbers::of(*view, figure)?;
    let by_factors = sure.low > 0.0;
    likely_by(&numbers.ranges(), by_factors, sure, |values| {
        numbers.at(values)
    })
}

/// The same by the name of the figure.
pub(super) fn named(view: &View<'_>, name: &str) -> Option<Likely> {
    likely(view, row(name)?)
}

impl<'a> Numbers<'a> {
    pub fn of(view: View<'a>, figure: &'static Figure) -> Option<Numbers<'a>> {
        let mut numbers = Numbers {
            view,
            figure,
            wide: BTreeMap::new(),
        };
        let known = numbers.collect(figure);
        known.then_some(numbers)
    }

    /// The ranges, in an order of their own.
    pub fn ranges(&self) -> Vec<Range> {
        self.wide.values().copied().collect()
    }

    /// The figure with a value for each of the ranges.
    pub fn at(&self, values: &[f64]) -> Option<f64> {
        let values: BTreeMap<Key, f64> = self
            .wide
            .keys()
            .copied()
            .zip(values.iter().copied())
            .collect();
        let value = self.value(self.figure, &values)?;
        value.is_finite().then_some(value)
    }

    /// Collects what is behind a figure, and says whether all of it is known.
    fn collect(&mut self, figure: &'static Figure) -> bool {
        let taken = work::take(&self.view, Facts::ROOT, figure);
        figure.inputs.iter().zip(taken).all(|(input, taken)| {
            if let Origin::Figure(name) = input.origin {
                return row(name).is_some_and(|row| self.collect(row));
            }
            let Ok(range) = taken.range else { return false };
            let known = taken.facts.iter().all(|fact| self.is_known(*fact));
            if known && range.middle().is_finite() && !range.is_point() {
                self.wide.insert(key(figure, input, &taken.facts), range);
            }
            known
        })
    }

    /// Whether a fact is recorded, or worked out of recorded ones alone.
    fn is_known(&self, id: FactId) -> bool {
        let facts = self.view.facts;
        let of_survey = facts.fact(id).parent == self.view.figures();
        let known = match facts.fact(id).content {
            Content::Open(_) => false,
            Content::List { .. } => !elements(&self.view, id).1,
            _ => !(of_survey && facts.is_worked_out(id)),
        };
        known && facts.inputs(id).iter().all(|input| self.is_known(*input))
    }

    fn value(&self, figure: &'static Figure, values: &BTreeMap<Key, f64>) -> Option<f64> {
        let taken = work::take(&self.view, Facts::ROOT, figure);
        let each = figure.inputs.iter().zip(taken);
        let ranges = each.map(|(input, Gathered { range, facts })| match input.origin {
            Origin::Figure(name) => Some(Range::point(self.value(row(name)?, values)?)),
            _ => match values.get(&key(figure, input, &facts)) {
                Some(value) => Some(Range::point(*value)),
                None => range.ok(),
            },
        });
        let ranges: Vec<Range> = ranges.collect::<Option<_>>()?;
        Some(work::bounds(figure, &ranges).ok()?.middle())
    }
}

fn row(name: &str) -> Option<&'static Figure> {
    table().find(|row| row.name == name)
}

fn key(figure: &'static Figure, input: &'static Input, facts: &[FactId]) -> Key {
    match (&input.origin, facts) {
        (Origin::Convention { says, .. }, _) => Key::Convention(says),
        (Origin::Fact(_), [fact, ..]) => Key::Fact(*fact),
        _ => Key::Gathered(figure.name, input.symbol),
    }
}
