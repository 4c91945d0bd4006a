//! The tree as plain values, for a shape check that knows no places.

use serde_json::{Map, Number, Value as Json};

use super::core_words::{is_truth, number};
use super::node::{Node, Scalar, Style, Value};

/// The same values for a shape check, which knows no places.
///
/// Plain whole numbers and decimals (as the core schema of YAML 1.2 has them, those with leading
/// zeros excepted) are numbers, plain `true` and `false` are booleans, all else that was written
/// is a string. [`Value::Empty`] and [`Value::Broken`] become `null`: a problem was reported for
/// each already, so a caller ignores what a shape check says of these (see [`Node::is_faulty`]).
pub fn to_json(node: &Node) -> Json {
    match &node.value {
        Value::Scalar(scalar) => match core_word(scalar) {
            Some(CoreWord::Truth(truth)) => Json::Bool(truth),
            Some(CoreWord::Number(number)) => Json::Number(number),
            None => scalar.text.as_str().into(),
        },
        Value::List(items) => items.iter().map(to_json).collect(),
        Value::Map(entries) => {
            let entries = entries.iter();
            let pairs = entries.map(|entry| (entry.key.text.to_string(), to_json(&entry.value)));
            Json::Object(pairs.collect::<Map<_, _>>())
        }
        Value::Empty | Value::Broken => Json::Null,
    }
}

/// What a plain text is beside itself, in the core schema of YAML 1.2.
#[derive(Clone, Debug, PartialEq)]
pub enum CoreWord {
    Truth(bool),
    Number(Number),
}

/// The number or truth that a text is; nothing where it is text alone.
pub fn core_word(scalar: &Scalar) -> Option<CoreWord> {
    match scalar.text.as_str() {
        _ if scalar.style != Style::Plain => None,
        word if is_truth(word) => Some(CoreWord::Truth(word.eq_ignore_ascii_case("true"))),
        text => number(text).map(CoreWord::Number),
    }
}
