//! Exercises: drawn, written by hand, or many of both as a course.

mod batch;
mod bench;
pub mod course;
mod expected;
mod hand;
mod harmless;
mod house;
mod options;
mod turns;
mod varies;

pub use batch::{Exercise, make};
pub use hand::by_hand;
pub use options::{MOST_CHANGES, MOST_FAULTS, MOST_SURVEYS, Options, Refused};
