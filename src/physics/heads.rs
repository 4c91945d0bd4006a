//! Pressures of still water.
//!
//! Contract: heights are in m above any one datum, pressures are gauge pressures in Pa. An open tank
//! fixes the pressure of everything below and above it. For the suction at the top of a system by its
//! recorded heights.

use super::{DENSITY, GRAVITY, OutOfRange, above_zero, finite};

const HEIGHT: (&str, &str) = ("height", "m");
const PRESSURE: (&str, &str) = ("pressure", "Pa");

/// Gauge pressure at a height, from a reading at another height, in Pa.
///
/// `p = p₀ + ρ g (z₀ − z)`: `p₀` reading in Pa at height `z₀`, `z` the height asked for, in m, `ρ`
/// density in kg/m³.
///
/// Valid for still water. A negative result is suction: air will enter where it can.
///
/// ```
/// let top = wetside_physics::heads::pressure_at(1.0e5, 1.2, 5.4, 999.10).unwrap();
/// assert!((top - 58_849.0).abs() < 2.0);
/// ```
///
/// Source: hydrostatics.
pub fn pressure_at(
    reading: f64,
    reading_height: f64,
    height: f64,
    density: f64,
) -> Result<f64, OutOfRange> {
    let drop = finite(HEIGHT, reading_height)? - finite(HEIGHT, height)?;
    Ok(finite(PRESSURE, reading)? + above_zero(DENSITY, density)? * GRAVITY * drop)
}
