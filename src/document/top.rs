//! A quick look at the top level of a text: its plain and folded values, without parsing the rest.
//!
//! A rule file is mostly words and cases, and judging needs five short lines of it. For those this
//! look is some thirty times quicker than the parser.
//!
//! Contract: where a value is given here, the parser reads the same text at the same place; where
//! there is any doubt, none is given and the caller must parse. A test holds both against each other
//! on every rule.

use crate::source::Span;
use std::borrow::Cow;

/// One key at the top level.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct TopLine<'t> {
    pub key: &'t str,
    pub key_span: Span,
    /// What stands behind the colon on the same line.
    beside: &'t str,
    /// The lines below.
    below: &'t str,
}

/// The keys at the top level, in the order of the text.
pub fn top_lines(text: &str) -> impl Iterator<Item = TopLine<'_>> {
    let mut at = 0;
    std::iter::from_fn(move || {
        while at < text.len() {
            let start = at;
            let end = text[start..].find('\n').map(|found| start + found);
            at = end.map_or(text.len(), |end| end + 1);
            // Most lines are set in, and of those nothing more need be known.
            let line = &text[start..end.unwrap_or(at)];
            if !line.starts_with(' ')
                && let Some(top) = top_line(line, start, &text[at..])
            {
                return Some(top);
            }
        }
        None
    })
}

/// A line that begins with a key; `below` is the text after it.
fn top_line<'t>(line: &'t str, start: usize, below: &'t str) -> Option<TopLine<'t>> {
    let line = line.strip_suffix('\r').unwrap_or(line);
    let belongs = |byte: &u8| byte.is_ascii_lowercase() || *byte == b'_';
    let len = line.bytes().take_while(belongs).count();
    let key = &line[..len];
    let beside = line[len..].strip_prefix(':')?;
    let is_key = !key.is_empty() && (beside.is_empty() || beside.starts_with(' '));
    is_key.then(|| TopLine {
        key,
        key_span: Span::new(start, start + len),
        beside: beside.trim(),
        below,
    })
}

impl<'t> TopLine<'t> {
    /// The value, if it is plain text on the line of its key, or lines folded with `>`.
    pub fn value(&self) -> Option<Cow<'t, str>> {
        match self.beside {
            ">" => folded(self.below).map(Cow::Owned),
            plain if is_plain(plain) && !goes_on(self.below) => Some(Cow::Borrowed(plain)),
            _ => None,
        }
    }
}

/// The lines below a `>`, joined, if they are all set in by two spaces and by no more (YAML 1.2.2,
/// section 8.1.3). The line break at the end, which the parser keeps, is left out.
fn folded(after: &str) -> Option<String> {
    let block = after.lines().take_while(|line| line.starts_with(' '));
    let mut joined = String::new();
    let mut read = 0;
    for line in block {
        let solid = line
            .strip_prefix("  ")
            .filter(|rest| !rest.starts_with([' ', '\t']))?;
        if solid.is_empty() {
            return None;
        }
        if !joined.is_empty() {
            joined.push(' ');
        }
        joined.push_str(solid);
        read += line.len() + 1;
    }
    (!joined.is_empty() && !goes_on(after.get(read..).unwrap_or_default())).then_some(joined)
}

/// Whether a text is a plain scalar beyond doubt (YAML 1.2.2, section 7.3.3).
fn is_plain(value: &str) -> bool {
    let opens = value.starts_with(|c: char| c.is_ascii_alphanumeric() || c == '(');
    let doubtful = [": ", " #", "\t"].iter().any(|sign| value.contains(sign));
    opens
        && !doubtful
        && !value.ends_with(':')
        && value != "null"
        && value != "Null"
        && value != "NULL"
}

/// Whether the next line may belong to the value: it is set in, or blank, or there is no telling.
fn goes_on(after: &str) -> bool {
    !(after.is_empty() || after.starts_with(|c: char| c.is_ascii_lowercase() || c == '#'))
}
