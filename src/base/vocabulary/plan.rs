//! Fields on their way into a vocabulary.
//!
//! Contract: data only; what is not said of a field is what most fields have.

use super::{Tier, Type};

#[derive(Clone, Debug)]
pub struct Plan {
    pub name: String,
    pub says: String,
    pub tier: Option<Tier>,
    pub asked_when: Option<String>,
    pub true_anyway: bool,
    /// Other words for words of the choice, each with ours.
    pub also: Vec<(String, String)>,
    /// Where one stands to see it; as its group where nothing is said.
    pub place: Option<String>,
    pub stays: bool,
    pub shape: PlanShape,
}

#[derive(Clone, Debug)]
pub enum PlanShape {
    Group(Vec<Plan>),
    /// The fields of one element.
    List(Vec<Plan>),
    Choice(Vec<String>),
    Set(Vec<String>),
    /// A set of which at least one word is true of every system.
    FilledSet(Vec<String>),
    /// What has no words of its own.
    Fact(Type),
}

impl Plan {
    /// A field of which no more is said.
    pub fn new(name: &str, says: &str, shape: PlanShape) -> Plan {
        Plan {
            name: name.to_string(),
            says: says.to_string(),
            tier: None,
            asked_when: None,
            true_anyway: false,
            also: Vec::new(),
            place: None,
            stays: false,
            shape,
        }
    }
}
