//! Where in a survey something stands, by keys and by the order of things in lists; how far that is there in a
//! document; and what is written there.

use super::splice::is_flow;
use super::yaml::{in_brackets, in_yaml, inline, value};
use serde_json::{Value as Json, json};
use wetside_base::facts::{Content, FactId, Facts};
use wetside_base::source::{Source, Span};
use wetside_base::vocabulary::{FieldId, Shape, Vocabulary};
use wetside_document::{Key, Node, Value};

#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Step {
    Key(String),
    /// A thing of the list that the steps before lead to, counted from nought.
    Thing(usize),
}

/// The way from the survey to one value, group or list.
#[derive(Clone, Debug, Default, PartialEq, Eq, PartialOrd, Ord)]
pub struct Place {
    pub steps: Vec<Step>,
}

impl Place {
    /// Where a fact stands, or would.
    pub fn of(facts: &Facts, vocabulary: &Vocabulary, fact: FactId) -> Place {
        let mut steps = Vec::new();
        let mut at = fact;
        while at != Facts::ROOT {
            let held = facts.fact(at);
            steps.push(match facts.fact(held.parent).content {
                Content::List { first, .. } => Step::Thing((at.0 - first.0) as usize),
                _ => Step::Key(vocabulary.field(held.field).name.clone()),
            });
            at = held.parent;
        }
        steps.reverse();
        Place { steps }
    }

    /// What stands under a key there; `count` is how many things a list has.
    #[must_use]
    pub fn key(mut self, name: &str) -> Place {
        self.steps.push(Step::Key(name.to_string()));
        self
    }

    /// The name of what stands there, as people write it.
    pub(crate) fn name(&self) -> String {
        let names = self.steps.iter().map(|step| match step {
            Step::Key(key) => key.clone(),
            Step::Thing(at) => format!("number {}", at + 1),
        });
        names.collect::<Vec<_>>().join(".")
    }
}

/// The field a step further; nothing for the count of a list, which is no field.
pub(crate) fn step(vocabulary: &Vocabulary, at: FieldId, step: &Step) -> Option<FieldId> {
    match (step, &vocabulary.field(at).shape) {
        (Step::Thing(_), Shape::List { element }) => Some(*element),
        (Step::Key(key), _) => vocabulary.child(at, key),
        (Step::Thing(_), _) => None,
    }
}

/// How far a place is there.
pub(crate) struct Reached<'a> {
    pub source: &'a Source,
    pub vocabulary: &'a Vocabulary,
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
        source: &'a Source,
        vocabulary: &'a Vocabulary,
        root: &'a Node,
        steps: &'a [Step],
    ) -> Reached<'a> {
        let mut reached = Reached {
            source,
            vocabulary,
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
                ..reached
            };
        }
        reached
    }

    /// Whether what is to be written here will stand between braces.
    pub(crate) fn within_braces(&self) -> bool {
        self.flow || (!self.rest.is_empty() && is_flow(self.source, self.node))
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

/// What is written at one place.
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
