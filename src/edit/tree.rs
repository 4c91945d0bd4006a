//! What is put where nothing stands yet: a value, with the keys that lead to it; on new lines, or on one that stands behind
//! a comment sign until somebody answers it.
//!
//! Contract: only a line as the starter writes it is taken, with its sign at the edge, the key in the
//! column of its group, and nothing answered. What explains it stays where it is, behind it and above.

use super::splice::{line_break, line_end};
use std::ops::Range;

/// A value that is on its way into a text, its scalars written already.
#[derive(Clone, Debug)]
pub(crate) enum Tree {
    Leaf(String),
    Group(Vec<(String, Tree)>),
    /// A list with its first thing, and how many there are if that is told.
    List {
        count: Option<String>,
        thing: Vec<(String, Tree)>,
    },
}

impl Tree {
    /// Puts a value under dotted names.
    pub(crate) fn put(group: &mut Vec<(String, Tree)>, path: &str, leaf: Tree) {
        let Some((name, rest)) = path.split_once('.') else {
            group.push((path.to_string(), leaf));
            return;
        };
        let at = group.iter().position(|(key, _)| key == name);
        let at = at.unwrap_or_else(|| {
            group.push((name.to_string(), Tree::Group(Vec::new())));
            group.len() - 1
        });
        if let (_, Tree::Group(inner)) = &mut group[at] {
            Tree::put(inner, rest, leaf);
        }
    }

    /// The lines of a key with this value, the key at the margin.
    pub(crate) fn lines(&self, key: &str) -> Vec<String> {
        match self {
            Tree::Leaf(text) => vec![format!("{key}: {text}")],
            Tree::Group(pairs) => {
                let inner = pairs.iter().flat_map(|(key, tree)| tree.lines(key));
                under(format!("{key}:"), inner)
            }
            Tree::List { count, thing } => {
                let Some(count) = count else {
                    return under(format!("{key}:"), dashed(thing).into_iter());
                };
                let items = under("items:".to_string(), dashed(thing).into_iter());
                let inner = [format!("count: {count}")].into_iter().chain(items);
                under(format!("{key}:"), inner)
            }
        }
    }

    /// The same between braces.
    pub(crate) fn inline(&self, key: &str) -> String {
        match self {
            Tree::Leaf(text) => format!("{key}: {text}"),
            Tree::Group(pairs) => format!("{key}: {}", braced(pairs)),
            Tree::List { count: None, thing } => format!("{key}: [{}]", braced(thing)),
            Tree::List {
                count: Some(count),
                thing,
            } => format!("{key}: {{count: {count}, items: [{}]}}", braced(thing)),
        }
    }
}

fn under(head: String, inner: impl Iterator<Item = String>) -> Vec<String> {
    let inner = inner.map(|line| format!("  {line}"));
    [head].into_iter().chain(inner).collect()
}

/// A thing of a list on lines of its own.
pub(crate) fn dashed(thing: &[(String, Tree)]) -> Vec<String> {
    let lines = thing.iter().flat_map(|(key, tree)| tree.lines(key));
    let sign = |at: usize| if at == 0 { "- " } else { "  " };
    (0..)
        .zip(lines)
        .map(|(at, line)| format!("{}{line}", sign(at)))
        .collect()
}

/// A thing or group between braces.
pub(crate) fn braced(pairs: &[(String, Tree)]) -> String {
    let pairs: Vec<String> = pairs.iter().map(|(key, tree)| tree.inline(key)).collect();
    format!("{{{}}}", pairs.join(", "))
}

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
