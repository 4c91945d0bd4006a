//! A quick look at the keys of a text: their plain and folded values, without parsing the rest.
//!
//! A rule file is mostly words and cases, and judging needs five short lines of it; of a limit it
//! needs two. For those this look is some thirty times quicker than the parser.
//!
//! Contract: where a value is given here, the parser reads the same text at the same place; where
//! there is any doubt, none is given and the caller must parse. A test holds both against each other
//! on every rule.

use std::borrow::Cow;
use std::ops::Range;
use wetside_base::source::Span;

/// One key, on a line of its own.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct TopLine<'t> {
    pub key: &'t str,
    pub key_span: Span,
    /// How far its line is set in.
    indent: usize,
    /// What stands behind the colon on the same line.
    beside: &'t str,
    text: &'t str,
    /// Where the lines below begin.
    after: usize,
}

/// The keys at the top level, in the order of the text.
pub fn top_lines(text: &str) -> impl Iterator<Item = TopLine<'_>> {
    lines_within(text, 0..text.len(), 0)
}

/// The keys within a stretch of whole lines that are set in by just so many spaces.
fn lines_within(
    text: &str,
    stretch: Range<usize>,
    indent: usize,
) -> impl Iterator<Item = TopLine<'_>> {
    let mut at = stretch.start;
    std::iter::from_fn(move || {
        while at < stretch.end {
            let start = at;
            let end = text[start..].find('\n').map(|found| start + found);
            at = end.map_or(text.len(), |end| end + 1);
            // Most lines are set in further, and of those nothing more need be known.
            let line = &text[start..end.unwrap_or(at)];
            if set_in(line) == indent
                && let Some((key, beside)) = keyed(&line[indent..])
            {
                let start = start + indent;
                return Some(TopLine {
                    key,
                    key_span: Span::new(start, start + key.len()),
                    indent,
                    beside,
                    text,
                    after: at,
                });
            }
        }
        None
    })
}

/// How many spaces a line begins with.
fn set_in(line: &str) -> usize {
    line.bytes().take_while(|byte| *byte == b' ').count()
}

/// The key that a line begins with, and what stands behind its colon.
fn keyed(line: &str) -> Option<(&str, &str)> {
    let belongs = |byte: &u8| byte.is_ascii_lowercase() || byte.is_ascii_digit() || *byte == b'_';
    let len = line.bytes().take_while(belongs).count();
    let (key, rest) = line.split_at(len);
    let beside = rest.strip_prefix(':')?;
    let is_key = key.starts_with(|first: char| first.is_ascii_lowercase())
        && (beside.is_empty() || beside.starts_with([' ', '\r']));
    is_key.then(|| (key, beside.trim()))
}

impl<'t> TopLine<'t> {
    /// The value, if it is plain or simply quoted text on the line of its key, or lines folded with
    /// `>` under a key at the top level.
    pub fn value(&self) -> Option<Cow<'t, str>> {
        let below = &self.text[self.after..];
        if self.beside == ">" && self.indent == 0 {
            return folded(below).map(Cow::Owned);
        }
        let value = match self.beside.strip_prefix('"') {
            Some(quoted) => quoted
                .strip_suffix('"')
                .filter(|text| !text.contains(['"', '\\'])),
            None => Some(self.beside).filter(|text| is_plain(text)),
        };
        value
            .filter(|_| !goes_on(below, self.indent))
            .map(Cow::Borrowed)
    }

    /// The lines under the key: all that are set in further, and the blank ones among them.
    pub fn block(&self) -> Range<usize> {
        let within = |line: &&str| line.trim().is_empty() || set_in(line) > self.indent;
        let lines = self.text[self.after..]
            .split_inclusive('\n')
            .take_while(within);
        self.after..self.after + lines.map(str::len).sum::<usize>()
    }

    /// The keys under this one that are set in by two more spaces; none where it holds text.
    pub fn lines_under(&self) -> impl Iterator<Item = TopLine<'t>> {
        let stretch = match self.beside {
            "" => self.block(),
            _ => self.after..self.after,
        };
        lines_within(self.text, stretch, self.indent + 2)
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
    (!joined.is_empty() && !goes_on(after.get(read..).unwrap_or_default(), 0)).then_some(joined)
}

/// Whether a text is a plain scalar beyond doubt (YAML 1.2.2, section 7.3.3).
fn is_plain(value: &str) -> bool {
    let digit_or_letter = value.strip_prefix('-').unwrap_or(value);
    let opens =
        value.starts_with('(') || digit_or_letter.starts_with(|c: char| c.is_ascii_alphanumeric());
    let doubtful = [": ", " #", "\t"].iter().any(|sign| value.contains(sign));
    opens
        && !doubtful
        && !value.ends_with(':')
        && value != "null"
        && value != "Null"
        && value != "NULL"
}

/// Whether the next line may belong to the value of a key that is set in so far: it is set in further,
/// or blank, or there is no telling.
fn goes_on(after: &str, indent: usize) -> bool {
    let spaces = set_in(after);
    let next = &after[spaces..];
    let ends = after.is_empty()
        || spaces <= indent && next.starts_with(|c: char| c.is_ascii_lowercase() || c == '#');
    !ends
}
