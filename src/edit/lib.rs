//! Answers into the text of a survey.
//!
//! Contract: a change is one splice of the text; every byte beside it stays, with comments, layout, line
//! ends, byte order mark and a missing last line break. What was written is read again before it is given
//! back: the wanted value differs and nothing else, and no problem has come up. Where that cannot be had
//! the change is refused with the line to write by hand. This crate must not know rules, and no word of a
//! survey beside those that give a list its form.

mod lists;
mod place;
mod proof;
pub mod splice;
mod tree;
mod write;
pub mod yaml;

pub use place::{Answer, Place, Step};
pub use write::{Edited, append, earlier, remove, set};
