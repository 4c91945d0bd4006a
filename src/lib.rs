//! Wetside judges the survey of a wet central-heating system before a power flush.

pub mod problem;
pub mod source;
pub mod truth;
pub mod units;
