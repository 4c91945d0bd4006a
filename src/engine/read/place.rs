//! Which stretch of the text to show for what is written.

use wetside_base::source::{Source, Span};
use wetside_document::{Node, Value};

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
