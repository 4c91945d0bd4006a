//! A quick look at the top level of a text: its plain one-line values, without parsing the rest.
//!
//! A rule file is mostly words and cases, and judging needs five short lines of it. For those this
//! look is some thirty times quicker than the parser.
//!
//! Contract: where a value is given here, the parser reads the same text at the same place; where
//! there is any doubt, none is given and the caller must parse. A test holds both against each other
//! on every rule.

use crate::source::Span;

/// One key at the top level.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct TopLine<'t> {
    pub key: &'t str,
    pub key_span: Span,
    /// The value, if it is plain text that begins and ends on the line of its key.
    pub value: Option<&'t str>,
    pub value_span: Span,
}

/// The keys at the top level, in the order of the text.
pub fn top_lines(text: &str) -> impl Iterator<Item = TopLine<'_>> {
    let mut at = 0;
    std::iter::from_fn(move || {
        while at < text.len() {
            let start = at;
            let line = text[at..].lines().next().unwrap_or_default();
            at = text[start..].find('\n').map_or(text.len(), |found| start + found + 1);
            if let Some(top) = top_line(line, start, &text[at..]) {
                return Some(top);
            }
        }
        None
    })
}

/// A line that begins with a key; `after` is the text behind it.
fn top_line<'t>(line: &'t str, start: usize, after: &str) -> Option<TopLine<'t>> {
    let len = line.bytes().take_while(|byte| byte.is_ascii_lowercase() || *byte == b'_').count();
    let key = &line[..len];
    let rest = line[len..].strip_prefix(':')?;
    if key.is_empty() || !(rest.is_empty() || rest.starts_with(' ')) {
        return None;
    }
    let value = rest.trim();
    let value_at = start + len + 1 + (rest.len() - rest.trim_start().len());
    let plain = is_plain(value) && !goes_on(after);
    Some(TopLine {
        key,
        key_span: Span::new(start, start + len),
        value: plain.then_some(value),
        value_span: Span::new(value_at, value_at + value.len()),
    })
}

/// Whether a text is a plain scalar beyond doubt (YAML 1.2.2, section 7.3.3).
fn is_plain(value: &str) -> bool {
    let opens = value.starts_with(|c: char| c.is_ascii_alphanumeric() || c == '(');
    let doubtful = [": ", " #", "\t"].iter().any(|sign| value.contains(sign));
    opens && !doubtful && !value.ends_with(':') && value != "null" && value != "Null" && value != "NULL"
}

/// Whether the next line may belong to the value: it is set in, or blank, or there is no telling.
fn goes_on(after: &str) -> bool {
    !(after.is_empty() || after.starts_with(|c: char| c.is_ascii_lowercase() || c == '#'))
}
