//! Losses in fittings and valves.
//!
//! Contract: a loss coefficient belongs to one bore, and every function says which. The tables give
//! ranges: makes differ, and a valve's stem position differs more. Coefficients are those of
//! turbulent flow; see [`laminar_allowance`] for slow flow.

use super::{BAR, BORE, DENSITY, FLOW, LOSS, OutOfRange, above_zero, finite, not_negative, pipe};

/// A dimensionless loss coefficient or a flow coefficient, as a range.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Coefficient {
    pub item: &'static str,
    pub low: f64,
    pub typical: f64,
    pub high: f64,
    pub source: &'static str,
}

/// Loss coefficient of a sharp-edged way out of a tank into a pipe, on the pipe's bore.
///
/// Source: the classic textbook value; a newer correlation gives 0.57 (by way of the fluids library).
pub const ENTRANCE: f64 = 0.5;

/// Loss coefficient of a pipe that ends in a tank or in the air, on the pipe's bore.
///
/// Source: Carnot and Borda's loss of all the speed head (from memory).
pub const EXIT: f64 = 1.0;

const MEMORY: &str = "from memory of typical data sheets";

/// Loss coefficients of fittings on the bore of their pipe.
///
/// Source: named in each row.
pub const FITTINGS: [Coefficient; 9] = [
    row("elbow, capillary or compression", 0.7, 1.0, 1.6, MEMORY),
    row("pulled bend, radius three bores", 0.25, 0.35, 0.55, MEMORY),
    row("elbow, push-fit with inserts", 2.0, 3.0, 4.5, MEMORY),
    row("coupling, push-fit with inserts", 0.5, 1.0, 2.0, MEMORY),
    row("tee, straight through", 0.2, 0.4, 0.7, MEMORY),
    row("tee, round the corner", 0.8, 1.3, 2.0, MEMORY),
    row("full-bore ball valve", 0.05, 0.1, 0.3, MEMORY),
    row("panel radiator, on its tails", 2.0, 2.5, 5.0, MEMORY),
    row(
        "way out of a tank",
        0.4,
        0.5,
        0.6,
        "classic value; 0.57 by the fluids library",
    ),
];

/// Flow coefficients `Kv` of valves and plant, in m³/h of water at a drop of 1 bar.
///
/// Source: named in each row.
pub const VALVES: [Coefficient; 12] = [
    row("thermostatic valve, 15 mm, head off", 0.5, 0.9, 1.3, MEMORY),
    row("thermostatic valve, 15 mm, head on", 0.2, 0.45, 0.8, MEMORY),
    row("lockshield valve, 15 mm, open", 0.8, 1.6, 2.4, MEMORY),
    row("wheelhead valve, 15 mm, open", 0.9, 1.6, 2.4, MEMORY),
    row("twin-entry microbore valve", 0.35, 0.6, 0.9, MEMORY),
    row("two-port motor valve, 22 mm", 4.0, 6.0, 9.0, MEMORY),
    row(
        "three-port mid-position valve, 22 mm",
        3.0,
        5.0,
        7.0,
        MEMORY,
    ),
    row("magnetic filter, 22 mm, clean", 5.0, 9.0, 14.0, MEMORY),
    row("boiler heat exchanger", 1.0, 2.0, 3.5, MEMORY),
    row("cylinder coil", 1.8, 3.0, 5.0, MEMORY),
    row("spring check valve, 22 mm", 2.5, 4.0, 7.0, MEMORY),
    row("fine strainer, 22 mm, clean", 3.0, 6.0, 9.0, MEMORY),
];

const KV: (&str, &str) = ("flow coefficient", "m³/h");
const SECONDS_PER_HOUR: f64 = 3600.0;
/// `Kv` is defined with water of this density, in kg/m³.
const KV_DENSITY: f64 = 1000.0;

/// Loss coefficient of a valve on a bore, from its flow coefficient.
///
/// `K = 2 A² Δp₀ 3600²/(ρ₀ Kv²)`: `A` the area of the bore in m², `Δp₀` one bar, `ρ₀` 1000 kg/m³,
/// `Kv` the flow in m³/h at a drop of one bar. In short `1.5989·10⁻³ d⁴/Kv²` with `d` in mm.
///
/// Valid for a flow coefficient above 0.
///
/// ```
/// let k = wetside_physics::minor::loss_from_kv(0.9, 0.0136).unwrap();
/// assert!((k - 67.528).abs() < 0.001);
/// ```
///
/// Source: the definition of Kv, IEC 60534 (from memory).
pub fn loss_from_kv(kv: f64, bore: f64) -> Result<f64, OutOfRange> {
    let kv = above_zero(KV, kv)?;
    Ok(unit_loss(bore)? / (kv * kv))
}

/// Flow coefficient in m³/h of a loss coefficient on a bore: the inverse of [`loss_from_kv`].
///
/// Valid for a loss coefficient above 0.
///
/// ```
/// let kv = wetside_physics::minor::kv_from_loss(67.52823, 0.0136).unwrap();
/// assert!((kv - 0.9).abs() < 1e-6);
/// ```
///
/// Source: the definition of Kv, IEC 60534 (from memory).
pub fn kv_from_loss(loss: f64, bore: f64) -> Result<f64, OutOfRange> {
    Ok((unit_loss(bore)? / above_zero(LOSS, loss)?).sqrt())
}

/// Pressure lost in a valve, in Pa, with the sign of the flow.
///
/// `Δp = Δp₀ (3600 Q/Kv)² ρ/ρ₀`: `Q` flow in m³/s, `ρ` density in kg/m³, the rest as in
/// [`loss_from_kv`].
///
/// Valid for turbulent flow of a liquid well above its vapour pressure.
///
/// ```
/// let pascals = wetside_physics::minor::valve_pressure_loss(0.9, 0.1e-3, 1000.0).unwrap();
/// assert!((pascals - 16_000.0).abs() < 1e-6);
/// ```
///
/// Source: the definition of Kv, IEC 60534 (from memory).
pub fn valve_pressure_loss(kv: f64, flow: f64, density: f64) -> Result<f64, OutOfRange> {
    let ratio = SECONDS_PER_HOUR * finite(FLOW, flow)? / above_zero(KV, kv)?;
    Ok(BAR * ratio * ratio.abs() * above_zero(DENSITY, density)? / KV_DENSITY)
}

/// The same loss expressed on another bore.
///
/// `K₂ = K₁ (d₂/d₁)⁴`: `d₁` the bore that `K₁` belongs to, `d₂` the other, in m.
///
/// Valid for a loss coefficient of at least 0.
///
/// ```
/// let k = wetside_physics::minor::loss_on_bore(1.0, 0.0136, 0.0202).unwrap();
/// assert!((k - 4.867).abs() < 0.001);
/// ```
///
/// Source: continuity; the head lost is the same.
pub fn loss_on_bore(loss: f64, from_bore: f64, to_bore: f64) -> Result<f64, OutOfRange> {
    let ratio = above_zero(BORE, to_bore)? / above_zero(BORE, from_bore)?;
    Ok(not_negative(LOSS, loss)? * ratio.powi(4))
}

/// Loss coefficient of a sudden enlargement, on the smaller bore.
///
/// `K = (1 − A₁/A₂)²`: `A₁` the smaller and `A₂` the larger area.
///
/// Valid for a larger bore not below the smaller one, in turbulent flow.
///
/// ```
/// let k = wetside_physics::minor::enlargement(0.0136, 0.0202).unwrap();
/// assert!((k - 0.2989).abs() < 1e-4);
/// ```
///
/// Source: Carnot and Borda's loss (from memory; a library agrees exactly).
pub fn enlargement(smaller_bore: f64, larger_bore: f64) -> Result<f64, OutOfRange> {
    let rest = 1.0 - area_ratio(smaller_bore, larger_bore)?;
    Ok(rest * rest)
}

/// Loss coefficient of a sudden contraction, on the smaller bore.
///
/// `K = (1 − A₂/A₁)/2`: `A₂` the smaller and `A₁` the larger area.
///
/// Valid as [`enlargement`]. A newer correlation gives 0.38 where this gives 0.27.
///
/// ```
/// let k = wetside_physics::minor::contraction(0.0202, 0.0136).unwrap();
/// assert!((k - 0.2734).abs() < 1e-4);
/// ```
///
/// Source: textbook rule (from memory).
pub fn contraction(larger_bore: f64, smaller_bore: f64) -> Result<f64, OutOfRange> {
    Ok(0.5 * (1.0 - area_ratio(smaller_bore, larger_bore)?))
}

/// Loss coefficient with an allowance for slow flow.
///
/// Twice the turbulent coefficient below a Reynolds number of 1000, unchanged from there on. The
/// step makes it unfit for a network solution; it serves to judge one branch.
///
/// Valid for a Reynolds number of at least 0.
///
/// ```
/// let k = wetside_physics::minor::laminar_allowance(1.3, 600.0).unwrap();
/// assert!((k - 2.6).abs() < 1e-12);
/// ```
///
/// Source: common practice, no source.
pub fn laminar_allowance(loss: f64, reynolds: f64) -> Result<f64, OutOfRange> {
    let loss = not_negative(LOSS, loss)?;
    let reynolds = not_negative(("Reynolds number", ""), reynolds)?;
    Ok(if reynolds < 1000.0 { 2.0 * loss } else { loss })
}

/// Loss coefficient on a bore of a valve with a flow coefficient of 1 m³/h.
fn unit_loss(bore: f64) -> Result<f64, OutOfRange> {
    let area = pipe::area(bore)?;
    Ok(2.0 * area * area * BAR * SECONDS_PER_HOUR * SECONDS_PER_HOUR / KV_DENSITY)
}

fn area_ratio(smaller_bore: f64, larger_bore: f64) -> Result<f64, OutOfRange> {
    let smaller = above_zero(BORE, smaller_bore)?;
    let larger = super::within(("larger bore", "m"), larger_bore, smaller, f64::INFINITY)?;
    Ok((smaller / larger).powi(2))
}

const fn row(
    item: &'static str,
    low: f64,
    typical: f64,
    high: f64,
    source: &'static str,
) -> Coefficient {
    Coefficient {
        item,
        low,
        typical,
        high,
        source,
    }
}
