//! Pressures of still water, and the highest and lowest pressure of a system.
//!
//! Contract: heights are in m above any one datum, pressures are gauge pressures in Pa. An open tank
//! fixes the pressure of everything below and above it; a pump adds to that.

use super::{DENSITY, GRAVITY, OutOfRange, above_zero, finite, not_negative};

const HEIGHT: (&str, &str) = ("height", "m");
const HEAD: (&str, &str) = ("head", "m");
const PRESSURE: (&str, &str) = ("pressure", "Pa");

/// A point of a system with its gauge pressure.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Point {
    /// The number that the caller gave the point.
    pub index: usize,
    /// Gauge pressure in Pa.
    pub pressure: f64,
}

/// Pressure of a column of water, in Pa.
///
/// `p = ρ g h`: `ρ` density in kg/m³, `h` head in m.
///
/// Valid for a density above 0.
///
/// ```
/// let bar_per_metre = wetside_physics::heads::pressure(1.0, 998.207).unwrap() / 1e5;
/// assert!((bar_per_metre - 0.097891).abs() < 1e-6);
/// ```
///
/// Source: hydrostatics.
pub fn pressure(head: f64, density: f64) -> Result<f64, OutOfRange> {
    Ok(above_zero(DENSITY, density)? * GRAVITY * finite(HEAD, head)?)
}

/// Height of a column of water with a pressure, in m: the inverse of [`pressure`].
///
/// Valid for a density above 0.
///
/// ```
/// let metres = wetside_physics::heads::head(1e5, 998.207).unwrap();
/// assert!((metres - 10.2155).abs() < 1e-3);
/// ```
///
/// Source: hydrostatics.
pub fn head(pressure: f64, density: f64) -> Result<f64, OutOfRange> {
    Ok(finite(PRESSURE, pressure)? / (above_zero(DENSITY, density)? * GRAVITY))
}

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
    Ok(finite(PRESSURE, reading)? + pressure(drop, density)?)
}

/// The highest gauge pressure that a pump can put on a point, in Pa.
///
/// `p + ρ g H₀`: `p` the pressure of the still water there in Pa, `H₀` head of the pump against a
/// closed valve in m, `ρ` density in kg/m³. It is felt anywhere between the pump's outlet and a valve
/// that happens to be shut.
///
/// Valid for a head of at least 0.
///
/// ```
/// let most = wetside_physics::heads::pressure_with_pump(-3915.6, 22.0, 998.207).unwrap();
/// assert!((most / 1e5 - 2.1145).abs() < 1e-3);
/// ```
///
/// Source: the worst case of a pump curve.
pub fn pressure_with_pump(still: f64, shut_off_head: f64, density: f64) -> Result<f64, OutOfRange> {
    let added = pressure(not_negative(HEAD, shut_off_head)?, density)?;
    Ok(finite(PRESSURE, still)? + added)
}

/// Gauge pressure of moving water at a node of a network, in Pa.
///
/// `p = ρ g (H − z)`: `H` head at the node and `z` its height, in m above the same datum, `ρ` density
/// in kg/m³. The small share of the speed is left in.
///
/// Valid for a density above 0.
///
/// ```
/// let p = wetside_physics::heads::pressure_at_node(3.0, 5.0, 998.207).unwrap();
/// assert!(p < 0.0); // air is drawn in here
/// ```
///
/// Source: the definition of head.
pub fn pressure_at_node(head: f64, height: f64, density: f64) -> Result<f64, OutOfRange> {
    pressure(finite(HEAD, head)? - finite(HEIGHT, height)?, density)
}

/// The points with the lowest and the highest gauge pressure.
///
/// Each point is a head and a height as in [`pressure_at_node`]; of equals the first counts. `None`
/// when there are no points.
///
/// Valid for a density above 0.
///
/// ```
/// let nodes = [(9.0, 0.5), (3.0, 5.0), (6.0, 1.0)];
/// let (lowest, highest) = wetside_physics::heads::extremes(&nodes, 998.2).unwrap().unwrap();
/// assert_eq!((lowest.index, highest.index), (1, 0));
/// ```
///
/// Source: as [`pressure_at_node`].
pub fn extremes(
    heads_and_heights: &[(f64, f64)],
    density: f64,
) -> Result<Option<(Point, Point)>, OutOfRange> {
    let mut found: Option<(Point, Point)> = None;
    for (index, (head, height)) in heads_and_heights.iter().enumerate() {
        let pressure = pressure_at_node(*head, *height, density)?;
        let point = Point { index, pressure };
        let (mut lowest, mut highest) = found.unwrap_or((point, point));
        if pressure < lowest.pressure {
            lowest = point;
        }
        if pressure > highest.pressure {
            highest = point;
        }
        found = Some((lowest, highest));
    }
    Ok(found)
}
