//! Sludge in moving water: how fast a grain sinks, whether a flow carries it, rolls it or leaves it.
//!
//! Contract: grains are single spheres unless the name says otherwise. Wet flocs are porous and
//! lighter, so the density of magnetite is the cautious end. The tests are for pipes in turbulent
//! flow; they say nothing about the inside of a radiator, where the water hardly moves.

mod carriage;
mod deposit;

pub use carriage::*;
pub use deposit::*;

use super::{DENSITY, GRAVITY, OutOfRange, above, above_zero, root_of_increasing, within};

/// Density of magnetite in kg/m³.
///
/// Source: handbook value, from memory.
pub const MAGNETITE: f64 = 5170.0;

/// The drag law holds up to this Reynolds number of the grain.
const HIGHEST_GRAIN_REYNOLDS: f64 = 800.0;

const GRAIN_REYNOLDS: (&str, &str) = ("Reynolds number of the grain", "");
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

/// The shape of a grain, for Ferguson and Church's formula.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Shape {
    Sphere,
    Natural,
    Angular,
}

/// Sinking speed of a very small sphere, in m/s.
///
/// `w = (ρ_p − ρ) g d²/(18 μ)`: `ρ_p`, `ρ` densities of grain and water in kg/m³, `d` diameter in m,
/// `μ` dynamic viscosity in Pa s.
///
/// Valid up to a Reynolds number of the grain of 0.3, about 60 µm of magnetite in cold water; above
/// that it overstates and is refused.
///
/// ```
/// use wetside_physics::sludge::{MAGNETITE, Suspension, stokes_speed};
/// let cold = Suspension { grain_density: MAGNETITE, density: 998.2, dynamic_viscosity: 1.0016e-3 };
/// assert!((stokes_speed(&cold, 10e-6).unwrap() - 0.2269e-3).abs() < 1e-6);
/// assert!(stokes_speed(&cold, 100e-6).is_err());
/// ```
///
/// Source: G. G. Stokes, 1851 (textbook, from memory).
pub fn stokes_speed(suspension: &Suspension, diameter: f64) -> Result<f64, OutOfRange> {
    let (speed, per_speed) = stokes(suspension, diameter)?;
    within(GRAIN_REYNOLDS, per_speed * speed, 0.0, 0.3)?;
    Ok(speed)
}

/// Sinking speed of a sphere, in m/s: the recommended formula.
///
/// `w (1 + 0.15 Re^0.687) = w_S` with `Re = ρ w d/μ` and `w_S` Stokes's speed; symbols as in
/// [`stokes_speed`]. Found by halving between 0 and `w_S`.
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
    let (speed, per_speed) = slowed(suspension, diameter)?;
    within(
        GRAIN_REYNOLDS,
        per_speed * speed,
        0.0,
        HIGHEST_GRAIN_REYNOLDS,
    )?;
    Ok(speed)
}

/// Sinking speed of a grain of a given shape, in m/s.
///
/// `w = R g d²/(C₁ ν + √(0.75 C₂ R g d³))`, `R = ρ_p/ρ − 1`, with `C₁`, `C₂` 18 and 0.4 for spheres,
/// 18 and 1.0 for natural grains, 24 and 1.2 for angular ones; `ν = μ/ρ`, the rest as in
/// [`stokes_speed`].
///
/// Valid for the grains of [`sinking_speed`]; for spheres it differs from that by up to 24 %.
///
/// ```
/// use wetside_physics::sludge::{MAGNETITE, Shape, Suspension, shaped_sinking_speed};
/// let cold = Suspension { grain_density: MAGNETITE, density: 998.2, dynamic_viscosity: 1.0016e-3 };
/// let flake = shaped_sinking_speed(&cold, 100e-6, Shape::Angular).unwrap();
/// let ball = shaped_sinking_speed(&cold, 100e-6, Shape::Sphere).unwrap();
/// assert!(flake < ball);
/// ```
///
/// Source: R. I. Ferguson and M. Church, Journal of Sedimentary Research 74 (2004) 933 (read).
pub fn shaped_sinking_speed(
    suspension: &Suspension,
    diameter: f64,
    shape: Shape,
) -> Result<f64, OutOfRange> {
    sinking_speed(suspension, diameter)?;
    let (viscous, form) = match shape {
        Shape::Sphere => (18.0, 0.4),
        Shape::Natural => (18.0, 1.0),
        Shape::Angular => (24.0, 1.2),
    };
    let weight = excess(suspension)? * GRAVITY;
    let drag = 0.75 * form * weight * diameter.powi(3);
    let kinematic = suspension.dynamic_viscosity / suspension.density;
    Ok(weight * diameter * diameter / (viscous * kinematic + drag.sqrt()))
}

/// Stokes's speed, and the Reynolds number of the grain for a speed of 1 m/s.
fn stokes(suspension: &Suspension, diameter: f64) -> Result<(f64, f64), OutOfRange> {
    let diameter = above_zero(DIAMETER, diameter)?;
    let viscosity = above_zero(DYNAMIC, suspension.dynamic_viscosity)?;
    let lift = excess(suspension)? * suspension.density;
    Ok((
        lift * GRAVITY * diameter * diameter / (18.0 * viscosity),
        suspension.density * diameter / viscosity,
    ))
}

/// Schiller and Naumann's speed without a look at its range, and the Reynolds number per speed.
fn slowed(suspension: &Suspension, diameter: f64) -> Result<(f64, f64), OutOfRange> {
    let (fastest, per_speed) = stokes(suspension, diameter)?;
    let speed = root_of_increasing(0.0, fastest, |speed| {
        speed * (1.0 + 0.15 * (per_speed * speed).powf(0.687)) - fastest
    });
    Ok((speed, per_speed))
}

/// How much heavier than water the grain is, as a share of the water.
fn excess(suspension: &Suspension) -> Result<f64, OutOfRange> {
    let density = above_zero(DENSITY, suspension.density)?;
    Ok(above(GRAIN_DENSITY, suspension.grain_density, density)? / density - 1.0)
}
