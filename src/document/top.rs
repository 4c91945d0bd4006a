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
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct TopLine<'t> {
    pub key: &'t str,
    pub key_span: Span,
    /// The value, if it is plain text on the line of its key, or lines folded with `>`.
    pub value: Option<Cow<'t, str>>,
}

/// The keys at the top level, in the order of the text.
pub fn top_lines(text: &str) -> impl Iterator<Item = TopLine<'_>> {
    let mut at = 0;
    std::iter::from_fn(move || {
        while at < text.len() {
            let start = at;
            let line = text[at..].lines().next().unwrap_or_default();
            at = text[start..]
                .find('\n')
                .map_or(text.len(), |found| start + found + 1);
            if let Some(top) = top_line(line, start, &text[at..]) {
                return Some(top);
            }
        }
        None
    })
}

/// A line that begins with a key; `after` is the text behind it.
fn top_line<'t>(line: &'t str, start: usize, after: &str) -> Option<TopLine<'t>> {
    let len = line
        .bytes()
        .take_while(|byte| byte.is_ascii_lowercase() || *byte == b'_')
        .count();
    let key = &line[..len];
    let rest = line[len..].strip_prefix(':')?;
    if key.is_empty() || !(rest.is_empty() || rest.starts_with(' ')) {
        return None;
    }
    let value = match rest.trim() {
        ">" => folded(after).map(Cow::Owned),
        plain if is_plain(plain) && !goes_on(after) => Some(Cow::Borrowed(plain)),
        _ => None,
    };
    Some(TopLine {
        key,
        key_span: Span::new(start, start + len),
        value,
    })
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
