//! Figures of the water itself: what counts as rinsed, and what a reading is worth.

use super::table::{Figure, Input, NO_SOURCE, Runs, Source, Work, Yields};
use super::table::{convention, fact, source};
use crate::units::Kind;

const BAND: Source = source(
    "data sheet of a flushing test kit; a housing specification quoted in a forum",
    "read",
);

const MAINS: Input = fact("C_m", "readings.mains.tds", Runs::Up);
const SHARE: Input = convention(
    "b",
    "share of the mains reading that the rinse may differ by",
    Kind::Share,
    (0.1, 0.1),
    BAND,
    Runs::Either,
);
/// A tenth of a very soft mains is inside the error of many meters.
const LEAST: Input = convention(
    "B",
    "least difference that counts on very soft mains",
    Kind::DissolvedSolids,
    (0.010, 0.010),
    NO_SOURCE,
    Runs::Either,
);

pub const FIGURES: &[Figure] = &[
    Figure {
        name: "tds_low",
        yields: Yields::Quantity(Kind::DissolvedSolids),
        says: "The lowest reading of dissolved solids that counts as rinsed to the mains.",
        formula: "C = C_m − max(b C_m, B), at least 0",
        source: BAND,
        inputs: &[MAINS, SHARE, LEAST],
        work: Work::Formula(|values| Ok((values[0] - band(values)).max(0.0))),
    },
    Figure {
        name: "tds_high",
        yields: Yields::Quantity(Kind::DissolvedSolids),
        says: "The highest reading of dissolved solids that counts as rinsed to the mains.",
        formula: "C = C_m + max(b C_m, B)",
        source: BAND,
        inputs: &[MAINS, SHARE, LEAST],
        work: Work::Formula(|values| Ok(values[0] + band(values))),
    },
];

/// How far a rinse may read from the mains, from mains, share and least difference.
fn band(values: &[f64]) -> f64 {
    (values[1] * values[0]).max(values[2])
}
