//! Words that have commas in them and stand without quotes: in braces each comma parts them, and what follows looks
//! like keys without a value.
//!
//! Contract: only words that are known as a whole are put together again. This module must not know claims.

use wetside_base::problem::Problem;
use wetside_document::{Entry, Node, Value};

/// The whole words below a key; if they are `known`, no problem of their parts is left.
pub(super) fn whole(
    item: &Node,
    key: &str,
    problems: &mut Vec<Problem>,
    known: impl Fn(&String) -> bool,
) -> Option<String> {
    let mut entries = item.entries().iter();
    let first = entries.find(|entry| entry.key.text == key)?;
    let empty = |entry: &&Entry| matches!(entry.value.value, Value::Empty);
    let rest: Vec<&Entry> = entries.take_while(empty).collect();
    let mut whole = first.value.as_text()?.trim().to_string();
    for entry in &rest {
        whole.push_str(", ");
        whole.push_str(&entry.key.text);
    }
    if rest.is_empty() || !known(&whole) {
        return None;
    }
    let of_rest = |problem: &Problem| {
        let mut keys = rest.iter().map(|entry| entry.key.span);
        keys.any(|key| key.start <= problem.span.start && problem.span.start <= key.end)
    };
    problems.retain(|problem| !of_rest(problem));
    Some(whole)
}
