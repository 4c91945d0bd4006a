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
    let at = facts.elements(list).position(|other| other == element);
    format!("number {}", at.map_or(0, |at| at + 1))
}

/// A text of the survey inside a sentence: on one line, without control characters.
pub fn one_line(text: &str) -> String {
    let words: Vec<&str> = text.split_whitespace().collect();
    words
        .join(" ")
        .chars()
        .filter(|c| !c.is_control())
        .collect()
}
