//! Pump curves and where a pump meets a circuit.
//!
//! Contract: a curve is a head that falls with the flow, `H = H₀ − r Qⁿ`. A plate that states only
//! the greatest head and the greatest flow leaves the shape open: [`parabola`] is the generous end,
//! [`line()`] the pessimistic one. A closed circuit has no static lift.

use super::friction::{Evaluator, Run};
use super::{
    FLOW, GRAVITY, OutOfRange, above, above_zero, finite, not_negative, root_of_increasing, within,
};

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

/// Where a pump meets a circuit.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct OperatingPoint {
    /// Flow in m³/s.
    pub flow: f64,
    /// Head of the pump in m.
    pub head: f64,
}

const HEAD: (&str, &str) = ("head", "m");
const SHUT_OFF: (&str, &str) = ("head against a closed valve", "m");
const GREATEST_FLOW: (&str, &str) = ("greatest flow", "m³/s");
const LIFT: (&str, &str) = ("static lift", "m");

/// Curve through the greatest head and the greatest flow as a parabola: the generous end.
///
/// `H = H₀ (1 − (Q/Q_max)²)`: `H₀` head at no flow in m, `Q_max` flow at no head in m³/s.
///
/// Valid for a head and a flow above 0.
///
/// ```
/// let curve = wetside_physics::pump::parabola(22.0, 1.9e-3).unwrap();
/// assert!((curve.head(0.95e-3).unwrap() - 16.5).abs() < 1e-9);
/// ```
///
/// Source: common practice, no source; the shape of a radial pump from memory.
pub fn parabola(shut_off: f64, greatest_flow: f64) -> Result<Curve, OutOfRange> {
    through_ends(shut_off, greatest_flow, 2.0)
}

/// Curve through the greatest head and the greatest flow as a straight line: the pessimistic end.
///
/// `H = H₀ (1 − Q/Q_max)`, symbols and range as in [`parabola`].
///
/// ```
/// let curve = wetside_physics::pump::line(22.0, 1.9e-3).unwrap();
/// assert!((curve.head(0.95e-3).unwrap() - 11.0).abs() < 1e-9);
/// ```
///
/// Source: common practice, no source.
pub fn line(shut_off: f64, greatest_flow: f64) -> Result<Curve, OutOfRange> {
    through_ends(shut_off, greatest_flow, 1.0)
}

/// Curve through one rated point.
///
/// `H₀ = 4 H_d/3`, `Q_max = 2 Q_d`, a parabola between them: `H_d` rated head in m, `Q_d` rated flow
/// in m³/s.
///
/// Valid for a head and a flow above 0.
///
/// ```
/// let curve = wetside_physics::pump::one_point(3.0, 0.4e-3).unwrap();
/// assert!((curve.head(0.4e-3).unwrap() - 3.0).abs() < 1e-9);
/// ```
///
/// Source: the convention of the EPANET 2.2 manual for a single-point curve (read).
pub fn one_point(rated_head: f64, rated_flow: f64) -> Result<Curve, OutOfRange> {
    let head = above_zero(HEAD, rated_head)?;
    parabola(4.0 * head / 3.0, 2.0 * above_zero(FLOW, rated_flow)?)
}

/// Curve through the head at no flow and two further points.
///
/// `n = ln((H₀−H₂)/(H₀−H₁))/ln(Q₂/Q₁)`, `r = (H₀−H₁)/Q₁ⁿ`: `H₀` head at no flow, `(Q₁, H₁)` and
/// `(Q₂, H₂)` the points, heads in m and flows in m³/s.
///
/// Valid for `0 < Q₁ < Q₂`, `H₀ > H₁ > H₂`, and an exponent from 1 to 5.
///
/// ```
/// use wetside_physics::pump::three_points;
/// let curve = three_points(6.0, (0.5e-3, 4.5), (0.9e-3, 1.0)).unwrap();
/// assert!((curve.head(0.9e-3).unwrap() - 1.0).abs() < 1e-9);
/// ```
///
/// Source: the power curve of the EPANET 2.2 manual (read).
pub fn three_points(
    shut_off: f64,
    (first_flow, first_head): (f64, f64),
    (second_flow, second_head): (f64, f64),
) -> Result<Curve, OutOfRange> {
    let low_flow = above_zero(("first flow", "m³/s"), first_flow)?;
    let high_flow = above(("second flow", "m³/s"), second_flow, low_flow)?;
    let low_head = finite(("second head", "m"), second_head)?;
    let high_head = above(("first head", "m"), first_head, low_head)?;
    let shut_off = above(SHUT_OFF, shut_off, high_head)?;
    let exponent =
        ((shut_off - low_head) / (shut_off - high_head)).ln() / (high_flow / low_flow).ln();
    let exponent = within(("exponent of the curve", ""), exponent, 1.0, 5.0)?;
    Ok(Curve {
        shut_off,
        fall: (shut_off - high_head) / low_flow.powf(exponent),
        exponent,
    })
}

/// Several equal pumps one after another, as one curve.
///
/// The heads add up at the same flow: `H = m (H₀ − r Qⁿ)`, `m` the number of pumps.
///
/// Valid for at least one pump.
///
/// ```
/// use wetside_physics::pump::{in_series, parabola};
/// let pair = in_series(&parabola(6.0, 1e-3).unwrap(), 2).unwrap();
/// assert!((pair.head(0.0).unwrap() - 12.0).abs() < 1e-9);
/// ```
///
/// Source: textbook (from memory).
pub fn in_series(curve: &Curve, pumps: u32) -> Result<Curve, OutOfRange> {
    let pumps = counted(pumps)?;
    Ok(Curve {
        shut_off: pumps * curve.shut_off,
        fall: pumps * curve.fall,
        exponent: curve.exponent,
    })
}

/// Several equal pumps side by side, as one curve.
///
/// The flows add up at the same head: `H = H₀ − r (Q/m)ⁿ`, `m` the number of pumps.
///
/// Valid for at least one pump.
///
/// ```
/// use wetside_physics::pump::{in_parallel, parabola};
/// let pair = in_parallel(&parabola(6.0, 1e-3).unwrap(), 2).unwrap();
/// assert!((pair.greatest_flow() - 2e-3).abs() < 1e-12);
/// ```
///
/// Source: textbook (from memory).
pub fn in_parallel(curve: &Curve, pumps: u32) -> Result<Curve, OutOfRange> {
    let pumps = counted(pumps)?;
    Ok(Curve {
        fall: curve.fall / pumps.powf(curve.exponent),
        ..*curve
    })
}

/// Where a curve meets a circuit whose loss is a square of the flow.
///
/// `H₀ − r Qⁿ = h_s + k Q²`: `h_s` static lift in m, `k` resistance in m per (m³/s)². No flow where
/// the lift is not below `H₀`. For a parabola `Q = √((H₀ − h_s)/(r + k))`.
///
/// Valid for a lift and a resistance of at least 0.
///
/// ```
/// use wetside_physics::pump::{meets_square_law, parabola};
/// let curve = parabola(22.0, 1.9e-3).unwrap();
/// let point = meets_square_law(&curve, 0.0, 22.0 / 1.9e-3 / 1.9e-3).unwrap();
/// assert!((point.head - 11.0).abs() < 1e-9);
/// ```
///
/// Source: the energy balance.
pub fn meets_square_law(
    curve: &Curve,
    static_lift: f64,
    resistance: f64,
) -> Result<OperatingPoint, OutOfRange> {
    let resistance = not_negative(("resistance", "s²/m⁵"), resistance)?;
    meets(curve, static_lift, |flow| resistance * flow * flow)
}

/// Where a curve meets one run of pipe.
///
/// `H₀ − r Qⁿ = h_s + h(Q)`: `h` the loss of [`head_loss`](super::friction::head_loss), `h_s` static
/// lift in m. Found by halving: the balance falls steadily with the flow, so the root is the only
/// one.
///
/// Valid where the friction law is.
///
/// ```
/// use wetside_physics::{friction::Run, pump::{meets_run, parabola}};
/// let run = Run { length: 30.0, bore: 0.0202, roughness: 1.5e-6, loss: 12.0 };
/// let point = meets_run(&parabola(22.0, 1.9e-3).unwrap(), 0.0, &run, 6.5785e-7).unwrap();
/// assert!((point.flow - 0.92098e-3).abs() < 1e-8);
/// ```
///
/// Source: the energy balance.
pub fn meets_run(
    curve: &Curve,
    static_lift: f64,
    run: &Run,
    kinematic_viscosity: f64,
) -> Result<OperatingPoint, OutOfRange> {
    let evaluator = Evaluator::new(run, kinematic_viscosity)?;
    evaluator.check(curve.greatest_flow())?;
    meets(curve, static_lift, |flow| {
        evaluator.clone().loss_and_slope(flow).0
    })
}

/// Power taken up by the water, in W.
///
/// `P = ρ g Q H`: `ρ` density in kg/m³, `Q` flow in m³/s, `H` head in m.
///
/// Valid for values of at least 0.
///
/// ```
/// let watts = wetside_physics::pump::water_power(998.2, 0.8e-3, 15.0).unwrap();
/// assert!((watts - 117.5).abs() < 0.1);
/// ```
///
/// Source: the definition of head.
pub fn water_power(density: f64, flow: f64, head: f64) -> Result<f64, OutOfRange> {
    let density = above_zero(super::DENSITY, density)?;
    Ok(density * GRAVITY * not_negative(FLOW, flow)? * not_negative(HEAD, head)?)
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
    pub fn greatest_flow(&self) -> f64 {
        (self.shut_off / self.fall).powf(1.0 / self.exponent)
    }
}

fn through_ends(shut_off: f64, greatest_flow: f64, exponent: f64) -> Result<Curve, OutOfRange> {
    let shut_off = above_zero(SHUT_OFF, shut_off)?;
    let greatest_flow = above_zero(GREATEST_FLOW, greatest_flow)?;
    Ok(Curve {
        shut_off,
        fall: shut_off / greatest_flow.powf(exponent),
        exponent,
    })
}

fn counted(pumps: u32) -> Result<f64, OutOfRange> {
    within(("number of pumps", ""), f64::from(pumps), 1.0, 1000.0)
}

fn meets(
    curve: &Curve,
    static_lift: f64,
    loss: impl Fn(f64) -> f64,
) -> Result<OperatingPoint, OutOfRange> {
    let lift = not_negative(LIFT, static_lift)?;
    let gain = |flow: f64| curve.shut_off - curve.fall * flow.powf(curve.exponent);
    let flow = if lift >= curve.shut_off {
        0.0
    } else {
        root_of_increasing(0.0, curve.greatest_flow(), |flow| {
            lift + loss(flow) - gain(flow)
        })
    };
    Ok(OperatingPoint {
        flow,
        head: gain(flow),
    })
}
