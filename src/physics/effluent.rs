//! Effluent: blending hot water with cold before it is let go.
//!
//! Contract: both waters count as equally dense and equally good at holding heat, which is right to
//! about 2 % between 10 and 80 °C.

use super::{OutOfRange, above, within};

const HOT: (&str, &str) = ("temperature of the effluent", "°C");
const COLD: (&str, &str) = ("temperature of the cold water", "°C");
const LIMIT: (&str, &str) = ("temperature limit", "°C");

/// Cold water needed for each part of hot effluent, without unit.
///
/// `r = (T − T_l)/(T_l − T_c)`: `T` temperature of the effluent, `T_l` limit, `T_c` of the cold
/// water, in °C. 0 when the effluent is within the limit.
///
/// Valid from 0 to 100 °C with cold water below the limit.
///
/// ```
/// // A limit of 43 °C, effluent at 60 °C, mains at 10 °C.
/// let parts = wetside_physics::effluent::cold_per_hot(60.0, 43.0, 10.0).unwrap();
/// assert!((parts - 0.515).abs() < 0.001);
/// ```
///
/// Source: the heat balance.
pub fn cold_per_hot(hot: f64, limit: f64, cold: f64) -> Result<f64, OutOfRange> {
    let hot = within(HOT, hot, 0.0, 100.0)?;
    let cold = within(COLD, cold, 0.0, 100.0)?;
    let limit = above(LIMIT, within(LIMIT, limit, 0.0, 100.0)?, cold)?;
    Ok(((hot - limit) / (limit - cold)).max(0.0))
}
