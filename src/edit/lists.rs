//! Lists in the forms that they have in a survey: bare, or with a count beside their things.

use super::place::{Reached, behind_colon, items};
use super::splice::{Splice, added, behind_line, column, is_flow, line_break, line_end, set_in};
use super::tree::{Tree, braced, dashed};
use wetside_base::source::{Source, Span};
use wetside_document::{Node, Value};

type Thing = Vec<(String, Tree)>;

/// A thing at the end of a list that is there.
pub(crate) fn appended(reached: &Reached, thing: impl Fn(bool) -> Thing) -> Option<Splice> {
    let (source, list) = (reached.source, reached.node);
    if let Some(last) = items(list).and_then(<[Node]>::last) {
        return behind_last(source, list, last, thing);
    }
    let bare = matches!(list.value, Value::List(_));
    let counted = list
        .entries()
        .iter()
        .all(|entry| ["count", "items"].contains(&entry.key.text.as_str()));
    let unknown = list.as_text() == Some("unknown");
    if !(bare || unknown || (counted && !list.entries().is_empty())) {
        return None;
    }
    let count = list
        .get("count")
        .map(|entry| source.slice(entry.value.span));
    if reached.flow {
        let items = format!("[{}]", braced(&thing(true)));
        let text = match count.or(unknown.then_some("unknown")) {
            Some(count) => format!("{{count: {count}, items: {items}}}"),
            None => items,
        };
        return Some(Splice::value(list.span, text));
    }
    if is_flow(source, list) || unknown {
        let count = count.or(unknown.then_some("unknown")).map(str::to_string);
        let lines = Tree::List {
            count,
            thing: thing(false),
        }
        .lines("");
        return Some(opened(
            source,
            reached.key?.span,
            behind_colon(source, reached.key?)?,
            list,
            &lines[1..],
        ));
    }
    // `count:` stands on a line of its own, and `items` as `[]` or not at all.
    let lines = set_in(dashed(&thing(false)).iter().map(String::as_str), 2);
    if let Some(entry) = list.get("items") {
        let colon = behind_colon(source, &entry.key)?;
        return Some(opened(source, entry.key.span, colon, &entry.value, &lines));
    }
    let pair = format!("items:\n{}", lines.join("\n"));
    added(source, list, list.entries().first()?, &pair)
}

fn behind_last(
    source: &Source,
    list: &Node,
    last: &Node,
    thing: impl Fn(bool) -> Thing,
) -> Option<Splice> {
    let end = last.span.end as usize;
    let in_brackets = is_flow(source, list)
        || list
            .get("items")
            .is_some_and(|entry| is_flow(source, &entry.value));
    if in_brackets {
        return Some(Splice::put_in(end, format!(", {}", braced(&thing(true)))));
    }
    let lines = if is_flow(source, last) {
        vec![format!("- {}", braced(&thing(true)))]
    } else {
        dashed(&thing(false))
    };
    let before = &source.text[..last.span.start as usize];
    let indent = column(&source.text, before.rfind('-')?);
    let lines = set_in(lines.iter().map(String::as_str), indent);
    let (at, text) = behind_line(&source.text, end, &lines);
    Some(Splice::put_in(at, text))
}

/// Lines under a key, in the place of a value on the line of the key; a comment there stays.
fn opened(source: &Source, key: Span, colon: Span, value: &Node, lines: &[String]) -> Splice {
    let text = &source.text;
    let end = value.span.end.max(colon.end) as usize;
    let next = line_end(text, end);
    let rest = text[end..next].trim_end_matches(['\n', '\r']);
    let lines_break = line_break(text, end);
    let indent = column(text, key.start as usize);
    let lines = set_in(lines.iter().map(String::as_str), indent).into_iter();
    let lines: String = lines.map(|line| format!("{lines_break}{line}")).collect();
    let at = Span::new(colon.start as usize, end + rest.len());
    Splice::value(at, format!("{rest}{lines}"))
}

/// A count for a list that has none.
pub(crate) fn counted(reached: &Reached, count: &str) -> Option<Splice> {
    let (source, list) = (reached.source, reached.node);
    if list.as_text() == Some("unknown") {
        return Some(Splice::value(
            list.span,
            format!("{{count: {count}, items: []}}"),
        ));
    }
    let first = list.items().first();
    if is_flow(source, list) {
        let old = source.slice(list.span);
        return Some(Splice::value(
            list.span,
            format!("{{count: {count}, items: {old}}}"),
        ));
    }
    // The things stay where they are: a list may stand in the column of its key.
    let (key, text) = (reached.key?, &source.text);
    let dash = text[..first?.span.start as usize].rfind('-')?;
    let indent = column(text, dash);
    if indent <= column(text, key.span.start as usize) {
        return None;
    }
    let lines = [format!("count: {count}"), "items:".to_string()];
    let lines = set_in(lines.iter().map(String::as_str), indent);
    let (at, text) = behind_line(text, key.span.end as usize, &lines);
    Some(Splice::put_in(at, text))
}
