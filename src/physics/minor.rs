//! Losses in valves.
//!
//! Contract: a loss coefficient belongs to one bore. The table gives ranges: makes differ, and a
//! valve's stem position differs more. Coefficients are those of turbulent flow.

use super::{BAR, LOSS, OutOfRange, above_zero, pipe};

/// A flow coefficient, as a range.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Coefficient {
    pub item: &'static str,
    pub low: f64,
    pub typical: f64,
    pub high: f64,
    pub source: &'static str,
}

const MEMORY: &str = "from memory of typical data sheets";

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

const SECONDS_PER_HOUR: f64 = 3600.0;
/// `Kv` is defined with water of this density, in kg/m³.
const KV_DENSITY: f64 = 1000.0;

/// Flow coefficient `Kv` in m³/h of a loss coefficient on a bore.
///
/// `Kv = 3600 A √(2 Δp₀/(ρ₀ K))`: `A` the area of the bore in m², `Δp₀` one bar, `ρ₀` 1000 kg/m³, `K`
/// the loss coefficient.
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
    let speed = (2.0 * BAR / (KV_DENSITY * above_zero(LOSS, loss)?)).sqrt();
    Ok(SECONDS_PER_HOUR * pipe::area(bore)? * speed)
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
