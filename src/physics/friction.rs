//! Friction of water in straight pipes: laminar, transition and turbulent, in one continuous law.
//!
//! Contract: the law of [`friction_factor`] has no jump in value or slope, and the head lost rises
//! steadily with the flow, so that a flow found from a head is the only one. Clean pipe is known to
//! about ±10 %; between Reynolds numbers of 2000 and 4000 a factor of two is honest.
//! This module must not know networks, although they use its `Evaluator`.

use std::f64::consts::LN_10;

use super::{
    BORE, FLOW, GRAVITY, KINEMATIC, LENGTH, LOSS, OutOfRange, ROUGHNESS, above_zero, finite,
    not_negative, pipe, within,
};

/// Flow is laminar up to this Reynolds number.
const LAMINAR_BELOW: f64 = 2000.0;
/// Flow is fully turbulent from this Reynolds number on.
pub(crate) const TURBULENT_FROM: f64 = 4000.0;

const REYNOLDS: (&str, &str) = ("Reynolds number", "");
const RELATIVE_ROUGHNESS: (&str, &str) = ("roughness relative to the bore", "");
const HIGHEST_REYNOLDS: f64 = 1e8;
const HIGHEST_ROUGHNESS: f64 = 0.1;

/// A run of pipe of one bore, with the fittings in it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Run {
    /// Length in m.
    pub length: f64,
    /// Bore in m.
    pub bore: f64,
    /// Absolute roughness of the wall in m.
    pub roughness: f64,
    /// Sum of the loss coefficients of fittings and valves, on this bore.
    pub loss: f64,
}

/// Reynolds number of a flow in a pipe: the ratio of inertia to viscosity.
///
/// `Re = v D/ν`: `v` mean speed in m/s, `D` bore in m, `ν` kinematic viscosity in m²/s.
///
/// Valid for any speed; the number is taken positive for a flow either way.
///
/// ```
/// let re = wetside_physics::friction::reynolds(1.3768, 0.0136, 6.5785e-7).unwrap();
/// assert!((re - 28463.0).abs() < 2.0);
/// ```
///
/// Source: O. Reynolds, 1883; the definition.
pub fn reynolds(speed: f64, bore: f64, kinematic_viscosity: f64) -> Result<f64, OutOfRange> {
    let speed = finite(("speed", "m/s"), speed)?;
    Ok(speed.abs() * above_zero(BORE, bore)? / above_zero(KINEMATIC, kinematic_viscosity)?)
}

/// Darcy friction factor.
///
/// `f = 64/Re` up to `Re` 2000; from 4000 on Colebrook and White,
/// `1/√f = −2 log₁₀(r/3.7 + 2.51/(Re √f))`; between them the cubic in `Re` that meets both in value
/// and slope. `Re` is the Reynolds number, `r` the roughness divided by the bore.
///
/// Valid for `Re` above 0 and up to 10⁸ and `r` from 0 to 0.1. The equation is solved to the last
/// few bits.
///
/// ```
/// let f = wetside_physics::friction::friction_factor(28463.0, 0.0015 / 13.6).unwrap();
/// assert!((f - 0.024065).abs() < 1e-6);
/// ```
///
/// Source: C. F. Colebrook, Journal of the Institution of Civil Engineers 11 (1939) 133 (from
/// memory, checked against a library solution); the joining cubic is our choice, and passes through
/// what the EPANET 2.2 engine uses, with Colebrook and White's values at its upper end.
pub fn friction_factor(reynolds: f64, relative_roughness: f64) -> Result<f64, OutOfRange> {
    above_zero(REYNOLDS, reynolds)?;
    within(REYNOLDS, reynolds, 0.0, HIGHEST_REYNOLDS)?;
    let roughness = within(
        RELATIVE_ROUGHNESS,
        relative_roughness,
        0.0,
        HIGHEST_ROUGHNESS,
    )?;
    Ok(Wall::new(roughness).factor(reynolds).0)
}

/// Head lost in a run of pipe, in m of the fluid, with the sign of the flow.
///
/// `h = (f L/D + K) v²/(2 g)`: `f` the friction factor, `L` length and `D` bore in m, `K` the loss
/// coefficients, `v` the mean speed in m/s, `g` the acceleration of free fall.
///
/// Valid where [`friction_factor`] is, for a length and coefficients of at least 0, and for no flow.
///
/// ```
/// use wetside_physics::friction::{Run, head_loss};
/// let run = Run { length: 1.0, bore: 0.0136, roughness: 1.5e-6, loss: 0.0 };
/// let head = head_loss(&run, 0.2e-3, 6.5785e-7).unwrap();
/// assert!((head - 0.17101).abs() < 1e-4);
/// ```
///
/// Source: Darcy and Weisbach's equation (J. Weisbach, 1845; from memory).
pub fn head_loss(run: &Run, flow: f64, kinematic_viscosity: f64) -> Result<f64, OutOfRange> {
    finite(FLOW, flow)?;
    let mut evaluator = Evaluator::new(run, kinematic_viscosity)?;
    evaluator.check(flow)?;
    Ok(evaluator.loss_and_slope(flow).0)
}

/// A run of pipe made ready for many evaluations at flows that change little from one to the next.
#[derive(Clone, Debug)]
pub struct Evaluator {
    /// Head in m per (m³/s) of laminar friction.
    laminar: f64,
    /// Head in m per (m³/s)² and unit of friction factor.
    friction: f64,
    /// Head in m per (m³/s)² of the fittings.
    fittings: f64,
    /// Reynolds number per m³/s.
    reynolds: f64,
    wall: Wall,
}

impl Evaluator {
    pub fn new(run: &Run, viscosity: f64) -> Result<Evaluator, OutOfRange> {
        let area = pipe::area(run.bore)?;
        let length = not_negative(LENGTH, run.length)? / run.bore;
        let loss = not_negative(LOSS, run.loss)?;
        let viscosity = above_zero(KINEMATIC, viscosity)?;
        let roughness = not_negative(ROUGHNESS, run.roughness)? / run.bore;
        let roughness = within(RELATIVE_ROUGHNESS, roughness, 0.0, HIGHEST_ROUGHNESS)?;
        let speed_head = 0.5 / (GRAVITY * area * area);
        let reynolds = run.bore / (area * viscosity);
        Ok(Evaluator {
            laminar: 64.0 * length * speed_head / reynolds,
            friction: length * speed_head,
            fittings: loss * speed_head,
            reynolds,
            wall: Wall::new(roughness),
        })
    }

    /// Whether the law holds at this flow.
    pub fn check(&self, flow: f64) -> Result<(), OutOfRange> {
        within(REYNOLDS, self.reynolds * flow.abs(), 0.0, HIGHEST_REYNOLDS).map(|_| ())
    }

    /// Head lost in m, with the sign of the flow, and its slope in s/m².
    pub fn loss_and_slope(&mut self, flow: f64) -> (f64, f64) {
        let size = flow.abs();
        let reynolds = self.reynolds * size;
        if reynolds <= LAMINAR_BELOW {
            let fittings = self.fittings * size;
            return (
                (self.laminar + fittings) * flow,
                self.laminar + 2.0 * fittings,
            );
        }
        let (factor, slope) = self.wall.factor(reynolds);
        let square = self.friction * factor + self.fittings;
        let bend = slope * self.reynolds * self.friction * size;
        (square * size * flow, (2.0 * square + bend) * size)
    }

    /// Head lost in m where the water is such that the flow has this Reynolds number.
    pub fn loss_at(&mut self, flow: f64, reynolds: f64) -> f64 {
        let factor = self.wall.factor(reynolds).0;
        (self.friction * factor + self.fittings) * flow.abs() * flow
    }
}

/// The wall of a pipe, as the turbulent law sees it, with what earlier evaluations found.
#[derive(Clone, Debug)]
struct Wall {
    /// Roughness over 3.7 bores.
    depth: f64,
    /// The last `1/√f` found: the start of the next search.
    last: f64,
    /// Factor and slope where the turbulent law begins, once they were needed.
    joint: Option<(f64, f64)>,
}

/// `1/√f` of a factor of 0.028. From here three steps reach any factor of the range.
const ANY_FACTOR: f64 = 6.0;

impl Wall {
    fn new(relative_roughness: f64) -> Wall {
        Wall {
            depth: relative_roughness / 3.7,
            last: ANY_FACTOR,
            joint: None,
        }
    }

    /// Friction factor and its slope over the Reynolds number.
    fn factor(&mut self, reynolds: f64) -> (f64, f64) {
        if reynolds <= LAMINAR_BELOW {
            return (64.0 / reynolds, -64.0 / (reynolds * reynolds));
        }
        if reynolds >= TURBULENT_FROM {
            return self.turbulent(reynolds);
        }
        let joint = if let Some(joint) = self.joint {
            joint
        } else {
            let joint = self.turbulent(TURBULENT_FROM);
            self.joint = Some(joint);
            joint
        };
        transition(reynolds, joint)
    }

    /// Colebrook and White, by Halley's method on `x = 1/√f`.
    fn turbulent(&mut self, reynolds: f64) -> (f64, f64) {
        let per_x = 2.51 / reynolds;
        let mut x = self.last;
        let mut inside = self.depth + per_x * x;
        for _ in 0..8 {
            let miss = x + 2.0 / LN_10 * inside.ln();
            let bend = per_x / inside;
            let slope = 1.0 + 2.0 / LN_10 * bend;
            let newton = miss / slope;
            let step = newton / (1.0 + newton * bend * bend / (LN_10 * slope));
            x -= step;
            inside = self.depth + per_x * x;
            // The error after a step is below a hundredth of the cube of the step: the logarithm
            // bends little from `x` 3 on, where the roughest wall of the range has its factor.
            if step.abs() < 1e-5 * x {
                break;
            }
        }
        self.last = x;
        let pull = 2.0 * 2.51 / (LN_10 * inside);
        let dx = pull * x / (reynolds * (reynolds + pull));
        let factor = 1.0 / (x * x);
        (factor, -2.0 * factor / x * dx)
    }
}

/// The cubic that joins the laminar law to the turbulent one in value and slope.
fn transition(reynolds: f64, (upper, upper_slope): (f64, f64)) -> (f64, f64) {
    let width = TURBULENT_FROM - LAMINAR_BELOW;
    let s = (reynolds - LAMINAR_BELOW) / width;
    let lower = 64.0 / LAMINAR_BELOW;
    let start = -lower / LAMINAR_BELOW * width;
    let end = upper_slope * width;
    let square = 3.0 * (upper - lower) - 2.0 * start - end;
    let cube = 2.0 * (lower - upper) + start + end;
    let factor = lower + s * (start + s * (square + s * cube));
    let slope = (start + s * (2.0 * square + 3.0 * s * cube)) / width;
    (factor, slope)
}
