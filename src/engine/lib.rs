//! From the text of a survey to its judgement and figures.
//!
//! text → document with spans → shape check → facts → figures → rules → findings → judgement
//!
//! Contract: pure. Nothing here touches files, environment, time or terminal, and nothing prints.

pub mod agreements;
pub mod analysis;
pub mod cases;
pub mod check;
pub mod comparison;
mod departures;
pub mod digest;
pub mod expectations;
pub mod figures;
pub mod gaps;
pub mod interview;
pub mod layers;
pub mod moved;
pub mod mutants;
pub mod pack;
pub mod read;
pub mod run;
pub mod schema;
