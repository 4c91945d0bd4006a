//! Conditions: three answers, with the part of the trail that decided each.

use super::words::{one_of, ruled, same};
use super::{Evaluator, folds};
use crate::ast::{Comparison, Inclusion, WhenEmpty};
use crate::node::{Each, Node};
use std::slice::from_ref;
use wetside_base::facts::FactId;
use wetside_base::vocabulary::WordId;
use wetside_units::Interval;
use wetside_units::truth::Truth;

impl<'a> Evaluator<'a> {
    pub(super) fn truth(&mut self, node: &'a Node) -> Truth {
        match node {
            Node::And(parts) => self.joined(parts, Truth::No, Truth::and),
            Node::Or(parts) => self.joined(parts, Truth::Yes, Truth::or),
            Node::Not(inner) => !self.truth(inner),
            Node::Compare(comparison, a, b) => {
                let (mut one, mut other) = (None, None);
                let (a, b) = (self.lent(a, &mut one), self.lent(b, &mut other));
                compared(*comparison, a, b)
            }
            Node::Between(value, low, high) => {
                let (mut one, mut two, mut three) = (None, None, None);
                let value = self.lent(value, &mut one);
                let (low, high) = (self.lent(low, &mut two), self.lent(high, &mut three));
                low.not_more(value).and(value.not_more(high))
            }
            Node::Same(negated, a, b) => {
                let same = match (&**a, &**b) {
                    (Node::Fact(route), Node::Word(word)) => self.fact_is(route, from_ref(word)),
                    _ => same(&self.words(a), &self.words(b)),
                };
                if *negated { !same } else { same }
            }
            Node::OneOf(value, options) => match &**value {
                Node::Fact(route) => self.fact_is(route, options),
                value => one_of(&self.words(value), options),
            },
            Node::Includes(inclusion, set, bits) => {
                let (has, may) = self.set(set);
                match inclusion {
                    Inclusion::OneOf => ruled(has & bits != 0, may & bits == 0),
                    Inclusion::Only => ruled(may & !bits == 0, has & !bits != 0),
                }
            }
            Node::Holds(set, word, words) => self.holds(set, word, words),
            Node::Listed(_, inner) => self.truth(inner),
            Node::Empty(set) => {
                let (has, may) = self.set(set);
                ruled(may == 0, has != 0)
            }
            Node::If(c, a, b) => self.branch([c, a, b], Self::truth, Truth::join),
            Node::Every(each, when_empty, body) => self.every(each, *when_empty, body),
            Node::Some(each, body) => self.some(each, body, Truth::Yes),
            Node::Whole(route) => {
                let list = self.find(route);
                self.note(list);
                !folds::others(self.scene.facts, list)
            }
            _ => Truth::Undecided,
        }
    }

    /// Whether a set has the word that the other comes to; `words` are those of the set, in the order of its bits.
    fn holds(&mut self, set: &'a Node, word: &'a Node, words: &[WordId]) -> Truth {
        let (has, may) = self.set(set);
        let word = self.words(word);
        let within = |bits: u64| -> Vec<WordId> {
            let words = words.iter().enumerate();
            let belonging = words.filter(|(at, _)| bits & (1 << at) != 0);
            belonging.map(|(_, word)| *word).collect()
        };
        let (surely, perhaps) = (one_of(&word, &within(has)), one_of(&word, &within(may)));
        ruled(surely == Truth::Yes, perhaps == Truth::No)
    }

    /// Several answers as one, which a single `deciding` one settles.
    fn joined(
        &mut self,
        parts: &'a [Node],
        deciding: Truth,
        join: fn(Truth, Truth) -> Truth,
    ) -> Truth {
        let mut weighed = self.weigh();
        let mut all = !deciding;
        for part in parts {
            let truth = self.truth(part);
            self.weighed(&mut weighed, truth);
            all = join(all, truth);
            if self.enough(all, deciding) {
                break;
            }
        }
        self.decided(&weighed, all)
    }

    /// That no element fails; and where an empty list will not do, that one holds.
    fn every(&mut self, each: &'a Each, when_empty: WhenEmpty, body: &'a Node) -> Truth {
        let mut weighed = self.weigh();
        let mut all = !self.some(each, body, Truth::No);
        self.weighed(&mut weighed, all);
        if when_empty == WhenEmpty::Broken {
            let enough = self.some(each, body, Truth::Yes);
            self.weighed(&mut weighed, enough);
            all = all.and(enough);
        }
        self.decided(&weighed, all)
    }

    /// That an element is meant of which the answer is `wanted`.
    fn some(&mut self, each: &'a Each, body: &'a Node, wanted: Truth) -> Truth {
        let mut weighed = self.weigh();
        let mut any = Truth::No;
        let list = self.each_element(each, |asker| {
            if asker.enough(any, Truth::Yes) {
                return;
            }
            let mut parts = asker.weigh();
            let meant = asker.meant(each);
            asker.weighed(&mut parts, meant);
            if asker.enough(meant, Truth::No) {
                return;
            }
            let found = asker.truth(body);
            let found = if wanted == Truth::No { !found } else { found };
            asker.weighed(&mut parts, found);
            let truth = asker.decided(&parts, meant.and(found));
            asker.weighed(&mut weighed, truth);
            any = any.or(truth);
        });
        let others = folds::others(self.scene.facts, list);
        self.note(list);
        self.weighed(&mut weighed, others);
        self.decided(&weighed, any.or(others))
    }

    /// Asks something of each element of a list, meant or not, as the last variable; the list.
    pub(super) fn each_element(
        &mut self,
        each: &'a Each,
        mut ask: impl FnMut(&mut Self),
    ) -> FactId {
        let list = self.find(&each.list);
        for element in each.elements(self.scene.facts, list) {
            self.bound.push(element);
            ask(self);
            self.bound.pop();
        }
        list
    }

    /// Whether the last variable is among the elements that a list expression means.
    pub(super) fn meant(&mut self, each: &'a Each) -> Truth {
        match &each.filter {
            Some(filter) => self.truth(filter),
            None => Truth::Yes,
        }
    }
}

fn compared(comparison: Comparison, a: &Interval, b: &Interval) -> Truth {
    match comparison {
        Comparison::Less => a.less(b),
        Comparison::AtMost => a.not_more(b),
        Comparison::More => a.more(b),
        Comparison::AtLeast => a.not_less(b),
        Comparison::Is => a.same(b),
        Comparison::IsNot => !a.same(b),
    }
}
