//! A checked condition: every name resolved, every kind settled.
//!
//! Contract: whatever evaluates a [`Node`] meets no wrong type and no unknown name; the checker is
//! the only maker. Paths are rows of slots, so that finding a fact needs no comparison of names.

use super::ast::{Comparison, Fold, Inclusion, Operation, WhenEmpty};
use serde::{Deserialize, Serialize};
use smallvec::{SmallVec, smallvec};
use wetside_base::facts::{FactId, Facts};
use wetside_base::vocabulary::{FieldId, WordId};
use wetside_units::{Exact, Interval, Kind};

/// What a checked expression yields.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub enum Type {
    Truth,
    Quantity(Kind),
    /// A day.
    Date,
    /// A day with a time of day.
    Moment,
    /// One word of these.
    Word(Vec<WordId>),
    /// Any number of the words of a field.
    Set(FieldId),
    Text,
    /// Could not be told; a problem was reported.
    Unreadable,
}

/// How to reach a fact: from the survey or from an element that a list expression named.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Route {
    /// The element's place among the variables in scope, or the survey itself.
    pub variable: Option<usize>,
    /// Whether the element before that one is meant, in the order of the list.
    pub before: bool,
    pub slots: Vec<u16>,
    pub field: FieldId,
}

impl Route {
    /// The fact at the end; `element` gives the element of a variable.
    pub fn find(&self, facts: &Facts, element: impl Fn(usize) -> FactId) -> FactId {
        let Some(variable) = self.variable else {
            return facts.only(self.field);
        };
        // The elements of a list lie next to each other, and the first of them is never asked for the
        // one before it: see [`Each::elements`].
        let start = FactId(element(variable).0 - u32::from(self.before));
        let step = |fact, slot: &u16| facts.child(fact, *slot);
        self.slots.iter().fold(start, step)
    }
}

#[derive(Clone, Debug, Serialize, Deserialize)]
pub enum Node {
    /// Stands where a problem was reported; never yes, should it ever be asked.
    Nothing,
    /// In base units, or a day or moment in seconds.
    Quantity(Interval),
    Word(WordId),
    Text(String),
    /// A limit of the pack: its place among the limits, and its range.
    Limit(usize, Interval),
    AsOf,
    Fact(Route),
    /// Table, column, and the word or number that picks the row.
    Cell(usize, usize, Box<Node>),
    Negate(Box<Node>),
    Arithmetic(Operation, Box<Node>, Box<Node>),
    /// A day or moment moved by calendar months, and the limit that says how many, where one does.
    Months(Box<Node>, i32, Option<usize>),
    Compare(Comparison, Box<Node>, Box<Node>),
    /// Value, lower and upper limit, both included.
    Between(Box<Node>, Box<Node>, Box<Node>),
    /// Words or texts; the flag is true for `is not`.
    Same(bool, Box<Node>, Box<Node>),
    OneOf(Box<Node>, Vec<WordId>),
    /// A set has one of the words with these bits, or none but those.
    Includes(Inclusion, Box<Node>, u64),
    /// A set has the word that the other comes to; the words of the set, in the order of its bits.
    Holds(Box<Node>, Box<Node>, Vec<WordId>),
    /// A condition that names a list of words, by the list's place in the pack.
    Listed(usize, Box<Node>),
    Empty(Box<Node>),
    /// That a list surely has no element but those that are listed; else undecided.
    Whole(Route),
    Not(Box<Node>),
    And(Vec<Node>),
    Or(Vec<Node>),
    If(Box<Node>, Box<Node>, Box<Node>),
    Every(Each, WhenEmpty, Box<Node>),
    Some(Each, Box<Node>),
    Count(Each),
    /// The value's possible range serves for elements that are not listed.
    Fold(Fold, Box<Node>, Each, Option<Box<Node>>, Interval),
    Pick(Fold, Vec<Node>),
    /// A function of the table in `functions`, by its place.
    Call(usize, Vec<Node>),
}

/// A list and which of its elements are meant; the element becomes the next variable.
#[derive(Clone, Debug, Serialize, Deserialize)]
pub struct Each {
    pub list: Route,
    pub filter: Option<Box<Node>>,
    /// Whether each element is asked together with the one before it.
    pub paired: bool,
}

impl Each {
    /// The listed elements that are asked, given the list: where each is asked with the one before it,
    /// all but the first.
    pub fn elements(&self, facts: &Facts, list: FactId) -> impl Iterator<Item = FactId> + use<> {
        facts.elements(list).skip(usize::from(self.paired))
    }
}

/// Where a condition's own words and limits cut the range of a field: what sharpening tries.
#[derive(Clone, Debug, Default, Serialize, Deserialize)]
pub struct Cuts {
    pub points: Vec<(FieldId, Exact)>,
    pub words: Vec<(FieldId, WordId)>,
}

/// A condition or value, ready to be evaluated.
#[derive(Clone, Debug, Serialize, Deserialize)]
pub struct Checked {
    pub node: Node,
    pub yields: Type,
    pub cuts: Cuts,
}

/// What conditions read of a survey, and what of their pack they name, in the order of the text.
#[derive(Clone, Debug, Default)]
pub struct Reads {
    pub fields: Vec<FieldId>,
    /// Places among the limits of the pack.
    pub limits: Vec<usize>,
    /// Places among its tables.
    pub tables: Vec<usize>,
    /// Places among its lists of words.
    pub lists: Vec<usize>,
    /// Whether they ask for the day of judgement.
    pub as_of: bool,
}

impl Checked {
    /// What it reads of a survey, and names of its pack.
    pub fn reads(&self) -> Reads {
        let mut reads = Reads::default();
        self.node.note(&mut reads);
        reads
    }
}

/// What a node is made of.
pub enum Part<'a> {
    Node(&'a Node),
    /// The head of a list expression, and what is asked of each element.
    Each(&'a Each, Option<&'a Node>),
}

/// What a condition names.
enum Named<'a> {
    Route(&'a Route),
    Limit(usize),
    Table(usize),
    List(usize),
    AsOf,
}

impl Node {
    /// What the node is made of, in the order in which it is written; its own route is no part.
    pub fn parts(&self) -> SmallVec<[Part<'_>; 3]> {
        match self {
            Node::Nothing
            | Node::Quantity(_)
            | Node::Word(_)
            | Node::Text(_)
            | Node::Limit(..)
            | Node::AsOf
            | Node::Fact(_)
            | Node::Whole(_) => smallvec![],
            Node::Every(each, _, body) | Node::Some(each, body) => {
                smallvec![Part::Each(each, Some(body))]
            }
            Node::Count(each) => smallvec![Part::Each(each, None)],
            Node::Fold(_, value, each, otherwise, _) => {
                let otherwise = otherwise.as_deref().map(Part::Node);
                [Part::Each(each, Some(value))]
                    .into_iter()
                    .chain(otherwise)
                    .collect()
            }
            Node::And(parts) | Node::Or(parts) | Node::Pick(_, parts) | Node::Call(_, parts) => {
                parts.iter().map(Part::Node).collect()
            }
            Node::Cell(_, _, inner)
            | Node::Listed(_, inner)
            | Node::Negate(inner)
            | Node::Months(inner, ..)
            | Node::OneOf(inner, _)
            | Node::Includes(_, inner, _)
            | Node::Empty(inner)
            | Node::Not(inner) => smallvec![Part::Node(inner)],
            Node::Arithmetic(_, a, b)
            | Node::Holds(a, b, _)
            | Node::Compare(_, a, b)
            | Node::Same(_, a, b) => smallvec![Part::Node(a), Part::Node(b)],
            Node::Between(a, b, c) | Node::If(a, b, c) => {
                smallvec![Part::Node(a), Part::Node(b), Part::Node(c)]
            }
        }
    }

    /// The limit that the node is, whatever its sign.
    pub(crate) fn only_limit(&self) -> Option<usize> {
        match self {
            Node::Limit(at, _) => Some(*at),
            Node::Negate(inner) => inner.only_limit(),
            _ => None,
        }
    }

    /// How many nodes are asked at most where no list has more things than this.
    pub fn steps(&self, longest: u64) -> u64 {
        let parts = self.parts().into_iter().map(|part| match part {
            Part::Node(node) => node.steps(longest),
            Part::Each(each, body) => {
                let inside = each.filter.as_deref().into_iter().chain(body);
                let once = inside.fold(1, |sum: u64, node| sum.saturating_add(node.steps(longest)));
                longest.saturating_mul(once)
            }
        });
        parts.fold(1, u64::saturating_add)
    }

    /// Notes the fixed days that the day of judgement is held against; nothing where it is asked otherwise.
    pub fn note_days(&self, days: &mut Vec<Exact>) -> Option<()> {
        match self {
            Node::AsOf => return None,
            Node::Compare(_, a, b) => {
                if let (Node::AsOf, Node::Quantity(day)) | (Node::Quantity(day), Node::AsOf) =
                    (&**a, &**b)
                {
                    days.push(day.single()?);
                    return Some(());
                }
            }
            _ => {}
        }
        self.parts().into_iter().try_for_each(|part| {
            let (filter, body) = match part {
                Part::Node(node) => (None, Some(node)),
                Part::Each(each, body) => (each.filter.as_deref(), body),
            };
            let mut all = filter.into_iter().chain(body);
            all.try_for_each(|node| node.note_days(days))
        })
    }

    /// Calls `visit` with every route in the condition, those of list heads included.
    pub fn visit_routes(&self, visit: &mut dyn FnMut(&Route)) {
        self.visit(&mut |named| {
            if let Named::Route(route) = named {
                visit(route);
            }
        });
    }

    /// Adds what the condition reads and names.
    pub fn note(&self, reads: &mut Reads) {
        self.visit(&mut |named| match named {
            Named::Route(route) => reads.fields.push(route.field),
            Named::Limit(at) => reads.limits.push(at),
            Named::Table(at) => reads.tables.push(at),
            Named::List(at) => reads.lists.push(at),
            Named::AsOf => reads.as_of = true,
        });
    }

    fn visit(&self, visit: &mut dyn FnMut(Named<'_>)) {
        match self {
            Node::Fact(route) | Node::Whole(route) => visit(Named::Route(route)),
            Node::Limit(at, _) | Node::Months(_, _, Some(at)) => visit(Named::Limit(*at)),
            Node::Cell(at, _, _) => visit(Named::Table(*at)),
            Node::Listed(at, _) => visit(Named::List(*at)),
            Node::AsOf => visit(Named::AsOf),
            _ => {}
        }
        for part in self.parts() {
            let (each, body) = match part {
                Part::Node(node) => (None, Some(node)),
                Part::Each(each, body) => (Some(each), body),
            };
            if let Some(each) = each {
                visit(Named::Route(&each.list));
            }
            let filter = each.and_then(|each| each.filter.as_deref());
            filter
                .into_iter()
                .chain(body)
                .for_each(|node| node.visit(visit));
        }
    }
}
