//! A value with its place. Data only.

use compact_str::CompactString;
use wetside_base::source::Span;

/// A value and the text that it was read from.
///
/// The span of a scalar has its quotes; that of a block text (`|` or `>`) covers its lines without
/// the header; that of a list or map runs from its first dash, bracket or key to the end of its
/// last value. No span takes in a comment or an empty line after the value.
#[derive(Clone, Debug, PartialEq)]
pub struct Node {
    pub span: Span,
    pub value: Value,
}

#[derive(Clone, Debug, PartialEq)]
pub enum Value {
    Scalar(Scalar),
    List(Vec<Node>),
    /// In the order of the text. No key is there twice.
    Map(Vec<Entry>),
    /// Nothing was written, or `~` or `null`. A problem was reported, unless this is the document.
    Empty,
    /// Something was written that could not be read. A problem was reported.
    Broken,
}

/// One piece of text. What it means is for the reader's callers to say.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Scalar {
    /// With quotes taken off, escapes resolved and lines folded. Most are short, and are kept in place.
    pub text: CompactString,
    pub style: Style,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Style {
    Plain,
    Quoted,
    /// Lines after `|` or `>`.
    Block,
}

/// One line of a map, as it were: a key and what it holds.
#[derive(Clone, Debug, PartialEq)]
pub struct Entry {
    pub key: Key,
    pub value: Node,
}

#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Key {
    pub text: CompactString,
    pub span: Span,
}

/// A value that was looked up, with its key if it is in a map.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Found<'a> {
    pub key: Option<&'a Key>,
    pub node: &'a Node,
}

impl Node {
    /// The entry of a map under `key`; nothing when this is no map or lacks the key.
    pub fn get(&self, key: &str) -> Option<&Entry> {
        self.entries().iter().find(|entry| entry.key.text == key)
    }

    /// The text of a scalar.
    pub fn as_text(&self) -> Option<&str> {
        self.as_scalar().map(|scalar| scalar.text.as_str())
    }

    pub fn as_scalar(&self) -> Option<&Scalar> {
        match &self.value {
            Value::Scalar(scalar) => Some(scalar),
            _ => None,
        }
    }

    /// The entries of a map; none when this is no map.
    pub fn entries(&self) -> &[Entry] {
        match &self.value {
            Value::Map(entries) => entries,
            _ => &[],
        }
    }

    /// The elements of a list; none when this is no list.
    pub fn items(&self) -> &[Node] {
        match &self.value {
            Value::List(items) => items,
            _ => &[],
        }
    }

    /// Whether a problem stands for this value, so that nothing more should be said of it.
    pub fn is_faulty(&self) -> bool {
        matches!(self.value, Value::Empty | Value::Broken)
    }

    /// The value that a JSON Pointer (RFC 6901) leads to, such as `/rooms/0/kind`, and its key.
    /// The empty pointer leads to this node.
    pub fn pointer(&self, pointer: &str) -> Option<Found<'_>> {
        let mut found = Found {
            key: None,
            node: self,
        };
        let mut steps = pointer.split('/');
        if steps.next() != Some("") {
            return None;
        }
        for step in steps {
            found = found
                .node
                .child(&step.replace("~1", "/").replace("~0", "~"))?;
        }
        Some(found)
    }

    /// The entry of a map under `step`, or the element of a list at `step` as a number from 0.
    pub fn child(&self, step: &str) -> Option<Found<'_>> {
        match &self.value {
            Value::Map(_) => self.get(step).map(|entry| Found {
                key: Some(&entry.key),
                node: &entry.value,
            }),
            Value::List(items) => items
                .get(step.parse::<usize>().ok()?)
                .map(|node| Found { key: None, node }),
            _ => None,
        }
    }

    /// The value at just this place.
    pub fn at(&self, span: Span) -> Option<&Node> {
        if self.span == span {
            return Some(self);
        }
        let values = self.entries().iter().map(|entry| &entry.value);
        let mut inside = self.items().iter().chain(values);
        inside.find_map(|node| node.at(span))
    }

    /// Calls `visit` with this value and every value in it, each before what it holds, in the order
    /// of the text.
    pub fn walk<'a>(&'a self, visit: &mut dyn FnMut(Found<'a>)) {
        Found {
            key: None,
            node: self,
        }
        .walk(visit);
    }
}

impl<'a> Found<'a> {
    fn walk(self, visit: &mut dyn FnMut(Found<'a>)) {
        visit(self);
        for node in self.node.items() {
            Found { key: None, node }.walk(visit);
        }
        for Entry { key, value } in self.node.entries() {
            let key = Some(key);
            Found { key, node: value }.walk(visit);
        }
    }
}
