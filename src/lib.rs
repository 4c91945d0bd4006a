//! Wetside judges the survey of a wet central-heating system before a power flush.

pub mod document;
pub mod problem;
pub mod source;
