//! Doses of cleaner and inhibitor.
//!
//! Contract: volumes in m³, rates as shares by volume. Two volumes must be kept apart: what circulates
//! during a flush, with the machine's tank, and what is wetted in service. The risk of dosing too
//! little goes with the upper end of a volume, of dosing too much with the lower.

use super::{OutOfRange, VOLUME, not_negative, within};

const RATE: (&str, &str) = ("dose as a share of the water", "");

/// Product for a volume of water, in m³.
///
/// `V_p = r V`: `r` the share named on the label, often 0.01, `V` the water in m³.
///
/// Valid for a share from 0 to 1.
///
/// ```
/// let litres = 1000.0 * wetside_physics::dosing::product(0.01, 0.1).unwrap();
/// assert!((litres - 1.0).abs() < 1e-12);
/// ```
///
/// Source: arithmetic; the usual share is from memory, the label rules.
pub fn product(share: f64, water: f64) -> Result<f64, OutOfRange> {
    Ok(within(RATE, share, 0.0, 1.0)? * not_negative(VOLUME, water)?)
}
