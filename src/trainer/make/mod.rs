//! Exercises: drawn, written by hand, or many of both as a course.

mod batch;
mod bench;
mod comments;
pub mod course;
mod expected;
mod hand;
mod harmless;

pub use batch::{Exercise, MOST_CHANGES, MOST_FAULTS, MOST_SURVEYS, Options, make};
pub use hand::by_hand;
