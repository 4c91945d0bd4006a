//! What can be wrong with the text of a quantity, a date or a duration.
//!
//! Contract: a fault is data for whoever places it in a file: what sort it is, which bytes of the
//! text are wrong, one lower-case sentence that quotes the writer's own words, and what to write
//! instead. It names no field, since this module knows none.

use std::ops::Range;

/// One thing wrong in the text of a quantity, a date or a duration.
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
    NotADuration,
}

impl FaultKind {
    /// Every sort once.
    pub const ALL: [FaultKind; 21] = [
        FaultKind::Empty,
        FaultKind::NotANumber,
        FaultKind::DecimalComma,
        FaultKind::DigitGroups,
        FaultKind::TooManyDigits,
        FaultKind::UnitMissing,
        FaultKind::UnitUnknown,
        FaultKind::UnitOfAnotherKind,
        FaultKind::UnitNotWanted,
        FaultKind::TrailingWords,
        FaultKind::RangeReversed,
        FaultKind::RangeMark,
        FaultKind::ToleranceNegative,
        FaultKind::ToleranceUnclear,
        FaultKind::RoughUnclear,
        FaultKind::NotWhole,
        FaultKind::OutOfRange,
        FaultKind::NotADate,
        FaultKind::NoSuchDay,
        FaultKind::NotATime,
        FaultKind::NotADuration,
    ];

    /// Plain words joined by hyphens; stable, for tests and machine-readable output.
    pub fn name(self) -> &'static str {
        match self {
            FaultKind::Empty => "value-empty",
            FaultKind::NotANumber => "not-a-number",
            FaultKind::DecimalComma => "decimal-comma",
            FaultKind::DigitGroups => "digit-groups",
            FaultKind::TooManyDigits => "too-many-digits",
            FaultKind::UnitMissing => "unit-missing",
            FaultKind::UnitUnknown => "unit-unknown",
            FaultKind::UnitOfAnotherKind => "unit-of-another-kind",
            FaultKind::UnitNotWanted => "unit-not-wanted",
            FaultKind::TrailingWords => "trailing-words",
            FaultKind::RangeReversed => "range-reversed",
            FaultKind::RangeMark => "range-mark",
            FaultKind::ToleranceNegative => "tolerance-negative",
            FaultKind::ToleranceUnclear => "tolerance-unclear",
            FaultKind::RoughUnclear => "rough-unclear",
            FaultKind::NotWhole => "not-whole",
            FaultKind::OutOfRange => "out-of-range",
            FaultKind::NotADate => "not-a-date",
            FaultKind::NoSuchDay => "no-such-day",
            FaultKind::NotATime => "not-a-time",
            FaultKind::NotADuration => "not-a-duration",
        }
    }
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
