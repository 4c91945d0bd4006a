//! The answer sheet: what is handed out with an exercise, and what comes back.

mod answers;
mod blank;
mod commas;
mod read;

pub(crate) use answers::Claim;
pub use answers::{Sheet, Verdict, What, person};
pub(crate) use blank::filled;
pub use blank::{MARKING, blank, schema_for};
#[cfg(test)]
pub(crate) use read::{WrittenClaim, WrittenSheet};
pub use read::{exercise_of, read};
