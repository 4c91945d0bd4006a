//! A quantity: a range of a kind, and the unit and manner it was written in.
//!
//! Contract: the range is in the base unit of the kind. Unit, decimals and form are there to print
//! the quantity as it was written; nothing is ever decided by them.

use super::interval::Interval;
use super::kind::Kind;
use super::table::UnitId;

/// How a quantity was written.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Form {
    /// `15 mm`
    Exact,
    /// `4 to 6 m`
    Between,
    /// `5.2 m ± 0.2 m`, also `300 ppm ± 10 %`
    Tolerance,
    /// `about 8 m`
    About,
    /// `at least 9 L/min`, `at most`, `more than`, `less than`
    OneSided,
    /// Not written but worked out.
    Computed,
}

/// A range of a kind.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct Quantity {
    pub kind: Kind,
    /// In the base unit of the kind.
    pub range: Interval,
    /// The unit it was written in.
    pub unit: UnitId,
    /// The most decimals that one of its numbers was written with.
    pub decimals: u8,
    pub form: Form,
}

impl Quantity {
    /// A figure that was worked out, in base units; shown in the usual unit of its kind.
    pub fn computed(kind: Kind, range: Interval) -> Quantity {
        Quantity {
            kind,
            range,
            unit: UnitId::usual(kind),
            decimals: 0,
            form: Form::Computed,
        }
    }

    /// The range in the unit it was written in; `None` if it does not fit.
    pub fn written_range(&self) -> Option<Interval> {
        self.unit.range_from_base(&self.range)
    }
}
