//! Sludge in moving water: how fast a grain sinks, whether a flow carries it, rolls it or leaves it.
//!
//! Contract: grains are single spheres unless the name says otherwise. Wet flocs are porous and
//! lighter, so the density of magnetite is the cautious end. The tests are for pipes in turbulent
//! flow; they say nothing about the inside of a radiator, where the water hardly moves.

mod carriage;
mod sinking;

pub use carriage::{Carriage, Channel, Grain, carriage, riser_margin};
pub use sinking::{MAGNETITE, Suspension, sinking_speed};
