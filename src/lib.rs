//! Wetside judges the survey of a wet central-heating system before a power flush.

pub mod cases;
pub mod check;
pub mod cli;
pub mod document;
pub mod exercise;
pub mod facts;
pub mod figures;
pub mod finding;
pub mod gaps;
pub mod lang;
pub mod markers;
pub mod pack;
pub mod physics;
pub mod problem;
pub mod report;
pub mod run;
pub mod schema;
pub mod source;
pub mod starter;
pub mod suggest;
pub mod truth;
pub mod units;
pub mod vocabulary;
