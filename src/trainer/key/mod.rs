//! The key of an exercise: its data, how it is made, and its file.

mod data;
pub(crate) mod made;
pub(crate) mod offered;

#[cfg(test)]
pub(crate) use data::{Drawn, WrittenFinding};
pub use data::{Key, KeyFinding, read, write};
pub(crate) use data::{KeyDecoy, KeyFault};
