//! Exercises for the trainer: surveys with planted faults, and a key that proves itself.
//!
//! clean survey + catalogue → planted survey → proof → trainee's copy, answer sheet, key → marks
//!
//! Contract: everything here is pure. The same base, packs, catalogue and options give the same bytes
//! on every machine. An exercise whose key cannot be proved is not made; the reason is said. This
//! crate knows rules by their names and outcomes only, and files, pages and tables not at all.
//!
//! In the order of reading, each folder using only those above it:
//! - `draw`: chance and check sums
//! - `fault`: the catalogue
//! - `survey`: a survey's text and what is known of it; `titles`: the titles of rules
//! - `proof`: a fault into a text, and whether a key is true
//! - `key`, [`sheet`]: what is handed out
//! - `make`: exercises
//! - `mark`: marking
//! - [`class`](mod@class): what marks say

pub mod class;
mod draw;
mod fault;
mod key;
mod make;
mod mark;
mod proof;
#[cfg(test)]
mod shapes;
pub mod sheet;
mod survey;
mod titles;

pub use fault::{Answer, Catalogue, Difficulty, Fault, built_in, holds_a_fault, load};
pub use key::{Key, KeyFinding, read as read_key, write as write_key};
pub use make::{
    Exercise, MOST_CHANGES, MOST_FAULTS, MOST_SURVEYS, Options, Refused, by_hand, course, make,
};
pub use mark::{
    Asked, Change, Fate, Lesson, Marked, Offered, PASS_MARK, Ready, Reasoning, TargetMark, WHOLE,
    ready,
};
pub use proof::plant::plantings;
pub use proof::prove;
pub use survey::look::Look;
pub use survey::text;
