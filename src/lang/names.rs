//! The names that a condition may use beside the facts: the limits, tables and lists of words of a pack.
//!
//! Contract: data only, already checked. This module must not know the files they came from.

use serde::{Deserialize, Serialize};
use wetside_base::vocabulary::{FieldId, Vocabulary, WordId};
use wetside_units::{Exact, Interval, Kind};

/// Everything a condition can name.
#[derive(Clone, Copy)]
pub struct Names<'a> {
    pub vocabulary: &'a Vocabulary,
    pub limits: &'a [Limit],
    pub tables: &'a [Table],
    pub lists: &'a [List],
}

impl<'a> Names<'a> {
    /// Those of a vocabulary alone, without a pack.
    pub fn of(vocabulary: &'a Vocabulary) -> Names<'a> {
        Names {
            vocabulary,
            limits: &[],
            tables: &[],
            lists: &[],
        }
    }
}

/// A named list of words of a pack.
#[derive(Clone, Debug, Serialize, Deserialize)]
pub struct List {
    pub name: String,
    pub words: Vec<WordId>,
}

impl List {
    /// As a condition names it.
    pub fn named(&self) -> String {
        format!("words.{}", self.name)
    }
}

impl Limit {
    /// As a condition names it.
    pub fn named(&self) -> String {
        format!("limit.{}", self.name)
    }
}

impl Table {
    /// As a condition names it.
    pub fn named(&self) -> String {
        format!("table.{}", self.name)
    }
}

/// A named threshold of a pack.
#[derive(Clone, Debug, Serialize, Deserialize)]
pub struct Limit {
    pub name: String,
    pub kind: Kind,
    /// In base units of the kind; of one that changes by the day all that it ever is.
    pub range: Interval,
    /// As the pack writes it: `43 °C`.
    pub written: String,
    /// Its values from days on, the first day first; none where it has one value for all days.
    pub from: Vec<From>,
}

/// What a limit is from a day on.
#[derive(Clone, Debug, Serialize, Deserialize)]
pub struct From {
    /// In seconds, as days are.
    pub day: Exact,
    pub range: Interval,
    /// As the pack writes it.
    pub written: String,
}

/// A table of a pack, with a row for every word of the field it is keyed by, or for bands of its number.
#[derive(Clone, Debug, Serialize, Deserialize)]
pub struct Table {
    pub name: String,
    pub keyed_by: FieldId,
    pub columns: Vec<Column>,
    /// In the order of the field's words, or from the lowest band up.
    pub rows: Vec<Row>,
}

#[derive(Clone, Debug, Serialize, Deserialize)]
pub struct Column {
    pub name: String,
    pub holds: Holds,
}

/// What a column holds.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub enum Holds {
    Quantity(Kind),
    YesOrNo,
    Text,
}

#[derive(Clone, Debug, Serialize, Deserialize)]
pub struct Row {
    pub key: Key,
    pub cells: Vec<Cell>,
}

impl Row {
    /// The word that picks it, unless a number does.
    pub fn word(&self) -> Option<WordId> {
        match self.key {
            Key::Word(word) => Some(word),
            Key::Band(_) => None,
        }
    }
}

/// What picks a row.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub enum Key {
    Word(WordId),
    /// In base units: from a number up to the next row's, which no longer belongs to it.
    Band(Interval),
}

#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub enum Cell {
    Quantity(Interval),
    Word(WordId),
    Text(String),
    /// The table does not know.
    Unknown,
}
