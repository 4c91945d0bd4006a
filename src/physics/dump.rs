//! What leaves a system: by a hose that runs by gravity, and out of the machine's open tank.
//!
//! Contract: the hose runs full. A barbed fitting is 3 to 5 mm narrower than its hose; its loss
//! belongs into the entry loss, on the bore of the hose. Of the tank `None` means never, at these flows.

use super::friction::{Evaluator, Run};
use super::{GRAVITY, LOSS, OutOfRange, VOLUME, not_negative, pipe, root_of_increasing};

/// A hose from an open tank to a lower outlet.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Hose {
    /// Drop from the water in the tank to the outlet, or to the water it drowns in, in m.
    pub fall: f64,
    /// Length in m.
    pub length: f64,
    /// Bore in m.
    pub bore: f64,
    /// Absolute roughness in m.
    pub roughness: f64,
    /// Loss coefficients at the entry and along the hose, without the speed lost at the outlet; at
    /// least 0.5 for a plain end.
    pub loss: f64,
}

const FALL: (&str, &str) = ("fall", "m");

/// Flow that a hose carries by gravity, in m³/s.
///
/// `z = (f L/D + K + 1) v²/(2 g)`: `z` fall in m, `f` friction factor, `L` length and `D` bore in m,
/// `K` losses, 1 the speed lost at the outlet. Found by halving between 0 and `√(2 g z)`.
///
/// Valid for a fall of at least 0, where the friction law is.
///
/// ```
/// use wetside_physics::dump::{Hose, gravity_flow};
/// let hose = Hose { fall: 1.0, length: 10.0, bore: 0.019, roughness: 2e-5, loss: 0.5 };
/// let flow = gravity_flow(&hose, 1.1382e-6).unwrap();
/// assert!((60_000.0 * flow - 18.53).abs() < 0.01); // litres a minute
/// ```
///
/// Source: the energy balance, checked against a library's friction factor and root finder.
pub fn gravity_flow(hose: &Hose, kinematic_viscosity: f64) -> Result<f64, OutOfRange> {
    let fall = not_negative(FALL, hose.fall)?;
    let run = Run {
        length: hose.length,
        bore: hose.bore,
        roughness: hose.roughness,
        loss: not_negative(LOSS, hose.loss)? + 1.0,
    };
    let evaluator = Evaluator::new(&run, kinematic_viscosity)?;
    let most = pipe::flow((2.0 * GRAVITY * fall).sqrt(), hose.bore)?;
    evaluator.check(most)?;
    Ok(root_of_increasing(0.0, most, |flow| {
        evaluator.clone().loss_and_slope(flow).0 - fall
    }))
}

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
/// let seconds = wetside_physics::dump::run_down(0.020, 0.005, 0.40e-3, 0.20e-3).unwrap();
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
