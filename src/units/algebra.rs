//! What kind the sum, difference, product or quotient of two quantities is.
//!
//! Contract: `None` means that the operation has no sense, or none that this program gives it; the
//! rule language then refuses it before any survey is read. Base units are coherent, so the
//! numbers of two ranges in base units combine without a factor wherever a kind is given here.
//!
//! Three choices where the trade has no habit: a difference of two calendar years is a bare
//! number, since two years may lie a day or two years apart; a share of a count is a bare number,
//! since a fifth of nine radiators is not a whole one; and twice a share is a share.

use super::kind::Kind::{self, *};

/// Products: the first times the second is the third, in either order, and the third over either
/// is the other.
#[rustfmt::skip]
static PRODUCTS: &[(Kind, Kind, Kind)] = &[
    (Length, Length, Area),
    (Area, Length, Volume),
    (Velocity, Time, Length),
    (Acceleration, Time, Velocity),
    (VolumeFlow, Time, Volume),
    (Velocity, Area, VolumeFlow),
    (Power, Time, Energy),
    (Current, Voltage, Power),
    (PressureDifference, VolumeFlow, Power),
    (PressureDifference, Volume, Energy),
    (Concentration, Volume, Mass),
    (Hardness, Volume, Mass),
    (DissolvedSolids, Volume, Mass),
    (DoseRate, Volume, Volume),
    (Frequency, Time, Number),
];

impl Kind {
    /// The kind of this plus the other.
    pub fn plus(self, other: Kind) -> Option<Kind> {
        if self == other {
            return (!self.is_point()).then_some(self);
        }
        let reaches = |point: Kind, step: Kind| point.row().difference == Some(step);
        match (self, other) {
            (point, step) if reaches(point, step) => Some(point),
            (step, point) if reaches(point, step) => Some(point),
            (Count, Number) | (Number, Count) => Some(Number),
            _ => None,
        }
    }

    /// The kind of this minus the other.
    pub fn minus(self, other: Kind) -> Option<Kind> {
        if self == other {
            return Some(self.difference());
        }
        let reaches = self.row().difference == Some(other);
        match (self, other) {
            (point, _) if reaches => Some(point),
            (Count, Number) | (Number, Count) => Some(Number),
            _ => None,
        }
    }

    /// The kind of this times the other.
    pub fn times(self, other: Kind) -> Option<Kind> {
        scaled(self, other)
            .or_else(|| scaled(other, self))
            .or_else(|| {
                let fits = |&&(a, b, _): &&(Kind, Kind, Kind)| {
                    (a, b) == (self, other) || (b, a) == (self, other)
                };
                PRODUCTS.iter().find(fits).map(|product| product.2)
            })
    }

    /// The kind of this over the other.
    pub fn over(self, other: Kind) -> Option<Kind> {
        if self == other {
            return self.row().scales.then_some(Number);
        }
        match other {
            Number | Count => match self {
                Count | Number => Some(Number),
                kind => kind.row().scales.then_some(kind),
            },
            Share => match self {
                Number => None,
                Count => Some(Number),
                kind => kind.row().scales.then_some(kind),
            },
            _ => quotient(self, other),
        }
    }
}

/// The kind of a bare factor times a quantity; `None` if `factor` is not one.
fn scaled(factor: Kind, kind: Kind) -> Option<Kind> {
    match (factor, kind) {
        (Count, Count) => Some(Count),
        (Number, Number | Count) | (Share, Count) => Some(Number),
        // These are answered the other way round.
        (Share, Number) | (Count, Share | Number) => None,
        (Number | Count | Share, kind) if kind.row().scales => Some(kind),
        _ => None,
    }
}

/// From the table of products: the kind that times `below` makes `above`. A number here may be a
/// count as well, so that nine over an hour is a frequency.
fn quotient(above: Kind, below: Kind) -> Option<Kind> {
    let above = if above == Count { Number } else { above };
    PRODUCTS
        .iter()
        .find_map(|&(a, b, product)| match (product == above, below) {
            (true, other) if other == b => Some(a),
            (true, other) if other == a => Some(b),
            _ => None,
        })
}
