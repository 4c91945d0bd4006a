//! The lines of a text: how far in they stand, their dashes, keys and values, as far as that can
//! be told without the parser, which gave up on the text.
//!
//! Contract: byte offsets into the text given; a function looks at each byte of its line a fixed
//! number of times. This module must not know the parser, nor word any message.

use std::ops::Range;

/// One line outside brackets and quotes.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Line {
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
    pub(crate) fn around(text: &str, at: usize) -> Line {
        let start = text[..at].rfind('\n').map_or(0, |before| before + 1);
        Line::from(text, start)
    }

    /// The line that starts at `start`.
    pub(crate) fn from(text: &str, start: usize) -> Line {
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
    pub(crate) fn next(&self, text: &str) -> Option<Line> {
        let start = text[self.end..].find('\n').map(|n| self.end + n + 1)?;
        (start < text.len()).then(|| Line::from(text, start))
    }

    /// The nearest line before this one that holds more than a comment.
    pub(crate) fn before(&self, text: &str) -> Option<Line> {
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
    pub(crate) fn column(&self) -> usize {
        self.key.as_ref().map_or(self.value, |key| key.start) - self.start
    }

    /// Whether it holds more than blanks and a comment.
    pub(crate) fn is_written(&self, text: &str) -> bool {
        self.content < self.end && text.as_bytes()[self.content] != b'#'
    }

    /// The value without the comment after it; empty when there is none.
    pub(crate) fn value_range(&self, text: &str) -> Range<usize> {
        self.value..end_of_plain(text, self.value, self.end)
    }

    /// How far in a line has to stand to go on with the value that begins at `opener` on this one.
    pub(crate) fn least_indent(&self, text: &str, opener: usize) -> usize {
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
pub(crate) fn close_of_quote(bytes: &[u8], open: usize, end: usize, quote: u8) -> Option<usize> {
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
pub(crate) fn end_of_plain(text: &str, from: usize, end: usize) -> usize {
    let rest = &text[from..end.max(from)];
    let comment = rest.match_indices('#').map(|(at, _)| at);
    let cut = comment
        .into_iter()
        .find(|at| *at == 0 || matches!(rest.as_bytes()[at - 1], b' ' | b'\t'))
        .unwrap_or(rest.len());
    from + rest[..cut].trim_end().len()
}

/// Where the value begins after an anchor or tag, which are refused elsewhere.
pub(crate) fn skip_marks(text: &str, line: &Line) -> usize {
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
pub(crate) fn after_block_text(text: &str, head: &Line) -> Option<Line> {
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

/// What was written between two commas in brackets, without a key before it.
pub(crate) fn part_value(text: &str, part: &Range<usize>) -> Range<usize> {
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

/// The column of a byte, from 0, in bytes.
pub(crate) fn column(text: &str, at: usize) -> usize {
    at - text[..at].rfind('\n').map_or(0, |before| before + 1)
}

/// The place after the colon that follows a key.
pub(crate) fn after_colon(text: &str, key_end: usize) -> usize {
    let rest = &text[key_end..];
    let blanks = rest.len() - rest.trim_start_matches([' ', '\t']).len();
    key_end
        + if rest[blanks..].starts_with(':') {
            blanks + 1
        } else {
            0
        }
}

/// The dash of the first item of a list under a key. The parser starts a list that does not
/// stand further in than its key after that dash.
pub(crate) fn first_dash(text: &str, at: usize) -> usize {
    let line = &text[..at];
    let line = &line[line.rfind('\n').map_or(0, |n| n + 1)..];
    let blanks = line.trim_end_matches([' ', '\t']);
    if blanks.ends_with('-') {
        at - (line.len() - blanks.len()) - 1
    } else {
        at
    }
}
