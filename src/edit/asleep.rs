//! Lines that stand behind a comment sign until somebody answers them.
//!
//! Contract: only a line as the starter writes it is taken, with its sign at the edge, the key in the
//! column of its group, and nothing answered. What explains it stays where it is, behind it and above.

use super::splice::{line_break, line_end};
use super::tree::Tree;
use std::ops::Range;

/// Values of lines that nobody has answered.
const UNANSWERED: [&str; 3] = ["", "unknown", "{count: unknown, items: []}"];

struct Asleep<'t> {
    /// The line without its break.
    line: Range<usize>,
    value: &'t str,
    /// What stands behind the value: space and comment.
    rest: &'t str,
}

/// The stretch that goes from a sleeping line on, and what stands there with the key awake and its value
/// put in. It is looked for among the lines from `from` on that can belong to a group in this column.
pub(crate) fn woken(
    text: &str,
    from: usize,
    indent: usize,
    key: &str,
    tree: &Tree,
) -> Option<(Range<usize>, String)> {
    let found = find(text, from, indent, key)?;
    let lines_break = line_break(text, found.line.end);
    let inset = " ".repeat(indent);
    match tree {
        Tree::Leaf(value) if !found.value.is_empty() => {
            let line = format!("{inset}{key}: {value}{}", found.rest);
            Some((found.line, line))
        }
        Tree::Group(pairs) if found.value.is_empty() => {
            let [(inner, below)] = pairs.as_slice() else {
                return None;
            };
            let head = format!("{inset}{key}:{}", found.rest);
            let next = line_end(text, found.line.end);
            if let Some((range, line)) = woken(text, next, indent + 2, inner, below) {
                let between = &text[found.line.end..range.start];
                return Some((
                    found.line.start..range.end,
                    format!("{head}{between}{line}"),
                ));
            }
            let lines = below.lines(inner).into_iter();
            let lines: String = lines
                .map(|line| format!("{lines_break}{inset}  {line}"))
                .collect();
            Some((found.line, format!("{head}{lines}")))
        }
        Tree::List { .. } if !found.value.is_empty() => {
            let lines = tree.lines(key).into_iter().skip(1);
            let lines: String = lines
                .map(|line| format!("{lines_break}{inset}{line}"))
                .collect();
            Some((found.line, format!("{inset}{key}:{}{lines}", found.rest)))
        }
        _ => None,
    }
}

fn find<'t>(text: &'t str, from: usize, indent: usize, key: &str) -> Option<Asleep<'t>> {
    let mut start = from;
    while start < text.len() {
        let next = line_end(text, start);
        let line = text[start..next].trim_end_matches(['\n', '\r']);
        let body = line.strip_prefix("# ");
        let (asleep, body) = (body.is_some(), body.unwrap_or(line));
        let inner = body.trim_start_matches(' ');
        let inset = body.len() - inner.len();
        if let Some(after) = value_of(inner, key).filter(|_| asleep && inset == indent) {
            let end = after.find(" #").unwrap_or(after.len());
            let value = after[..end].trim();
            let shown = after[..end].trim_end().len();
            if UNANSWERED.contains(&value) {
                return Some(Asleep {
                    line: start..start + line.len(),
                    value,
                    rest: &after[shown..],
                });
            }
        }
        let is_key = inner.starts_with("- ") || inner.split_once(':').is_some_and(is_word);
        let says = !inner.is_empty() && !inner.starts_with('#');
        if says && (!asleep || is_key) && inset < indent {
            return None;
        }
        start = next;
    }
    None
}

/// What stands behind a key and its colon.
fn value_of<'t>(line: &'t str, key: &str) -> Option<&'t str> {
    let after = line.strip_prefix(key)?.strip_prefix(':')?;
    (after.is_empty() || after.starts_with(' ')).then_some(after)
}

fn is_word((word, _): (&str, &str)) -> bool {
    !word.is_empty() && word.chars().all(|c| c.is_ascii_alphanumeric() || c == '_')
}
