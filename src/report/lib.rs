//! What a check came to, written for people and for programs.
//!
//! Contract: each format is one leaf that gets finished data and returns a text; nothing here decides
//! anything. The same data with the same [`Style`] gives the same bytes: width, colour and signs are
//! told, never guessed. This module must not know documents, schemas, rules, packs, files or
//! terminals.

pub mod asking;
pub mod brief;
pub mod draw;
pub mod figures;
pub mod json;
pub mod pen;
mod plot;
pub mod problems;
pub mod sarif;
pub mod steps;
pub mod text;

mod curves;
mod finding;
mod first;
mod layout;
mod line_numbers;
mod open;
mod parts;
mod signs;
pub mod starter;
pub mod trainer;
mod verdict;

pub use first::things as first_things;
pub use line_numbers::told as lines;
pub use open::facts_to_find_out;
pub use signs::shown;
pub use text::Summary;
pub use verdict::{CAUTION, headline};

/// The formats of a report, by name.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Format {
    /// For people: sentences, with the lines of the survey drawn.
    Text,
    /// For programs: one JSON document, described by `report.schema.json`.
    Json,
}

impl Format {
    pub const ALL: [Format; 2] = [Format::Text, Format::Json];

    pub fn name(self) -> &'static str {
        match self {
            Format::Text => "text",
            Format::Json => "json",
        }
    }
}

/// How a text for people is to look. It changes no word that matters.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Style {
    /// Columns to keep within, where the words allow.
    pub width: usize,
    /// Whether to add colour and weight; nothing is told by them alone.
    pub colour: bool,
    /// Whether the lines of a file are drawn, or told in words for someone who listens.
    pub drawn: bool,
    /// Whether only ASCII may be written, with stand-ins for other signs.
    pub ascii: bool,
}

impl Style {
    /// The narrowest page that is still laid out; a smaller width is taken for this one.
    pub const NARROWEST: usize = 40;

    /// Drawn, in all signs, without colour.
    pub fn wide(width: usize) -> Style {
        Style {
            width,
            colour: false,
            drawn: true,
            ascii: false,
        }
    }

    /// The width to lay out for, in columns.
    pub fn columns(&self) -> usize {
        self.width.max(Style::NARROWEST)
    }
}
