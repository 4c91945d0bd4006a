//! Wetside judges the survey of a wet central-heating system before a power flush.

// pub mod facts; // waits for the document reader
pub mod finding;
pub mod problem;
pub mod report;
pub mod source;
pub mod suggest;
pub mod truth;
pub mod units;
pub mod vocabulary;
