//! How a document for programs is laid out.
//!
//! Contract: two spaces deep, and what lies deep inside on one line: a place, a line of the survey with its
//! words, a range. So a report can be read by people too, and is half as long. This module must not know what
//! it lays out.

use serde::Serialize;
use serde_json::Serializer;
use serde_json::ser::Formatter;
use std::io::{Result, Write};

/// What opens at these depths stands on one line, with all that it holds.
const FLAT_OBJECTS: usize = 6;
const FLAT_LISTS: usize = 7;
/// The end of a line and the deepest beginning of the next.
const LINE: &[u8] = b",\n              ";

/// A document as text, with a line break at the end.
pub(crate) fn written(document: &impl Serialize) -> String {
    let mut text = Vec::with_capacity(1 << 18);
    let mut to = Serializer::with_formatter(&mut text, Layout::default());
    document.serialize(&mut to).expect("every key is a word");
    text.push(b'\n');
    String::from_utf8(text).expect("it is written from texts")
}

#[derive(Default)]
struct Layout {
    depth: usize,
    /// The depth that the line began with, where everything stands on one.
    flat: Option<usize>,
    /// Whether nothing stands yet in what was opened last.
    empty: bool,
}

impl Layout {
    fn begin(&mut self, to: &mut (impl Write + ?Sized), sign: &[u8], flat: usize) -> Result<()> {
        self.depth += 1;
        self.empty = true;
        if self.depth >= flat {
            self.flat.get_or_insert(self.depth);
        }
        to.write_all(sign)
    }

    fn next(&mut self, to: &mut (impl Write + ?Sized), first: bool) -> Result<()> {
        self.empty = false;
        match (self.flat, first) {
            (Some(_), true) => Ok(()),
            (Some(_), false) => to.write_all(b", "),
            (None, _) => to.write_all(&LINE[usize::from(first)..2 + 2 * self.depth]),
        }
    }

    fn end(&mut self, to: &mut (impl Write + ?Sized), sign: &[u8]) -> Result<()> {
        let on_own_line = self.flat.is_none() && !self.empty;
        self.flat = self.flat.filter(|from| *from != self.depth);
        self.depth -= 1;
        self.empty = false;
        if on_own_line {
            to.write_all(&LINE[1..2 + 2 * self.depth])?;
        }
        to.write_all(sign)
    }
}

impl Formatter for Layout {
    fn begin_array<W: ?Sized + Write>(&mut self, to: &mut W) -> Result<()> {
        self.begin(to, b"[", FLAT_LISTS)
    }

    fn end_array<W: ?Sized + Write>(&mut self, to: &mut W) -> Result<()> {
        self.end(to, b"]")
    }

    fn begin_array_value<W: ?Sized + Write>(&mut self, to: &mut W, first: bool) -> Result<()> {
        self.next(to, first)
    }

    fn begin_object<W: ?Sized + Write>(&mut self, to: &mut W) -> Result<()> {
        self.begin(to, b"{", FLAT_OBJECTS)
    }

    fn end_object<W: ?Sized + Write>(&mut self, to: &mut W) -> Result<()> {
        self.end(to, b"}")
    }

    fn begin_object_key<W: ?Sized + Write>(&mut self, to: &mut W, first: bool) -> Result<()> {
        self.next(to, first)
    }

    fn begin_object_value<W: ?Sized + Write>(&mut self, to: &mut W) -> Result<()> {
        to.write_all(b": ")
    }
}
