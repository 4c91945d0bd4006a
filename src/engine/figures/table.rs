//! What a figure is: a row that says what it means, how it is worked out, and from what.
//!
//! Contract: data only. A row is complete enough that the vocabulary, the working out, the
//! explanation and the reference page are all made from it. Numbers that no survey records but a
//! formula needs are conventions of the row, with their width and their source; nothing is
//! supplied in silence.

use super::view::{Gathered, Refused, View};
use wetside_base::facts::FactId;
use wetside_base::vocabulary::{Plan, PlanShape, Type};
use wetside_house::Range;
use wetside_house::convention::Convention;
pub use wetside_house::convention::{PRACTICE as NO_SOURCE, Source, source};
use wetside_units::{Interval, Kind, UnitId};

/// One figure.
#[derive(Debug)]
pub struct Figure {
    /// Its word under `figure`.
    pub name: &'static str,
    pub yields: Yields,
    /// What it is, in one or two sentences.
    pub says: &'static str,
    /// How it is worked out, in the symbols of the inputs.
    pub formula: &'static str,
    pub source: Source,
    /// The first is the one at whose line the figure is shown.
    pub inputs: &'static [Input],
    pub work: Work,
}

#[derive(Clone, Copy, Debug)]
pub enum Yields {
    Quantity(Kind),
    /// One of these words.
    Word(&'static [&'static str]),
}

/// One number that a formula takes.
#[derive(Debug)]
pub struct Input {
    pub symbol: &'static str,
    pub origin: Origin,
    pub runs: Runs,
}

/// Where an input comes from.
#[derive(Debug)]
pub enum Origin {
    /// A recorded fact, by its path; of an element's figure, by its path within the element.
    Fact(&'static str),
    /// An earlier figure, by its name.
    Figure(&'static str),
    /// What no survey records.
    Convention {
        says: &'static str,
        kind: Kind,
        range: Range,
        source: Source,
    },
    /// Brought together from words, lists or several facts. Of a survey's figure the element is the
    /// survey itself.
    Gathered {
        says: &'static str,
        kind: Kind,
        gather: fn(&View<'_>, FactId) -> Gathered,
    },
}

/// How the figure goes when an input grows and the others stand still.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Runs {
    /// It grows or stays.
    Up,
    /// It falls or stays.
    Down,
    /// One or the other, according to the others.
    Either,
}

/// How the numbers become the figure.
#[derive(Clone, Copy, Debug)]
pub enum Work {
    /// Runs one way in each input, so the ends of its range lie at corners of theirs.
    Formula(fn(&[f64]) -> Result<f64, Refused>),
    /// Turns somewhere between the ends of an input, so its range is found by a method of its own.
    Bounded {
        bounds: fn(&[Range]) -> Result<Range, Refused>,
        /// The method, for people.
        method: &'static str,
    },
    /// A word.
    Chosen(fn(&[Range]) -> Result<&'static str, Refused>),
    /// Read off the house, which is worked out as a whole from more than these inputs; how, for people.
    House(&'static str),
}

/// Rows of a table of figures. Each gives its name with what it yields, a kind or `word` and its words;
/// what it is; its formula and where that comes from; its inputs; and after `=>` how they become the
/// figure: by a formula of so many numbers, or by another [`Work`].
macro_rules! figures {
    ($($name:literal: $($yields:ident)+, $says:expr; $formula:expr, $source:expr; $inputs:expr => $work:tt;)+) => {
        &[$($crate::figures::table::Figure {
            name: $name,
            yields: $crate::figures::table::figures!(@yields $($yields)+),
            says: $says,
            formula: $formula,
            source: $source,
            inputs: &$inputs,
            work: $crate::figures::table::figures!(@work $work),
        }),+]
    };
    (@yields word $words:ident) => {
        $crate::figures::table::Yields::Word($words)
    };
    (@yields $kind:ident) => {
        $crate::figures::table::Yields::Quantity(wetside_units::Kind::$kind)
    };
    (@work { |$($number:ident),+| $formula:expr }) => {
        $crate::figures::table::Work::Formula(|numbers| {
            let [$($number),+] = *numbers else {
                return Err("it takes other numbers".into());
            };
            Ok($formula)
        })
    };
    (@work { $work:expr }) => {
        $work
    };
}
pub(crate) use figures;

pub(crate) const DEFINITION: Source = source("definition", "arithmetic");
pub(crate) const GEOMETRY: Source = source("geometry", "arithmetic");
pub(crate) const MASS_BALANCE: Source = source("mass balance", "arithmetic");

/// What a figure comes to.
#[derive(Clone, Copy, Debug)]
pub enum Found {
    Range(Range),
    Word(&'static str),
    /// It is one of these, in the order of the figure; there is no telling which.
    Among(&'static [&'static str]),
}

impl From<Range> for Found {
    fn from(range: Range) -> Found {
        Found::Range(range)
    }
}

impl From<&'static str> for Found {
    fn from(word: &'static str) -> Found {
        Found::Word(word)
    }
}

/// A figure as a field of the vocabulary.
pub fn plan(figure: &Figure) -> Plan {
    let shape = match figure.yields {
        Yields::Quantity(kind) => PlanShape::Fact(Type::Quantity {
            kind,
            possible: Interval::EVERYTHING,
            usual_unit: UnitId::usual(kind).symbol().to_string(),
        }),
        Yields::Word(words) => {
            PlanShape::Choice(words.iter().map(|word| (*word).to_string()).collect())
        }
    };
    Plan::new(figure.name, figure.says, shape)
}

impl Input {
    /// One in which the figure grows, as in most.
    const fn of(symbol: &'static str, origin: Origin) -> Input {
        Input {
            symbol,
            origin,
            runs: Runs::Up,
        }
    }

    /// The same, but the figure falls in it.
    pub const fn down(mut self) -> Input {
        self.runs = Runs::Down;
        self
    }

    /// The same, but the figure runs one way or the other in it.
    pub const fn either(mut self) -> Input {
        self.runs = Runs::Either;
        self
    }
}

pub const fn fact(symbol: &'static str, path: &'static str) -> Input {
    Input::of(symbol, Origin::Fact(path))
}

pub const fn figure(symbol: &'static str, name: &'static str) -> Input {
    Input::of(symbol, Origin::Figure(name))
}

pub const fn convention(
    symbol: &'static str,
    says: &'static str,
    kind: Kind,
    (low, high): (f64, f64),
    source: Source,
) -> Input {
    let range = Range::new(low, high);
    let origin = Origin::Convention {
        says,
        kind,
        range,
        source,
    };
    Input::of(symbol, origin)
}

/// An input by a convention of the house.
pub(crate) const fn usual(
    symbol: &'static str,
    says: &'static str,
    kind: Kind,
    by: &Convention,
) -> Input {
    let ends = (by.range.low, by.range.high);
    convention(symbol, says, kind, ends, by.source)
}

pub(crate) const fn gathered(
    symbol: &'static str,
    says: &'static str,
    kind: Kind,
    gather: fn(&View<'_>, FactId) -> Gathered,
) -> Input {
    Input::of(symbol, Origin::Gathered { says, kind, gather })
}
