//! Conditions: three answers, with the part of the trail that decided each.

use super::words::{one_of, ruled, same};
use super::{Evaluator, Noting, folds};
use crate::ast::{Comparison, WhenEmpty};
use crate::node::{Each, Node};
use wetside_base::facts::FactId;
use wetside_units::Interval;
use wetside_units::truth::Truth;

impl Evaluator<'_> {
    pub(super) fn truth(&mut self, node: &Node) -> Truth {
        match node {
            Node::And(parts) => self.joined(parts, Truth::Yes, Truth::and),
            Node::Or(parts) => self.joined(parts, Truth::No, Truth::or),
            Node::Not(inner) => !self.truth(inner),
            Node::Compare(comparison, a, b) => {
                let (a, b) = (self.range(a), self.range(b));
                compared(*comparison, &a, &b)
            }
            Node::Between(value, low, high) => {
                let (value, low, high) = (self.range(value), self.range(low), self.range(high));
                low.not_more(&value).and(value.not_more(&high))
            }
            Node::Same(negated, a, b) => {
                let same = match (&**a, &**b) {
                    (Node::Fact(route), Node::Word(word)) => self.fact_is(route, *word),
                    _ => same(&self.words(a), &self.words(b)),
                };
                if *negated { !same } else { same }
            }
            Node::OneOf(value, options) => one_of(&self.words(value), options),
            Node::IncludesOneOf(set, bits) => {
                let (has, may) = self.set(set);
                ruled(has & bits != 0, may & bits == 0)
            }
            Node::IncludesOnly(set, bits) => {
                let (has, may) = self.set(set);
                ruled(may & !bits == 0, has & !bits != 0)
            }
            Node::Empty(set) => {
                let (has, may) = self.set(set);
                ruled(may == 0, has != 0)
            }
            Node::If(condition, then, otherwise) => match self.truth(condition) {
                Truth::Yes => self.truth(then),
                Truth::No => self.truth(otherwise),
                Truth::Undecided => {
                    let then = self.truth(then);
                    then.join(self.truth(otherwise))
                }
            },
            Node::Every(each, when_empty, body) => self.every(each, *when_empty, body),
            Node::Some(each, body) => self.some(each, body),
            _ => Truth::Undecided,
        }
    }

    fn joined(&mut self, parts: &[Node], start: Truth, join: fn(Truth, Truth) -> Truth) -> Truth {
        let mut weighed = self.weigh();
        let mut all = start;
        for part in parts {
            let truth = self.truth(part);
            self.weighed(&mut weighed, truth);
            all = join(all, truth);
        }
        self.decided(&weighed, all)
    }

    fn every(&mut self, each: &Each, when_empty: WhenEmpty, body: &Node) -> Truth {
        let mut weighed = self.weigh();
        let list = self.find(&each.list);
        let (mut all, mut matched) = (Truth::Yes, Truth::No);
        for element in self.scene.facts.elements(list) {
            self.bound.push(element);
            let mut parts = self.weigh();
            let meant = self.meant(each);
            self.weighed(&mut parts, !meant);
            let holds = self.truth(body);
            self.weighed(&mut parts, holds);
            let truth = self.decided(&parts, meant.implies(holds));
            self.bound.pop();
            self.weighed(&mut weighed, truth);
            all = all.and(truth);
            // An element that is meant and fails settles it anyway, so only one that holds counts.
            matched = matched.or(meant.and(holds));
        }
        let others = folds::others(self.scene.facts, list);
        self.note(list);
        self.weighed(&mut weighed, !others);
        all = all.and(!others);
        if when_empty == WhenEmpty::Broken {
            self.note_elements(list, each, body);
            let some = matched.or(others);
            self.weighed(&mut weighed, some);
            all = all.and(some);
        }
        self.decided(&weighed, all)
    }

    /// That no element is there rests on the list and on what every listed one was asked.
    fn note_elements(&mut self, list: FactId, each: &Each, body: &Node) {
        self.note(list);
        if self.noting == Noting::Nothing {
            return;
        }
        for element in self.scene.facts.elements(list) {
            self.bound.push(element);
            self.meant(each);
            self.truth(body);
            self.bound.pop();
        }
    }

    fn some(&mut self, each: &Each, body: &Node) -> Truth {
        let mut weighed = self.weigh();
        let list = self.find(&each.list);
        let mut any = Truth::No;
        for element in self.scene.facts.elements(list) {
            self.bound.push(element);
            let mut parts = self.weigh();
            let meant = self.meant(each);
            self.weighed(&mut parts, meant);
            let holds = self.truth(body);
            self.weighed(&mut parts, holds);
            let truth = self.decided(&parts, meant.and(holds));
            self.bound.pop();
            self.weighed(&mut weighed, truth);
            any = any.or(truth);
        }
        let others = folds::others(self.scene.facts, list);
        self.note(list);
        self.weighed(&mut weighed, others);
        self.decided(&weighed, any.or(others))
    }

    /// Whether the last variable is among the elements that a list expression means.
    pub(super) fn meant(&mut self, each: &Each) -> Truth {
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
