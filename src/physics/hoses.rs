//! Hoses that run by gravity, and siphons.
//!
//! Contract: the hose runs full. A barbed fitting is 3 to 5 mm narrower than its hose; its loss
//! belongs into the entry loss, on the bore of the hose.

use super::friction::{self, Evaluator, Run};
use super::{
    ATMOSPHERE, GRAVITY, LENGTH, LOSS, OutOfRange, above_zero, not_negative, pipe,
    root_of_increasing, water, within,
};

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
    /// least [`minor::ENTRANCE`](super::minor::ENTRANCE) for a plain end.
    pub loss: f64,
}

/// Pressure above the vapour pressure that a siphon needs to hold, in Pa.
///
/// Source: common practice, no source.
pub const SIPHON_MARGIN: f64 = 10_000.0;

const FALL: (&str, &str) = ("fall", "m");

/// Flow that a hose carries by gravity, in m³/s.
///
/// `z = (f L/D + K + 1) v²/(2 g)`: `z` fall in m, `f` friction factor, `L` length and `D` bore in m,
/// `K` losses, 1 the speed lost at the outlet. Found by halving between 0 and `√(2 g z)`.
///
/// Valid for a fall of at least 0, where the friction law is.
///
/// ```
/// use wetside_physics::hoses::{Hose, gravity_flow};
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

/// Fall that a hose needs for a flow, in m: the inverse of [`gravity_flow`].
///
/// Valid for a flow of at least 0, where the friction law is. The fall of the hose given is unused.
///
/// ```
/// use wetside_physics::hoses::{Hose, fall_for};
/// let hose = Hose { fall: 0.0, length: 10.0, bore: 0.019, roughness: 2e-5, loss: 0.5 };
/// let fall = fall_for(&hose, 18.53 / 60_000.0, 1.1382e-6).unwrap();
/// assert!((fall - 1.0).abs() < 0.001);
/// ```
///
/// Source: as [`gravity_flow`].
pub fn fall_for(hose: &Hose, flow: f64, kinematic_viscosity: f64) -> Result<f64, OutOfRange> {
    let run = Run {
        length: hose.length,
        bore: hose.bore,
        roughness: hose.roughness,
        loss: not_negative(LOSS, hose.loss)? + 1.0,
    };
    friction::head_loss(&run, not_negative(super::FLOW, flow)?, kinematic_viscosity)
}

/// The highest point of a siphon.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Crest {
    /// Height of the crest above the water in the tank, in m.
    pub rise: f64,
    /// The part of the hose up to the crest, with the losses in it.
    pub run: Run,
    /// Flow in m³/s.
    pub flow: f64,
    /// Temperature of the water, in °C.
    pub celsius: f64,
}

/// Absolute pressure at the crest of a siphon, in Pa.
///
/// `p = p_a − ρ g (z + h) − ρ v²/2`: `p_a` the pressure of the air, 101 325 Pa, `ρ` density in kg/m³,
/// `z` rise of the crest above the tank's water in m, `h` head lost up to it in m, `v` speed in m/s.
///
/// Valid for a rise of at least 0, from 0 to 100 °C, where the friction law is. A negative result
/// means that the siphon cannot run so.
///
/// ```
/// use wetside_physics::{friction::Run, hoses::{Crest, crest_pressure}};
/// let run = Run { length: 2.0, bore: 0.019, roughness: 2e-5, loss: 0.5 };
/// let crest = Crest { rise: 1.0, run, flow: 0.3e-3, celsius: 20.0 };
/// assert!((crest_pressure(&crest).unwrap() - 88_800.0).abs() < 500.0);
/// ```
///
/// Source: the energy balance (D. Bernoulli, 1738).
pub fn crest_pressure(crest: &Crest) -> Result<f64, OutOfRange> {
    let rise = not_negative(("rise", "m"), crest.rise)?;
    let density = water::density(crest.celsius)?;
    let viscosity = water::kinematic_viscosity(crest.celsius)?;
    let lost = friction::head_loss(&crest.run, crest.flow.abs(), viscosity)?;
    let speed = pipe::speed(crest.flow, crest.run.bore)?;
    Ok(ATMOSPHERE - density * (GRAVITY * (rise + lost) + 0.5 * speed * speed))
}

/// Pressure that a siphon has to spare at its crest, in Pa; it holds while this is above 0.
///
/// [`crest_pressure`] less the vapour pressure less [`SIPHON_MARGIN`].
///
/// Valid as [`crest_pressure`].
///
/// ```
/// use wetside_physics::{friction::Run, hoses::{Crest, siphon_reserve}};
/// let run = Run { length: 8.0, bore: 0.019, roughness: 2e-5, loss: 0.5 };
/// let warm = Crest { rise: 7.0, run, flow: 0.2e-3, celsius: 65.0 };
/// assert!(siphon_reserve(&warm).unwrap() < 0.0);
/// ```
///
/// Source: as [`crest_pressure`]; the margin is common practice, no source.
pub fn siphon_reserve(crest: &Crest) -> Result<f64, OutOfRange> {
    Ok(crest_pressure(crest)? - water::vapour_pressure(crest.celsius)? - SIPHON_MARGIN)
}

/// Water that runs back when a hose is opened or a pump stops, in m³: what lies above a level.
///
/// `V = A max(z_t − z_l, 0)/s`: `A` area of the bore in m², `z_t` top of the water and `z_l` the level
/// it falls to in m, `s` the slope of the pipe as height over length, 1 for an upright one.
///
/// Valid for a slope above 0 and up to 1.
///
/// ```
/// let volume = wetside_physics::hoses::runs_back(0.0202, 5.0, 0.6, 1.0).unwrap();
/// assert!((1000.0 * volume - 1.41).abs() < 0.01);
/// ```
///
/// Source: geometry.
pub fn runs_back(bore: f64, top: f64, level: f64, slope: f64) -> Result<f64, OutOfRange> {
    let slope = within(("slope", ""), above_zero(("slope", ""), slope)?, 0.0, 1.0)?;
    let height = super::finite(LENGTH, top)? - super::finite(LENGTH, level)?;
    Ok(pipe::area(bore)? * height.max(0.0) / slope)
}
