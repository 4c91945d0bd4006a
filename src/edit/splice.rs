//! Changes of a text, by the bytes of the clean one.
//!
//! Contract: splices that do not collide can be made in any number and combination; what they leave
//! alone stays byte for byte. A line that goes takes its own comment along and nothing else. This
//! module must not know rules or fields.

use wetside_base::source::{Source, Span};
use wetside_document::{Entry, Node};

/// One stretch of the clean text, and what stands there instead.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Splice {
    pub at: Span,
    pub text: String,
    pub sort: Sort,
}

/// What a reader would see of it on the surface.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Sort {
    /// Another value in the place of one.
    Value,
    /// `unknown` in the place of a value.
    Unknown,
    Added,
    Deleted,
    /// A thing of a list that is not there any more.
    Removed,
}

impl Splice {
    pub fn value(at: Span, text: String) -> Splice {
        Splice {
            at,
            text,
            sort: Sort::Value,
        }
    }

    pub fn unknown(at: Span) -> Splice {
        Splice {
            at,
            text: "unknown".to_string(),
            sort: Sort::Unknown,
        }
    }

    /// A text put in before a byte.
    pub fn put_in(at: usize, text: String) -> Splice {
        Splice {
            at: Span::new(at, at),
            text,
            sort: Sort::Added,
        }
    }

    fn out(at: Span, sort: Sort) -> Splice {
        Splice {
            at,
            text: String::new(),
            sort,
        }
    }
}

/// The text with the splices made. They may come in any order, but must not collide.
pub fn apply<'s>(text: &str, splices: impl IntoIterator<Item = &'s Splice>) -> String {
    let mut ordered: Vec<&Splice> = splices.into_iter().collect();
    ordered.sort();
    let mut made = String::with_capacity(text.len());
    let mut at = 0;
    for splice in ordered {
        let range = splice.at.range();
        if range.start < at {
            continue;
        }
        made.push_str(&text[at..range.start]);
        made.push_str(&splice.text);
        at = range.end;
    }
    made.push_str(&text[at..]);
    made
}

/// Puts splices into the order of the text; lines that are added at the same place become one splice, in
/// the order in which they were given.
pub fn in_order(splices: &mut Vec<Splice>) {
    splices.sort_by_key(|splice| splice.at);
    splices.dedup_by(|next, kept| {
        let both = kept.sort == Sort::Added && next.sort == Sort::Added && kept.at == next.at;
        if both {
            kept.text.push_str(&next.text);
        }
        both
    });
}

/// Whether two of these touch the same bytes, or are put into the same place.
pub fn collide(splices: &[Splice]) -> bool {
    let mut ordered: Vec<Span> = splices.iter().map(|splice| splice.at).collect();
    ordered.sort();
    ordered
        .windows(2)
        .any(|pair| pair[1].start < pair[0].end || pair[1].start == pair[0].start)
}

/// Whether changes fit beside those that are there.
pub fn fits(new: &[Splice], taken: &[Splice]) -> bool {
    let all: Vec<Splice> = taken.iter().chain(new).cloned().collect();
    !collide(&all)
}

/// A field of a group taken out; nothing where that would leave an empty group, or a list's dash.
pub fn deleted(source: &Source, group: &Node, key: &str) -> Option<Splice> {
    let entries = group.entries();
    let at = entries.iter().position(|entry| entry.key.text == key)?;
    if entries.len() < 2 {
        return None;
    }
    let entry = &entries[at];
    if is_flow(source, group) {
        return Some(Splice::out(out_of_flow(source, entries, at), Sort::Deleted));
    }
    let lines = whole_lines(source, entry.key.span.to(entry.value.span))?;
    Some(Splice::out(lines, Sort::Deleted))
}

/// A key with its value in braces, and the comma that goes with it.
fn out_of_flow(source: &Source, entries: &[Entry], at: usize) -> Span {
    let entry = &entries[at];
    let start = entry.key.span.start as usize;
    let Some(next) = entries.get(at + 1) else {
        let before = entries[at - 1].value.span.end as usize;
        return Span::new(before, entry.value.span.end as usize);
    };
    let next = next.key.span.start as usize;
    if source.line_of(entry.key.span.start) == source.line_of(entries[at + 1].key.span.start) {
        return Span::new(start, next);
    }
    let line = line_start(&source.text, start);
    if source.text[line..start].trim().is_empty() {
        return Span::new(start, next);
    }
    // It ends its line: the line then ends with the comma before it.
    let before = source.text[..start].trim_end().len();
    let end = entry.value.span.end as usize;
    let comma = source.text[end..next]
        .find(',')
        .map_or(end, |comma| end + comma + 1);
    Span::new(before, comma)
}

/// A thing of a list taken out, with its dash.
pub fn removed(source: &Source, item: &Node) -> Option<Splice> {
    let start = item.span.start as usize;
    let line = line_start(&source.text, start);
    if source.text[line..start].trim() != "-" {
        return None;
    }
    let end = line_end(&source.text, item.span.end as usize);
    Some(Splice::out(Span::new(line, end), Sort::Removed))
}

/// New lines, or a new pair in braces, behind an entry that is there. The lines are set in as the entry is.
pub fn added(source: &Source, group: &Node, before: &Entry, pair: &str) -> Option<Splice> {
    let end = before.value.span.end.max(before.key.span.end) as usize;
    let (at, text) = if is_flow(source, group) {
        (end, format!(", {pair}"))
    } else {
        let indent = column(&source.text, before.key.span.start as usize);
        behind_line(&source.text, end, &set_in(pair.lines(), indent))
    };
    Some(Splice::put_in(at, text))
}

/// The same lines, further in.
pub(crate) fn set_in<'l>(lines: impl Iterator<Item = &'l str>, by: usize) -> Vec<String> {
    let indent = " ".repeat(by);
    lines.map(|line| format!("{indent}{line}")).collect()
}

/// Lines put behind the one that holds a byte, with the line ends of the text and no last one where it
/// has none.
pub(crate) fn behind_line(text: &str, at: usize, lines: &[String]) -> (usize, String) {
    let (at, line_break) = (line_end(text, at), line_break(text, at));
    let whole = text[..at].ends_with('\n');
    let lines = lines.iter().map(|line| {
        if whole {
            format!("{line}{line_break}")
        } else {
            format!("{line_break}{line}")
        }
    });
    (at, lines.collect())
}

/// The line break at the end of this line, or the first of the text where this is its last.
pub(crate) fn line_break(text: &str, at: usize) -> &'static str {
    let own = text[at..].find('\n').map(|end| at + end);
    let windows = own
        .or_else(|| text.find('\n'))
        .is_some_and(|end| text[..end].ends_with('\r'));
    if windows { "\r\n" } else { "\n" }
}

/// How many characters stand before this byte on its line, a byte order mark not counted.
pub(crate) fn column(text: &str, at: usize) -> usize {
    text[line_start(text, at)..at]
        .trim_start_matches('\u{feff}')
        .chars()
        .count()
}

pub(crate) fn is_flow(source: &Source, node: &Node) -> bool {
    source.slice(node.span).starts_with(['{', '['])
}

/// The lines of a span, if nothing but space stands before it.
fn whole_lines(source: &Source, span: Span) -> Option<Span> {
    let start = line_start(&source.text, span.start as usize);
    let alone = source.text[start..span.start as usize].trim().is_empty();
    let end = line_end(&source.text, span.end as usize);
    alone.then(|| Span::new(start, end))
}

pub(crate) fn line_start(text: &str, at: usize) -> usize {
    text[..at].rfind('\n').map_or(0, |line| line + 1)
}

/// The first byte of the line after the one that holds `at`, the line of an empty stretch being the
/// one that ends there.
pub(crate) fn line_end(text: &str, at: usize) -> usize {
    text[at..]
        .find('\n')
        .map_or(text.len(), |line| at + line + 1)
}
