//! Ranges of doubles, as formulas take and give them.

/// Everything from `low` to `high`, in base units; an end may be infinite.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Range {
    pub low: f64,
    pub high: f64,
}

impl Range {
    pub const fn point(value: f64) -> Range {
        Range {
            low: value,
            high: value,
        }
    }

    pub const fn new(low: f64, high: f64) -> Range {
        Range { low, high }
    }

    pub fn is_point(&self) -> bool {
        self.low >= self.high
    }

    /// The smallest range that holds both.
    #[must_use]
    pub fn hull(self, other: Range) -> Range {
        Range::new(self.low.min(other.low), self.high.max(other.high))
    }

    pub fn middle(&self) -> f64 {
        0.5 * (self.low + self.high)
    }
}
