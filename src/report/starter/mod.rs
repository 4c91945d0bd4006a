//! Surveys to fill in, made from the vocabulary: all of it, what a first look needs, or what is asked.

mod asked;
mod write;

pub use asked::questions;
pub(crate) use write::offered;
pub use write::{full, survey};
