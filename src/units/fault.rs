//! What can be wrong with the text of a quantity or a date.
//!
//! Contract: a fault is data for whoever places it in a file: what sort it is, which bytes of the
//! text are wrong, one lower-case sentence that quotes the writer's own words, and what to write
//! instead. It names no field, since this module knows none.

use std::ops::Range;

/// One thing wrong in the text of a quantity or a date.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct QuantityFault {
    pub kind: FaultKind,
    /// The bytes of the text that are wrong, on character boundaries; empty where something lacks.
    pub at: Range<usize>,
    /// What is wrong: one lower-case sentence without a full stop.
    pub says: String,
    /// What was expected and what to do.
    pub help: String,
}

/// The sorts of fault.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum FaultKind {
    Empty,
    NotANumber,
    DecimalComma,
    DigitGroups,
    LeadingNought,
    TooManyDigits,
    UnitMissing,
    UnitUnknown,
    UnitOfAnotherKind,
    UnitNotWanted,
    TrailingWords,
    RangeReversed,
    RangeMark,
    ToleranceNegative,
    ToleranceUnclear,
    RoughUnclear,
    NotWhole,
    OutOfRange,
    NotADate,
    NoSuchDay,
    NotATime,
}

impl QuantityFault {
    pub(super) fn new(
        kind: FaultKind,
        at: Range<usize>,
        says: impl Into<String>,
        help: impl Into<String>,
    ) -> QuantityFault {
        QuantityFault {
            kind,
            at,
            says: says.into(),
            help: help.into(),
        }
    }
}

/// The writer's own words in backticks, cut short if they run on.
pub(super) fn quoted(given: &str) -> String {
    const LONGEST: usize = 40;
    match given.char_indices().nth(LONGEST) {
        Some((end, _)) => format!("`{}…`", &given[..end]),
        None => format!("`{given}`"),
    }
}
