//! What the marks of many sheets say.

pub mod record;
pub mod skill;
mod tables;

pub use tables::{Class, Compared, FaultRow, MarkRow, Trainee, class, compared};
