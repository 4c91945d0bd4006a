//! Which figures somebody reads, so that nothing is worked out in vain.
//!
//! Contract: what a text of rules may read is wanted, and what those figures take in turn. To want too
//! much costs time and changes nothing; a text that could hide a name wants everything.

use super::house::{best, points};
use super::table::{Figure, Origin};
use super::{emitters, lists, table};
use crate::vocabulary::Vocabulary;
use std::collections::BTreeSet;

/// The names of figures and of lists of figures that are read.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Wanted {
    names: BTreeSet<&'static str>,
    /// Of the points of connection also what takes the network with everything open.
    all_open: bool,
}

impl Wanted {
    pub fn nothing() -> Wanted {
        Wanted::default()
    }

    pub fn everything() -> Wanted {
        let rows = table().map(|figure| figure.name);
        Wanted {
            names: rows.chain(lists().map(|list| list.name)).collect(),
            all_open: true,
        }
    }

    /// What a text of rules may read. A text that has the words in another sense wants them too, which
    /// does no harm.
    pub fn by(text: &str) -> Wanted {
        // An escape could hide any name.
        if text.contains('\\') {
            return Wanted::everything();
        }
        let mut wanted = Wanted::nothing();
        for (at, word) in text.match_indices(Vocabulary::FIGURES) {
            let after = text[at + word.len()..].trim_start();
            let Some(after) = after.strip_prefix('.') else {
                continue;
            };
            let after = after.trim_start();
            let end =
                after.find(|c: char| !c.is_ascii_lowercase() && !c.is_ascii_digit() && c != '_');
            let name = &after[..end.unwrap_or(after.len())];
            wanted.name(name);
        }
        let names = points::LISTS.iter().map(|list| list.name);
        for name in names {
            let open = points::ALL_OPEN.iter().any(|field| text.contains(field));
            wanted.all_open |= open && wanted.has(name);
        }
        wanted
    }

    /// Wants a figure or a list with all that it takes.
    fn name(&mut self, name: &str) {
        if let Some(list) = lists().find(|list| list.name == name) {
            self.names.insert(list.name);
            self.contents();
        }
        if let Some(figure) = table().find(|figure| figure.name == name) {
            self.figure(figure);
        }
    }

    fn figure(&mut self, figure: &'static Figure) {
        if !self.names.insert(figure.name) {
            return;
        }
        self.contents();
        if best::OF_POINTS.contains(&figure.name) {
            self.names
                .extend(points::LISTS.iter().map(|list| list.name));
            self.names
                .extend(best::FIGURES.iter().map(|other| other.name));
        }
        for input in figure.inputs {
            if let Origin::Figure(name) = input.origin {
                self.name(name);
            }
        }
    }

    /// What emitters hold, which costs little, goes into volumes and branches.
    fn contents(&mut self) {
        self.names
            .extend(emitters::LISTS.iter().map(|list| list.name));
    }

    pub fn has(&self, name: &str) -> bool {
        self.names.contains(name)
    }

    /// Whether points of connection are wanted with everything open.
    pub fn with_all_open(&self) -> bool {
        self.all_open
    }

    /// What either wants.
    #[must_use]
    pub fn and(mut self, other: Wanted) -> Wanted {
        self.names.extend(other.names);
        self.all_open |= other.all_open;
        self
    }
}
