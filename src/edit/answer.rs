//! What is written at one place.

use super::yaml::{in_brackets, in_yaml, inline, value};
use serde_json::{Value as Json, json};

#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Answer {
    /// A word, a measure, a day or a text.
    Text(String),
    /// Any number of words of a set.
    Words(Vec<String>),
    /// Not known, perhaps with the reason.
    Unknown(Option<String>),
}

impl Answer {
    /// As it is written. A text in words of its writer is put in quotes where it looks like a number.
    pub(crate) fn written(&self, flow: bool, free_text: bool) -> String {
        match self {
            Answer::Text(text) if !free_text => in_yaml(text, flow),
            Answer::Text(text) if flow => inline(text),
            Answer::Text(text) => value(text),
            Answer::Words(words) => in_brackets(words),
            Answer::Unknown(None) => "unknown".to_string(),
            Answer::Unknown(Some(why)) => format!("{{unknown: {}}}", inline(why)),
        }
    }

    /// As it must be read.
    pub(crate) fn read(&self) -> Json {
        match self {
            Answer::Text(text) => json!(text),
            Answer::Words(words) => json!(words),
            Answer::Unknown(None) => json!("unknown"),
            Answer::Unknown(Some(why)) => json!({"unknown": why}),
        }
    }
}
