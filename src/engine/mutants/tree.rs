//! The survey of a case as a tree: finding a value, putting another in its place, writing it on one line.

use wetside_document::{Entry, Key, Node, Scalar, Style, Value};

/// The way to a value: keys of maps, and places in lists.
pub(super) type Steps = Vec<String>;

/// A list with one thing more, like its last.
pub(super) fn longer(given: &Node, steps: &[String]) -> Option<Node> {
    let mut items = items(at(given, steps)?).to_vec();
    let mut another = items.last()?.clone();
    put(&mut another, &["id".to_string()], scalar("another", given));
    items.push(another);
    Some(list_of(items, given))
}

/// A list that is said to be whole.
pub(super) fn list_of(items: Vec<Node>, beside: &Node) -> Node {
    let count = scalar(&items.len().to_string(), beside);
    let items = word_list(items, beside);
    let entries = [("count", count), ("items", items)];
    let value = Value::Map(entries.map(|(key, value)| entry(key, value)).into());
    node(value, beside)
}

pub(super) fn word_list(items: Vec<Node>, beside: &Node) -> Node {
    node(Value::List(items), beside)
}

/// Several values for one, in the manner of a case.
pub(super) fn any_of(key: &str, values: &[Node]) -> Node {
    let list = word_list(values.to_vec(), &values[0]);
    node(Value::Map(vec![entry(key, list)]), &values[0])
}

pub(super) fn items(list: &Node) -> &[Node] {
    list.get("items")
        .map_or(list.items(), |entry| entry.value.items())
}

pub(super) fn at<'n>(node: &'n Node, steps: &[String]) -> Option<&'n Node> {
    steps
        .iter()
        .try_fold(node, |node, step| Some(node.child(step)?.node))
}

/// Puts a value in its place, making the maps on the way.
pub(super) fn put(node: &mut Node, steps: &[String], value: Node) {
    let Some((step, rest)) = steps.split_first() else {
        *node = value;
        return;
    };
    if let Value::List(items) = &mut node.value {
        if let Some(item) = step.parse().ok().and_then(|at: usize| items.get_mut(at)) {
            put(item, rest, value);
        }
        return;
    }
    if !matches!(node.value, Value::Map(_)) {
        node.value = Value::Map(Vec::new());
    }
    let (span, empty) = (node.span, Value::Empty);
    if let Value::Map(entries) = &mut node.value {
        let mut keys = entries.iter().map(|entry| &entry.key.text);
        let place = keys.position(|key| *key == step.as_str());
        let place = place.unwrap_or_else(|| {
            entries.push(entry(step, Node { span, value: empty }));
            entries.len() - 1
        });
        put(&mut entries[place].value, rest, value);
    }
}

/// A value where another stands.
fn node(value: Value, beside: &Node) -> Node {
    let span = beside.span;
    Node { span, value }
}

fn entry(key: &str, value: Node) -> Entry {
    let span = value.span;
    Entry {
        key: Key {
            text: key.into(),
            span,
        },
        value,
    }
}

pub(super) fn scalar(text: &str, beside: &Node) -> Node {
    let scalar = Scalar {
        text: text.into(),
        style: Style::Plain,
    };
    node(Value::Scalar(scalar), beside)
}

/// A value on one line, as a case is written.
pub(super) fn flow(node: &Node) -> String {
    match &node.value {
        Value::Scalar(Scalar {
            text,
            style: Style::Plain,
        }) => inline(text),
        Value::Scalar(scalar) => format!("{:?}", scalar.text.trim_end()),
        Value::List(items) => format!(
            "[{}]",
            items.iter().map(flow).collect::<Vec<_>>().join(", ")
        ),
        Value::Map(entries) => {
            let entries = entries
                .iter()
                .map(|entry| format!("{}: {}", entry.key.text, flow(&entry.value)));
            format!("{{{}}}", entries.collect::<Vec<_>>().join(", "))
        }
        Value::Empty | Value::Broken => "unknown".to_string(),
    }
}

/// Words between braces, in quotes where they must be.
pub(super) fn inline(text: &str) -> String {
    let plain = |c: char| c.is_alphanumeric() || " -_./%°²³±+()'".contains(c);
    let begins = text.starts_with(|c: char| c.is_alphanumeric());
    let number = text
        .strip_prefix('-')
        .is_some_and(|rest| rest.starts_with(|c: char| c.is_ascii_digit()));
    if (begins || number) && text.chars().all(plain) {
        text.to_string()
    } else {
        format!("{text:?}")
    }
}
