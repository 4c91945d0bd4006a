//! Faults into texts, and whether a key is true.

pub(crate) mod declared;
mod defect;
mod leak;
pub(crate) mod plant;
pub mod prove;

pub(crate) use defect::Defect;
