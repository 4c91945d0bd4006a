//! Readings of a conductivity meter, brought to 25 °C.
//!
//! Contract: conductivity may be in any one unit. Hot samples lie outside every table: cool them
//! first. The table of natural waters is for the readings of a rinse, wherever two are compared.

use super::{OutOfRange, not_negative, within};

/// Factors from 0 to 35 °C in whole degrees that turn a conductivity into that at 25 °C.
///
/// Source: ISO 7888, table for natural waters (read in instrument manuals that reproduce it).
const NATURAL_WATER: [f64; 36] = [
    1.918, 1.857, 1.800, 1.745, 1.693, 1.643, 1.596, 1.551, 1.508, 1.467, 1.428, 1.390, 1.354,
    1.320, 1.287, 1.256, 1.225, 1.196, 1.168, 1.141, 1.116, 1.091, 1.067, 1.044, 1.021, 1.000,
    0.979, 0.959, 0.940, 0.921, 0.903, 0.886, 0.869, 0.853, 0.837, 0.822,
];

const CONDUCTIVITY: (&str, &str) = ("conductivity", "");

/// Conductivity at 25 °C by the straight line that most meters use.
///
/// `E₂₅ = E/(1 + a (t − 25))`: `E` conductivity at `t` in °C, `a` usually 0.02 per K.
///
/// Valid from 0 to 36 °C and for `a` from 0.01 to 0.03. Against ISO 7888 the usual `a` errs by +4.3 %
/// at 0 °C, less than 0.5 % from 10 to 20 °C and +1.4 % at 35 °C.
///
/// ```
/// let at_25 = wetside_physics::conversions::conductivity_at_25(350.0, 15.0, 0.02).unwrap();
/// assert!((at_25 - 437.5).abs() < 1e-9);
/// ```
///
/// Source: practice of meters (read); 0.0191 for potassium chloride (read).
pub fn conductivity_at_25(
    conductivity: f64,
    celsius: f64,
    per_kelvin: f64,
) -> Result<f64, OutOfRange> {
    let t = within(("temperature of the sample", "°C"), celsius, 0.0, 36.0)?;
    let a = within(("temperature coefficient", "1/K"), per_kelvin, 0.01, 0.03)?;
    Ok(not_negative(CONDUCTIVITY, conductivity)? / (1.0 + a * (t - 25.0)))
}

/// Conductivity at 25 °C of a natural water.
///
/// `E₂₅ = E f(t)`, `f` from the table of the standard, by straight lines between whole degrees.
///
/// Valid from 0 to 35 °C; the standard means waters from 60 to 1000 µS/cm.
///
/// ```
/// let at_25 = wetside_physics::conversions::natural_conductivity_at_25(350.0, 15.0).unwrap();
/// assert!((at_25 - 439.6).abs() < 1e-9);
/// ```
///
/// Source: ISO 7888 (read in instrument manuals that reproduce its table).
pub fn natural_conductivity_at_25(conductivity: f64, celsius: f64) -> Result<f64, OutOfRange> {
    let t = within(("temperature of the sample", "°C"), celsius, 0.0, 35.0)?;
    let below = (t.floor() as usize).min(NATURAL_WATER.len() - 2);
    let share = t - below as f64;
    let factor = NATURAL_WATER[below] * (1.0 - share) + NATURAL_WATER[below + 1] * share;
    Ok(not_negative(CONDUCTIVITY, conductivity)? * factor)
}

/// Ratio by which a meter without temperature compensation misreads one sample against another.
///
/// `(1 + 0.02 (t₁ − 25))/(1 + 0.02 (t₂ − 25))`: `t₁` of the sample and `t₂` of the mains, in °C.
///
/// Valid from 0 to 36 °C.
///
/// ```
/// let ratio = wetside_physics::conversions::uncompensated(30.0, 10.0).unwrap();
/// assert!((ratio - 1.571).abs() < 0.001);
/// ```
///
/// Source: as [`conductivity_at_25`].
pub fn uncompensated(sample_celsius: f64, mains_celsius: f64) -> Result<f64, OutOfRange> {
    let sample = conductivity_at_25(1.0, sample_celsius, 0.02)?;
    Ok(conductivity_at_25(1.0, mains_celsius, 0.02)? / sample)
}
