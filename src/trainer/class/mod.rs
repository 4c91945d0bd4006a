//! What the marks of many sheets say.

pub mod skill;
mod tables;

pub use tables::{Class, FaultRow, MarkRow, Trainee, class, compared};
