//! Where in a survey something stands: keys, and things of lists by their order.

use wetside_base::facts::{Content, FactId, Facts};
use wetside_base::vocabulary::{FieldId, Shape, Vocabulary};

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
