//! The open tank of a flushing machine: how soon it runs dry or over.
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
    Ok(time(spare, net))
}

/// Time until a tank runs over, in s.
///
/// `t = (V_max − V)/(q_in − q_out)`: `V_max` content to the rim, the rest as in [`run_down`]. 0 when
/// it is full already; `None` when it does not rise.
///
/// Valid for volumes and flows of at least 0.
///
/// ```
/// // A hose that drains 18.5 litres a minute under a tap that gives 24.
/// let (tap, hose) = (24.0 / 60_000.0, 18.5 / 60_000.0);
/// let seconds = wetside_physics::tank::run_over(0.025, 0.030, hose, tap).unwrap();
/// assert!((seconds.unwrap() - 54.5).abs() < 0.1);
/// ```
///
/// Source: mass balance.
pub fn run_over(
    content: f64,
    rim: f64,
    flow_out: f64,
    flow_in: f64,
) -> Result<Option<f64>, OutOfRange> {
    let spare = not_negative(VOLUME, rim)? - not_negative(VOLUME, content)?;
    let net = not_negative(IN, flow_in)? - not_negative(OUT, flow_out)?;
    Ok(time(spare, net))
}

/// Water that spills when a system drains back into an open tank, in m³.
///
/// `V = max(V_back − V_free, 0)`: `V_back` water that stands above the rim and can run back, `V_free`
/// room left in the tank.
///
/// Valid for volumes of at least 0.
///
/// ```
/// let spilled = wetside_physics::tank::spill(0.038, 0.012).unwrap();
/// assert!((spilled - 0.026).abs() < 1e-12);
/// ```
///
/// Source: mass balance.
pub fn spill(runs_back: f64, room: f64) -> Result<f64, OutOfRange> {
    Ok((not_negative(VOLUME, runs_back)? - not_negative(VOLUME, room)?).max(0.0))
}

fn time(spare: f64, net: f64) -> Option<f64> {
    if spare <= 0.0 {
        Some(0.0)
    } else {
        (net > 0.0).then(|| spare / net)
    }
}
