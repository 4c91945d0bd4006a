//! Whether a flow carries a grain, rolls it or leaves it.
//!
//! Contract: as the module above. The friction of the wall stirs the water; a grain stays up when the
//! stirring outweighs its sinking.

use super::{DIAMETER, DYNAMIC, HIGHEST_GRAIN_REYNOLDS, Suspension};
use super::{excess, sinking_speed, slowed, stokes};
use crate::friction::{self, TURBULENT_FROM};
use crate::{
    BORE, DENSITY, GRAVITY, KINEMATIC, OutOfRange, ROUGHNESS, above_zero, not_negative,
    root_of_increasing,
};

/// Up to this Rouse number a grain is carried in suspension: the recommended limit.
///
/// Source: sediment transport textbooks (from memory).
pub const SUSPENDED_ROUSE: f64 = 1.2;

/// Up to this Rouse number a grain is carried partly, near the bottom.
///
/// Source: sediment transport textbooks (from memory).
pub const PARTLY_ROUSE: f64 = 2.5;

/// Von Kármán's constant.
const KARMAN: f64 = 0.41;
/// The Shields number at which a loose grain begins to roll.
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

/// A speed needed, and whether it is set by turbulence alone.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct NeededSpeed {
    /// In m/s.
    pub speed: f64,
    /// True when the grain would need less, but the flow would not be turbulent.
    pub set_by_turbulence: bool,
}

/// Friction speed of a flow in a pipe, in m/s.
///
/// `u* = v √(f/8)`: `v` mean speed in m/s, `f` the friction factor.
///
/// Valid where the friction law is.
///
/// ```
/// use wetside_physics::sludge::{Channel, friction_speed};
/// let pipe = Channel { bore: 0.0136, roughness: 1.5e-6 };
/// assert!((friction_speed(&pipe, 1.3768, 6.5785e-7).unwrap() - 0.0755).abs() < 1e-4);
/// ```
///
/// Source: the definition (textbook, from memory).
pub fn friction_speed(
    channel: &Channel,
    speed: f64,
    kinematic_viscosity: f64,
) -> Result<f64, OutOfRange> {
    let reynolds = friction::reynolds(speed, channel.bore, kinematic_viscosity)?;
    let roughness = not_negative(ROUGHNESS, channel.roughness)? / channel.bore;
    let factor = friction::friction_factor(reynolds, roughness)?;
    Ok(speed.abs() * (factor / 8.0).sqrt())
}

/// Rouse number: sinking against stirring, without unit.
///
/// `P = w/(κ u*)`: `w` sinking speed and `u*` friction speed in m/s, `κ` 0.41.
///
/// Valid for speeds above 0, in turbulent flow.
///
/// ```
/// let p = wetside_physics::sludge::rouse_number(18.5e-3, 0.0755).unwrap();
/// assert!((p - 0.598).abs() < 1e-3);
/// ```
///
/// Source: H. Rouse, 1937; sediment transport textbooks (from memory).
pub fn rouse_number(sinking_speed: f64, friction_speed: f64) -> Result<f64, OutOfRange> {
    let friction_speed = above_zero(("friction speed", "m/s"), friction_speed)?;
    Ok(not_negative(SINKING, sinking_speed)? / (KARMAN * friction_speed))
}

/// What a flow in a level pipe does with a grain.
///
/// Suspended up to a Rouse number of 1.2, partly carried up to 2.5; else it rolls where
/// `u*² ≥ 0.05 g d (ρ_p/ρ − 1)`; else, and in any flow below a Reynolds number of 4000, it settles.
///
/// Valid where [`sinking_speed`] and the friction law are, and for no flow.
///
/// ```
/// use wetside_physics::sludge::{Carriage, Channel, MAGNETITE, Suspension, carriage};
/// let warm = Suspension { grain_density: MAGNETITE, density: 992.2, dynamic_viscosity: 0.6527e-3 };
/// let pipe = Channel { bore: 0.0202, roughness: 1.5e-6 };
/// assert_eq!(carriage(&warm, &pipe, 100e-6, 1.0).unwrap(), Carriage::Suspended);
/// assert_eq!(carriage(&warm, &pipe, 100e-6, 0.5).unwrap(), Carriage::Partly);
/// assert_eq!(carriage(&warm, &pipe, 100e-6, 0.05).unwrap(), Carriage::Settles);
/// ```
///
/// Source: Rouse's number, and A. Shields's threshold of 1936 (from memory).
pub fn carriage(
    suspension: &Suspension,
    channel: &Channel,
    diameter: f64,
    speed: f64,
) -> Result<Carriage, OutOfRange> {
    let sinking = sinking_speed(suspension, diameter)?;
    let viscosity = kinematic(suspension)?;
    if friction::reynolds(speed, channel.bore, viscosity)? < TURBULENT_FROM {
        return Ok(Carriage::Settles);
    }
    let stirring = friction_speed(channel, speed, viscosity)?;
    let rouse = rouse_number(sinking, stirring)?;
    let rolls = stirring * stirring >= SHIELDS * GRAVITY * diameter * excess(suspension)?;
    Ok(if rouse <= SUSPENDED_ROUSE {
        Carriage::Suspended
    } else if rouse <= PARTLY_ROUSE {
        Carriage::Partly
    } else if rolls {
        Carriage::Rolls
    } else {
        Carriage::Settles
    })
}

/// Mean speed at which a grain has a given Rouse number, in m/s.
///
/// The `v` at which `w/(κ u*(v)) = P`, and never below that of a Reynolds number of 4000: symbols as
/// in [`rouse_number`]. Found by halving, since `u*` rises with `v`.
///
/// Valid for a Rouse number above 0, where [`sinking_speed`] and the friction law are.
///
/// ```
/// use wetside_physics::sludge::{Channel, MAGNETITE, Suspension, SUSPENDED_ROUSE, speed_to_carry};
/// let warm = Suspension { grain_density: MAGNETITE, density: 992.2, dynamic_viscosity: 0.6527e-3 };
/// let pipe = Channel { bore: 0.0202, roughness: 1.5e-6 };
/// let needed = speed_to_carry(&warm, &pipe, 100e-6, SUSPENDED_ROUSE).unwrap();
/// assert!((needed.speed - 0.94).abs() < 0.01);
/// ```
///
/// Source: as [`carriage`].
pub fn speed_to_carry(
    suspension: &Suspension,
    channel: &Channel,
    diameter: f64,
    rouse: f64,
) -> Result<NeededSpeed, OutOfRange> {
    let rouse = above_zero(("Rouse number", ""), rouse)?;
    let stirring = sinking_speed(suspension, diameter)? / (KARMAN * rouse);
    speed_for_stirring(suspension, channel, stirring)
}

/// Mean speed at which a loose grain begins to roll along a level pipe, in m/s.
///
/// The `v` at which `u*² = 0.05 g d (ρ_p/ρ − 1)`, and never below that of a Reynolds number of 4000.
///
/// Valid for a diameter above 0, where the friction law is.
///
/// ```
/// use wetside_physics::sludge::{Channel, MAGNETITE, Suspension, speed_to_roll};
/// let warm = Suspension { grain_density: MAGNETITE, density: 992.2, dynamic_viscosity: 0.6527e-3 };
/// let pipe = Channel { bore: 0.0202, roughness: 1.5e-6 };
/// assert!((speed_to_roll(&warm, &pipe, 500e-6).unwrap().speed - 0.55).abs() < 0.01);
/// ```
///
/// Source: A. Shields, 1936 (from memory).
pub fn speed_to_roll(
    suspension: &Suspension,
    channel: &Channel,
    diameter: f64,
) -> Result<NeededSpeed, OutOfRange> {
    let diameter = above_zero(DIAMETER, diameter)?;
    let stirring = (SHIELDS * GRAVITY * diameter * excess(suspension)?).sqrt();
    speed_for_stirring(suspension, channel, stirring)
}

/// Diameter of the largest grain that a flow keeps within a Rouse number, in m.
///
/// The `d` at which `w(d) = P κ u*`; 0 below a Reynolds number of 4000. Found by halving, since the
/// sinking speed rises with the diameter.
///
/// Valid for a Rouse number above 0, up to the grain at which [`sinking_speed`] ends.
///
/// ```
/// use wetside_physics::sludge::{Channel, MAGNETITE, Suspension, SUSPENDED_ROUSE, largest_carried};
/// let warm = Suspension { grain_density: MAGNETITE, density: 992.2, dynamic_viscosity: 0.6527e-3 };
/// let pipe = Channel { bore: 0.0202, roughness: 1.5e-6 };
/// let largest = largest_carried(&warm, &pipe, 0.94, SUSPENDED_ROUSE).unwrap();
/// assert!((largest - 100e-6).abs() < 1e-6);
/// ```
///
/// Source: as [`carriage`].
pub fn largest_carried(
    suspension: &Suspension,
    channel: &Channel,
    speed: f64,
    rouse: f64,
) -> Result<f64, OutOfRange> {
    let rouse = above_zero(("Rouse number", ""), rouse)?;
    let viscosity = kinematic(suspension)?;
    if friction::reynolds(speed, channel.bore, viscosity)? < TURBULENT_FROM {
        return Ok(0.0);
    }
    let sinking = rouse * KARMAN * friction_speed(channel, speed, viscosity)?;
    // Stokes's speed is the upper bound, so the diameter that gives it is the lower one; the drag
    // that slows the grain is at most that of its highest Reynolds number.
    let least = (sinking / stokes(suspension, 1.0)?.0).sqrt();
    let most = least * (1.0 + 0.15 * HIGHEST_GRAIN_REYNOLDS.powf(0.687)).sqrt();
    let too_fast = |diameter: f64| {
        slowed(suspension, diameter).map_or(f64::INFINITY, |(speed, _)| speed - sinking)
    };
    let diameter = root_of_increasing(least, most, too_fast);
    sinking_speed(suspension, diameter)?;
    Ok(diameter)
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

fn kinematic(suspension: &Suspension) -> Result<f64, OutOfRange> {
    let density = above_zero(DENSITY, suspension.density)?;
    Ok(above_zero(DYNAMIC, suspension.dynamic_viscosity)? / density)
}

fn speed_for_stirring(
    suspension: &Suspension,
    channel: &Channel,
    stirring: f64,
) -> Result<NeededSpeed, OutOfRange> {
    let viscosity = above_zero(KINEMATIC, kinematic(suspension)?)?;
    let per_reynolds = viscosity / above_zero(BORE, channel.bore)?;
    let stirred = |speed: f64| friction_speed(channel, speed, viscosity);
    let floor = TURBULENT_FROM * per_reynolds;
    if stirred(floor)? >= stirring {
        return Ok(NeededSpeed {
            speed: floor,
            set_by_turbulence: true,
        });
    }
    // The friction factor lies above 0.005 wherever the law holds, so this speed is enough.
    let ceiling = 40.0 * stirring;
    stirred(ceiling)?;
    let speed = root_of_increasing(floor, ceiling, |speed| {
        stirred(speed).map_or(f64::INFINITY, |reached| reached - stirring)
    });
    Ok(NeededSpeed {
        speed,
        set_by_turbulence: false,
    })
}
