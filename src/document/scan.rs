//! Brackets and quotes in a text that the parser gave up on: what surrounds a place, and what was
//! opened before it and never closed, so that the right line gets the blame.
//!
//! Contract: byte offsets into the text given; every function looks at each byte a fixed number of
//! times. This module must not know the parser, nor word any message.
//!
//! What is in brackets or quotes and goes on over several lines has to stand further in than the
//! key that holds it; only a closing bracket or quote may stand under the key. YAML 1.2
//! asks for this (production s-flow-line-prefix, second-hand), and here it tells an unclosed quote
//! from a long text.

use std::ops::Range;

use super::lines::{Line, after_block_text, close_of_quote, skip_marks};

/// What surrounds a place.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) enum Setting {
    /// Lines of keys and list items.
    Block,
    /// Brackets that are closed: the outermost, and the stretch between commas around the place.
    Brackets {
        outer: Range<usize>,
        part: Range<usize>,
    },
    /// A bracket or quote that is never closed, and the outermost one around it.
    Unclosed {
        outer: usize,
        inner: usize,
        /// Where the text that it would take in ends at the latest.
        end: usize,
        /// A bracket of the other shape stands at `end`, where the right one is missing.
        mismatch: bool,
    },
}

/// What surrounds the byte at `at`, or what was opened before it and never closed.
pub(crate) fn setting(text: &str, at: usize) -> Setting {
    let mut next = Some(Line::from(text, 0));
    while let Some(line) = next.filter(|line| line.start <= at) {
        let (after, walk) = step(text, &line, at);
        match walk.map_or(Setting::Block, |walk| walk.setting(at)) {
            Setting::Block => next = after,
            found => return found,
        }
    }
    Setting::Block
}

/// Calls `see` with every line that is outside brackets, quotes and the lines of a block text.
pub(crate) fn each_line(text: &str, see: &mut dyn FnMut(&Line)) {
    let mut next = Some(Line::from(text, 0));
    while let Some(line) = next {
        see(&line);
        next = step(text, &line, text.len()).0;
    }
}

/// The next line outside of what opens on this one, and the brackets or quotes that do.
fn step(text: &str, line: &Line, target: usize) -> (Option<Line>, Option<Walk>) {
    let opener = skip_marks(text, line);
    match text.as_bytes().get(opener).filter(|_| opener < line.end) {
        Some(b'[' | b'{' | b'"' | b'\'') => {
            let walk = Walk::over(text, line, opener, target);
            let last = Line::around(text, walk.end.max(line.start));
            (last.next(text), Some(walk))
        }
        Some(b'|' | b'>') => (after_block_text(text, line), None),
        _ => (line.next(text), None),
    }
}

/// Whether brackets or quotes over several lines take in a line that does not stand further in
/// than the key, which the parser lets pass.
pub(crate) fn takes_in_too_much(text: &str, range: Range<usize>) -> bool {
    let line = Line::around(text, range.start);
    let least = line.least_indent(text, range.start);
    let mut more = text[range.clone()].split('\n').skip(1);
    // The usual case needs no walk.
    if more.all(|line| line.len() - line.trim_ascii_start().len() >= least) {
        return false;
    }
    let walk = Walk::over(text, &line, range.start, range.end);
    walk.unclosed.is_some() || walk.end < range.end
}

/// The end of the brackets or quotes that open at `at`, as far as they go.
pub(crate) fn end_of_opened(text: &str, at: usize) -> usize {
    Walk::over(text, &Line::around(text, at), at, at).end
}

/// A walk from an opening bracket or quote to its end.
struct Walk {
    outer: usize,
    end: usize,
    unclosed: Option<usize>,
    mismatch: bool,
    part: Range<usize>,
}

impl Walk {
    fn setting(&self, at: usize) -> Setting {
        match self.unclosed {
            Some(inner) => Setting::Unclosed {
                outer: self.outer,
                inner,
                end: self.end,
                mismatch: self.mismatch,
            },
            None if at < self.end && !self.part.is_empty() => Setting::Brackets {
                outer: self.outer..self.end,
                part: self.part.clone(),
            },
            None => Setting::Block,
        }
    }

    fn over(text: &str, line: &Line, opener: usize, target: usize) -> Walk {
        let mut walker = Walker {
            text,
            bytes: text.as_bytes(),
            least: line.least_indent(text, opener),
            open: Vec::new(),
            target,
            line_end: opener,
            level: 0,
            part: opener..opener,
        };
        let (end, unclosed) = walker.run(opener);
        let stopper = walker.bytes.get(end).copied();
        Walk {
            outer: opener,
            end,
            unclosed,
            mismatch: unclosed.is_some() && matches!(stopper, Some(b']' | b'}')),
            part: walker.part,
        }
    }
}

struct Walker<'a> {
    text: &'a str,
    bytes: &'a [u8],
    least: usize,
    /// Each open bracket, and where the stretch since its last comma begins.
    open: Vec<(usize, usize)>,
    target: usize,
    /// The end of the line that was asked for last: looked for once a line, however long that is.
    line_end: usize,
    /// How many brackets were open at the target; 0 until it is reached and after its stretch.
    level: usize,
    part: Range<usize>,
}

impl Walker<'_> {
    /// Where the brackets end, and which bracket or quote is never closed.
    fn run(&mut self, opener: usize) -> (usize, Option<usize>) {
        let (mut at, mut fresh) = (opener, true);
        while at < self.bytes.len() {
            if at >= self.target && self.part.is_empty() && !self.open.is_empty() {
                self.level = self.open.len();
                let start = self.open.last().map_or(opener, |open| open.1);
                self.part = start..self.bytes.len();
            }
            match self.bytes[at] {
                quote @ (b'"' | b'\'') if fresh => {
                    match self.close_quote(at, quote) {
                        Ok(close) => at = close,
                        Err(end) => return (end, Some(at)),
                    }
                    fresh = false;
                    if self.open.is_empty() {
                        return (at + 1, None);
                    }
                }
                b'[' | b'{' => {
                    self.open.push((at, at + 1));
                    fresh = true;
                }
                closer @ (b']' | b'}') => {
                    self.end_part(at);
                    let Some((open, _)) = self.open.pop() else {
                        return (at, None);
                    };
                    if self.bytes[open] != closer - 2 {
                        return (at, Some(open));
                    }
                    if self.open.is_empty() {
                        return (at + 1, None);
                    }
                    fresh = false;
                }
                b',' => {
                    self.end_part(at);
                    if let Some(open) = self.open.last_mut() {
                        open.1 = at + 1;
                    }
                    fresh = true;
                }
                b'#' if matches!(self.bytes[at - 1], b' ' | b'\t' | b'\n') => {
                    at = self.end_of_line(at);
                    continue;
                }
                b'\n' => match self.next_line(at, None) {
                    Some(next) => {
                        at = next;
                        continue;
                    }
                    None => return self.given_up(at),
                },
                b':' | b' ' | b'\t' | b'\r' => fresh |= self.bytes[at] == b':',
                _ => fresh = false,
            }
            at += 1;
        }
        self.given_up(at)
    }

    fn given_up(&self, at: usize) -> (usize, Option<usize>) {
        let end = self.text[..at].trim_end().len();
        (end, self.open.last().map(|open| open.0))
    }

    /// The target's stretch ends at `at` if the brackets open there are those open at the target.
    fn end_part(&mut self, at: usize) {
        if self.level > 0 && self.open.len() == self.level {
            self.part.end = at;
            self.level = 0;
        }
    }

    /// The end of the line at `at`, which is never before the `at` of an earlier call.
    fn end_of_line(&mut self, at: usize) -> usize {
        if self.line_end <= at {
            self.line_end = self.text[at..]
                .find('\n')
                .map_or(self.bytes.len(), |n| at + n);
        }
        self.line_end
    }

    /// The closing quote, or where the text ends that the open quote would take in.
    fn close_quote(&mut self, open: usize, quote: u8) -> Result<usize, usize> {
        let mut from = open;
        loop {
            let end = self.end_of_line(from);
            let start = if from == open { open } else { from - 1 };
            if let Some(close) = close_of_quote(self.bytes, start, end, quote) {
                return Ok(close);
            }
            let next = (end < self.bytes.len()).then(|| self.next_line(end, Some(quote)));
            let Some(next) = next.flatten() else {
                return Err(self.text[..end].trim_end().len());
            };
            from = next;
        }
    }

    /// The next line with something on it after the line break at `at`, if it may belong to what is open.
    fn next_line(&self, at: usize, quote: Option<u8>) -> Option<usize> {
        let rest = &self.bytes[at + 1..];
        let content = rest.iter().position(|byte| !byte.is_ascii_whitespace())?;
        let before = rest[..content].iter().rposition(|byte| *byte == b'\n');
        let start = before.map_or(0, |line_break| line_break + 1);
        let goes_on = content - start >= self.least
            || match quote {
                Some(quote) => rest[content] == quote,
                None => matches!(rest[content], b']' | b'}' | b'#'),
            };
        goes_on.then_some(at + 1 + start)
    }
}
