//! The built-in pack, and the texts of the catalogue of faults, so that the program carries them.
//!
//! Contract: the pack was checked when this crate was built; a pack with a problem stops the build. What is
//! carried is the checked data, so nothing is parsed at a start, and beside it the texts, for those who
//! want to read a rule. This crate must not judge.

use std::borrow::Cow;
use wetside_engine::check::Packs;
use wetside_engine::pack::{MOVED_FILE, PACK_FILE, PackFiles};

/// The name of the built-in pack, and of its folder.
const PACK_NAME: &str = "gb-domestic";

/// The files of the built-in pack, each with its path, in the order of the paths.
const PACK: &[(&str, &str)] = include!(concat!(env!("OUT_DIR"), "/pack.rs"));

/// The checked pack with its vocabulary.
const CHECKED: &[u8] = include_bytes!(concat!(env!("OUT_DIR"), "/checked"));

/// The files of the catalogue of faults for exercises.
pub const FAULTS: &[(&str, &str)] = include!(concat!(env!("OUT_DIR"), "/faults.rs"));

/// The built-in pack, ready to judge by; of the texts of its rules it judges nothing.
///
/// # Panics
/// Never: the build wrote the data with the same code that reads it here, and a test does.
pub fn without_texts() -> Packs {
    postcard::from_bytes(CHECKED).expect("the build wrote it")
}

/// The built-in pack, with the texts of its rules for those who want to read them.
pub fn packs() -> Packs {
    let rules = PACK.iter().filter(|(path, _)| {
        ![PACK_FILE, MOVED_FILE].contains(path)
            && !["tables/", "agreements/"]
                .iter()
                .any(|folder| path.starts_with(folder))
    });
    without_texts().with_texts(rules.map(|(_, text)| *text))
}

/// The files of the built-in pack.
pub fn files() -> PackFiles {
    let file = |(path, text): &(&str, &'static str)| (path.to_string(), Cow::Borrowed(*text));
    PackFiles {
        name: PACK_NAME.to_string(),
        files: PACK.iter().map(file).collect(),
    }
}
