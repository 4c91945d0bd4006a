//! Pump curves.
//!
//! Contract: a curve is a head that falls with the flow, `H = H₀ − r Qⁿ`. A plate that states only
//! the greatest head and the greatest flow leaves the shape open: an exponent of 2 is the generous
//! end, 1 the pessimistic one. The head at a flow is for the plot of the pump against the system.

use super::{FLOW, OutOfRange, within};

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
    /// Head at a flow, in m.
    ///
    /// `H = H₀ − r Qⁿ`. Valid from no flow to [`greatest_flow`](Curve::greatest_flow).
    ///
    /// Source: the curve itself.
    pub fn head(&self, flow: f64) -> Result<f64, OutOfRange> {
        // A hair of room, so that the greatest flow itself is never refused for its last bit.
        let most = self.greatest_flow() * (1.0 + 1e-12);
        let flow = within(FLOW, flow, 0.0, most)?;
        Ok(self.shut_off - self.fall * flow.powf(self.exponent))
    }

    /// Flow at no head, in m³/s: `(H₀/r)^(1/n)`.
    pub(crate) fn greatest_flow(&self) -> f64 {
        (self.shut_off / self.fall).powf(1.0 / self.exponent)
    }
}
