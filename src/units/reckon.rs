//! Arithmetic of intervals.
//!
//! Contract: a result is the exact hull of what comes of every choice of a number from each
//! interval, its ends open where they are only approached. `None` when a number does not fit or a
//! divisor may be zero. The same reading used twice is taken for two readings here; whoever needs
//! the sharper answer cuts the reading into [cells](Interval::cells) first.
//!
//! Source of the method: R. E. Moore, *Interval Analysis*, 1966 (from memory).

use super::exact::Exact;
use super::interval::{End, Interval, inner_high, inner_low, outer_high, outer_low};
use crate::truth::Truth;
use std::cmp::Ordering;

impl Interval {
    #[must_use]
    pub fn negated(&self) -> Interval {
        let turn = |end: End| match end {
            End::Closed(at) => End::Closed(at.negated()),
            End::Open(at) => End::Open(at.negated()),
            End::Unbounded => End::Unbounded,
        };
        Interval {
            low: turn(self.high),
            high: turn(self.low),
        }
    }

    pub fn plus(&self, other: &Interval) -> Option<Interval> {
        if let (Some(a), Some(b)) = (self.single(), other.single()) {
            return Some(Interval::exact(a.plus(b)?));
        }
        let low = self.low.joined(other.low, Exact::plus)?;
        let high = self.high.joined(other.high, Exact::plus)?;
        Some(Interval { low, high })
    }

    pub fn minus(&self, other: &Interval) -> Option<Interval> {
        self.plus(&other.negated())
    }

    pub fn times(&self, other: &Interval) -> Option<Interval> {
        if let (Some(a), Some(b)) = (self.single(), other.single()) {
            return Some(Interval::exact(a.times(b)?));
        }
        let mut corners = [Corner::from_product(self.low, other.low, true, true)?; 4];
        corners[1] = Corner::from_product(self.low, other.high, true, false)?;
        corners[2] = Corner::from_product(self.high, other.low, false, true)?;
        corners[3] = Corner::from_product(self.high, other.high, false, false)?;
        let outer = |side| corners.into_iter().reduce(|a, b| a.outer(b, side));
        let (low, high) = (outer(Ordering::Less)?, outer(Ordering::Greater)?);
        Some(Interval {
            low: low.end(),
            high: high.end(),
        })
    }

    /// `None` when the divisor may be zero, or a result does not fit.
    pub fn over(&self, other: &Interval) -> Option<Interval> {
        if other.contains(Exact::ZERO) {
            return None;
        }
        let invert = |end: End| match end {
            End::Unbounded => Some(End::Open(Exact::ZERO)),
            End::Open(at) if at.is_zero() => Some(End::Unbounded),
            end => end.try_map(|at| Exact::ONE.over(at)),
        };
        self.times(&Interval {
            low: invert(other.high)?,
            high: invert(other.low)?,
        })
    }

    /// The range of the lesser of the two numbers.
    #[must_use]
    pub fn lesser(&self, other: &Interval) -> Interval {
        Interval {
            low: outer_low(self.low, other.low),
            high: inner_high(self.high, other.high),
        }
    }

    /// The range of the greater of the two numbers.
    #[must_use]
    pub fn greater(&self, other: &Interval) -> Interval {
        Interval {
            low: inner_low(self.low, other.low),
            high: outer_high(self.high, other.high),
        }
    }

    /// The range of the number's distance from zero.
    #[must_use]
    pub fn magnitude(&self) -> Interval {
        let turned = self.negated();
        if self.contains(Exact::ZERO) {
            let high = outer_high(self.high, turned.high);
            Interval {
                low: End::Closed(Exact::ZERO),
                high,
            }
        } else if self.more(&Interval::exact(Exact::ZERO)) == Truth::Yes {
            *self
        } else {
            turned
        }
    }

    /// Every number times `factor`, plus `offset`: a change of unit.
    pub(crate) fn rescaled(&self, factor: Exact, offset: Exact) -> Option<Interval> {
        let change = |at: Exact| at.times(factor)?.plus(offset);
        if let Some(number) = self.single() {
            return Some(Interval::exact(change(number)?));
        }
        let (low, high) = (self.low.try_map(change)?, self.high.try_map(change)?);
        Some(if factor.is_negative() {
            Interval {
                low: high,
                high: low,
            }
        } else {
            Interval { low, high }
        })
    }
}

/// The product of two ends: a number that is reached or only approached, or no limit below or
/// above.
#[derive(Clone, Copy)]
enum Corner {
    Below,
    At(Exact, bool),
    Above,
}

impl Corner {
    /// The flags say whether an end is the low one, that is, on which side it lacks a limit.
    fn from_product(a: End, b: End, a_is_low: bool, b_is_low: bool) -> Option<Corner> {
        if let (Some(x), Some(y)) = (a.at(), b.at()) {
            let reached_zero = |end: End| end == End::Closed(Exact::ZERO);
            let reached = !a.is_open() && !b.is_open() || reached_zero(a) || reached_zero(b);
            return Some(Corner::At(x.times(y)?, reached));
        }
        // Zero times anything is zero, however large: it is reached if the zero is.
        let zero = [a, b]
            .into_iter()
            .find(|end| end.at().is_some_and(Exact::is_zero));
        if let Some(zero) = zero {
            return Some(Corner::At(Exact::ZERO, !zero.is_open()));
        }
        let negative = |end: End, is_low: bool| end.at().map_or(is_low, Exact::is_negative);
        Some(if negative(a, a_is_low) == negative(b, b_is_low) {
            Corner::Above
        } else {
            Corner::Below
        })
    }

    /// Of two corners the one that lies on that side of the other.
    fn outer(self, other: Corner, side: Ordering) -> Corner {
        match (self, other) {
            (Corner::At(a, reached), Corner::At(b, also)) if a == b => {
                Corner::At(a, reached || also)
            }
            _ if self.compare(other) == side => self,
            _ => other,
        }
    }

    fn compare(self, other: Corner) -> Ordering {
        match (self, other) {
            (Corner::At(a, _), Corner::At(b, _)) => a.cmp(&b),
            (Corner::Below, _) | (_, Corner::Above) => Ordering::Less,
            _ => Ordering::Greater,
        }
    }

    fn end(self) -> End {
        match self {
            Corner::Below | Corner::Above => End::Unbounded,
            Corner::At(at, true) => End::Closed(at),
            Corner::At(at, false) => End::Open(at),
        }
    }
}
