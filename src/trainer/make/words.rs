//! The words that sound houses have, so that a fault need not be the only one that has its word.
//!
//! Contract: numbers and what is not there show nothing, since they differ from house to house. This module must not
//! know rules.

use super::harmless::{Leaf, leaves};
use super::varies::Table;
use crate::proof::plant::Planting;
use crate::survey::look::Look;
use std::collections::{BTreeMap, BTreeSet};
use wetside_base::vocabulary::{FieldId, Vocabulary};
use wetside_edit::splice::Sort;

pub(crate) struct Words(BTreeMap<FieldId, BTreeSet<String>>);

const UNKNOWN: &str = "unknown";
/// A word that fewer surveys have than one of so many is as good as theirs alone.
const ONE_OF: usize = 4;

impl Words {
    /// Those that surveys share, and those that houses are varied by.
    pub(crate) fn of(surveys: &[Look], table: &Table, vocabulary: &Vocabulary) -> Words {
        let mut seen: BTreeMap<(FieldId, String), BTreeSet<usize>> = BTreeMap::new();
        for (at, look) in surveys.iter().enumerate() {
            for leaf in leaves(look, vocabulary) {
                for word in parts(look.source.slice(leaf.span())) {
                    seen.entry((leaf.field, word)).or_default().insert(at);
                }
            }
        }
        let shared = seen
            .into_iter()
            .filter(|(_, of)| of.len() * ONE_OF > surveys.len());
        let mut words: BTreeMap<FieldId, BTreeSet<String>> = BTreeMap::new();
        for ((field, word), _) in shared {
            words.entry(field).or_default().insert(word);
        }
        for (id, field) in vocabulary.fields() {
            let drawn = table.words().filter(|(path, _)| **path == field.path);
            let drawn = drawn.flat_map(|(_, words)| words.iter().cloned());
            let open = table.leaves_open(&field.path).then(|| UNKNOWN.to_string());
            words.entry(id).or_default().extend(drawn.chain(open));
        }
        Words(words)
    }

    /// Whether every word that a planting writes stands in sound houses too.
    pub(crate) fn hide(&self, planting: &Planting<'_>, leaves: &[Leaf]) -> bool {
        let of_value = |sort| matches!(sort, Sort::Value | Sort::Unknown);
        let mut written = planting
            .splices
            .iter()
            .filter(|splice| of_value(splice.sort));
        written.all(|splice| {
            let Some(leaf) = leaves.iter().find(|leaf| leaf.span() == splice.at) else {
                return true;
            };
            let known = self.0.get(&leaf.field);
            let mut words = parts(&splice.text).into_iter();
            words.all(|word| is_number(&word) || known.is_some_and(|known| known.contains(&word)))
        })
    }
}

fn is_number(word: &str) -> bool {
    let word = word.strip_prefix("about ").unwrap_or(word);
    word.starts_with(|sign: char| sign.is_ascii_digit() || sign == '-')
}

/// The words of a set, or the one that stands alone.
fn parts(text: &str) -> Vec<String> {
    let plain = |word: &str| word.trim().trim_matches('"').to_string();
    match text.strip_prefix('[') {
        Some(set) => set.trim_end_matches(']').split(',').map(plain).collect(),
        None => vec![plain(text)],
    }
}
