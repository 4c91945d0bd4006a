//! The last notes of a survey, so that each can be taken back.
//!
//! Contract: what is kept is the stretch of text that differs, with a digest of the whole text before and after;
//! a text that is not the one after the note is left alone. Bounded in number.

use serde::{Deserialize, Serialize};

/// How many notes are kept.
const MOST: usize = 100;

/// The notes of one survey, the last one last.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct History {
    notes: Vec<Change>,
}

#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
struct Change {
    note: String,
    /// Where the texts begin to differ, in bytes.
    at: usize,
    before: String,
    after: String,
    /// Digests of the whole texts.
    from: u64,
    to: u64,
}

impl History {
    /// Remembers a note by the texts before and after it.
    pub fn push(&mut self, note: &str, before: &str, after: &str) {
        let (at, end) = common(before, after);
        self.notes.push(Change {
            note: note.to_string(),
            at,
            before: before[at..before.len() - end].to_string(),
            after: after[at..after.len() - end].to_string(),
            from: digest(before),
            to: digest(after),
        });
        let more = self.notes.len().saturating_sub(MOST);
        self.notes.drain(..more);
    }

    /// The text before the last note, and the note; nothing where the text is not the one after a note that
    /// is remembered.
    pub fn pop(&mut self, text: &str) -> Option<(String, String)> {
        let now = digest(text);
        let last = self.notes.iter().rposition(|change| change.to == now)?;
        let change = self.notes[last].clone();
        let end = change.at.checked_add(change.after.len())?;
        if text.get(change.at..end) != Some(change.after.as_str()) {
            return None;
        }
        let whole = [&text[..change.at], &change.before, &text[end..]].concat();
        if digest(&whole) != change.from {
            return None;
        }
        self.notes.truncate(last);
        Some((whole, change.note))
    }

    /// The last note, for whoever cannot take it back.
    pub fn last(&self) -> Option<&str> {
        self.notes.last().map(|change| change.note.as_str())
    }

    pub fn is_empty(&self) -> bool {
        self.notes.is_empty()
    }
}

/// How many bytes two texts have in common at their beginning and, beyond that, at their end.
fn common(one: &str, other: &str) -> (usize, usize) {
    let pairs = one.char_indices().zip(other.chars());
    let start = pairs
        .take_while(|((_, a), b)| a == b)
        .map(|((at, a), _)| at + a.len_utf8());
    let start = start.last().unwrap_or(0);
    let ends = one[start..].chars().rev().zip(other[start..].chars().rev());
    let end = ends
        .take_while(|(a, b)| a == b)
        .map(|(a, _)| a.len_utf8())
        .sum();
    (start, end)
}

/// FNV-1a with 64 bits: it tells an edit from none, and is no guard against anybody.
fn digest(text: &str) -> u64 {
    text.bytes().fold(0xcbf2_9ce4_8422_2325, |hash, byte| {
        (hash ^ u64::from(byte)).wrapping_mul(0x0100_0000_01b3)
    })
}
