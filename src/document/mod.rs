//! The document reader: text to values, each with its place, and everything wrong with the text.
//!
//! Contract: one reader for surveys, packs and answer sheets. It gives the span of every key and
//! of every value, reports all problems at once and refuses nothing as a whole: whatever could be
//! understood is in the tree. The same text gives the same reading, and the work is bounded
//! whatever the text. This module must not know what the words of a document mean.
//!
//! The documents are YAML 1.2 (the specification of 2021, revision 1.2.2) with less allowed, so
//! that a text has one meaning that everyone sees on the page: one document a file, no anchors,
//! aliases, merge keys, tags or directives, no key twice in one map, no value left empty, keys
//! that are words or quoted text. `yes`, `no`, `on` and `off` are text, as YAML 1.2 has it.

mod node;

pub use node::{Entry, Found, Key, Node, Scalar, Style, Value};

use crate::problem::Problem;
use crate::source::{Source, Span};

/// What a text holds and what is wrong with it.
#[derive(Clone, Debug, PartialEq)]
pub struct Reading {
    /// The whole document; [`Value::Empty`] when the text holds nothing but comments.
    pub root: Node,
    /// In the order of their places.
    pub problems: Vec<Problem>,
    /// The stretches of text that could not be read, in order. A problem was reported for each.
    /// What seems to be missing from a map or list around one of them may have been written there.
    pub lost: Vec<Span>,
}

impl Reading {
    /// Whether part of the text under `span` could not be read.
    pub fn lost_within(&self, span: Span) -> bool {
        self.lost
            .iter()
            .any(|lost| lost.start < span.end && span.start < lost.end)
    }
}

/// Reads a text. Every fault of the text is a problem in the reading; none ends it.
pub fn read(_source: &Source) -> Reading {
    todo!("the reader follows")
}

/// Makes a source of the bytes of a file, which must be UTF-8 and at most 8 MiB.
///
/// # Errors
/// The problem says what the bytes are, if that can be told, and at which byte they stop being
/// UTF-8. Its span is a place in the bytes; there is no text to show it in.
pub fn decode(_name: &str, _bytes: Vec<u8>) -> Result<Source, Problem> {
    todo!("the decoder follows")
}

/// The same values for a shape check, which knows no places.
///
/// Plain whole numbers and decimals (as the core schema of YAML 1.2 has them, leading zeros
/// excepted) are numbers, plain `true` and `false` are booleans, all else that was written is a
/// string. [`Value::Empty`] and [`Value::Broken`] become `null`: a problem was reported for
/// each already, so a caller ignores what a shape check says of these (see [`Node::is_faulty`]).
pub fn to_json(_node: &Node) -> serde_json::Value {
    todo!("follows")
}
