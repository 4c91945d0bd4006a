//! What people call a fact.
//!
//! Contract: a name is made of the words of the survey and nothing else, so that its reader finds
//! the line.

use super::{Content, FactId, Facts};
use crate::vocabulary::Vocabulary;

/// A fact as people name it: `circuit.kind`, or `emitters, hall: condition` within a list.
pub fn fact_name(facts: &Facts, vocabulary: &Vocabulary, id: FactId) -> String {
    let mut inner: Vec<&str> = Vec::new();
    let mut at = id;
    while at != Facts::ROOT {
        let fact = facts.fact(at);
        let parent = facts.fact(fact.parent);
        if matches!(parent.content, Content::List { .. }) {
            let list = &vocabulary.field(parent.field).path;
            let name = element_name(facts, vocabulary, at);
            inner.reverse();
            return if inner.is_empty() {
                format!("{list}, {name}")
            } else {
                format!("{list}, {name}: {}", inner.join("."))
            };
        }
        inner.push(&vocabulary.field(fact.field).name);
        at = fact.parent;
    }
    inner.reverse();
    inner.join(".")
}

/// The list and the thing of it that a fact belongs to.
pub fn thing_of(facts: &Facts, fact: FactId) -> Option<(FactId, FactId)> {
    let mut at = fact;
    while at != Facts::ROOT {
        let parent = facts.fact(at).parent;
        if matches!(facts.fact(parent).content, Content::List { .. }) {
            return Some((parent, at));
        }
        at = parent;
    }
    None
}

/// The name that an element goes by: its id, or its place in the list.
pub fn element_name(facts: &Facts, vocabulary: &Vocabulary, element: FactId) -> String {
    let field = facts.fact(element).field;
    let id = vocabulary.child(field, "id").and_then(|id| {
        let fact = facts.child(element, vocabulary.field(id).slot);
        facts.text(fact)
    });
    id.map_or_else(|| position(facts, element), one_line)
}

/// The place of an element that has no name: `number 3`.
fn position(facts: &Facts, element: FactId) -> String {
    let list = facts.fact(element).parent;
    let first = facts.elements(list).next();
    let at = first.map_or(0, |first| element.0 + 1 - first.0);
    format!("number {at}")
}

/// A text of the survey inside a sentence: on one line, without control characters.
pub fn one_line(text: &str) -> String {
    let mut line = String::with_capacity(text.len());
    for word in text.split_whitespace() {
        if !line.is_empty() {
            line.push(' ');
        }
        line.extend(word.split(char::is_control));
    }
    line
}
