//! Faults into texts, and whether a key is true.

pub(crate) mod declared;
pub(crate) mod plant;
pub mod prove;
