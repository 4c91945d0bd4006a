//! Sludge in moving water: how fast a grain sinks, whether a flow carries it, rolls it or leaves it.
//!
//! Contract: grains are single spheres unless the name says otherwise. Wet flocs are porous and
//! lighter, so the density of magnetite is the cautious end. The tests are for pipes in turbulent
//! flow; they say nothing about the inside of a radiator, where the water hardly moves. The friction of
//! the wall stirs the water; a grain stays up when the stirring outweighs its sinking.

use super::friction::{self, TURBULENT_FROM};
use super::{
    DENSITY, GRAVITY, OutOfRange, ROUGHNESS, above, above_zero, not_negative, root_of_increasing,
    within,
};

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
fn excess(suspension: &Suspension) -> Result<f64, OutOfRange> {
    let density = above_zero(DENSITY, suspension.density)?;
    Ok(above(GRAIN_DENSITY, suspension.grain_density, density)? / density - 1.0)
}

/// Up to this Rouse number a grain is carried in suspension.
///
/// Source: sediment transport textbooks (from memory).
const SUSPENDED_ROUSE: f64 = 1.2;
/// Up to this Rouse number a grain is carried partly, near the bottom.
///
/// Source: sediment transport textbooks (from memory).
const PARTLY_ROUSE: f64 = 2.5;

/// Von Kármán's constant.
const KARMAN: f64 = 0.41;
/// The Shields number at which a loose grain begins to roll.
///
/// Source: A. Shields, 1936 (from memory).
const SHIELDS: f64 = 0.05;

const SPEED: (&str, &str) = ("speed", "m/s");
const SINKING: (&str, &str) = ("sinking speed", "m/s");

/// The pipe that a grain lies in.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Channel {
    /// Bore in m.
    pub bore: f64,
    /// Absolute roughness of the wall in m.
    pub roughness: f64,
}

/// What a flow does with a grain.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Carriage {
    /// It stays or settles where it lies.
    Settles,
    /// It rolls along a level pipe, and no further.
    Rolls,
    /// It is carried near the bottom, and now and then.
    Partly,
    /// It is carried in suspension.
    Suspended,
}

/// A grain in water, made ready for many flows: a sinking speed takes a search.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Grain {
    /// Sinking speed in m/s.
    pub sinking: f64,
    /// Friction speed in m/s at which it begins to roll.
    pub rolling: f64,
    /// Kinematic viscosity of the water in m²/s.
    pub viscosity: f64,
}

impl Grain {
    /// A grain of a diameter in m. It rolls from `u*² = 0.05 g d (ρ_p/ρ − 1)` on: symbols as in
    /// [`sinking_speed`] and [`carriage`], and valid as the former.
    pub fn new(suspension: &Suspension, diameter: f64) -> Result<Grain, OutOfRange> {
        Ok(Grain {
            sinking: sinking_speed(suspension, diameter)?,
            rolling: (SHIELDS * GRAVITY * diameter * excess(suspension)?).sqrt(),
            viscosity: suspension.dynamic_viscosity / suspension.density,
        })
    }
}

/// What a flow in a level pipe does with a grain.
///
/// Suspended up to a Rouse number `P = w/(κ u*)` of 1.2, partly carried up to 2.5; else it rolls from
/// its rolling speed on; else, and in any flow below a Reynolds number of 4000, it settles: `w` the
/// sinking speed and `u* = v √(f/8)` the friction speed in m/s, `v` the mean speed, `f` the friction
/// factor, `κ` 0.41.
///
/// Valid where the friction law is, and for no flow.
///
/// ```
/// use wetside_physics::sludge::{Carriage, Channel, Grain, MAGNETITE, Suspension, carriage};
/// let warm = Suspension { grain_density: MAGNETITE, density: 992.2, dynamic_viscosity: 0.6527e-3 };
/// let grain = Grain::new(&warm, 100e-6).unwrap();
/// let pipe = Channel { bore: 0.0202, roughness: 1.5e-6 };
/// assert_eq!(carriage(&grain, &pipe, 1.0).unwrap(), Carriage::Suspended);
/// assert_eq!(carriage(&grain, &pipe, 0.5).unwrap(), Carriage::Partly);
/// assert_eq!(carriage(&grain, &pipe, 0.05).unwrap(), Carriage::Settles);
/// ```
///
/// Source: H. Rouse, 1937, and sediment transport textbooks; A. Shields's threshold of 1936 (from
/// memory).
pub fn carriage(grain: &Grain, channel: &Channel, speed: f64) -> Result<Carriage, OutOfRange> {
    let reynolds = friction::reynolds(speed, channel.bore, grain.viscosity)?;
    if reynolds < TURBULENT_FROM {
        return Ok(Carriage::Settles);
    }
    let roughness = not_negative(ROUGHNESS, channel.roughness)? / channel.bore;
    let factor = friction::friction_factor(reynolds, roughness)?;
    let stirring = speed.abs() * (factor / 8.0).sqrt();
    let rouse = not_negative(SINKING, grain.sinking)? / (KARMAN * stirring);
    Ok(if rouse <= SUSPENDED_ROUSE {
        Carriage::Suspended
    } else if rouse <= PARTLY_ROUSE {
        Carriage::Partly
    } else if stirring >= grain.rolling {
        Carriage::Rolls
    } else {
        Carriage::Settles
    })
}

/// Whether a flow lifts a grain up a riser: the speed over three times the sinking speed.
///
/// Lifted when `v > 3 w`: `v` mean speed, `w` sinking speed, both in m/s. Returns `v/(3 w)`, so a
/// value above 1 passes.
///
/// Valid for a speed of at least 0 and a sinking speed above 0.
///
/// ```
/// let share = wetside_physics::sludge::riser_margin(0.30, 0.0185).unwrap();
/// assert!(share > 1.0);
/// ```
///
/// Source: common practice, no source.
pub fn riser_margin(speed: f64, sinking_speed: f64) -> Result<f64, OutOfRange> {
    Ok(not_negative(SPEED, speed)? / (3.0 * above_zero(SINKING, sinking_speed)?))
}
