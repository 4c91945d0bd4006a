//! Wetside judges the survey of a wet central-heating system before a power flush.

pub mod physics;
pub mod problem;
pub mod source;
