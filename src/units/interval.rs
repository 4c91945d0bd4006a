//! A range of exact numbers, and what can be said of two of them.
//!
//! An interval stands for one number that is only known to lie in it. So a comparison of two
//! intervals asks about the numbers, not about the ranges: it is yes if it holds for every choice
//! of a number from each, no if it holds for none, and undecided otherwise. `3 to 4` is not the
//! same as `3 to 4`, for the two numbers may differ; two exact numbers are the same or are not.
//!
//! Contract: an interval is never empty. Arithmetic gives the exact hull of all results, or `None`
//! when a number does not fit or a divisor may be zero. There is no hidden tolerance anywhere.
//! The method of ends is that of R. E. Moore, *Interval Analysis*, 1966 (from memory).

use super::exact::Exact;
use crate::truth::Truth;

/// One end of an interval.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
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

    fn try_map(self, change: impl FnOnce(Exact) -> Option<Exact>) -> Option<End> {
        Some(match self {
            End::Closed(at) => End::Closed(change(at)?),
            End::Open(at) => End::Open(change(at)?),
            End::Unbounded => End::Unbounded,
        })
    }

    fn joined(self, other: End, join: impl FnOnce(Exact, Exact) -> Option<Exact>) -> Option<End> {
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
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct Interval {
    low: End,
    high: End,
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

    pub fn more_than(low: Exact) -> Interval {
        Interval {
            low: End::Open(low),
            high: End::Unbounded,
        }
    }

    pub fn less_than(high: Exact) -> Interval {
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
        let low_reaches = match (self.low, other.low) {
            (End::Unbounded, _) => true,
            (_, End::Unbounded) => false,
            (mine, theirs) => {
                mine.at() < theirs.at()
                    || mine.at() == theirs.at() && (!mine.is_open() || theirs.is_open())
            }
        };
        let high_reaches = match (self.high, other.high) {
            (End::Unbounded, _) => true,
            (_, End::Unbounded) => false,
            (mine, theirs) => {
                mine.at() > theirs.at()
                    || mine.at() == theirs.at() && (!mine.is_open() || theirs.is_open())
            }
        };
        low_reaches && high_reaches
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

    /// Whether the number lies within the given limits. Here the other interval is two known
    /// limits and not an uncertain number.
    pub fn lies_in(&self, limits: &Interval) -> Truth {
        if limits.encloses(self) {
            Truth::Yes
        } else if limits.intersect(self).is_none() {
            Truth::No
        } else {
            Truth::Undecided
        }
    }
}

/// Arithmetic: the hull of the results over all choices of a number from each.
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
        let low = corners.iter().copied().reduce(Corner::lower)?;
        let high = corners.iter().copied().reduce(Corner::higher)?;
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
    pub fn rescaled(&self, factor: Exact, offset: Exact) -> Option<Interval> {
        let change = |at: Exact| at.times(factor)?.plus(offset);
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

fn inner_low(a: End, b: End) -> End {
    match (a.at(), b.at()) {
        (None, _) => b,
        (_, None) => a,
        (Some(at), Some(other)) if at > other || at == other && a.is_open() => a,
        _ => b,
    }
}

fn inner_high(a: End, b: End) -> End {
    match (a.at(), b.at()) {
        (None, _) => b,
        (_, None) => a,
        (Some(at), Some(other)) if at < other || at == other && a.is_open() => a,
        _ => b,
    }
}

fn outer_low(a: End, b: End) -> End {
    match (a.at(), b.at()) {
        (Some(at), Some(other)) if at < other || at == other && !a.is_open() => a,
        (Some(_), Some(_)) => b,
        _ => End::Unbounded,
    }
}

fn outer_high(a: End, b: End) -> End {
    match (a.at(), b.at()) {
        (Some(at), Some(other)) if at > other || at == other && !a.is_open() => a,
        (Some(_), Some(_)) => b,
        _ => End::Unbounded,
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

    fn lower(self, other: Corner) -> Corner {
        match (self, other) {
            (Corner::Below, _) | (_, Corner::Below) => Corner::Below,
            (Corner::Above, corner) | (corner, Corner::Above) => corner,
            (Corner::At(a, reached), Corner::At(b, also)) => {
                if a == b {
                    Corner::At(a, reached || also)
                } else if a < b {
                    self
                } else {
                    other
                }
            }
        }
    }

    fn higher(self, other: Corner) -> Corner {
        match (self, other) {
            (Corner::Above, _) | (_, Corner::Above) => Corner::Above,
            (Corner::Below, corner) | (corner, Corner::Below) => corner,
            (Corner::At(a, reached), Corner::At(b, also)) => {
                if a == b {
                    Corner::At(a, reached || also)
                } else if a > b {
                    self
                } else {
                    other
                }
            }
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
