//! Words, texts and sets of words: what each can be.

use super::{Evaluator, Scene, Supposed, quiet};
use crate::names::Cell;
use crate::node::{Node, Route};
use std::borrow::Cow;
use wetside_base::facts::{Content, FactId, Value, Why};
use wetside_base::vocabulary::{Type, WordId};
use wetside_units::truth::Truth;

/// What a word or text can be.
#[derive(Clone, Debug, PartialEq)]
pub(super) enum Words<'a> {
    One(WordId),
    Several(Cow<'a, [WordId]>),
    Text(&'a str),
    AnyText,
}

/// A text or word, for a message; nothing if it is open.
pub fn words<'a>(node: &'a Node, scene: &'a Scene<'a>, variables: &'a [FactId]) -> Option<String> {
    let mut evaluator = quiet(scene, variables);
    match evaluator.words(node) {
        Words::One(word) => Some(scene.vocabulary.word(word).to_string()),
        Words::Text(text) => Some(text.to_string()),
        Words::Several(_) | Words::AnyText => None,
    }
}

impl<'a> Evaluator<'a> {
    pub(super) fn words(&mut self, node: &'a Node) -> Words<'a> {
        match node {
            Node::Word(word) => Words::One(*word),
            Node::Text(text) => Words::Text(text),
            Node::Fact(route) => self.fact_words(route),
            Node::Cell(table, column, row) => {
                let cells = self.cells(*table, *column, row);
                cells
                    .into_iter()
                    .map(cell_words)
                    .reduce(either)
                    .unwrap_or(Words::AnyText)
            }
            Node::If(c, a, b) => self.branch([c, a, b], Self::words, either),
            _ => Words::AnyText,
        }
    }

    /// Whether a fact is one of these words: the commonest of all questions, answered without a detour.
    pub(super) fn fact_is(&mut self, route: &Route, words: &[WordId]) -> Truth {
        let fact = self.find(route);
        self.note(fact);
        match self.known(fact) {
            Some(Value::Word(known)) if self.supposed.is_empty() => {
                Truth::from(words.contains(known))
            }
            _ => one_of(&self.words_at(fact, route), words),
        }
    }

    fn fact_words(&mut self, route: &Route) -> Words<'a> {
        let fact = self.find(route);
        self.note(fact);
        self.words_at(fact, route)
    }

    fn words_at(&self, fact: FactId, route: &Route) -> Words<'a> {
        match (self.supposed(fact), self.known(fact)) {
            (Some(Supposed::Words(words)), _) => several(Cow::Borrowed(words)),
            (_, Some(Value::Word(word))) => Words::One(*word),
            (_, Some(Value::Text(text))) => Words::Text(text),
            _ if !self.left(fact).is_empty() => several(Cow::Borrowed(self.left(fact))),
            _ => match self.field_type(route.field) {
                Some(Type::Choice(words)) => several(Cow::Borrowed(words)),
                _ => Words::AnyText,
            },
        }
    }

    /// The words that a figure can still be, where that is known.
    fn left(&self, fact: FactId) -> &'a [WordId] {
        match &self.scene.facts.fact(fact).content {
            Content::Open(Why::NotWorkedOut(_, left)) => left,
            _ => &[],
        }
    }

    /// The bits of the words that surely belong, and of those that may.
    pub(super) fn set(&mut self, node: &'a Node) -> (u64, u64) {
        match node {
            Node::Fact(route) => {
                let fact = self.find(route);
                self.note(fact);
                match (self.supposed(fact), self.known(fact)) {
                    (Some(Supposed::Set { has, may }), _) => (*has, *may),
                    (_, Some(Value::Set { has, may })) => (*has, *may),
                    _ => match self.field_type(route.field) {
                        Some(Type::Set(words)) => (0, all_bits(words.len())),
                        _ => (0, u64::MAX),
                    },
                }
            }
            Node::If(c, a, b) => self.branch([c, a, b], Self::set, |a, b| (a.0 & b.0, a.1 | b.1)),
            _ => (0, u64::MAX),
        }
    }
}

/// The bits of the first `count` words of a field.
pub(crate) fn all_bits(count: usize) -> u64 {
    match count {
        64.. => u64::MAX,
        _ => (1 << count) - 1,
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
        Cell::Text(text) => Words::Text(text),
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

pub(super) fn same(a: &Words<'_>, b: &Words<'_>) -> Truth {
    match (a, b) {
        (Words::One(x), Words::One(y)) => Truth::from(x == y),
        (Words::Text(x), Words::Text(y)) => Truth::from(alike(x, y)),
        (Words::One(x), Words::Several(ys)) | (Words::Several(ys), Words::One(x)) => {
            ruled(false, !ys.contains(x))
        }
        (Words::Several(xs), Words::Several(ys)) => {
            ruled(false, !xs.iter().any(|x| ys.contains(x)))
        }
        _ => Truth::Undecided,
    }
}

/// People write a name with a capital here and without one there.
fn alike(one: &str, other: &str) -> bool {
    if one.is_ascii() && other.is_ascii() {
        return one.eq_ignore_ascii_case(other);
    }
    let letters = |text: &str| {
        text.chars()
            .flat_map(char::to_lowercase)
            .collect::<Vec<char>>()
    };
    letters(one) == letters(other)
}

pub(super) fn one_of(words: &Words<'_>, options: &[WordId]) -> Truth {
    match words {
        Words::One(word) => Truth::from(options.contains(word)),
        Words::Several(words) => ruled(
            words.iter().all(|word| options.contains(word)),
            !words.iter().any(|word| options.contains(word)),
        ),
        Words::Text(_) | Words::AnyText => Truth::Undecided,
    }
}

/// Yes and no where they are certain, undecided otherwise.
pub(super) fn ruled(yes: bool, no: bool) -> Truth {
    match (yes, no) {
        (true, _) => Truth::Yes,
        (_, true) => Truth::No,
        _ => Truth::Undecided,
    }
}
