//! The catalogue of faults.

mod draft;
mod edits;
mod load;
mod planned;
mod written;

#[cfg(test)]
pub(crate) use written::{WrittenEdit, WrittenFault, WrittenLook, WrittenPromise};

pub(crate) use load::by_heart;
pub use load::{built_in, holds_a_fault, load};
pub use planned::{Answer, Catalogue, Difficulty, Fault};
pub(crate) use planned::{Edit, Family, FieldPath, Promise, Sight, Things, Written};
