//! Pipes: bores, content, speed of flow, standard sizes and the roughness of walls.
//!
//! Contract: dimensions are the middle of the tolerance. A bore known by material and size is good
//! to about ±1.5 %, its content to ±3 %; plastic pipe of the same outside size holds 23 to 40 %
//! less than copper, so a size without a material says little.

use std::f64::consts::PI;

use super::{BORE, FLOW, LENGTH, OutOfRange, above, above_zero, finite, not_negative};

/// What a pipe is made of.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Material {
    Copper,
    Steel,
    /// Cross-linked polyethylene or polybutylene.
    Plastic,
    /// Plastic, aluminium, plastic.
    Multilayer,
}

/// One standard size of pipe.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Size {
    pub material: Material,
    /// The size as the trade names it: outside millimetres, or inches for steel.
    pub nominal: &'static str,
    /// Soft, from a coil; the same size may come hard with another wall.
    pub coil: bool,
    /// Outside diameter in m.
    pub outside: f64,
    /// Thickness of the wall in m.
    pub wall: f64,
    pub source: &'static str,
}

/// The standard sizes.
///
/// Source: named in each row. `read` means that the figure was read in a text that reproduces the
/// standard's table, `from memory` that it was not.
pub const SIZES: [Size; 22] = {
    use Material::{Copper, Multilayer, Plastic, Steel};
    const SOFT: &str = "EN 1057 R220; walls read, which wall the soft coil has from memory";
    const HARD: &str = "EN 1057 R250; walls read";
    const MEDIUM: &str = "EN 10255 medium; walls read, mean outside diameters from memory";
    const PLAIN: &str = "BS 7291 sizes; from memory, ±0.3 mm on the bore";
    const LAYERED: &str = "EN ISO 21003; from memory";
    [
        size(Copper, "8", true, 8.0, 0.6, SOFT),
        size(Copper, "10", true, 10.0, 0.7, SOFT),
        size(Copper, "10", false, 10.0, 0.6, HARD),
        size(Copper, "12", false, 12.0, 0.6, HARD),
        size(Copper, "15", false, 15.0, 0.7, HARD),
        size(Copper, "22", false, 22.0, 0.9, HARD),
        size(Copper, "28", false, 28.0, 0.9, HARD),
        size(Copper, "35", false, 35.0, 1.2, HARD),
        size(Copper, "42", false, 42.0, 1.2, HARD),
        size(Steel, "1/2", false, 21.3, 2.6, MEDIUM),
        size(Steel, "3/4", false, 26.9, 2.6, MEDIUM),
        size(Steel, "1", false, 33.7, 3.2, MEDIUM),
        size(Steel, "1 1/4", false, 42.4, 3.2, MEDIUM),
        size(Steel, "1 1/2", false, 48.3, 3.2, MEDIUM),
        size(Steel, "2", false, 60.3, 3.6, MEDIUM),
        size(Plastic, "10", true, 10.0, 1.6, PLAIN),
        size(Plastic, "15", true, 15.0, 1.8, PLAIN),
        size(Plastic, "22", true, 22.0, 2.15, PLAIN),
        size(Plastic, "28", true, 28.0, 2.75, PLAIN),
        size(Multilayer, "16", true, 16.0, 2.0, LAYERED),
        size(Multilayer, "20", true, 20.0, 2.0, LAYERED),
        size(Multilayer, "26", true, 26.0, 3.0, LAYERED),
    ]
};

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

const WALL: (&str, &str) = ("thickness", "m");

/// Bore of a pipe, in m.
///
/// `D = D_o − 2 s`: `D_o` outside diameter, `s` thickness of the wall, both in m.
///
/// Valid for an outside diameter larger than two walls.
///
/// ```
/// let bore = wetside_physics::pipe::bore(0.015, 0.0007).unwrap();
/// assert!((bore - 0.0136).abs() < 1e-12);
/// ```
///
/// Source: geometry.
pub fn bore(outside: f64, wall: f64) -> Result<f64, OutOfRange> {
    let walls = 2.0 * not_negative(WALL, wall)?;
    Ok(above(("outside diameter", "m"), outside, walls)? - walls)
}

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

/// Bore left by an even layer of scale, in m.
///
/// `D' = D − 2 s`: `D` the clean bore, `s` thickness of the layer, both in m. At the same flow the
/// head lost grows as the fifth power of `D/D'`.
///
/// Valid for a layer thinner than half the bore.
///
/// ```
/// let left = wetside_physics::pipe::scaled_bore(0.0136, 0.0005).unwrap();
/// assert!((left - 0.0126).abs() < 1e-12);
/// ```
///
/// Source: geometry.
pub fn scaled_bore(bore: f64, layer: f64) -> Result<f64, OutOfRange> {
    let layers = 2.0 * not_negative(WALL, layer)?;
    Ok(above(BORE, bore, layers)? - layers)
}

/// The standard sizes of a material and nominal size; two for 10 mm copper, soft and hard.
///
/// Valid for the names of [`SIZES`]; empty for any other.
///
/// ```
/// use wetside_physics::pipe::{Material, sizes};
/// let bores: Vec<f64> = sizes(Material::Copper, "22").map(|size| size.bore()).collect();
/// assert_eq!(bores.len(), 1);
/// assert!((bores[0] - 0.0202).abs() < 1e-12);
/// ```
///
/// Source: [`SIZES`].
pub fn sizes(material: Material, nominal: &str) -> impl Iterator<Item = &'static Size> + '_ {
    SIZES
        .iter()
        .filter(move |size| size.material == material && size.nominal == nominal)
}

impl Size {
    /// Bore in m.
    pub fn bore(&self) -> f64 {
        self.outside - 2.0 * self.wall
    }
}

/// A row of [`SIZES`] from millimetres.
const fn size(
    material: Material,
    nominal: &'static str,
    coil: bool,
    outside: f64,
    wall: f64,
    source: &'static str,
) -> Size {
    Size {
        material,
        nominal,
        coil,
        outside: outside / 1000.0,
        wall: wall / 1000.0,
        source,
    }
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
