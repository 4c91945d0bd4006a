//! How far the steps of a place can be made in a document.

use super::place::{Step, step};
use super::splice::is_flow;
use wetside_base::source::{Source, Span};
use wetside_base::vocabulary::{FieldId, Vocabulary};
use wetside_document::{Key, Node, Value};

/// How far a place is there.
pub(crate) struct Reached<'a> {
    /// What the last step that could be made leads to.
    pub node: &'a Node,
    /// What holds it, and under which key.
    pub parent: Option<&'a Node>,
    pub key: Option<&'a Key>,
    /// Its field; nothing for the count of a list.
    pub field: Option<FieldId>,
    /// Whether it stands between braces or brackets.
    pub flow: bool,
    /// The steps that are left.
    pub rest: &'a [Step],
}

impl<'a> Reached<'a> {
    pub(crate) fn of(
        source: &Source,
        vocabulary: &Vocabulary,
        root: &'a Node,
        steps: &'a [Step],
    ) -> Reached<'a> {
        let mut reached = Reached {
            node: root,
            parent: None,
            key: None,
            field: Some(Vocabulary::ROOT),
            flow: false,
            rest: steps,
        };
        while let [next, rest @ ..] = reached.rest {
            let (key, node) = match next {
                Step::Key(key) => match reached.node.get(key) {
                    Some(entry) => (Some(&entry.key), &entry.value),
                    None => break,
                },
                Step::Thing(at) => match items(reached.node).and_then(|all| all.get(*at)) {
                    Some(node) => (None, node),
                    None => break,
                },
            };
            let within = reached.node;
            reached = Reached {
                node,
                parent: Some(within),
                key,
                field: reached.field.and_then(|at| step(vocabulary, at, next)),
                flow: reached.flow || is_flow(source, within),
                rest,
            };
        }
        reached
    }

    /// Whether what is to be written here will stand between braces.
    pub(crate) fn within_braces(&self, source: &Source) -> bool {
        self.flow || (!self.rest.is_empty() && is_flow(source, self.node))
    }
}

/// The things of a list in either of its forms.
pub(crate) fn items(list: &Node) -> Option<&[Node]> {
    match &list.value {
        Value::List(items) => Some(items),
        Value::Map(_) => items(&list.get("items")?.value),
        _ => None,
    }
}

/// The empty stretch behind the colon of a key.
pub(crate) fn behind_colon(source: &Source, key: &Key) -> Option<Span> {
    let end = key.span.end as usize;
    let after = &source.text[end..];
    let colon = after.len() - after.trim_start_matches(' ').len();
    after[colon..]
        .starts_with(':')
        .then(|| Span::new(end + colon + 1, end + colon + 1))
}
