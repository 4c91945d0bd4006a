//! What the water carries: two sizes of magnetite, at the speeds of a branch.
//!
//! Contract: a [`Fate`] names what happens at the least and at the most favourable end of the ranges;
//! where the two differ, the fate is open between them. The grains are bare magnetite, the heaviest
//! that sludge is made of, so the fate errs towards leaving.

use crate::mains::ROUGHEST;
use crate::model::{Antifreeze, Tails};
use crate::range::Range;
use crate::series::Water;
use wetside_physics::OutOfRange;
use wetside_physics::sludge::{self, Carriage, Channel, Grain, MAGNETITE, Suspension, carriage};

/// Diameter of typical fine sludge, in m.
///
/// Source: common practice, no source; suspended magnetite may be finer still.
const FINE: f64 = 50e-6;
/// Diameter of coarse sludge on which to be careful, in m.
///
/// Source: common practice, no source.
const COARSE: f64 = 100e-6;

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

/// Grains of both sizes, each in the coldest and in the warmest water.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Sludge {
    fine: [Grain; 2],
    coarse: [Grain; 2],
}

impl Sludge {
    /// Valid as [`Water::at`].
    pub(crate) fn new(
        celsius: Range,
        antifreeze: Option<&Antifreeze>,
    ) -> Result<Sludge, OutOfRange> {
        let ends = Water::ends(celsius, antifreeze)?;
        let at = |diameter: f64, (density, dynamic_viscosity)| {
            let suspension = Suspension {
                grain_density: MAGNETITE,
                density,
                dynamic_viscosity,
            };
            Grain::new(&suspension, diameter)
        };
        let both = |diameter| Ok([at(diameter, ends[0])?, at(diameter, ends[1])?]);
        Ok(Sludge {
            fine: both(FINE)?,
            coarse: both(COARSE)?,
        })
    }

    /// What becomes of the finer and of the coarser grains in an emitter's tails.
    pub(crate) fn fates(&self, tails: &Tails, speed: Range) -> Result<[Fate; 2], OutOfRange> {
        Ok([
            fate(&self.fine, tails, speed)?,
            fate(&self.coarse, tails, speed)?,
        ])
    }

    /// Whether a riser with this speed lifts the coarser grains: the speed over three times their
    /// sinking speed, the least and the greatest of it.
    pub(crate) fn riser_margin(&self, speed: Range) -> Result<Range, OutOfRange> {
        let [cold, warm] = self.coarse.map(|grain| grain.sinking);
        Ok(Range::new(
            sludge::riser_margin(speed.low, cold.max(warm))?,
            sludge::riser_margin(speed.high, cold.min(warm))?,
        ))
    }
}

/// The fates at the corners of the ranges: a grain fares better the faster, the rougher and, but for
/// the bore, which turns, at the ends.
fn fate(grains: &[Grain; 2], tails: &Tails, speed: Range) -> Result<Fate, OutOfRange> {
    let (mut worst, mut best) = (Carriage::Suspended, Carriage::Settles);
    for grain in grains {
        for bore in [tails.bore.low, tails.bore.high] {
            // The friction law ends at a wall as rough as a tenth of the bore.
            let at = |speed, roughness: f64| {
                let roughness = roughness.min((ROUGHEST * bore).max(tails.roughness.low));
                carriage(grain, &Channel { bore, roughness }, speed)
            };
            worst = worst.min(at(speed.low, tails.roughness.low)?);
            best = best.max(at(speed.high, tails.roughness.high)?);
        }
    }
    Ok(Fate { worst, best })
}
