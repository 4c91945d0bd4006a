//! What is known of one system: a value or a reason for every field of the survey.
//!
//! Contract: the tree of facts is complete. Every group holds all its fields and every element of a
//! list is such a group, whether the survey recorded them or not; what is missing is an open fact
//! that remembers why and points at the nearest line that is there. So a path always leads to a
//! fact, and a fact always leads to a line. Data and navigation only: this module must not know
//! where facts come from, nor what a rule makes of them.

mod name;

pub use name::{element_name, fact_name, one_line, thing_of};

use crate::problem::Label;
use crate::source::Span;
use crate::vocabulary::{FieldId, WordId};
use foldhash::fast::FixedState;
use indexmap::IndexSet;
use std::collections::{BTreeSet, HashMap};
use wetside_units::{Interval, Quantity};

/// One fact of one survey.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct FactId(pub u32);

/// Facts in the order in which they are first named, each once.
pub type EachOnce = IndexSet<FactId, FixedState>;

/// Something that is known of some facts, to be looked up.
pub type ByFact<T> = HashMap<FactId, T, FixedState>;

/// Up to so many facts are looked through quicker than they are told apart by a table.
const FEW: usize = 16;

/// The facts in their order, each once.
pub fn each_once(facts: impl IntoIterator<Item = FactId>) -> Vec<FactId> {
    let mut each: Vec<FactId> = facts.into_iter().collect();
    if each.len() > FEW {
        return each.into_iter().collect::<EachOnce>().into_iter().collect();
    }
    let mut kept = 0;
    for at in 0..each.len() {
        if !each[..kept].contains(&each[at]) {
            each[kept] = each[at];
            kept += 1;
        }
    }
    each.truncate(kept);
    each
}

#[derive(Clone, Debug)]
pub struct Fact {
    pub field: FieldId,
    /// The group or list it belongs to; the survey belongs to itself.
    pub parent: FactId,
    /// The line to show: the value where one is written, the key of the nearest group where none is.
    pub span: Span,
    pub content: Content,
}

impl Fact {
    /// Nothing is known.
    pub fn blank(field: FieldId, parent: FactId, span: Span) -> Fact {
        Fact {
            field,
            parent,
            span,
            content: Content::Open(Why::NotRecorded),
        }
    }
}

#[derive(Clone, Debug)]
pub enum Content {
    /// Its fields, next to each other from `first` on, in the vocabulary's order.
    Group {
        first: FactId,
    },
    /// Its elements, next to each other.
    List {
        first: FactId,
        listed: u32,
        extent: Extent,
    },
    Known(Value),
    Open(Why),
}

/// A recorded value.
#[derive(Clone, Debug)]
pub enum Value {
    Word(WordId),
    /// Which words of the field surely belong, and which may: equal unless a member was unreadable.
    Set {
        has: u64,
        may: u64,
    },
    /// In base units of the field's kind.
    Quantity(Box<Quantity>),
    /// A day or a moment, in seconds since 0001-01-01T00:00, where a day is its first second; more
    /// than one where only a range is known.
    Time(Box<Interval>),
    Text(String),
}

/// Why a fact is open.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Why {
    /// The survey does not speak of it.
    NotRecorded,
    /// The survey says that it is unknown, perhaps with a reason.
    Unknown(Option<String>),
    /// The survey's words could not be understood; a problem was reported.
    Malformed,
    /// A figure that could not be worked out, with the reason as the end of a sentence, and the words that it
    /// can still be; none where it can be any.
    NotWorkedOut(String, Vec<WordId>),
}

/// How many elements a list has in the house, listed or not.
#[derive(Clone, Debug, PartialEq)]
pub struct Extent {
    pub least: u32,
    /// Nothing where there is no telling.
    pub most: Option<u32>,
    pub told: Told,
}

/// What the survey says of a list's extent.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Told {
    /// A count was given.
    Count,
    /// The elements were listed without a count.
    NotStated,
    /// The survey does not speak of the list.
    NotRecorded,
    /// The survey says that it is unknown.
    Unknown,
    /// What stands there could not be understood; a problem was reported.
    Malformed,
}

/// All facts of one survey; the first is the survey itself.
#[derive(Clone, Debug, Default)]
pub struct Facts {
    facts: Vec<Fact>,
    /// Where the fact of each field lies, by the field; of one that stands in a list, the last of them.
    by_field: Vec<FactId>,
    /// What each worked-out fact came from.
    behind: ByFact<Vec<FactId>>,
    /// Words of the trade that were read as words of the vocabulary, each at its first place.
    pub read_as: Vec<Label>,
}

impl Facts {
    pub const ROOT: FactId = FactId(0);

    /// None yet, for a vocabulary of so many fields.
    pub fn of(fields: usize) -> Facts {
        Facts {
            // Most houses have about as many facts in lists as there are fields.
            facts: Vec::with_capacity(2 * fields),
            by_field: vec![Facts::ROOT; fields],
            ..Facts::default()
        }
    }

    pub fn fact(&self, id: FactId) -> &Fact {
        &self.facts[id.0 as usize]
    }

    pub fn all(&self) -> impl Iterator<Item = (FactId, &Fact)> {
        (0..).map(FactId).zip(&self.facts)
    }

    /// The fact of a field that stands in no list, without a walk.
    pub fn only(&self, field: FieldId) -> FactId {
        self.by_field[field.0 as usize]
    }

    /// The field of a group that stands in `slot`.
    ///
    /// # Panics
    /// When `id` is no group; paths are checked against the vocabulary before they are walked.
    pub fn child(&self, id: FactId, slot: u16) -> FactId {
        match self.fact(id).content {
            Content::Group { first } => FactId(first.0 + u32::from(slot)),
            _ => unreachable!("a checked path walks through groups only"),
        }
    }

    /// The elements that a list names.
    pub fn elements(&self, id: FactId) -> impl Iterator<Item = FactId> + use<> {
        let range = match &self.fact(id).content {
            Content::List { first, listed, .. } => first.0..first.0 + listed,
            _ => 0..0,
        };
        range.map(FactId)
    }

    /// How many elements a list has.
    pub fn extent(&self, id: FactId) -> Option<&Extent> {
        match &self.fact(id).content {
            Content::List { extent, .. } => Some(extent),
            _ => None,
        }
    }

    /// The words of a text, if they are known.
    pub fn text(&self, id: FactId) -> Option<&str> {
        match &self.fact(id).content {
            Content::Known(Value::Text(text)) => Some(text),
            _ => None,
        }
    }

    /// A quantity, if it is known.
    pub fn quantity(&self, id: FactId) -> Option<&Quantity> {
        match &self.fact(id).content {
            Content::Known(Value::Quantity(quantity)) => Some(quantity),
            _ => None,
        }
    }

    /// Makes room for `count` facts next to each other, nothing known of any, to be filled with
    /// [`Facts::set`].
    pub fn reserve(&mut self, count: u32, field: FieldId, parent: FactId, span: Span) -> FactId {
        let first = u32::try_from(self.facts.len()).expect("the reader limits the count of values");
        let blank = |_| Fact::blank(field, parent, span);
        self.facts.extend((0..count).map(blank));
        FactId(first)
    }

    pub fn set(&mut self, id: FactId, fact: Fact) {
        self.by_field[fact.field.0 as usize] = id;
        self.facts[id.0 as usize] = fact;
    }

    /// Fills a fact that was worked out from others instead of being recorded. Its line is that of
    /// the first of them, so that a finding about it has a place in the survey.
    pub fn work_out(&mut self, id: FactId, content: Content, from: Vec<FactId>) {
        let span = from.first().map(|first| self.fact(*first).span);
        let fact = &mut self.facts[id.0 as usize];
        fact.content = content;
        fact.span = span.unwrap_or(fact.span);
        self.behind.insert(id, from);
    }

    /// What a fact was worked out from, the one that places it first; nothing for a recorded fact.
    /// Some of these may have been worked out themselves.
    pub fn inputs(&self, id: FactId) -> &[FactId] {
        self.behind.get(&id).map_or(&[], Vec::as_slice)
    }

    /// Some facts, and all that they were worked out from.
    pub fn with_inputs(&self, of: impl IntoIterator<Item = FactId>) -> BTreeSet<FactId> {
        let mut waiting: Vec<FactId> = of.into_iter().collect();
        let mut all = BTreeSet::new();
        while let Some(id) = waiting.pop() {
            if all.insert(id) {
                waiting.extend(self.inputs(id));
            }
        }
        all
    }

    /// Whether a fact was worked out instead of being recorded.
    pub fn is_worked_out(&self, id: FactId) -> bool {
        self.behind.contains_key(&id)
    }

    /// The same facts with one of them changed: for questions of the form "what if this were known".
    #[must_use]
    pub fn with(&self, id: FactId, content: Content) -> Facts {
        let mut changed = self.clone();
        changed.facts[id.0 as usize].content = content;
        changed
    }
}

impl Extent {
    /// Whether every element is listed and no other exists.
    pub fn is_complete(&self, listed: u32) -> bool {
        self.least == listed && self.most == Some(listed)
    }

    /// The elements that exist but are not listed: at least, and at most if there is a most.
    pub fn unlisted(&self, listed: u32) -> (u32, Option<u32>) {
        let most = self.most.map(|most| most.saturating_sub(listed));
        (self.least.saturating_sub(listed), most)
    }
}
