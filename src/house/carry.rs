//! What the water carries: two sizes of magnetite, at the speeds of a branch.
//!
//! Contract: a [`Fate`] names what happens at the least and at the most favourable end of the ranges;
//! where the two differ, the fate is open between them. The grains are bare magnetite, the heaviest
//! that sludge is made of, so the fate errs towards leaving. The judgement is that of
//! [`physics::sludge::carriage`](wetside_physics::sludge::carriage), with the sinking speeds kept from
//! one branch to the next.

use crate::model::Tails;
use crate::range::Range;
use wetside_physics::sludge::{
    self, Carriage, Channel, MAGNETITE, PARTLY_ROUSE, SUSPENDED_ROUSE, Suspension,
};
use wetside_physics::{GRAVITY, OutOfRange, friction, water};

/// Diameter of typical fine sludge, in m.
///
/// Source: common practice, no source; suspended magnetite may be finer still.
const FINE: f64 = 50e-6;
/// Diameter of coarse sludge on which to be careful, in m.
///
/// Source: common practice, no source.
const COARSE: f64 = 100e-6;

/// Turbulent flow begins at this Reynolds number; below it nothing is held up.
const TURBULENT: f64 = 4000.0;
/// The Shields number at which a loose grain begins to roll.
///
/// Source: A. Shields, 1936 (from memory), as in the physics.
const SHIELDS: f64 = 0.05;

/// What becomes of grains of one size.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Fate {
    pub worst: Carriage,
    pub best: Carriage,
}

impl Fate {
    /// The fate, where it is the same throughout the ranges.
    pub fn known(self) -> Option<Carriage> {
        (self.worst == self.best).then_some(self.worst)
    }
}

/// Grains of one size in water of one temperature.
#[derive(Clone, Copy, Debug)]
struct Grain {
    /// Sinking speed in m/s.
    sinking: f64,
    /// Friction speed in m/s at which it rolls.
    rolling: f64,
    viscosity: f64,
}

/// Grains of both sizes, each in the coldest and in the warmest water.
#[derive(Clone, Copy, Debug)]
pub struct Grains {
    fine: [Grain; 2],
    coarse: [Grain; 2],
}

impl Grains {
    /// Valid from 0 to 100 °C.
    pub fn new(celsius: Range) -> Result<Grains, OutOfRange> {
        let both = |diameter| {
            Ok([
                grain(diameter, celsius.low)?,
                grain(diameter, celsius.high)?,
            ])
        };
        Ok(Grains {
            fine: both(FINE)?,
            coarse: both(COARSE)?,
        })
    }

    /// What becomes of the finer and of the coarser in an emitter's tails.
    pub fn fates(&self, tails: &Tails, speed: Range) -> Result<[Fate; 2], OutOfRange> {
        Ok([
            fate(&self.fine, tails, speed)?,
            fate(&self.coarse, tails, speed)?,
        ])
    }

    /// Whether a riser with this speed lifts the coarser grains: the speed over three times their
    /// sinking speed, the least and the greatest of it.
    pub fn riser_margin(&self, speed: Range) -> Result<Range, OutOfRange> {
        let [cold, warm] = self.coarse.map(|grain| grain.sinking);
        Ok(Range::new(
            sludge::riser_margin(speed.low, cold.max(warm))?,
            sludge::riser_margin(speed.high, cold.min(warm))?,
        ))
    }
}

fn grain(diameter: f64, celsius: f64) -> Result<Grain, OutOfRange> {
    let suspension = Suspension {
        grain_density: MAGNETITE,
        density: water::density(celsius)?,
        dynamic_viscosity: water::dynamic_viscosity(celsius)?,
    };
    let excess = MAGNETITE / suspension.density - 1.0;
    Ok(Grain {
        sinking: sludge::sinking_speed(&suspension, diameter)?,
        rolling: (SHIELDS * GRAVITY * diameter * excess).sqrt(),
        viscosity: suspension.dynamic_viscosity / suspension.density,
    })
}

/// The fates at the corners of the ranges: a grain fares better the faster, the rougher and, but for
/// the bore, which turns, at the ends.
fn fate(grains: &[Grain; 2], tails: &Tails, speed: Range) -> Result<Fate, OutOfRange> {
    let (mut worst, mut best) = (Carriage::Suspended, Carriage::Settles);
    for grain in grains {
        for bore in [tails.bore.low, tails.bore.high] {
            // The friction law ends at a wall as rough as a twentieth of the bore.
            let at = |speed, roughness: f64| {
                let roughness = roughness.min(0.0499 * bore);
                carriage(grain, &Channel { bore, roughness }, speed)
            };
            worst = worst.min(at(speed.low, tails.roughness.low)?);
            best = best.max(at(speed.high, tails.roughness.high)?);
        }
    }
    Ok(Fate { worst, best })
}

fn carriage(grain: &Grain, channel: &Channel, speed: f64) -> Result<Carriage, OutOfRange> {
    if friction::reynolds(speed, channel.bore, grain.viscosity)? < TURBULENT {
        return Ok(Carriage::Settles);
    }
    let stirring = sludge::friction_speed(channel, speed, grain.viscosity)?;
    let rouse = sludge::rouse_number(grain.sinking, stirring)?;
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
