//! How fast a grain sinks in still water.
//!
//! Contract: as the module above.

use crate::{DENSITY, GRAVITY, OutOfRange, above, above_zero, root_of_increasing, within};

/// Density of magnetite in kg/m³.
///
/// Source: handbook value, from memory.
pub const MAGNETITE: f64 = 5170.0;

/// The drag law holds up to this Reynolds number of the grain.
const HIGHEST_GRAIN_REYNOLDS: f64 = 800.0;

const DIAMETER: (&str, &str) = ("diameter of the grain", "m");
const GRAIN_DENSITY: (&str, &str) = ("density of the grain", "kg/m³");
const DYNAMIC: (&str, &str) = ("dynamic viscosity", "Pa s");

/// What a grain is made of and what it sinks in.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Suspension {
    /// Density of the grain in kg/m³.
    pub grain_density: f64,
    /// Density of the water in kg/m³.
    pub density: f64,
    /// Dynamic viscosity of the water in Pa s.
    pub dynamic_viscosity: f64,
}

/// Sinking speed of a sphere, in m/s.
///
/// `w (1 + 0.15 Re^0.687) = w_S` with `Re = ρ w d/μ` and `w_S = (ρ_p − ρ) g d²/(18 μ)`, G. G. Stokes's
/// speed: `ρ_p`, `ρ` densities of grain and water in kg/m³, `d` diameter in m, `μ` dynamic viscosity
/// in Pa s. Found by halving between 0 and `w_S`.
///
/// Valid up to a Reynolds number of the grain of 800; within 4 % of other drag laws from 1 to
/// 500 µm.
///
/// ```
/// use wetside_physics::sludge::{MAGNETITE, Suspension, sinking_speed};
/// let cold = Suspension { grain_density: MAGNETITE, density: 998.2, dynamic_viscosity: 1.0016e-3 };
/// assert!((sinking_speed(&cold, 50e-6).unwrap() - 5.35e-3).abs() < 0.05e-3);
/// ```
///
/// Source: L. Schiller and A. Naumann, 1933 (textbook, from memory), checked against five drag laws
/// of the fluids library.
pub fn sinking_speed(suspension: &Suspension, diameter: f64) -> Result<f64, OutOfRange> {
    let diameter = above_zero(DIAMETER, diameter)?;
    let viscosity = above_zero(DYNAMIC, suspension.dynamic_viscosity)?;
    let lift = excess(suspension)? * suspension.density;
    let stokes = lift * GRAVITY * diameter * diameter / (18.0 * viscosity);
    let per_speed = suspension.density * diameter / viscosity;
    let speed = root_of_increasing(0.0, stokes, |speed| {
        speed * (1.0 + 0.15 * (per_speed * speed).powf(0.687)) - stokes
    });
    let reynolds = ("Reynolds number of the grain", "");
    within(reynolds, per_speed * speed, 0.0, HIGHEST_GRAIN_REYNOLDS)?;
    Ok(speed)
}

/// How much heavier than water the grain is, as a share of the water.
pub(super) fn excess(suspension: &Suspension) -> Result<f64, OutOfRange> {
    let density = above_zero(DENSITY, suspension.density)?;
    Ok(above(GRAIN_DENSITY, suspension.grain_density, density)? / density - 1.0)
}
