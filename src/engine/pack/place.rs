//! From a place in the text of a value to the place in the file.
//!
//! A condition may be folded over lines or stand in quotes, so its bytes are not those of the file.
//! What is the same in both is the sequence of characters that are not space.

use wetside_base::source::{Source, Span};
use wetside_document::{Node, Style};

/// The bytes of the file under `within`, a span of the value's own text.
pub fn in_file(source: &Source, node: &Node, within: Span) -> Span {
    let Some(scalar) = node.as_scalar() else {
        return node.span;
    };
    let raw = source.slice(node.span);
    let skip = match scalar.style {
        Style::Quoted => 1,
        Style::Plain | Style::Block => 0,
    };
    let body = raw.get(skip..).unwrap_or_default();
    let start = nth_solid(body, solids(&scalar.text, within.start));
    let last = within.end.saturating_sub(1).max(within.start);
    let end = nth_solid(body, solids(&scalar.text, last));
    match (start, end) {
        (Some((from, _)), Some((_, to))) => {
            let base = node.span.start as usize + skip;
            Span::new(base + from, base + to)
        }
        _ => node.span,
    }
}

/// How many characters other than space stand before a byte of the text.
fn solids(text: &str, before: u32) -> usize {
    let before = (before as usize).min(text.len());
    let solid = text.char_indices().take_while(|(at, _)| *at < before);
    solid.filter(|(_, c)| !c.is_whitespace()).count()
}

/// The bytes of the n-th character that is not space.
fn nth_solid(text: &str, n: usize) -> Option<(usize, usize)> {
    let mut solid = text.char_indices().filter(|(_, c)| !c.is_whitespace());
    solid.nth(n).map(|(at, c)| (at, at + c.len_utf8()))
}
