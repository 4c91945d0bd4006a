//! The texts of the built-in pack and of the catalogue of faults, so that the program carries them.
//!
//! Contract: each text with its path within its folder, in the order of the paths. This crate must not
//! know what the texts mean.

/// The name of the built-in pack, and of its folder.
pub const PACK_NAME: &str = "gb-domestic";

/// The files of the built-in pack.
pub const PACK: &[(&str, &str)] = include!(concat!(env!("OUT_DIR"), "/pack.rs"));

/// The files of the catalogue of faults for exercises.
pub const FAULTS: &[(&str, &str)] = include!(concat!(env!("OUT_DIR"), "/faults.rs"));
