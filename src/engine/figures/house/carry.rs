//! What the water carries: two sizes of magnetite, at the speeds of a branch.
//!
//! Contract: a [`Fate`] names what happens at the least and at the most favourable end of the ranges;
//! where the two differ, the fate is open between them. The grains are bare magnetite, the heaviest
//! that sludge is made of, so the fate errs towards leaving. The judgement is that of
//! [`physics::sludge::carriage`](wetside_physics::sludge::carriage).

use crate::figures::range::Range;
use wetside_physics::sludge::{self, Carriage, Channel, Grain, MAGNETITE, Suspension, carriage};
use wetside_physics::{OutOfRange, water};

/// Diameter of typical fine sludge, in m.
///
/// Source: common practice, no source; suspended magnetite may be finer still.
pub const FINE: f64 = 50e-6;
/// Diameter of coarse sludge on which to be careful, in m.
///
/// Source: common practice, no source.
pub const COARSE: f64 = 100e-6;

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

/// Grains of both sizes, in the coldest and in the warmest water.
#[derive(Clone, Copy, Debug)]
pub struct Grains {
    fine: [Grain; 2],
    coarse: [Grain; 2],
}

impl Grains {
    /// Valid from 0 to 100 °C.
    pub fn new(celsius: Range) -> Result<Grains, OutOfRange> {
        let both = |diameter| -> Result<[Grain; 2], OutOfRange> {
            let cold = grain(diameter, celsius.low)?;
            let warm = match celsius.is_point() {
                true => cold,
                false => grain(diameter, celsius.high)?,
            };
            Ok([cold, warm])
        };
        Ok(Grains {
            fine: both(FINE)?,
            coarse: both(COARSE)?,
        })
    }

    pub fn fine(&self, bore: Range, roughness: Range, speed: Range) -> Result<Fate, OutOfRange> {
        fate(&self.fine, bore, roughness, speed)
    }

    pub fn coarse(&self, bore: Range, roughness: Range, speed: Range) -> Result<Fate, OutOfRange> {
        fate(&self.coarse, bore, roughness, speed)
    }
}

fn grain(diameter: f64, celsius: f64) -> Result<Grain, OutOfRange> {
    let suspension = Suspension {
        grain_density: MAGNETITE,
        density: water::density(celsius)?,
        dynamic_viscosity: water::dynamic_viscosity(celsius)?,
    };
    Grain::new(&suspension, diameter)
}

/// The fates at the corners of the ranges: a grain fares better the faster, the rougher and, but for
/// the bore, which turns, at the ends.
fn fate(
    grains: &[Grain; 2],
    bore: Range,
    roughness: Range,
    speed: Range,
) -> Result<Fate, OutOfRange> {
    let (mut worst, mut best) = (Carriage::Suspended, Carriage::Settles);
    let bores = if bore.is_point() { 1 } else { 2 };
    for grain in grains {
        for bore in [bore.low, bore.high].into_iter().take(bores) {
            // The friction law ends at a wall as rough as a twentieth of the bore.
            let at = |speed, roughness: f64| {
                let roughness = roughness.min(0.0499 * bore);
                carriage(grain, &Channel { bore, roughness }, speed)
            };
            worst = worst.min(at(speed.low, roughness.low)?);
            best = best.max(at(speed.high, roughness.high)?);
        }
    }
    Ok(Fate { worst, best })
}

/// Whether a riser with this speed lifts the coarser grains: the speed over three times their sinking
/// speed, the least and the greatest of it.
///
/// Valid for a speed of at least 0.
pub fn riser_margin(grains: &Grains, speed: Range) -> Result<Range, OutOfRange> {
    let [cold, warm] = grains.coarse.map(|grain| grain.sinking);
    Ok(Range::new(
        sludge::riser_margin(speed.low, cold.max(warm))?,
        sludge::riser_margin(speed.high, cold.min(warm))?,
    ))
}
