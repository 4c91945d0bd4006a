//! Pipes: their content, the flow at a speed, and valves on their bore.
//!
//! Contract: a bore known by material and size is good to about ±1.5 %, its content to ±3 %; plastic
//! pipe of the same outside size holds 23 to 40 % less than copper, so a size without a material says
//! little.

use std::f64::consts::PI;

use super::{BAR, BORE, LENGTH, LOSS, OutOfRange, above_zero, finite, not_negative};

/// Area of the bore, in m².
///
/// `A = π D²/4`: `D` the bore in m. It is also the content of a pipe in m³ per m of its length.
///
/// Valid for a bore above 0.
///
/// ```
/// let area = wetside_physics::pipe::area(0.0136).unwrap();
/// assert!((area - 1.4527e-4).abs() < 1e-8); // 0.145 litres in every metre
/// ```
///
/// Source: geometry.
pub fn area(bore: f64) -> Result<f64, OutOfRange> {
    let bore = above_zero(BORE, bore)?;
    Ok(0.25 * PI * bore * bore)
}

/// Content of a length of pipe, in m³.
///
/// `V = A L`: `A` the [`area`] of the bore in m², `L` the length in m.
///
/// Valid for a length of at least 0.
///
/// ```
/// let volume = wetside_physics::pipe::content(0.0202, 10.0).unwrap();
/// assert!((volume - 3.2047e-3).abs() < 1e-7);
/// ```
///
/// Source: geometry.
pub fn content(bore: f64, length: f64) -> Result<f64, OutOfRange> {
    Ok(area(bore)? * not_negative(LENGTH, length)?)
}

/// Flow at a mean speed, in m³/s, with the sign of the speed.
///
/// `Q = v A`: `v` mean speed in m/s, `A` the [`area`] of the bore in m².
///
/// Valid for any speed.
///
/// ```
/// let flow = wetside_physics::pipe::flow(1.0, 0.0202).unwrap();
/// assert!((flow - 3.2047e-4).abs() < 1e-8);
/// ```
///
/// Source: continuity.
pub fn flow(speed: f64, bore: f64) -> Result<f64, OutOfRange> {
    Ok(finite(("speed", "m/s"), speed)? * area(bore)?)
}

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
/// let kv = wetside_physics::pipe::kv_from_loss(67.52823, 0.0136).unwrap();
/// assert!((kv - 0.9).abs() < 1e-6);
/// ```
///
/// Source: the definition of Kv, IEC 60534 (from memory).
pub fn kv_from_loss(loss: f64, bore: f64) -> Result<f64, OutOfRange> {
    let speed = (2.0 * BAR / (KV_DENSITY * above_zero(LOSS, loss)?)).sqrt();
    Ok(SECONDS_PER_HOUR * area(bore)? * speed)
}
