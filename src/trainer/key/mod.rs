//! The key of an exercise: its data, how it is made, and its file.

mod data;
pub(crate) mod file;
pub(crate) mod made;

#[cfg(test)]
pub(crate) use data::{Drawn, WrittenFinding};
pub(crate) use data::{KeyDecoy, KeyFault};
pub use data::{Key, KeyFinding};
