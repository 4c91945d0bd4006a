//! A checked condition and the facts of one system to an answer.
//!
//! Contract: an answer is yes or no only where every completion of the open facts gives it. Every
//! operand is always evaluated, so the order of evaluation cannot be seen. The trail holds the facts
//! that the answer rests on: those of the operands that decided it, and no others. Cost is bounded
//! by the condition and the lists; there are no loops, no clock and no chance.
//! This module must not know rules, packs or outcomes.

use super::ast::{Comparison, WhenEmpty};
use super::folds;
use super::functions::FUNCTIONS;
use super::names::{Cell, Table};
use super::node::{Each, Node, Route};
use crate::facts::{Content, FactId, Facts, Value};
use crate::truth::Truth;
use crate::units::{Date, End, Exact, Interval};
use crate::vocabulary::{FieldId, Shape, Type, Vocabulary, WordId};
use std::borrow::Cow;

/// What conditions are judged against.
#[derive(Clone, Copy)]
pub struct Scene<'a> {
    pub vocabulary: &'a Vocabulary,
    pub tables: &'a [Table],
    pub facts: &'a Facts,
    /// The date of judgement, in day numbers (days since 0001-01-01).
    pub as_of: Interval,
    /// The fact that the date of judgement was taken from, if it was.
    pub as_of_fact: Option<FactId>,
}

/// Something supposed of an open fact, narrower than what is known of it.
#[derive(Clone, Debug, PartialEq)]
pub enum Supposed {
    Range(Interval),
    Words(Vec<WordId>),
    Set { has: u64, may: u64 },
}

/// What to write down while evaluating.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Noting {
    /// Nothing: only the answer is wanted.
    Nothing,
    /// The facts that the answer rests on.
    Grounds,
    /// Every fact as often as it is read.
    Readings,
}

pub struct Evaluator<'a> {
    pub(super) scene: Scene<'a>,
    pub(super) variables: Vec<FactId>,
    supposed: &'a [(FactId, Supposed)],
    noting: Noting,
    trail: Vec<FactId>,
    undefined: bool,
}

/// An answer with what it rests on.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Answer {
    pub truth: Truth,
    /// Facts in the order in which the condition reads them, each once unless readings were asked for.
    pub trail: Vec<FactId>,
    /// Whether some arithmetic had no result: a division by what may be zero, or a number too large.
    pub undefined: bool,
}

/// Evaluates a condition; `variables` are the elements in scope.
pub fn answer(
    node: &Node,
    scene: Scene<'_>,
    variables: &[FactId],
    supposed: &[(FactId, Supposed)],
    noting: Noting,
) -> Answer {
    let mut evaluator = Evaluator {
        scene,
        variables: variables.to_vec(),
        supposed,
        noting,
        trail: Vec::new(),
        undefined: false,
    };
    let truth = evaluator.truth(node);
    let mut trail = evaluator.trail;
    if noting == Noting::Grounds {
        trail = each_once(&trail);
    }
    Answer {
        truth,
        trail,
        undefined: evaluator.undefined,
    }
}

/// A quantity or date, for a figure in a message.
pub fn range(node: &Node, scene: Scene<'_>, variables: &[FactId]) -> Interval {
    quiet(scene, variables).range(node)
}

/// A text or word, for a message; nothing if it is open.
pub fn words(node: &Node, scene: Scene<'_>, variables: &[FactId]) -> Option<String> {
    let mut evaluator = quiet(scene, variables);
    match evaluator.words(node) {
        Words::One(word) => Some(scene.vocabulary.word(word).to_string()),
        Words::Text(text) => Some(text.into_owned()),
        Words::Several(_) | Words::AnyText => None,
    }
}

fn quiet<'a>(scene: Scene<'a>, variables: &[FactId]) -> Evaluator<'a> {
    Evaluator {
        scene,
        variables: variables.to_vec(),
        supposed: &[],
        noting: Noting::Nothing,
        trail: Vec::new(),
        undefined: false,
    }
}

/// The facts in order, each once.
pub fn each_once(trail: &[FactId]) -> Vec<FactId> {
    let mut once: Vec<FactId> = Vec::new();
    for fact in trail {
        if !once.contains(fact) {
            once.push(*fact);
        }
    }
    once
}

/// What a word or text can be.
#[derive(Clone, Debug, PartialEq)]
enum Words<'a> {
    One(WordId),
    Several(Cow<'a, [WordId]>),
    Text(Cow<'a, str>),
    AnyText,
}

/// The answers of several operands with the ends of their stretches of the trail.
pub(super) struct Weighed {
    from: usize,
    parts: Vec<(Truth, usize)>,
}

impl<'a> Evaluator<'a> {
    // The trail.

    pub(super) fn note(&mut self, fact: FactId) {
        if self.noting != Noting::Nothing {
            self.trail.push(fact);
        }
    }

    pub(super) fn weigh(&self) -> Weighed {
        Weighed {
            from: self.trail.len(),
            parts: Vec::new(),
        }
    }

    pub(super) fn weighed(&self, weighed: &mut Weighed, truth: Truth) {
        if self.noting == Noting::Grounds {
            weighed.parts.push((truth, self.trail.len()));
        }
    }

    /// Keeps of the trail what the operands with the deciding answer read.
    pub(super) fn decided(&mut self, weighed: &Weighed, truth: Truth) -> Truth {
        if self.noting == Noting::Grounds {
            let mut kept = weighed.from;
            let mut start = weighed.from;
            for (part, end) in &weighed.parts {
                if *part == truth {
                    self.trail.copy_within(start..*end, kept);
                    kept += end - start;
                }
                start = *end;
            }
            self.trail.truncate(kept);
        }
        truth
    }

    // Truths.

    pub(super) fn truth(&mut self, node: &Node) -> Truth {
        match node {
            Node::And(parts) => self.joined(parts, Truth::Yes, Truth::and),
            Node::Or(parts) => self.joined(parts, Truth::No, Truth::or),
            Node::Not(inner) => !self.truth(inner),
            Node::Compare(comparison, a, b) => {
                let (a, b) = (self.range(a), self.range(b));
                compared(*comparison, &a, &b)
            }
            Node::Within(value, low, high) => {
                let (value, low, high) = (self.range(value), self.range(low), self.range(high));
                low.not_more(&value).and(value.not_more(&high))
            }
            Node::Same(negated, a, b) => {
                let same = same(&self.words(a), &self.words(b));
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
            self.variables.push(element);
            let mut parts = self.weigh();
            let meant = self.meant(each);
            self.weighed(&mut parts, !meant);
            let holds = self.truth(body);
            self.weighed(&mut parts, holds);
            let truth = self.decided(&parts, meant.implies(holds));
            self.variables.pop();
            self.weighed(&mut weighed, truth);
            all = all.and(truth);
            matched = matched.or(meant);
        }
        let others = folds::others(self.scene.facts, list);
        self.note(list);
        self.weighed(&mut weighed, !others);
        all = all.and(!others);
        if when_empty == WhenEmpty::Broken {
            self.note(list);
            let some = matched.or(others);
            self.weighed(&mut weighed, some);
            all = all.and(some);
        }
        self.decided(&weighed, all)
    }

    fn some(&mut self, each: &Each, body: &Node) -> Truth {
        let mut weighed = self.weigh();
        let list = self.find(&each.list);
        let mut any = Truth::No;
        for element in self.scene.facts.elements(list) {
            self.variables.push(element);
            let mut parts = self.weigh();
            let meant = self.meant(each);
            self.weighed(&mut parts, meant);
            let holds = self.truth(body);
            self.weighed(&mut parts, holds);
            let truth = self.decided(&parts, meant.and(holds));
            self.variables.pop();
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

    // Facts.

    pub(super) fn find(&self, route: &Route) -> FactId {
        let start = match route.variable {
            Some(at) => self.variables[at],
            None => Facts::ROOT,
        };
        let step = |fact, slot: &u16| self.scene.facts.child(fact, *slot);
        route.slots.iter().fold(start, step)
    }

    fn supposed(&self, fact: FactId) -> Option<&'a Supposed> {
        let found = self.supposed.iter().find(|(supposed, _)| *supposed == fact);
        found.map(|(_, what)| what)
    }

    fn known(&self, fact: FactId) -> Option<&'a Value> {
        match &self.scene.facts.fact(fact).content {
            Content::Known(value) => Some(value),
            _ => None,
        }
    }

    fn field_type(&self, field: FieldId) -> Option<&'a Type> {
        match &self.scene.vocabulary.field(field).shape {
            Shape::Fact(what) => Some(what),
            _ => None,
        }
    }

    // Values.

    /// A quantity in base units, or a date in days.
    pub(super) fn range(&mut self, node: &Node) -> Interval {
        match node {
            Node::Quantity(range) | Node::Limit(_, range) => *range,
            Node::AsOf => {
                if let Some(fact) = self.scene.as_of_fact {
                    self.note(fact);
                }
                self.scene.as_of
            }
            Node::Fact(route) => self.fact_range(route),
            Node::Cell(table, column, row) => self.cell_range(*table, *column, row),
            Node::If(condition, then, otherwise) => match self.truth(condition) {
                Truth::Yes => self.range(then),
                Truth::No => self.range(otherwise),
                Truth::Undecided => {
                    let then = self.range(then);
                    then.hull(&self.range(otherwise))
                }
            },
            Node::Count(each) => self.count(each),
            Node::Fold(fold, value, each, otherwise, possible) => {
                self.fold(*fold, value, each, otherwise.as_deref(), possible)
            }
            Node::Pick(fold, among) => {
                let ranges: Vec<Interval> = among.iter().map(|node| self.range(node)).collect();
                folds::pick(*fold, &ranges)
            }
            _ => {
                let result = self.arithmetic(node);
                self.undefined |= result.is_none();
                result.unwrap_or(Interval::EVERYTHING)
            }
        }
    }

    /// Nothing where the arithmetic has no result.
    fn arithmetic(&mut self, node: &Node) -> Option<Interval> {
        match node {
            Node::Negate(inner) => Some(self.range(inner).negated()),
            Node::Plus(a, b) => self.range(a).plus(&self.range(b)),
            Node::Minus(a, b) => self.range(a).minus(&self.range(b)),
            Node::Times(a, b) => self.range(a).times(&self.range(b)),
            Node::Over(a, b) => self.range(a).over(&self.range(b)),
            Node::Months(date, months) => moved_by_months(&self.range(date), *months),
            Node::Days(date, by) => {
                let days = self.range(by).over(&day())?;
                self.range(date).plus(&days)
            }
            Node::Between(later, earlier) => {
                self.range(later).minus(&self.range(earlier))?.times(&day())
            }
            Node::Call(at, arguments) => {
                let values: Vec<Interval> = arguments.iter().map(|node| self.range(node)).collect();
                (FUNCTIONS[*at].value)(&values)
            }
            _ => None,
        }
    }

    fn fact_range(&mut self, route: &Route) -> Interval {
        let fact = self.find(route);
        self.note(fact);
        match (self.supposed(fact), self.known(fact)) {
            (Some(Supposed::Range(range)), _) => *range,
            (_, Some(Value::Quantity(quantity))) => quantity.range,
            (_, Some(Value::Date(days))) => **days,
            _ => match self.field_type(route.field) {
                Some(Type::Quantity { possible, .. }) => *possible,
                _ => Interval::EVERYTHING,
            },
        }
    }

    /// The cells of a column that the row's word may pick.
    fn cells(&mut self, table: usize, column: usize, row: &Node) -> Vec<&'a Cell> {
        let words = self.words(row);
        let rows = self.scene.tables[table].rows.iter();
        rows.filter(|row| match &words {
            Words::One(word) => row.word == *word,
            Words::Several(words) => words.contains(&row.word),
            Words::Text(_) | Words::AnyText => true,
        })
        .map(|row| &row.cells[column])
        .collect()
    }

    fn cell_range(&mut self, table: usize, column: usize, row: &Node) -> Interval {
        let ranges = self
            .cells(table, column, row)
            .into_iter()
            .map(|cell| match cell {
                Cell::Quantity(range) => *range,
                Cell::Word(_) | Cell::Text(_) | Cell::Unknown => Interval::EVERYTHING,
            });
        let hull = ranges.reduce(|a, b| a.hull(&b));
        hull.unwrap_or(Interval::EVERYTHING)
    }

    fn words(&mut self, node: &Node) -> Words<'a> {
        match node {
            Node::Word(word) => Words::One(*word),
            Node::Text(text) => Words::Text(Cow::Owned(text.clone())),
            Node::Fact(route) => self.fact_words(route),
            Node::Cell(table, column, row) => {
                let cells = self.cells(*table, *column, row);
                cells
                    .into_iter()
                    .map(cell_words)
                    .reduce(either)
                    .unwrap_or(Words::AnyText)
            }
            Node::If(condition, then, otherwise) => match self.truth(condition) {
                Truth::Yes => self.words(then),
                Truth::No => self.words(otherwise),
                Truth::Undecided => {
                    let then = self.words(then);
                    either(then, self.words(otherwise))
                }
            },
            _ => Words::AnyText,
        }
    }

    fn fact_words(&mut self, route: &Route) -> Words<'a> {
        let fact = self.find(route);
        self.note(fact);
        match (self.supposed(fact), self.known(fact)) {
            (Some(Supposed::Words(words)), _) => several(Cow::Borrowed(words)),
            (_, Some(Value::Word(word))) => Words::One(*word),
            (_, Some(Value::Text(text))) => Words::Text(Cow::Borrowed(text)),
            _ => match self.field_type(route.field) {
                Some(Type::Choice(words)) => several(Cow::Borrowed(words)),
                _ => Words::AnyText,
            },
        }
    }

    /// The bits of the words that surely belong, and of those that may.
    fn set(&mut self, node: &Node) -> (u64, u64) {
        match node {
            Node::Fact(route) => {
                let fact = self.find(route);
                self.note(fact);
                match (self.supposed(fact), self.known(fact)) {
                    (Some(Supposed::Set { has, may }), _) => (*has, *may),
                    (_, Some(Value::Set { has, may })) => (*has, *may),
                    _ => (0, u64::MAX),
                }
            }
            Node::If(condition, then, otherwise) => match self.truth(condition) {
                Truth::Yes => self.set(then),
                Truth::No => self.set(otherwise),
                Truth::Undecided => {
                    let (a_has, a_may) = self.set(then);
                    let (b_has, b_may) = self.set(otherwise);
                    (a_has & b_has, a_may | b_may)
                }
            },
            _ => (0, u64::MAX),
        }
    }
}

/// Yes and no where they are certain, undecided otherwise.
fn ruled(yes: bool, no: bool) -> Truth {
    match (yes, no) {
        (true, _) => Truth::Yes,
        (_, true) => Truth::No,
        _ => Truth::Undecided,
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

fn several(words: Cow<'_, [WordId]>) -> Words<'_> {
    match words.as_ref() {
        [only] => Words::One(*only),
        _ => Words::Several(words),
    }
}

fn cell_words(cell: &Cell) -> Words<'_> {
    match cell {
        Cell::Word(word) => Words::One(*word),
        Cell::Text(text) => Words::Text(Cow::Borrowed(text)),
        Cell::Quantity(_) | Cell::Unknown => Words::AnyText,
    }
}

fn either<'a>(a: Words<'a>, b: Words<'a>) -> Words<'a> {
    if a == b {
        return a;
    }
    let list = |words: &Words<'a>| match words {
        Words::One(word) => Some(vec![*word]),
        Words::Several(words) => Some(words.to_vec()),
        Words::Text(_) | Words::AnyText => None,
    };
    match (list(&a), list(&b)) {
        (Some(mut x), Some(y)) => {
            x.extend(y);
            x.sort_unstable();
            x.dedup();
            Words::Several(Cow::Owned(x))
        }
        _ => Words::AnyText,
    }
}

fn same(a: &Words<'_>, b: &Words<'_>) -> Truth {
    match (a, b) {
        (Words::One(x), Words::One(y)) => Truth::from(x == y),
        (Words::Text(x), Words::Text(y)) => Truth::from(x == y),
        (Words::One(x), Words::Several(ys)) | (Words::Several(ys), Words::One(x)) => {
            ruled(false, !ys.contains(x))
        }
        (Words::Several(xs), Words::Several(ys)) => {
            ruled(false, !xs.iter().any(|x| ys.contains(x)))
        }
        _ => Truth::Undecided,
    }
}

fn one_of(words: &Words<'_>, options: &[WordId]) -> Truth {
    match words {
        Words::One(word) => Truth::from(options.contains(word)),
        Words::Several(words) => ruled(
            words.iter().all(|word| options.contains(word)),
            !words.iter().any(|word| options.contains(word)),
        ),
        Words::Text(_) | Words::AnyText => Truth::Undecided,
    }
}

/// One day in the base unit of time.
fn day() -> Interval {
    Interval::exact(Exact::from(86_400))
}

/// A range of days moved by calendar months; the later of two days never overtakes the earlier.
fn moved_by_months(days: &Interval, months: i32) -> Option<Interval> {
    let moved = |end: End| -> Option<End> {
        let at = match end.at() {
            Some(at) => at,
            None => return Some(End::Unbounded),
        };
        let date = Date::from_day_number(i32::try_from(at.floor().above()).ok()?)?;
        let moved = date.plus_months(months)?;
        Some(End::Closed(Exact::from(i64::from(moved.day_number()))))
    };
    Interval::new(moved(days.low())?, moved(days.high())?)
}
