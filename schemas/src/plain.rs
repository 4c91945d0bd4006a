//! A value as the check of shapes sees it: a view of a tree that somebody else keeps.
//!
//! Contract: the six sorts of value that JSON has, the texts borrowed. It takes one list a mapping
//! to make, where a tree of JSON would copy every text and index every key; that is half of what a
//! check of a sound value costs. A mapping holds no key twice.

use std::borrow::Cow;

use jsonschema::JsonType;
use jsonschema::json::{Array, Json, Node, NodeIdentity, Object};
use serde_json::{Number, Value};

/// A value without its place.
#[derive(Clone, Debug, PartialEq)]
pub enum Plain<'t> {
    Nothing,
    Truth(bool),
    Number(Number),
    Text(&'t str),
    List(Vec<Plain<'t>>),
    Map(Vec<(&'t str, Plain<'t>)>),
}

impl<'t> From<&'t Value> for Plain<'t> {
    fn from(value: &'t Value) -> Plain<'t> {
        match value {
            Value::Null => Plain::Nothing,
            Value::Bool(truth) => Plain::Truth(*truth),
            Value::Number(number) => Plain::Number(number.clone()),
            Value::String(text) => Plain::Text(text),
            Value::Array(items) => Plain::List(items.iter().map(Plain::from).collect()),
            Value::Object(entries) => {
                let entries = entries.iter();
                Plain::Map(
                    entries
                        .map(|(key, value)| (key.as_str(), value.into()))
                        .collect(),
                )
            }
        }
    }
}

impl Plain<'_> {
    fn to_json(&self) -> Value {
        match self {
            Plain::Nothing => Value::Null,
            Plain::Truth(truth) => Value::Bool(*truth),
            Plain::Number(number) => Value::Number(number.clone()),
            Plain::Text(text) => Value::String((*text).to_string()),
            Plain::List(items) => items.iter().map(Plain::to_json).collect(),
            Plain::Map(entries) => {
                let entries = entries.iter();
                Value::Object(
                    entries
                        .map(|(key, value)| ((*key).to_string(), value.to_json()))
                        .collect(),
                )
            }
        }
    }
}

// What follows tells the library how to walk such a value.

/// The representation, as the library calls it.
pub(crate) struct Plainly;

impl Json for Plainly {
    type Node<'a> = &'a Plain<'a>;
    type PreparedKey = String;
    type StringBuffer = ();

    const ACYCLIC: bool = true;

    fn prepare_key(key: &str) -> String {
        key.to_string()
    }

    fn with_string_node<T>((): &mut (), text: &str, use_it: impl FnOnce(Self::Node<'_>) -> T) -> T {
        use_it(&Plain::Text(text))
    }
}

impl<'a> Node<'a, Plainly> for &'a Plain<'a> {
    type Object = Entries<'a>;
    type Array = Items<'a>;
    type Number = Number;

    fn as_object(&self) -> Option<Entries<'a>> {
        match self {
            Plain::Map(entries) => Some(Entries(entries)),
            _ => None,
        }
    }

    fn as_array(&self) -> Option<Items<'a>> {
        match self {
            Plain::List(items) => Some(Items(items)),
            _ => None,
        }
    }

    fn as_string(&self) -> Option<Cow<'a, str>> {
        match self {
            Plain::Text(text) => Some(Cow::Borrowed(text)),
            _ => None,
        }
    }

    fn as_number(&self) -> Option<Number> {
        match self {
            Plain::Number(number) => Some(number.clone()),
            _ => None,
        }
    }

    fn as_boolean(&self) -> Option<bool> {
        match self {
            Plain::Truth(truth) => Some(*truth),
            _ => None,
        }
    }

    fn is_null(&self) -> bool {
        matches!(self, Plain::Nothing)
    }

    fn json_type(&self) -> JsonType {
        match self {
            Plain::Nothing => JsonType::Null,
            Plain::Truth(_) => JsonType::Boolean,
            Plain::Number(_) => JsonType::Number,
            Plain::Text(_) => JsonType::String,
            Plain::List(_) => JsonType::Array,
            Plain::Map(_) => JsonType::Object,
        }
    }

    fn equals_value(&self, expected: &Value) -> bool {
        match (self, expected) {
            (Plain::Text(text), _) => expected.as_str() == Some(text),
            (_, Value::String(_)) => false,
            _ => jsonschema::json::cmp::equal(&self.to_json(), expected),
        }
    }

    fn to_value(&self) -> Cow<'a, Value> {
        Cow::Owned(self.to_json())
    }

    fn identity(&self) -> Option<NodeIdentity> {
        Some(NodeIdentity::new(std::ptr::from_ref::<Plain>(self).addr()))
    }
}

/// The entries of a mapping, in the order of the text.
pub(crate) struct Entries<'a>(&'a [(&'a str, Plain<'a>)]);

/// The elements of a list.
pub(crate) struct Items<'a>(&'a [Plain<'a>]);

type Member<'a> = (&'a str, &'a Plain<'a>);

impl<'a> Object<'a, Plainly> for Entries<'a> {
    type Node = &'a Plain<'a>;
    type MemberName = &'a str;
    type MembersIter = std::iter::Map<
        std::slice::Iter<'a, (&'a str, Plain<'a>)>,
        fn(&'a (&'a str, Plain<'a>)) -> Member<'a>,
    >;

    fn len(&self) -> usize {
        self.0.len()
    }

    fn get(&self, key: &String) -> Option<&'a Plain<'a>> {
        let found = self.0.iter().find(|(name, _)| name == key);
        found.map(|(_, value)| value)
    }

    fn members(&self) -> Self::MembersIter {
        self.0.iter().map(|(name, value)| (*name, value))
    }
}

impl<'a> Array<'a, Plainly> for Items<'a> {
    type Node = &'a Plain<'a>;
    type ElementsIter = std::slice::Iter<'a, Plain<'a>>;

    fn len(&self) -> usize {
        self.0.len()
    }

    fn elements(&self) -> Self::ElementsIter {
        self.0.iter()
    }
}
