//! A named text and the places in it.
//!
//! Contract: a [`Span`] is a range of bytes on character boundaries of one [`Source`]; lines and
//! columns are counted from 1, columns in characters, so they agree with what an editor shows.
//! This module must not know what the text means.

use serde::{Deserialize, Serialize};
use std::fmt;

/// A range of bytes in one source: `start` is the first byte, `end` the first byte after it.
#[derive(
    Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize,
)]
pub struct Span {
    pub start: u32,
    pub end: u32,
}

impl Span {
    /// The span from `start` up to, and not including, `end`, both in bytes.
    ///
    /// # Panics
    /// When an offset does not fit 32 bits; the document reader refuses texts of that size.
    pub fn new(start: usize, end: usize) -> Span {
        let fit = |offset: usize| u32::try_from(offset).expect("texts are limited to 8 MiB");
        Span {
            start: fit(start),
            end: fit(end.max(start)),
        }
    }

    pub fn range(self) -> std::ops::Range<usize> {
        self.start as usize..self.end as usize
    }

    /// Length in bytes.
    pub fn len(self) -> usize {
        (self.end - self.start) as usize
    }

    pub fn is_empty(self) -> bool {
        self.start == self.end
    }

    /// The smallest span that holds both.
    pub fn to(self, other: Span) -> Span {
        Span {
            start: self.start.min(other.start),
            end: self.end.max(other.end),
        }
    }

    /// This span moved by `offset` bytes: for a text that is a slice of a larger one.
    pub fn moved(self, offset: u32) -> Span {
        Span {
            start: self.start + offset,
            end: self.end + offset,
        }
    }
}

/// A line and a column, both from 1, the column in characters.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Place {
    pub line: usize,
    pub column: usize,
}

impl fmt::Display for Place {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}:{}", self.line, self.column)
    }
}

/// A text with a name, indexed by line.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Source {
    pub name: String,
    pub text: String,
    line_starts: Vec<u32>,
}

impl Source {
    pub fn new(name: impl Into<String>, text: impl Into<String>) -> Source {
        let text = text.into();
        let breaks = text.match_indices('\n');
        let line_starts = std::iter::once(0)
            .chain(breaks.map(|(at, _)| Span::new(at + 1, at + 1).start))
            .collect();
        Source {
            name: name.into(),
            text,
            line_starts,
        }
    }

    /// The number of lines; a final line break does not open another line.
    pub fn line_count(&self) -> usize {
        let last = self.line_starts.len();
        if last > 1 && self.line_starts[last - 1] as usize == self.text.len() {
            last - 1
        } else {
            last
        }
    }

    /// The line, from 1, that holds the byte at `offset`.
    pub fn line_of(&self, offset: u32) -> usize {
        self.line_starts.partition_point(|start| *start <= offset)
    }

    /// Line and column, from 1, of the byte at `offset`.
    pub fn place(&self, offset: u32) -> Place {
        let line = self.line_of(offset);
        let start = self.line_starts[line - 1] as usize;
        let end = (offset as usize).min(self.text.len());
        Place {
            line,
            column: self.text[start..end].chars().count() + 1,
        }
    }

    /// The bytes of a line, from 1, without its line break.
    pub fn line_span(&self, line: usize) -> Span {
        let start = self.line_starts[line - 1] as usize;
        let end = self
            .line_starts
            .get(line)
            .map_or(self.text.len(), |next| *next as usize);
        let shown = self.text[start..end].trim_end_matches(['\n', '\r']).len();
        Span::new(start, start + shown)
    }

    /// The text under a span.
    pub fn slice(&self, span: Span) -> &str {
        &self.text[span.range()]
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn places_count_characters_and_lines_from_one() {
        let source = Source::new("a", "é: 1\r\nb: 2\n");
        assert_eq!(source.place(0), Place { line: 1, column: 1 });
        assert_eq!(source.place(4), Place { line: 1, column: 4 });
        assert_eq!(source.place(7), Place { line: 2, column: 1 });
        assert_eq!(source.slice(source.line_span(1)), "é: 1");
        assert_eq!(source.line_count(), 2);
    }
}
