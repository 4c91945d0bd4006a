//! A pump of which one point of its curve was read on the machine while it ran.
//!
//! Contract: of all curves that the plate allows, `H = k H₀ (1 − (Q/(k Q₀))ⁿ)`, those stay that run through
//! the point, as far as the reading may be off. For each shape `n` there is one error `k` of the plate with
//! which the curve meets a point, and the rounder the shape the less it is. So they are covered by several
//! machines, each with a piece of the shapes and the errors that go with it, and what is asked of the machine is
//! asked of each of them. The shapes are always cut at the same places, so that a better reading never widens
//! anything.

use crate::model::{Duty, House, Machine};
use crate::range::Range;
use std::borrow::Cow;

/// Pieces of the shapes from a line to a parabola.
const PIECES: f64 = 8.0;

impl House {
    /// The same house with each of the machines that it may have, its point taken up in them.
    pub(crate) fn by_pump(&self) -> Cow<'_, [House]> {
        if self.machine.duty.is_none() {
            return Cow::Borrowed(std::slice::from_ref(self));
        }
        let machines = self.machine.pieces().into_iter();
        let with = |machine| House {
            machine,
            ..self.clone()
        };
        machines.map(with).collect()
    }
}

impl Machine {
    /// The machine with the shapes that a point leaves; nothing where its plate allows no curve there.
    #[must_use]
    pub fn through(self, duty: Duty) -> Option<Machine> {
        let Range { low, high } = self.curve;
        let (least, most) = (self.plate.low, self.plate.high);
        let weak = |shape: f64| greatest(&self, &duty, shape) >= least;
        let strong = |shape: f64| self::least(&self, &duty, shape) <= most;
        if !weak(low) || !strong(high) {
            return None;
        }
        let curve = Range::new(
            if strong(low) {
                low
            } else {
                turn(high, low, strong)
            },
            if weak(high) {
                high
            } else {
                turn(low, high, weak)
            },
        );
        Some(Machine {
            curve,
            duty: Some(duty),
            ..self
        })
    }

    fn pieces(&self) -> Vec<Machine> {
        let Some(duty) = &self.duty else {
            return vec![*self];
        };
        let within = |error: f64| error.clamp(self.plate.low, self.plate.high);
        let (mut all, mut from) = (Vec::new(), self.curve.low);
        loop {
            let to = (((from * PIECES).floor() + 1.0) / PIECES).min(self.curve.high);
            all.push(Machine {
                plate: Range::new(
                    within(least(self, duty, to)),
                    within(greatest(self, duty, from)),
                ),
                curve: Range::new(from, to),
                duty: None,
                ..*self
            });
            if to >= self.curve.high {
                return all;
            }
            from = to;
        }
    }

    /// Pressure in Pa that the machine may make at a flow in m³/s; none beyond its greatest.
    #[must_use]
    pub fn makes(&self, flow: f64) -> Range {
        let made = |shut_off: f64, plate: f64, rated: f64, shape: f64| {
            let share = (flow / (plate * rated)).powf(shape);
            (plate * shut_off * (1.0 - share)).max(0.0)
        };
        let ends = self.pieces().into_iter().map(|piece| {
            let (p, k, q, n) = (piece.shut_off, piece.plate, piece.rated_flow, piece.curve);
            Range::new(
                made(p.low, k.low, q.low, n.low),
                made(p.high, k.high, q.high, n.high),
            )
        });
        ends.reduce(Range::hull).unwrap_or(Range::point(0.0))
    }

    /// Pressure in Pa that the machine likely makes at a flow in m³/s, with every number at its middle.
    #[must_use]
    pub fn likely_pressure(&self, flow: f64) -> f64 {
        let plate = self.plate.middle();
        let most = plate * self.rated_flow.middle();
        plate * self.shut_off.middle() * (1.0 - (flow / most).powf(self.curve.middle()))
    }
}

/// The last place from one that holds towards one that does not at which a condition does not hold, or as good as.
fn turn(holds: f64, fails: f64, condition: impl Fn(f64) -> bool) -> f64 {
    let (mut holds, mut fails) = (holds, fails);
    for _ in 0..60 {
        let middle = 0.5 * (holds + fails);
        *(if condition(middle) {
            &mut holds
        } else {
            &mut fails
        }) = middle;
    }
    fails
}

/// The least error of the plate with which a curve of a shape is not below the point.
fn least(machine: &Machine, duty: &Duty, shape: f64) -> f64 {
    error(
        duty.flow.low / machine.rated_flow.high,
        duty.pressure.low / machine.shut_off.high,
        shape,
    )
}

/// The greatest with which it is not above it.
fn greatest(machine: &Machine, duty: &Duty, shape: f64) -> f64 {
    error(
        duty.flow.high / machine.rated_flow.low,
        duty.pressure.high / machine.shut_off.low,
        shape,
    )
}

/// The error `k` with which `k (1 − (q/k)ⁿ) = p`, of flow and pressure as shares of the plate's: by Newton from
/// where no pressure is left, from which it rises to it.
fn error(flow: f64, pressure: f64, shape: f64) -> f64 {
    if flow <= 0.0 {
        return pressure;
    }
    let mut error = flow;
    for _ in 0..40 {
        let lost = (flow / error).powf(shape);
        let step = (pressure - error * (1.0 - lost)) / (1.0 + (shape - 1.0) * lost);
        // Never to nothing, of which there is no logarithm; a reading may be below no pressure by its own error.
        error = (error + step).max(1e-3 * flow);
        if step.abs() <= 1e-14 * error {
            break;
        }
    }
    error
}
