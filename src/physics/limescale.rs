//! Whether a water lays down limescale, and how much at most.
//!
//! Contract: hardness and alkalinity are in mg/l of calcium carbonate, dissolved solids in mg/l. A
//! sealed system is filled once, so the scale is bounded by what the fill brought; the index is worth
//! printing only as a warning about hard water.

use super::{OutOfRange, VOLUME, above_zero, not_negative, within};

/// What the index needs to know of a water.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Water {
    /// Temperature in °C.
    pub celsius: f64,
    pub ph: f64,
    /// Dissolved solids in mg/l.
    pub dissolved_solids: f64,
    /// Calcium hardness in mg/l of calcium carbonate.
    pub calcium: f64,
    /// Alkalinity in mg/l of calcium carbonate.
    pub alkalinity: f64,
}

/// The pH at which a water is saturated with calcium carbonate.
///
/// `pH_s = 9.3 + A + B − C − D`: `A = (log₁₀ S − 1)/10` with dissolved solids `S`,
/// `B = 34.55 − 13.12 log₁₀(t + 273)` with `t` in °C, `C = log₁₀ Ca − 0.4`, `D = log₁₀ Alk`.
///
/// Valid from 0 to 90 °C and for amounts above 0; a simplified form, good to about 0.2.
///
/// ```
/// use wetside_physics::limescale::{Water, saturation_ph};
/// let tap = Water { celsius: 25.0, ph: 7.5, dissolved_solids: 320.0, calcium: 150.0, alkalinity: 34.0 };
/// assert!((saturation_ph(&tap).unwrap() - 8.23).abs() < 0.01);
/// ```
///
/// Source: W. F. Langelier, 1936, in the simplified form (read).
pub fn saturation_ph(water: &Water) -> Result<f64, OutOfRange> {
    let kelvin = within(super::CELSIUS, water.celsius, 0.0, 90.0)? + 273.0;
    let solids = above_zero(("dissolved solids", "mg/l"), water.dissolved_solids)?.log10();
    let calcium = above_zero(("calcium hardness", "mg/l"), water.calcium)?.log10();
    let alkalinity = above_zero(("alkalinity", "mg/l"), water.alkalinity)?.log10();
    let by_heat = 34.55 - 13.12 * kelvin.log10();
    Ok(9.3 + 0.1 * (solids - 1.0) + by_heat - (calcium - 0.4) - alkalinity)
}

/// Saturation index: above 0 a water lays down scale, below 0 it dissolves it.
///
/// `I = pH − pH_s`, with [`saturation_ph`] and its range.
///
/// Valid for a pH from 0 to 14.
///
/// ```
/// use wetside_physics::limescale::{Water, saturation_index};
/// let hot = Water { celsius: 82.0, ph: 7.5, dissolved_solids: 320.0, calcium: 150.0, alkalinity: 34.0 };
/// assert!((saturation_index(&hot).unwrap() - 0.27).abs() < 0.01);
/// ```
///
/// Source: W. F. Langelier, 1936 (read).
pub fn saturation_index(water: &Water) -> Result<f64, OutOfRange> {
    Ok(ph(water)? - saturation_ph(water)?)
}

/// Stability index: about 6.2 to 6.6 is balanced, 6 and below scales, 7 and above corrodes.
///
/// `R = 2 pH_s − pH`, with [`saturation_ph`] and its range.
///
/// Valid for a pH from 0 to 14.
///
/// ```
/// use wetside_physics::limescale::{Water, stability_index};
/// let tap = Water { celsius: 25.0, ph: 7.5, dissolved_solids: 320.0, calcium: 150.0, alkalinity: 34.0 };
/// assert!((stability_index(&tap).unwrap() - 8.96).abs() < 0.01);
/// ```
///
/// Source: J. W. Ryznar, 1944 (read).
pub fn stability_index(water: &Water) -> Result<f64, OutOfRange> {
    Ok(2.0 * saturation_ph(water)? - ph(water)?)
}

/// The most scale that a fill can lay down, in kg.
///
/// `m = c V`: `c` hardness in mg/l of calcium carbonate, which is also g/m³, `V` volume in m³.
///
/// Valid for amounts of at least 0.
///
/// ```
/// let kilograms = wetside_physics::limescale::most_scale(300.0, 0.1).unwrap();
/// assert!((kilograms - 0.030).abs() < 1e-12);
/// ```
///
/// Source: mass balance.
pub fn most_scale(hardness: f64, volume: f64) -> Result<f64, OutOfRange> {
    Ok(not_negative(("hardness", "mg/l"), hardness)? * not_negative(VOLUME, volume)? / 1000.0)
}

fn ph(water: &Water) -> Result<f64, OutOfRange> {
    within(("pH", ""), water.ph, 0.0, 14.0)
}
