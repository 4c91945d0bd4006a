//! Pump curves.
//!
//! Contract: a curve is a head that falls with the flow, `H = H₀ − r Qⁿ`. A plate that states only
//! the greatest head and the greatest flow leaves the shape open: an exponent of 2 is the generous
//! end, 1 the pessimistic one.

/// A pump's head over its flow: `H = H₀ − r Qⁿ`.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Curve {
    /// Head against a closed valve, in m.
    pub shut_off: f64,
    /// `r`, in m per (m³/s)ⁿ.
    pub fall: f64,
    /// `n`, without unit.
    pub exponent: f64,
}

impl Curve {
    /// Flow at no head, in m³/s: `(H₀/r)^(1/n)`.
    pub(crate) fn greatest_flow(&self) -> f64 {
        (self.shut_off / self.fall).powf(1.0 / self.exponent)
    }
}
