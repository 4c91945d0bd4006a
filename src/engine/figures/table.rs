//! What a figure is: a row that says what it means, how it is worked out, and from what.
//!
//! Contract: data only. A row is complete enough that the vocabulary, the working out, the
//! explanation and the reference page are all made from it. Numbers that no survey records but a
//! formula needs are conventions of the row, with their width and their source; nothing is
//! supplied in silence.

use super::range::Range;
use super::view::{Gathered, View};
use std::fmt;
use wetside_base::facts::FactId;
use wetside_physics::OutOfRange;
use wetside_units::Kind;

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

/// Where a formula or a convention comes from, and how sure that is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Source {
    pub work: &'static str,
    /// `read`, `second-hand`, `from memory`, `no source`, or `arithmetic` where nothing is taken over.
    pub certainty: &'static str,
}

impl fmt::Display for Source {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}, {}", self.work, self.certainty)
    }
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
        at: fn(&[f64]) -> Result<f64, Refused>,
        bounds: fn(&[Range]) -> Result<Range, Refused>,
        /// The method, for people.
        method: &'static str,
    },
    /// A word.
    Chosen(fn(&[Range]) -> Result<&'static str, Refused>),
}

/// Why a figure cannot be worked out, as the end of a sentence.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Refused(pub String);

impl From<OutOfRange> for Refused {
    fn from(refused: OutOfRange) -> Refused {
        Refused(format!("{refused}"))
    }
}

impl From<&str> for Refused {
    fn from(reason: &str) -> Refused {
        Refused(reason.to_string())
    }
}

pub const NO_SOURCE: Source = Source {
    work: "common practice",
    certainty: "no source",
};

pub const fn source(work: &'static str, certainty: &'static str) -> Source {
    Source { work, certainty }
}

pub const fn fact(symbol: &'static str, path: &'static str, runs: Runs) -> Input {
    Input {
        symbol,
        origin: Origin::Fact(path),
        runs,
    }
}

pub const fn figure(symbol: &'static str, name: &'static str, runs: Runs) -> Input {
    Input {
        symbol,
        origin: Origin::Figure(name),
        runs,
    }
}

pub const fn convention(
    symbol: &'static str,
    says: &'static str,
    kind: Kind,
    (low, high): (f64, f64),
    source: Source,
    runs: Runs,
) -> Input {
    Input {
        symbol,
        origin: Origin::Convention {
            says,
            kind,
            range: Range::new(low, high),
            source,
        },
        runs,
    }
}

pub const fn gathered(
    symbol: &'static str,
    says: &'static str,
    kind: Kind,
    gather: fn(&View<'_>, FactId) -> Gathered,
    runs: Runs,
) -> Input {
    Input {
        symbol,
        origin: Origin::Gathered { says, kind, gather },
        runs,
    }
}
