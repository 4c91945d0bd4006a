//! Whether a flow carries a grain, rolls it or leaves it.
//!
//! Contract: as the module above. The friction of the wall stirs the water; a grain stays up when the
//! stirring outweighs its sinking.

use super::sinking::{Suspension, excess, sinking_speed};
use crate::friction::{self, TURBULENT_FROM};
use crate::{GRAVITY, OutOfRange, ROUGHNESS, above_zero, not_negative};

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
