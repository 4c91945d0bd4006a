//! What the parts of Wetside share: a text and its places, what is wrong in it, the words that a survey
//! may use, what is known of one system, and what a judgement finds.
//!
//! Contract: data, and the few functions that find a way in it. This crate must not know YAML, schemas,
//! formulas, the rule language, packs or reports.

pub mod facts;
pub mod finding;
pub mod problem;
pub mod shown;
pub mod source;
pub mod suggest;
pub mod vocabulary;
