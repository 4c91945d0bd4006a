//! Conversions of readings: temperature, hardness, conductivity and dissolved solids.
//!
//! Contract: hardness is in mg/l of calcium carbonate once converted, conductivity in any one unit,
//! referred to 25 °C once converted. Hot samples lie outside every table: cool them first.

use super::{OutOfRange, not_negative, within};

/// A unit in which hardness or alkalinity is printed.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum HardnessUnit {
    /// mg/l of calcium carbonate.
    CalciumCarbonate,
    /// mmol/l of calcium and magnesium together.
    Millimole,
    /// German degree: 10 mg/l of calcium oxide.
    German,
    /// English degree: a grain in an imperial gallon.
    English,
    /// French degree: 10 mg/l of calcium carbonate.
    French,
    /// A grain in a US gallon.
    GrainPerUsGallon,
    /// mg/l of calcium.
    Calcium,
    /// mg/l of magnesium.
    Magnesium,
    /// mg/l of hydrogen carbonate, for alkalinity.
    HydrogenCarbonate,
}

/// 0 °C in K.
const ICE_POINT: f64 = 273.15;

/// Factors from 0 to 35 °C in whole degrees that turn a conductivity into that at 25 °C.
///
/// Source: ISO 7888, table for natural waters (read in instrument manuals that reproduce it).
const NATURAL_WATER: [f64; 36] = [
    1.918, 1.857, 1.800, 1.745, 1.693, 1.643, 1.596, 1.551, 1.508, 1.467, 1.428, 1.390, 1.354,
    1.320, 1.287, 1.256, 1.225, 1.196, 1.168, 1.141, 1.116, 1.091, 1.067, 1.044, 1.021, 1.000,
    0.979, 0.959, 0.940, 0.921, 0.903, 0.886, 0.869, 0.853, 0.837, 0.822,
];

const CONDUCTIVITY: (&str, &str) = ("conductivity", "");

/// Temperature in °C of one in K.
///
/// `t = T − 273.15`.
///
/// Valid from 0 K.
///
/// ```
/// let t = wetside_physics::conversions::celsius(293.15).unwrap();
/// assert!((t - 20.0).abs() < 1e-9);
/// ```
///
/// Source: the definition of the Celsius temperature.
pub fn celsius(kelvin: f64) -> Result<f64, OutOfRange> {
    Ok(not_negative(("temperature", "K"), kelvin)? - ICE_POINT)
}

/// Temperature in K of one in °C.
///
/// `T = t + 273.15`.
///
/// Valid from −273.15 °C.
///
/// ```
/// assert_eq!(wetside_physics::conversions::kelvin(20.0).unwrap(), 293.15);
/// ```
///
/// Source: the definition of the Celsius temperature.
pub fn kelvin(celsius: f64) -> Result<f64, OutOfRange> {
    Ok(within(("temperature", "°C"), celsius, -ICE_POINT, f64::INFINITY)? + ICE_POINT)
}

/// Temperature in °C of one in degrees Fahrenheit.
///
/// `t = (F − 32)/1.8`.
///
/// Valid from −459.67 °F.
///
/// ```
/// let t = wetside_physics::conversions::celsius_of_fahrenheit(140.0).unwrap();
/// assert!((t - 60.0).abs() < 1e-9);
/// ```
///
/// Source: the definition (from memory).
pub fn celsius_of_fahrenheit(fahrenheit: f64) -> Result<f64, OutOfRange> {
    let reading = within(("temperature", "°F"), fahrenheit, -459.67, f64::INFINITY)?;
    Ok((reading - 32.0) / 1.8)
}

/// Hardness or alkalinity in mg/l of calcium carbonate.
///
/// `c = k x`: `x` the reading, `k` the mg/l of calcium carbonate in one unit: 100.0869 for mmol/l,
/// 17.8480 for a German, 14.2538 for an English and 10 for a French degree, 17.1181 for a grain in a
/// US gallon, 2.49730 for calcium, 4.11796 for magnesium, 0.82016 for hydrogen carbonate.
///
/// Valid for a reading of at least 0.
///
/// ```
/// use wetside_physics::conversions::{HardnessUnit, hardness};
/// let hard = hardness(16.8, HardnessUnit::German).unwrap();
/// assert!((hard - 299.8).abs() < 0.1);
/// ```
///
/// Source: definitions of the degrees from memory; the arithmetic with molar masses was run.
pub fn hardness(reading: f64, unit: HardnessUnit) -> Result<f64, OutOfRange> {
    /// Molar masses in g/mol of calcium carbonate, calcium oxide, calcium, magnesium, and hydrogen
    /// carbonate, of which two make one of calcium carbonate.
    const CARBONATE: f64 = 100.0869;
    const OXIDE: f64 = 56.0774;
    const CALCIUM: f64 = 40.078;
    const MAGNESIUM: f64 = 24.305;
    const HYDROGEN_CARBONATE: f64 = 61.0168;
    let factor = match unit {
        HardnessUnit::CalciumCarbonate => 1.0,
        HardnessUnit::Millimole => CARBONATE,
        HardnessUnit::German => 10.0 * CARBONATE / OXIDE,
        HardnessUnit::English => 14.2538,
        HardnessUnit::French => 10.0,
        HardnessUnit::GrainPerUsGallon => 17.1181,
        HardnessUnit::Calcium => CARBONATE / CALCIUM,
        HardnessUnit::Magnesium => CARBONATE / MAGNESIUM,
        HardnessUnit::HydrogenCarbonate => CARBONATE / (2.0 * HYDROGEN_CARBONATE),
    };
    Ok(factor * not_negative(("hardness", ""), reading)?)
}

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

/// Dissolved solids from the conductivity at 25 °C, in mg/l for one in µS/cm.
///
/// `S = k E₂₅`: `k` the meter's factor, 0.5 to 0.7. It cancels where one meter does both readings.
///
/// Valid for a factor from 0.4 to 0.8.
///
/// ```
/// let solids = wetside_physics::conversions::dissolved_solids(440.0, 0.64).unwrap();
/// assert!((solids - 281.6).abs() < 1e-9);
/// ```
///
/// Source: practice of meters (read).
pub fn dissolved_solids(conductivity_at_25: f64, factor: f64) -> Result<f64, OutOfRange> {
    let factor = within(("factor of the meter", "mg cm/(l µS)"), factor, 0.4, 0.8)?;
    Ok(factor * not_negative(CONDUCTIVITY, conductivity_at_25)?)
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
