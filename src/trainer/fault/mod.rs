//! The catalogue of faults.

mod draft;
mod edits;
mod load;
mod planned;
mod promises;

pub use load::{built_in, holds_a_fault, load};
pub(crate) use planned::{Answer, Edit, FieldPath, Promise, Sight, Things, Written};
pub use planned::{Catalogue, Difficulty, Family, Fault};
