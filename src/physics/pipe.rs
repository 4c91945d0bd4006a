//! Pipes: content, speed of flow, and the roughness of walls.
//!
//! Contract: a bore known by material and size is good to about ±1.5 %, its content to ±3 %; plastic
//! pipe of the same outside size holds 23 to 40 % less than copper, so a size without a material says
//! little. The speed of a flow is for the speeds in the mains.

use std::f64::consts::PI;

use super::{BORE, FLOW, LENGTH, OutOfRange, above_zero, finite, not_negative};

/// The roughness of one sort of wall, in m.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct WallRoughness {
    pub wall: &'static str,
    pub low: f64,
    pub typical: f64,
    pub high: f64,
    pub source: &'static str,
}

/// Absolute roughness of pipe walls.
///
/// Source: named in each row; the handbook is Idelchik's of hydraulic resistance, as carried by the
/// fluids library.
pub const ROUGHNESSES: [WallRoughness; 12] = {
    const IDELCHIK: &str = "Idelchik's handbook, by way of the fluids library";
    const MEMORY: &str = "from memory";
    const TABLE: &str = "published roughness tables, read";
    [
        rough("copper or brass, new", 0.0013, 0.0015, 0.0025, TABLE),
        rough("copper in service", 0.0015, 0.01, 0.05, MEMORY),
        rough("plastic or multilayer", 0.0015, 0.007, 0.01, TABLE),
        rough("steel, new", 0.03, 0.045, 0.1, TABLE),
        rough("steel, treated heating water", 0.05, 0.1, 0.15, IDELCHIK),
        rough("steel, any heating water", 0.1, 0.2, 0.4, IDELCHIK),
        rough("steel, moderately corroded", 0.3, 0.4, 0.7, IDELCHIK),
        rough("steel, heavily corroded", 0.8, 1.5, 3.5, IDELCHIK),
        rough("galvanised steel", 0.07, 0.15, 0.2, TABLE),
        rough("cast iron, new", 0.2, 0.26, 0.6, TABLE),
        rough("smooth hose", 0.006, 0.02, 0.07, TABLE),
        rough("corrugated hose", 0.3, 1.0, 3.0, MEMORY),
    ]
};

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

/// Mean speed of a flow, in m/s, with the sign of the flow.
///
/// `v = Q/A`: `Q` flow in m³/s, `A` the [`area`] of the bore in m².
///
/// Valid for any flow.
///
/// ```
/// let v = wetside_physics::pipe::speed(0.2e-3, 0.0136).unwrap();
/// assert!((v - 1.3768).abs() < 1e-4);
/// ```
///
/// Source: continuity.
pub fn speed(flow: f64, bore: f64) -> Result<f64, OutOfRange> {
    Ok(finite(FLOW, flow)? / area(bore)?)
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

/// A row of [`ROUGHNESSES`] from millimetres.
const fn rough(
    wall: &'static str,
    low: f64,
    typical: f64,
    high: f64,
    source: &'static str,
) -> WallRoughness {
    WallRoughness {
        wall,
        low: low / 1000.0,
        typical: typical / 1000.0,
        high: high / 1000.0,
        source,
    }
}
