//! Two published speeds at which a slurry leaves no bed behind, to set beside our own.
//!
//! Contract: both were fitted on larger pipes and denser slurries, and predict a bed that lies still
//! rather than suspension. They are there to be shown; nothing should be decided by them.

use super::{DIAMETER, DYNAMIC, Suspension, excess};
use crate::{BORE, GRAVITY, OutOfRange, above, above_zero, within};

const SHARE: (&str, &str) = ("solids as a share of the volume", "");

/// Speed above which no bed lies, after Oroskar and Turian, in m/s.
///
/// `v = u 1.85 C^0.1536 (1 − C)^0.3564 (d/D)^−0.378 (D ρ u/μ)^0.09` with `u = √(g d (s − 1))`: `C`
/// solids as a share of the volume, `d` grain and `D` bore in m, `ρ` and `μ` density and dynamic
/// viscosity of the water in kg/m³ and Pa s, `s` density of the grain over that of the water.
///
/// Valid for a share above 0 and up to 0.5 and a grain smaller than the bore; the factor for eddies
/// is taken as 1.
///
/// ```
/// use wetside_physics::sludge::{MAGNETITE, Suspension, oroskar_turian_speed};
/// let warm = Suspension { grain_density: MAGNETITE, density: 992.2, dynamic_viscosity: 0.6527e-3 };
/// let speed = oroskar_turian_speed(&warm, 0.0202, 100e-6, 0.001).unwrap();
/// assert!(speed > 0.4 && speed < 0.7);
/// ```
///
/// Source: A. R. Oroskar and R. M. Turian, AIChE Journal 26 (1980) 550 (from memory).
pub fn oroskar_turian_speed(
    suspension: &Suspension,
    bore: f64,
    diameter: f64,
    solids: f64,
) -> Result<f64, OutOfRange> {
    let (ratio, solids) = checked(bore, diameter, solids)?;
    let viscosity = above_zero(DYNAMIC, suspension.dynamic_viscosity)?;
    let unit = (GRAVITY * diameter * excess(suspension)?).sqrt();
    let reynolds = bore * suspension.density * unit / viscosity;
    let crowding = 1.85 * solids.powf(0.1536) * (1.0 - solids).powf(0.3564);
    Ok(unit * crowding * ratio.powf(-0.378) * reynolds.powf(0.09))
}

/// Speed above which no bed lies, after Wasp, in m/s.
///
/// `v = 4 C^0.2 (d/D)^(1/6) √(2 g D (s − 1))`, symbols as in [`oroskar_turian_speed`].
///
/// Valid as [`oroskar_turian_speed`]; the leading factor varies between books.
///
/// ```
/// use wetside_physics::sludge::{MAGNETITE, Suspension, wasp_speed};
/// let warm = Suspension { grain_density: MAGNETITE, density: 992.2, dynamic_viscosity: 0.6527e-3 };
/// let speed = wasp_speed(&warm, 0.0202, 100e-6, 0.001).unwrap();
/// assert!(speed > 0.4 && speed < 0.7);
/// ```
///
/// Source: E. J. Wasp and others, 1977 (from memory).
pub fn wasp_speed(
    suspension: &Suspension,
    bore: f64,
    diameter: f64,
    solids: f64,
) -> Result<f64, OutOfRange> {
    let (ratio, solids) = checked(bore, diameter, solids)?;
    let fall = (2.0 * GRAVITY * bore * excess(suspension)?).sqrt();
    Ok(4.0 * solids.powf(0.2) * ratio.cbrt().sqrt() * fall)
}

/// Grain over bore, and the share of solids.
fn checked(bore: f64, diameter: f64, solids: f64) -> Result<(f64, f64), OutOfRange> {
    let diameter = above_zero(DIAMETER, diameter)?;
    let bore = above(BORE, bore, diameter)?;
    let solids = within(SHARE, above_zero(SHARE, solids)?, 0.0, 0.5)?;
    Ok((diameter / bore, solids))
}
