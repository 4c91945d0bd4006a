//! A condition as written: expressions with their places.
//!
//! Contract: the tree says what the text says and no more; names are not yet resolved and kinds not
//! yet known. [`Form::Unreadable`] stands where a problem was reported, so that one slip does not
//! hide the next.

use serde::{Deserialize, Serialize};
use wetside_base::source::Span;
use wetside_units::{Interval, Kind};

#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Expr {
    pub span: Span,
    pub form: Form,
}

/// A name with its place.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Name {
    pub text: String,
    pub span: Span,
}

#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Form {
    /// `15 mm`, `3`, `10 %`
    Measure {
        number: String,
        unit: Option<Name>,
    },
    /// `'open vented'`, `yes`, `no`
    Words(String),
    /// `2026-10-13`, `2026-10-13T10:05`
    Date(String),
    /// `as_of`
    AsOf,
    /// `limit.sewer_temperature`
    Limit(Name),
    /// `circuit.kind`, or `radiator.condition` inside a list
    Path(Vec<Name>),
    /// `protection[water_supply.backflow_device].back_pressure`
    Cell {
        table: Name,
        row: Box<Expr>,
        column: Name,
    },
    Negate(Box<Expr>),
    Arithmetic(Operation, Box<Expr>, Box<Expr>),
    Compare(Comparison, Box<Expr>, Box<Expr>),
    /// `is between A and B`, both ends included
    Between(Box<Expr>, Box<Expr>, Box<Expr>),
    /// `is one of ['a', 'b']`, `is one of words.acids`
    OneOf(Box<Expr>, Choices),
    /// `includes one of [...]`, `includes only [...]`
    Includes(Inclusion, Box<Expr>, Choices),
    /// `includes 'copper'`, `includes radiator.material`
    Holds(Box<Expr>, Box<Expr>),
    /// `is empty`
    Empty(Box<Expr>),
    Not(Box<Expr>),
    And(Vec<Expr>),
    Or(Vec<Expr>),
    /// Without an *else* a condition, which holds wherever the first does not.
    If(Box<Expr>, Box<Expr>, Option<Box<Expr>>),
    /// `for every radiator in emitters, if any, …`
    Every(Each, WhenEmpty, Box<Expr>),
    /// `for some radiator in emitters, …`
    Some(Each, Box<Expr>),
    /// `count of radiator in emitters where …`
    Count(Each),
    /// `sum of radiator.panels for radiator in emitters`, `last of reading.at for reading in flush_log …`
    Fold(Fold, Box<Expr>, Each, Option<Box<Expr>>),
    /// `least of (a, b)`
    Pick(Fold, Vec<Expr>),
    /// `pressure_of(height)`
    Call(Name, Vec<Expr>),
    /// What could not be read; a problem was reported.
    Unreadable,
}

/// What a word is held against: words in brackets, or a list that the pack names.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Choices {
    Written(Vec<Expr>),
    Named(Name),
}

/// The head of a list expression: a name for the element, the list, and which elements count.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Each {
    /// Absent only in `count of emitters`.
    pub variable: Option<Name>,
    /// `later after earlier in …`: a name for the element before it.
    pub after: Option<Name>,
    pub list: Vec<Name>,
    pub filter: Option<Box<Expr>>,
}

/// Whether a rule is content with a list that has nothing in it.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub enum WhenEmpty {
    /// `if any`
    Acceptable,
    /// `at least one`
    Broken,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub enum Operation {
    Plus,
    Minus,
    Times,
    Over,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub enum Comparison {
    Less,
    AtMost,
    More,
    AtLeast,
    Is,
    IsNot,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub enum Inclusion {
    OneOf,
    Only,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub enum Fold {
    Sum,
    Least,
    Greatest,
    First,
    Last,
}

impl Operation {
    pub fn sign(self) -> &'static str {
        match self {
            Operation::Plus => "+",
            Operation::Minus => "-",
            Operation::Times => "*",
            Operation::Over => "/",
        }
    }

    /// The kind of the result; nothing where it would mean nothing.
    pub(crate) fn kind(self, a: Kind, b: Kind) -> Option<Kind> {
        match self {
            Operation::Plus => a.plus(b),
            Operation::Minus => a.minus(b),
            Operation::Times => a.times(b),
            Operation::Over => a.over(b),
        }
    }

    pub(crate) fn value(self, a: &Interval, b: &Interval) -> Option<Interval> {
        match self {
            Operation::Plus => a.plus(b),
            Operation::Minus => a.minus(b),
            Operation::Times => a.times(b),
            Operation::Over => a.over(b),
        }
    }
}

impl Comparison {
    pub fn sign(self) -> &'static str {
        match self {
            Comparison::Less => "<",
            Comparison::AtMost => "<=",
            Comparison::More => ">",
            Comparison::AtLeast => ">=",
            Comparison::Is => "is",
            Comparison::IsNot => "is not",
        }
    }
}

impl Fold {
    pub fn word(self) -> &'static str {
        match self {
            Fold::Sum => "sum",
            Fold::Least => "least",
            Fold::Greatest => "greatest",
            Fold::First => "first",
            Fold::Last => "last",
        }
    }
}

/// A dotted path as written.
pub fn dotted(names: &[Name]) -> String {
    let words: Vec<&str> = names.iter().map(|name| name.text.as_str()).collect();
    words.join(".")
}

/// The span from the first to the last name of a path.
pub(crate) fn span_of(names: &[Name]) -> Span {
    match (names.first(), names.last()) {
        (Some(first), Some(last)) => first.span.to(last.span),
        _ => Span::default(),
    }
}
