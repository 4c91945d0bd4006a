//! Water with propylene or ethylene glycol: strength, freezing point and properties.
//!
//! Contract: strengths are fractions from 0 to 1, by mass unless the name says `volume`. The fits
//! reproduce the correlations of Melinder; handbooks differ from them by up to 1.5 K in freezing
//! point, which a verdict should allow for. The makers' inhibitor packages are not modelled. Density,
//! viscosity and heat capacity are for the expansion, the flows and the warming of a house with glycol in it.

use super::{CELSIUS, OutOfRange, water, within};

/// The two glycols in use.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Glycol {
    Propylene,
    Ethylene,
}

/// Density of pure water at 20 °C in kg/m³, as used for turning volume into mass.
const WATER_AT_20: f64 = 998.2;

const STRENGTH: (&str, &str) = ("strength by mass", "");
const STRENGTH_BY_VOLUME: (&str, &str) = ("strength by volume", "");

/// Strength by mass of a mixture whose strength by volume at 20 °C is known, a fraction.
///
/// `w = φ ρ_g/(φ ρ_g + (1 − φ) ρ_w)`: `φ` the strength by volume, `ρ_g` the density of the pure
/// glycol (1036.0 kg/m³ for propylene, 1113.2 for ethylene), `ρ_w` that of water (998.2).
///
/// Valid from 0 to 1; the shrinkage on mixing is left out.
///
/// ```
/// use wetside_physics::glycol::{Glycol, mass_strength};
/// let w = mass_strength(Glycol::Propylene, 0.30).unwrap();
/// assert!((w - 0.30786).abs() < 1e-5);
/// ```
///
/// Source: the definition; densities of the pure glycols from memory.
pub fn mass_strength(glycol: Glycol, volume_strength: f64) -> Result<f64, OutOfRange> {
    let phi = within(STRENGTH_BY_VOLUME, volume_strength, 0.0, 1.0)?;
    let pure = match glycol {
        Glycol::Propylene => 1036.0,
        Glycol::Ethylene => 1113.2,
    };
    let heavy = phi * pure;
    Ok(heavy / (heavy + (1.0 - phi) * WATER_AT_20))
}

/// Temperature at which ice begins to form, in °C.
///
/// `T = a₁w + a₂w² + a₃w³ + a₄w⁴ + a₅w⁵`, `w` the strength by mass.
///
/// Valid for `w` from 0 to 0.6; differs from Melinder's correlation by at most 0.025 K. Two other
/// published tables differ from it by up to 1.3 K either way: allow 1.5 K.
///
/// ```
/// use wetside_physics::glycol::{Glycol, freezing_point};
/// let t = freezing_point(Glycol::Propylene, 0.30).unwrap();
/// assert!((t + 12.8).abs() < 0.1);
/// ```
///
/// Source: a fit of our own to the secondary-fluid correlations after Å. Melinder, 2010, as carried
/// by the CoolProp library; compared with Lange's Handbook of Chemistry, table 5.13 (second-hand).
pub fn freezing_point(glycol: Glycol, mass_strength: f64) -> Result<f64, OutOfRange> {
    let w = within(STRENGTH, mass_strength, 0.0, 0.6)?;
    let coefficients = match glycol {
        Glycol::Propylene => [0.0, -18.449, -127.861, 304.257, -525.529, 121.941],
        Glycol::Ethylene => [0.0, -30.606, -11.8992, -185.933, 82.5597, 11.6793],
    };
    Ok(water::polynomial(w, &coefficients))
}

/// Density of the mixture, in kg/m³.
///
/// `ρ/ρ_w − 1 = w(b₁ + b₂s) + w²(b₃ + b₄s)`: `ρ_w` the density of water at the same temperature,
/// `w` the strength by mass, `s` the temperature in hundreds of °C.
///
/// Valid for `w` from 0 to 0.5 and from 0 to 80 °C; within 0.3 % of Melinder's correlation (fitted
/// from 0.1 on, and exactly that of water at 0).
///
/// ```
/// use wetside_physics::glycol::{Glycol, density};
/// let rho = density(Glycol::Propylene, 0.30, 20.0).unwrap();
/// assert!((rho / 1023.8 - 1.0).abs() < 0.003);
/// ```
///
/// Source: a fit of our own to the correlations named at [`freezing_point`].
pub fn density(glycol: Glycol, mass_strength: f64, celsius: f64) -> Result<f64, OutOfRange> {
    let (w, s) = checked(mass_strength, celsius)?;
    let excess = match glycol {
        Glycol::Propylene => w * (0.096002 - 0.044208 * s) + w * w * (0.0065013 - 0.053361 * s),
        Glycol::Ethylene => w * (0.13743 - 0.033705 * s) + w * w * (0.016947 - 0.028422 * s),
    };
    Ok(water::density(celsius)? * (1.0 + excess))
}

/// Dynamic viscosity of the mixture, in Pa s.
///
/// `ln(μ/μ_w) = w(c₁ + c₂s + c₃s²) + w²(c₄ + c₅s + c₆s²) + w³(c₇ + c₈s)`: `μ_w` the viscosity of
/// water at the same temperature, `w` and `s` as in [`density`].
///
/// Valid for `w` from 0 to 0.5 and from 0 to 80 °C; within 3.3 % (propylene) or 1.4 % (ethylene) of
/// Melinder's correlation.
///
/// ```
/// use wetside_physics::glycol::{Glycol, dynamic_viscosity};
/// let mu = dynamic_viscosity(Glycol::Propylene, 0.30, 20.0).unwrap();
/// assert!((mu / 2.965e-3 - 1.0).abs() < 0.05);
/// ```
///
/// Source: a fit of our own to the correlations named at [`freezing_point`].
pub fn dynamic_viscosity(
    glycol: Glycol,
    mass_strength: f64,
    celsius: f64,
) -> Result<f64, OutOfRange> {
    let (w, s) = checked(mass_strength, celsius)?;
    let (first, second, third) = match glycol {
        Glycol::Propylene => (
            3.9663 - 3.7147 * s + 2.7581 * s * s,
            2.7922 - 7.3288 * s + 1.0765 * s * s,
            -2.5028 + 6.8322 * s,
        ),
        Glycol::Ethylene => (
            2.7398 - 2.3552 * s + 1.591 * s * s,
            1.0297 + 0.12238 * s - 1.3224 * s * s,
            -1.1956 + 1.5385 * s,
        ),
    };
    let exponent = water::polynomial(w, &[0.0, first, second, third]);
    Ok(water::dynamic_viscosity(celsius)? * exponent.exp())
}

/// Kinematic viscosity of the mixture, in m²/s.
///
/// `ν = μ/ρ`, with [`dynamic_viscosity`] in Pa s and [`density`] in kg/m³, and their ranges.
///
/// ```
/// use wetside_physics::glycol::{Glycol, kinematic_viscosity};
/// let nu = kinematic_viscosity(Glycol::Ethylene, 0.30, 20.0).unwrap();
/// assert!((nu / 2.087e-6 - 1.0).abs() < 0.03);
/// ```
///
/// Source: the definition.
pub fn kinematic_viscosity(
    glycol: Glycol,
    mass_strength: f64,
    celsius: f64,
) -> Result<f64, OutOfRange> {
    Ok(dynamic_viscosity(glycol, mass_strength, celsius)?
        / density(glycol, mass_strength, celsius)?)
}

/// Heat capacity of the mixture at constant pressure, in J/(kg K).
///
/// `c/c_w − 1 = w(d₁ + d₂s + d₃s²) + w²(d₄ + d₅s)`: `c_w` the heat capacity of water at the same
/// temperature, `w` and `s` as in [`density`].
///
/// Valid for `w` from 0 to 0.5 and from 0 to 80 °C; within 0.9 % of Melinder's correlation.
///
/// ```
/// use wetside_physics::glycol::{Glycol, heat_capacity};
/// let c = heat_capacity(Glycol::Propylene, 0.30, 20.0).unwrap();
/// assert!((c / 3857.0 - 1.0).abs() < 0.01);
/// ```
///
/// Source: a fit of our own to the correlations named at [`freezing_point`].
pub fn heat_capacity(glycol: Glycol, mass_strength: f64, celsius: f64) -> Result<f64, OutOfRange> {
    let (w, s) = checked(mass_strength, celsius)?;
    let lacks = match glycol {
        Glycol::Propylene => {
            w * (-0.28543 + 0.39429 * s - 0.10987 * s * s) + w * w * (-0.14624 - 0.25449 * s)
        }
        Glycol::Ethylene => {
            w * (-0.37169 + 0.34765 * s - 0.14553 * s * s) + w * w * (-0.22235 - 0.00016 * s)
        }
    };
    Ok(water::heat_capacity(celsius)? * (1.0 + lacks))
}

/// Strength, and temperature in hundreds of degrees, when both lie in the range of the fits.
fn checked(mass_strength: f64, celsius: f64) -> Result<(f64, f64), OutOfRange> {
    let w = within(STRENGTH, mass_strength, 0.0, 0.5)?;
    Ok((w, within(CELSIUS, celsius, 0.0, 80.0)? / 100.0))
}
