//! Figures: what an engineer cannot see, worked out from what a survey records.

pub mod house;
pub mod range;
