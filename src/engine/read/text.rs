//! The text under a value: which stretch of it to show, and whether something that seems to be missing may
//! stand in what could not be read.
//!
//! Contract: of what was lost errs on the side of yes. A line that was lost right behind a block may have
//! belonged to it, unless it stands further out than the block does.

use wetside_base::source::{Source, Span};
use wetside_document::{Node, Reading, Value};

/// The span to show for a value: itself, unless it is a whole block or nothing at all.
pub(super) fn shown(node: &Node, key: Span) -> Span {
    match node.value {
        Value::Scalar(_) => node.span,
        _ => key,
    }
}

/// The span to show for a fact: also a set or a reason, cut to its first line.
pub(super) fn shown_value(source: &Source, node: &Node, key: Span) -> Span {
    match node.value {
        Value::List(_) | Value::Map(_) => first_line(source, node.span),
        _ => shown(node, key),
    }
}

/// A block cut to its first line.
pub(super) fn first_line(source: &Source, span: Span) -> Span {
    let line = source.line_span(source.line_of(span.start));
    Span {
        start: span.start,
        end: span.end.min(line.end).max(span.start),
    }
}

/// Whether a lost stretch of the text lies in a map or list, or right behind it.
pub(super) fn may_have_held_more(source: &Source, reading: &Reading, node: &Node) -> bool {
    // Behind the first lost stretch stands that stretch itself, which is no remark.
    let behind = || reading.first_lost_from(node.span.end);
    reading.lost_within(node.span)
        || behind().is_some_and(|lost| continues(source, node.span, lost))
}

/// Whether a lost stretch reads on from a block, with nothing but remarks between them.
fn continues(source: &Source, block: Span, lost: Span) -> bool {
    let closed = source.slice(block).starts_with(['{', '[']);
    if closed || lost.start < block.end {
        return false;
    }
    let between = source.slice(Span {
        start: block.end,
        end: lost.start,
    });
    let remark = |line: &str| line.trim().is_empty() || line.trim().starts_with('#');
    between.lines().all(remark) && !stands_further_out(source, block, lost)
}

/// How far a tab goes is anyone's guess, so a line that is set in by one never stands further out.
fn stands_further_out(source: &Source, block: Span, lost: Span) -> bool {
    let line = source.slice(source.line_span(source.line_of(lost.start)));
    let indent = &line[..line.len() - line.trim_start().len()];
    !indent.contains('\t') && indent.chars().count() + 1 < source.place(block.start).column
}
