//! The key of an exercise: its data, how it is made, and its file.

mod data;
pub(crate) mod file;
pub(crate) mod made;

pub use data::{Key, KeyDecoy, KeyFault, KeyFinding};
