//! The survey's schema: the words that it defines, and whether a document has its shape.
//!
//! Contract: the JSON Schema file is the single place where a field is named, typed and explained;
//! [`vocabulary`] reads it, nothing repeats it. A survey is well shaped or not, whatever the pack:
//! this module must not know rules.

pub mod check;
mod load;

pub use load::{fields, vocabulary};
