//! A range of exact numbers, and what can be said of two of them.
//!
//! An interval stands for one number that is only known to lie in it. So a comparison of two
//! intervals asks about the numbers, not about the ranges: it is yes if it holds for every choice
//! of a number from each, no if it holds for none, and undecided otherwise. `3 to 4` is not the
//! same as `3 to 4`, for the two numbers may differ; two exact numbers are the same or are not.
//!
//! Contract: an interval is never empty, and there is no hidden tolerance anywhere. Arithmetic is
//! in [`super::reckon`].

use super::exact::Exact;
use crate::truth::Truth;
use serde::{Deserialize, Serialize};
use std::cmp::Ordering;

/// One end of an interval.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize)]
pub enum End {
    /// The number itself belongs to the interval.
    Closed(Exact),
    /// Everything up to the number belongs to it, but not the number.
    Open(Exact),
    /// There is no limit on this side.
    Unbounded,
}

impl End {
    /// The number at which the end lies; `None` if there is no limit.
    pub fn at(self) -> Option<Exact> {
        match self {
            End::Closed(at) | End::Open(at) => Some(at),
            End::Unbounded => None,
        }
    }

    pub fn is_open(self) -> bool {
        matches!(self, End::Open(_))
    }

    pub(super) fn try_map(self, change: impl FnOnce(Exact) -> Option<Exact>) -> Option<End> {
        Some(match self {
            End::Closed(at) => End::Closed(change(at)?),
            End::Open(at) => End::Open(change(at)?),
            End::Unbounded => End::Unbounded,
        })
    }

    pub(super) fn joined(
        self,
        other: End,
        join: impl FnOnce(Exact, Exact) -> Option<Exact>,
    ) -> Option<End> {
        let (Some(a), Some(b)) = (self.at(), other.at()) else {
            return Some(End::Unbounded);
        };
        let at = join(a, b)?;
        Some(if self.is_open() || other.is_open() {
            End::Open(at)
        } else {
            End::Closed(at)
        })
    }
}

/// A range of numbers that is never empty.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize)]
pub struct Interval {
    pub(super) low: End,
    pub(super) high: End,
}

impl Interval {
    /// Every number.
    pub const EVERYTHING: Interval = Interval {
        low: End::Unbounded,
        high: End::Unbounded,
    };

    /// The numbers from `low` to `high`; `None` if there are none.
    pub fn new(low: End, high: End) -> Option<Interval> {
        let fits = match (low.at(), high.at()) {
            (Some(a), Some(b)) => a < b || a == b && !low.is_open() && !high.is_open(),
            _ => true,
        };
        fits.then_some(Interval { low, high })
    }

    /// The one number.
    pub fn exact(value: Exact) -> Interval {
        Interval {
            low: End::Closed(value),
            high: End::Closed(value),
        }
    }

    /// The numbers from `low` to `high`, both among them; `None` if they are the wrong way round.
    pub fn closed(low: Exact, high: Exact) -> Option<Interval> {
        Interval::new(End::Closed(low), End::Closed(high))
    }

    pub fn at_least(low: Exact) -> Interval {
        Interval {
            low: End::Closed(low),
            high: End::Unbounded,
        }
    }

    pub fn at_most(high: Exact) -> Interval {
        Interval {
            low: End::Unbounded,
            high: End::Closed(high),
        }
    }

    pub(crate) fn more_than(low: Exact) -> Interval {
        Interval {
            low: End::Open(low),
            high: End::Unbounded,
        }
    }

    pub(crate) fn less_than(high: Exact) -> Interval {
        Interval {
            low: End::Unbounded,
            high: End::Open(high),
        }
    }

    pub fn low(&self) -> End {
        self.low
    }

    pub fn high(&self) -> End {
        self.high
    }

    /// The number, if there is only one.
    pub fn single(&self) -> Option<Exact> {
        match (self.low, self.high) {
            (End::Closed(a), End::Closed(b)) if a == b => Some(a),
            _ => None,
        }
    }

    /// Halfway between the ends; `None` if a side has no limit or the sum does not fit.
    pub fn middle(&self) -> Option<Exact> {
        let sum = self.low.at()?.plus(self.high.at()?)?;
        sum.over(Exact::from(2))
    }

    pub fn contains(&self, value: Exact) -> bool {
        self.encloses(&Interval::exact(value))
    }

    /// Whether every number of the other lies in this one.
    pub fn encloses(&self, other: &Interval) -> bool {
        self.hull(other) == *self
    }

    /// The numbers that lie in both; `None` if there are none.
    pub fn intersect(&self, other: &Interval) -> Option<Interval> {
        Interval::new(
            inner_low(self.low, other.low),
            inner_high(self.high, other.high),
        )
    }

    /// The smallest interval that holds both.
    #[must_use]
    pub fn hull(&self, other: &Interval) -> Interval {
        Interval {
            low: outer_low(self.low, other.low),
            high: outer_high(self.high, other.high),
        }
    }

    /// Cuts the interval at the given numbers: the parts below, at, between and above them that
    /// are not empty, from low to high. Together the parts are the interval, and each number of it
    /// lies in one part only.
    pub fn cells(&self, limits: &[Exact]) -> Vec<Interval> {
        let mut limits = limits.to_vec();
        limits.sort_unstable();
        limits.dedup();
        let mut parts = Vec::with_capacity(2 * limits.len() + 1);
        let mut low = End::Unbounded;
        for limit in limits {
            parts.extend(Interval::new(low, End::Open(limit)));
            parts.push(Interval::exact(limit));
            low = End::Open(limit);
        }
        parts.push(Interval {
            low,
            high: End::Unbounded,
        });
        parts
            .iter()
            .filter_map(|part| self.intersect(part))
            .collect()
    }
}

/// Comparisons: of one number in each interval, whichever they are.
impl Interval {
    /// Whether this is less than the other.
    pub fn less(&self, other: &Interval) -> Truth {
        if surely_below(self.high, other.low) {
            Truth::Yes
        } else if surely_not_above(other.high, self.low) {
            Truth::No
        } else {
            Truth::Undecided
        }
    }

    /// Whether this is the other or less.
    pub fn not_more(&self, other: &Interval) -> Truth {
        !other.less(self)
    }

    /// Whether this is more than the other.
    pub fn more(&self, other: &Interval) -> Truth {
        other.less(self)
    }

    /// Whether this is the other or more.
    pub fn not_less(&self, other: &Interval) -> Truth {
        !self.less(other)
    }

    /// Whether both are the same number.
    pub fn same(&self, other: &Interval) -> Truth {
        match (self.single(), other.single()) {
            (Some(a), Some(b)) => Truth::from(a == b),
            _ if self.intersect(other).is_none() => Truth::No,
            _ => Truth::Undecided,
        }
    }
}

/// Whether everything up to `high` is less than everything from `low`.
fn surely_below(high: End, low: End) -> bool {
    match (high.at(), low.at()) {
        (Some(a), Some(b)) => a < b || a == b && (high.is_open() || low.is_open()),
        _ => false,
    }
}

/// Whether nothing up to `high` is more than anything from `low`.
fn surely_not_above(high: End, low: End) -> bool {
    match (high.at(), low.at()) {
        (Some(a), Some(b)) => a <= b,
        _ => false,
    }
}

pub(super) fn inner_low(a: End, b: End) -> End {
    inner(a, b, Ordering::Greater)
}

pub(super) fn inner_high(a: End, b: End) -> End {
    inner(a, b, Ordering::Less)
}

pub(super) fn outer_low(a: End, b: End) -> End {
    outer(a, b, Ordering::Less)
}

pub(super) fn outer_high(a: End, b: End) -> End {
    outer(a, b, Ordering::Greater)
}

/// The end that leaves less, which lies on that side of the other.
fn inner(a: End, b: End, side: Ordering) -> End {
    match (a.at(), b.at()) {
        (None, _) => b,
        (_, None) => a,
        (Some(at), Some(other)) if at.cmp(&other) == side || at == other && a.is_open() => a,
        _ => b,
    }
}

/// The end that leaves more, which lies on that side of the other.
fn outer(a: End, b: End, side: Ordering) -> End {
    match (a.at(), b.at()) {
        (Some(at), Some(other)) if at.cmp(&other) == side || at == other && !a.is_open() => a,
        (Some(_), Some(_)) => b,
        _ => End::Unbounded,
    }
}
