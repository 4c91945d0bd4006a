//! A second, rougher look at a text that the parser gave up on: where the lines, keys, brackets
//! and quotes are, so that the right line gets the blame.
//!
//! Contract: byte offsets into the text given; every function looks at each byte a fixed number of
//! times. This module must not know the parser, nor word any message.
//!
//! What is in brackets or quotes and goes on over several lines has to stand further in than the
//! key that holds it; only a closing bracket or quote may stand under the key. YAML asks for this
//! (revision 1.2.2, section 8.1 on indentation of flow content), and here it tells an unclosed
//! quote from a long text.

use std::ops::Range;

/// One line outside brackets and quotes.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Line {
    pub start: usize,
    /// Without the line break.
    pub end: usize,
    /// The first byte that is not a blank; `end` on an empty line.
    pub content: usize,
    /// The number of spaces it is set in by; a tab counts for nothing.
    pub indent: usize,
    /// The last leading dash of a list item.
    pub dash: Option<usize>,
    /// The key, quotes included.
    pub key: Option<Range<usize>>,
    /// Where the value begins, or `end` if nothing is written.
    pub value: usize,
}

impl Line {
    /// The line that holds the byte at `at`.
    pub fn around(text: &str, at: usize) -> Line {
        let start = text[..at].rfind('\n').map_or(0, |before| before + 1);
        Line::from(text, start)
    }

    /// The line that starts at `start`.
    pub fn from(text: &str, start: usize) -> Line {
        let end = text[start..].find('\n').map_or(text.len(), |n| start + n);
        let end = start + text[start..end].trim_end_matches('\r').len();
        let bytes = text.as_bytes();
        let content = skip_blanks(bytes, start, end);
        let (mut dash, mut at) = (None, content);
        while at < end && bytes[at] == b'-' && blank_at(bytes, at + 1, end) {
            dash = Some(at);
            at = skip_blanks(bytes, at + 1, end);
        }
        let colon = key_colon(text, at, end);
        let value = colon.map_or(at, |colon| skip_blanks(bytes, colon + 1, end));
        let value = if value < end && bytes[value] == b'#' {
            end
        } else {
            value
        };
        Line {
            start,
            end,
            content,
            indent: bytes[start..content]
                .iter()
                .take_while(|byte| **byte == b' ')
                .count(),
            dash,
            key: colon
                .map(|colon| at..at + text[at..colon].trim_end().len())
                .filter(|key| !key.is_empty()),
            value,
        }
    }

    /// The line after this one, unless this is the last.
    pub fn next(&self, text: &str) -> Option<Line> {
        let start = text[self.end..].find('\n').map(|n| self.end + n + 1)?;
        (start < text.len()).then(|| Line::from(text, start))
    }

    /// The nearest line before this one that holds more than a comment.
    pub fn before(&self, text: &str) -> Option<Line> {
        let mut start = self.start;
        while start > 0 {
            let line = Line::around(text, start - 1);
            if line.is_written(text) {
                return Some(line);
            }
            start = line.start;
        }
        None
    }

    /// The column, from 0, of the key, or of what stands in its place.
    pub fn column(&self) -> usize {
        self.key.as_ref().map_or(self.value, |key| key.start) - self.start
    }

    /// Whether it holds more than blanks and a comment.
    pub fn is_written(&self, text: &str) -> bool {
        self.content < self.end && text.as_bytes()[self.content] != b'#'
    }

    /// The value without the comment after it; empty when there is none.
    pub fn value_range(&self, text: &str) -> Range<usize> {
        self.value..end_of_plain(text, self.value, self.end)
    }

    /// How far in a line has to stand to go on with the value that begins at `opener` on this one.
    fn least_indent(&self, text: &str, opener: usize) -> usize {
        let rest = text.get(opener..self.end).unwrap_or("");
        let is_key = rest.contains(": ") || rest.ends_with(':');
        match (&self.key, self.dash) {
            // A quote that opens a line with a colon in it was to open a key.
            (None, None) if is_key && rest.starts_with(['"', '\'']) => usize::MAX,
            (Some(key), _) if key.start < opener => key.start - self.start + 1,
            (_, Some(dash)) => dash - self.start + 1,
            _ => opener - self.start,
        }
    }
}

fn skip_blanks(bytes: &[u8], from: usize, end: usize) -> usize {
    let blank = |byte: &u8| matches!(byte, b' ' | b'\t');
    from + bytes[from..end.max(from)]
        .iter()
        .take_while(|byte| blank(byte))
        .count()
}

/// Whether a blank or the end of the line is at `at`.
fn blank_at(bytes: &[u8], at: usize, end: usize) -> bool {
    at >= end || matches!(bytes[at], b' ' | b'\t')
}

/// The colon that ends the key that begins at `from`, if a key begins there.
fn key_colon(text: &str, from: usize, end: usize) -> Option<usize> {
    let bytes = text.as_bytes();
    let mut at = match bytes.get(from).filter(|_| from < end)? {
        b'[' | b'{' | b'#' => return None,
        quote @ (b'"' | b'\'') => close_of_quote(bytes, from, end, *quote)? + 1,
        _ => from,
    };
    let quoted = at > from;
    while at < end {
        match bytes[at] {
            b':' if blank_at(bytes, at + 1, end) => return Some(at),
            b'#' if blank_at(bytes, at - 1, end) && at > from => return None,
            b' ' | b'\t' => {}
            _ if quoted => return None,
            _ => {}
        }
        at += 1;
    }
    None
}

/// The quote that closes the one at `open`, before `end`.
fn close_of_quote(bytes: &[u8], open: usize, end: usize, quote: u8) -> Option<usize> {
    let mut at = open + 1;
    while at < end {
        if bytes[at] == b'\\' && quote == b'"' {
            at += 1;
        } else if bytes[at] == quote {
            if quote == b'"' || bytes.get(at + 1).filter(|_| at + 1 < end) != Some(&quote) {
                return Some(at);
            }
            at += 1;
        }
        at += 1;
    }
    None
}

/// The end of plain text from `from`: before a comment and the blanks after the text.
pub fn end_of_plain(text: &str, from: usize, end: usize) -> usize {
    let rest = &text[from..end.max(from)];
    let comment = rest.match_indices('#').map(|(at, _)| at);
    let cut = comment
        .into_iter()
        .find(|at| *at == 0 || matches!(rest.as_bytes()[at - 1], b' ' | b'\t'))
        .unwrap_or(rest.len());
    from + rest[..cut].trim_end().len()
}

/// What surrounds a place.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Setting {
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
pub fn setting(text: &str, at: usize) -> Setting {
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
pub fn each_line(text: &str, see: &mut dyn FnMut(&Line)) {
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

/// Where the value begins after an anchor or tag, which are refused elsewhere.
fn skip_marks(text: &str, line: &Line) -> usize {
    let (bytes, mut at) = (text.as_bytes(), line.value);
    while at < line.end && matches!(bytes[at], b'&' | b'!') {
        while !blank_at(bytes, at, line.end) {
            at += 1;
        }
        at = skip_blanks(bytes, at, line.end);
    }
    at
}

/// The first line after the lines of text that follow `|` or `>`.
pub fn after_block_text(text: &str, head: &Line) -> Option<Line> {
    let least = head.least_indent(text, head.value);
    let mut next = head.next(text);
    while let Some(line) = &next {
        if line.content < line.end && line.indent < least {
            break;
        }
        next = line.next(text);
    }
    next
}

/// Whether brackets or quotes over several lines take in a line that does not stand further in
/// than the key, which the parser lets pass.
pub fn takes_in_too_much(text: &str, range: Range<usize>) -> bool {
    let line = Line::around(text, range.start);
    let walk = Walk::over(text, &line, range.start, range.end);
    walk.unclosed.is_some() || walk.end < range.end
}

/// The end of the brackets or quotes that open at `at`, as far as they go.
pub fn end_of_opened(text: &str, at: usize) -> usize {
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
                b'\n' if !self.goes_on(at, None) => return self.given_up(at),
                b':' | b' ' | b'\t' | b'\r' | b'\n' => fresh |= self.bytes[at] == b':',
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

    fn end_of_line(&self, at: usize) -> usize {
        self.text[at..]
            .find('\n')
            .map_or(self.bytes.len(), |n| at + n)
    }

    /// The closing quote, or where the text ends that the open quote would take in.
    fn close_quote(&self, open: usize, quote: u8) -> Result<usize, usize> {
        let mut from = open;
        loop {
            let end = self.end_of_line(from);
            let start = if from == open { open } else { from - 1 };
            if let Some(close) = close_of_quote(self.bytes, start, end, quote) {
                return Ok(close);
            }
            if end == self.bytes.len() || !self.goes_on(end, Some(quote)) {
                return Err(self.text[..end].trim_end().len());
            }
            from = end + 1;
        }
    }

    /// Whether the line after the line break at `at` may belong to what is open.
    fn goes_on(&self, at: usize, quote: Option<u8>) -> bool {
        let rest = &self.bytes[at + 1..];
        let Some(content) = rest.iter().position(|byte| !byte.is_ascii_whitespace()) else {
            return false;
        };
        let start = rest[..content].iter().rposition(|byte| *byte == b'\n');
        let indent = content - start.map_or(0, |line_break| line_break + 1);
        indent >= self.least
            || match quote {
                Some(quote) => rest[content] == quote,
                None => matches!(rest[content], b']' | b'}' | b'#'),
            }
    }
}

/// The column of a byte, from 0, in bytes.
pub fn column(text: &str, at: usize) -> usize {
    at - text[..at].rfind('\n').map_or(0, |before| before + 1)
}

/// What was written between two commas in brackets, without a key before it.
pub fn part_value(text: &str, part: &Range<usize>) -> Range<usize> {
    let written = &text[part.clone()];
    let start = part.start + (written.len() - written.trim_start().len());
    let end = (part.start + written.trim_end().len()).max(start);
    match key_colon(text, start, end) {
        Some(colon) => {
            let rest = &text[colon + 1..end];
            end - rest.trim_start().len()..end
        }
        None => start..end,
    }
}
