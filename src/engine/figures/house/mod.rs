//! The house behind a survey: facts to its model, and what the model gives to figures.
//!
//! In the order of reading: `reader`, `around` and `read` (facts to a house), [`branches`] (the figures of each
//! branch), [`points`] (those of the points of connection), `widens` (what makes them wide). The
//! model itself is a crate of its own, which knows
//! no survey.

mod around;
pub(super) mod branches;
pub(super) mod points;
pub(super) mod read;
mod reader;
pub(super) mod widens;

pub use branches::words;
