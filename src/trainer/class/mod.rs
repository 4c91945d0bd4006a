//! What the marks of many sheets say.

pub mod record;
pub mod skill;
mod tables;

pub use tables::{Asked, Class, Compared, FaultRow, MarkRow, Trainee, class, compared, person};
