//! Ranges for programs: in words and in base units.

use crate::figures::words::quantity;
use serde::Serialize;
use wetside_house::{Likely, Range};
use wetside_units::{Interval, Kind};

pub(super) fn low(range: &Interval) -> Option<f64> {
    range.low().at().map(|at| at.to_f64())
}

pub(super) fn high(range: &Interval) -> Option<f64> {
    range.high().at().map(|at| at.to_f64())
}

/// A range in words and in base units; an end without limit is null. Both tell of the same range,
/// without the noise of the last digits, which depends on the order in which a survey lists things.
#[derive(Serialize)]
pub(super) struct Ranged {
    value: String,
    kind: &'static str,
    low: Option<f64>,
    high: Option<f64>,
}

pub(super) fn ranged(range: Range, kind: Kind) -> Ranged {
    let ends = range.to_interval(kind);
    Ranged {
        value: quantity(range, kind),
        kind: kind.name(),
        low: ends.as_ref().and_then(low),
        high: ends.as_ref().and_then(high),
    }
}

/// A likely value and its range.
#[derive(Serialize)]
pub(super) struct Liked {
    value: f64,
    range: Ranged,
}

pub(super) fn liked(likely: Option<Likely>, kind: Kind) -> Option<Liked> {
    let Likely { value, range } = likely?;
    Some(Liked {
        // Outwards as a range is, so that the noise of its last digits is not in it.
        value: Range::new(value, value.next_up())
            .to_interval(kind)
            .as_ref()
            .and_then(low)?,
        range: ranged(range, kind),
    })
}

pub(super) fn flow(range: Range) -> Ranged {
    ranged(range, Kind::VolumeFlow)
}

pub(super) fn speed(range: Range) -> Ranged {
    ranged(range, Kind::Velocity)
}

pub(super) fn time(range: Range) -> Ranged {
    ranged(range, Kind::Time)
}

pub(super) fn pressure(range: Range) -> Ranged {
    ranged(range, Kind::GaugePressure)
}
