//! What can be wrong with the text of a quantity or a date.
//!
//! Contract: a fault is data for whoever places it in a file: which bytes of the
//! text are wrong, one lower-case sentence that quotes the writer's own words, and what to write instead. It
//! names no field, since this module knows none.

use std::ops::Range;

/// One thing wrong in the text of a quantity or a date.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct QuantityFault {
    /// The bytes of the text that are wrong, on character boundaries; empty where something lacks.
    pub at: Range<usize>,
    /// What is wrong: one lower-case sentence without a full stop.
    pub says: String,
    /// What was expected and what to do.
    pub help: String,
}

impl QuantityFault {
    pub(super) fn new(
        at: Range<usize>,
        says: impl Into<String>,
        help: impl Into<String>,
    ) -> QuantityFault {
        QuantityFault {
            at,
            says: says.into(),
            help: help.into(),
        }
    }

    /// What the bytes of a text are, in the writer's own words first.
    pub(super) fn of(
        text: &str,
        at: Range<usize>,
        is: &str,
        help: impl Into<String>,
    ) -> QuantityFault {
        let says = format!("{} {is}", quoted(&text[at.clone()]));
        QuantityFault::new(at, says, help)
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
