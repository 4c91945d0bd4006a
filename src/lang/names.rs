//! The names that a condition may use beside the facts: the limits and tables of a pack.
//!
//! Contract: data only, already checked. This module must not know the files they came from.

use serde::{Deserialize, Serialize};
use wetside_base::vocabulary::{FieldId, Vocabulary, WordId};
use wetside_units::{Interval, Kind};

/// Everything a condition can name.
#[derive(Clone, Copy)]
pub struct Names<'a> {
    pub vocabulary: &'a Vocabulary,
    pub limits: &'a [Limit],
    pub tables: &'a [Table],
}

/// A named threshold of a pack.
#[derive(Clone, Debug, Serialize, Deserialize)]
pub struct Limit {
    pub name: String,
    pub kind: Kind,
    /// In base units of the kind.
    pub range: Interval,
    /// As the pack writes it: `43 °C`.
    pub written: String,
}

/// A table of a pack, with a row for every word of the field it is keyed by.
#[derive(Clone, Debug, Serialize, Deserialize)]
pub struct Table {
    pub name: String,
    pub keyed_by: FieldId,
    pub columns: Vec<Column>,
    /// In the order of the field's words.
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
    pub word: WordId,
    pub cells: Vec<Cell>,
}

#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub enum Cell {
    Quantity(Interval),
    Word(WordId),
    Text(String),
    /// The table does not know.
    Unknown,
}
