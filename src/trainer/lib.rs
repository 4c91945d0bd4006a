//! Exercises for the trainer: surveys with planted faults, and a key that proves itself.
//!
//! clean survey + catalogue → planted survey → proof → trainee's copy, answer sheet, key → marks
//!
//! Contract: everything here is pure. The same base, packs, catalogue and recipe give the same bytes
//! on every machine. An exercise whose key cannot be proved is not made; the reason is said. This
//! module knows rules by their names and outcomes only, and files not at all.
//!
//! In the order of reading:
//! - [`fault`], `load`, `edits`, `promises`: the catalogue
//! - `place`, [`text`], [`splice`], `plant`: a fault into a text
//! - `declared`, `leak`, [`prove`]: whether a key is true
//! - [`draw`], `harmless`, `bench`, `comments`, `make`, `lines`, `hand`: exercises
//! - [`course`]: many exercises from a recipe
//! - [`key`], `keyfile`, [`sheet`], [`page`]: what is handed out
//! - `target`, `missing`, `matching`, `refute`, `mark`: marking
//! - [`skill`], [`class`](mod@class): what marks say

mod bench;
pub mod class;
mod comments;
pub mod course;
mod declared;
pub mod draw;
mod edits;
pub mod fault;
mod hand;
mod harmless;
pub mod key;
mod keyfile;
mod leak;
mod lines;
mod load;
mod make;
mod mark;
mod marked;
mod matching;
mod missing;
mod number;
pub mod page;
mod place;
mod plant;
mod promises;
pub mod prove;
mod refute;
pub mod sheet;
pub mod skill;
pub mod splice;
mod target;
pub mod text;
mod titles;
mod yaml;

pub use fault::{Difficulty, Family, Fault};
pub use hand::by_hand;
pub use key::Key;
pub use keyfile::{read as read_key, write as write_key};
pub use load::{holds_a_fault, load};
pub use make::{Exercise, MOST_CHANGES, MOST_FAULTS, MOST_VARIANTS, Recipe, Refused, make};
pub use mark::{Ready, ready};
pub use marked::{ClaimMark, Fate, Lesson, Marked, PASS_MARK, TargetMark, WHOLE};
pub use place::{Found, Look};
pub use plant::{Planting, plantings};

use std::borrow::Cow;
use wetside_engine::pack::PackFiles;

/// All faults, in the order of their paths.
#[derive(Clone, Debug)]
pub struct Catalogue {
    pub faults: Vec<Fault>,
    /// The check sum of the files.
    pub sum: u64,
}

impl Default for Catalogue {
    fn default() -> Catalogue {
        Catalogue {
            faults: Vec::new(),
            sum: draw::EMPTY,
        }
    }
}

impl Catalogue {
    pub fn fault(&self, id: &str) -> Option<&Fault> {
        self.faults.iter().find(|fault| fault.id == id)
    }
}

/// The files of the catalogue that the program carries.
pub fn built_in() -> PackFiles {
    let own = |(path, text): &(&str, &'static str)| (path.to_string(), Cow::Borrowed(*text));
    PackFiles {
        name: "gb-domestic-faults".to_string(),
        files: wetside_rules::FAULTS.iter().map(own).collect(),
    }
}
