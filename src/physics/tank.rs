//! The open tank of a flushing machine: how soon it runs dry.
//!
//! Contract: volumes in m³, flows in m³/s, times in s. `None` means never, at these flows.

use super::{OutOfRange, VOLUME, not_negative};

const IN: (&str, &str) = ("flow into the tank", "m³/s");
const OUT: (&str, &str) = ("flow out of the tank", "m³/s");

/// Time until a tank has run down to the least content its pump needs, in s.
///
/// `t = (V − V_min)/(q_out − q_in)`: `V` content now, `V_min` least content, `q_out` flow dumped,
/// `q_in` flow made up. 0 when it is down already; `None` when it does not fall.
///
/// Valid for volumes and flows of at least 0.
///
/// ```
/// let seconds = wetside_physics::tank::run_down(0.020, 0.005, 0.40e-3, 0.20e-3).unwrap();
/// assert!((seconds.unwrap() - 75.0).abs() < 1e-9);
/// ```
///
/// Source: mass balance.
pub fn run_down(
    content: f64,
    least: f64,
    flow_out: f64,
    flow_in: f64,
) -> Result<Option<f64>, OutOfRange> {
    let spare = not_negative(VOLUME, content)? - not_negative(VOLUME, least)?;
    let net = not_negative(OUT, flow_out)? - not_negative(IN, flow_in)?;
    Ok(if spare <= 0.0 {
        Some(0.0)
    } else {
        (net > 0.0).then(|| spare / net)
    })
}
