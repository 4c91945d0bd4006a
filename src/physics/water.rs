//! Properties of liquid water at atmospheric pressure, and what a meter makes of its temperature.
//!
//! Contract: temperatures from 0 to 100 °C. Two bar of extra pressure change the density by 0.010 %
//! and the viscosity by 0.024 %, so the functions serve every pressure of a heating system.

use super::{CELSIUS, OutOfRange, within};

/// Density of water, in kg/m³.
///
/// `ρ = (a₀ + a₁t + a₂t² + a₃t³ + a₄t⁴ + a₅t⁵)/(1 + b t)`, `t` the temperature in °C.
///
/// Valid from 0 to 100 °C; differs from IAPWS-95 by at most 0.0015 %.
///
/// ```
/// let rho = wetside_physics::water::density(20.0).unwrap();
/// assert!((rho - 998.207).abs() < 0.005);
/// ```
///
/// Source: G. S. Kell, Journal of Chemical and Engineering Data 20 (1975) 97 (constants from memory,
/// checked against IAPWS-95).
pub fn density(celsius: f64) -> Result<f64, OutOfRange> {
    let t = checked(celsius)?;
    let above = polynomial(
        t,
        &[
            999.83952,
            16.945176,
            -7.9870401e-3,
            -46.170461e-6,
            105.56302e-9,
            -280.54253e-12,
        ],
    );
    Ok(above / (1.0 + 16.879850e-3 * t))
}

/// Dynamic viscosity of water, in Pa s.
///
/// `μ = 10⁻⁶ (280.68 x^-1.9 + 511.45 x^-7.7 + 61.131 x^-19.6 + 0.45903 x^-40)`,
/// `x = (t + 273.15)/300`, `t` the temperature in °C.
///
/// Valid here from 0 to 100 °C (its source goes from −20 to 110 °C); differs from the IAPWS
/// formulation of 2008 by at most 0.003 %.
///
/// ```
/// let mu = wetside_physics::water::dynamic_viscosity(20.0).unwrap();
/// assert!((mu - 1.0016e-3).abs() < 1e-7);
/// ```
///
/// Source: IAPWS SR6-08(2011), supplementary release on liquid water at 0.1 MPa (constants from
/// memory, checked against IAPWS R12-08).
pub fn dynamic_viscosity(celsius: f64) -> Result<f64, OutOfRange> {
    let x = (checked(celsius)? + 273.15) / 300.0;
    let sum = 280.68 * x.powf(-1.9)
        + 511.45 * x.powf(-7.7)
        + 61.131 * x.powf(-19.6)
        + 0.45903 * x.powi(-40);
    Ok(1e-6 * sum)
}

/// Kinematic viscosity of water, in m²/s.
///
/// `ν = μ/ρ`, `μ` the dynamic viscosity in Pa s and `ρ` the density in kg/m³.
///
/// Valid from 0 to 100 °C.
///
/// ```
/// let nu = wetside_physics::water::kinematic_viscosity(40.0).unwrap();
/// assert!((nu - 6.5785e-7).abs() < 1e-11);
/// ```
///
/// Source: the definition; see [`dynamic_viscosity`] and [`density`].
pub fn kinematic_viscosity(celsius: f64) -> Result<f64, OutOfRange> {
    Ok(dynamic_viscosity(celsius)? / density(celsius)?)
}

/// Heat capacity of water at constant pressure, in J/(kg K).
///
/// A polynomial of degree five in `t`, the temperature in °C.
///
/// Valid from 0 to 100 °C; differs from IAPWS-95 by at most 0.012 %.
///
/// ```
/// let cp = wetside_physics::water::heat_capacity(20.0).unwrap();
/// assert!((cp - 4184.0).abs() < 1.0);
/// ```
///
/// Source: a least-squares fit of our own to IAPWS-95 at 101 325 Pa.
pub fn heat_capacity(celsius: f64) -> Result<f64, OutOfRange> {
    let t = checked(celsius)?;
    let kilojoules = polynomial(
        t,
        &[
            4.21895,
            -3.19809e-3,
            9.67435e-5,
            -1.42655e-6,
            1.10834e-8,
            -3.33009e-11,
        ],
    );
    Ok(1000.0 * kilojoules)
}

/// What a meter without temperature compensation reads of a sample for each part that it would read at
/// 25 °C: the least and the most.
///
/// `1 + 0.02 (t − 25)` up to 36 °C, by the straight line that most meters use; above, `1.22` and between
/// 0.017 and 0.024 for each degree beyond 36, since salts differ.
///
/// Valid from 0 to 100 °C. Against ISO 7888 the line errs by +4.3 % at 0 °C, less than 0.5 % from 10 to
/// 20 °C and +1.4 % at 35 °C.
///
/// ```
/// let (least, most) = wetside_physics::water::reads_at(30.0).unwrap();
/// assert!((least - 1.1).abs() < 1e-9 && least == most);
/// let (least, most) = wetside_physics::water::reads_at(60.0).unwrap();
/// assert!((least - 1.628).abs() < 1e-9 && (most - 1.796).abs() < 1e-9);
/// ```
///
/// Source: practice of meters, 2 % a kelvin (read); above 36 °C the conductivity of dilute salts in hot
/// water, from memory, its width by judgement.
pub fn reads_at(celsius: f64) -> Result<(f64, f64), OutOfRange> {
    const LINE_TO: f64 = 36.0;
    let t = within(("temperature of the sample", "°C"), celsius, 0.0, 100.0)?;
    let line = 1.0 + 0.02 * (t.min(LINE_TO) - 25.0);
    let beyond = (t - LINE_TO).max(0.0);
    Ok((line + 0.017 * beyond, line + 0.024 * beyond))
}

fn checked(celsius: f64) -> Result<f64, OutOfRange> {
    within(CELSIUS, celsius, 0.0, 100.0)
}

/// `c₀ + c₁x + c₂x² + …`
pub(crate) fn polynomial(x: f64, coefficients: &[f64]) -> f64 {
    coefficients
        .iter()
        .rev()
        .fold(0.0, |sum, coefficient| sum * x + coefficient)
}
