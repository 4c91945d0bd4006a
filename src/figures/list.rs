//! Figures of each thing in a list: a worked-out list with the same names as the recorded one.
//!
//! Contract: `figure.emitters` has an element for each recorded emitter, in the same order, with the
//! same `id`, and is as complete as that list.

use super::table::Figure;
use super::view::View;
use super::{plan, work};
use crate::facts::{Content, Fact, FactId, Facts, Why};
use crate::vocabulary::{Plan, PlanShape, Shape, Vocabulary};

/// Figures of the elements of a list.
#[derive(Debug)]
pub struct FigureList {
    /// Its word under `figure`.
    pub name: &'static str,
    pub says: &'static str,
    /// The recorded list that it goes by.
    pub of: &'static str,
    /// Their inputs are read in the recorded element.
    pub fields: &'static [Figure],
}

/// An element's name, which it has from the recorded one.
const ID: &str = "id";

/// The list as a field.
pub fn plan_list(list: &FigureList) -> Plan {
    let id = Plan {
        name: ID.to_string(),
        says: "The name that the survey gives it.".to_string(),
        tier: None,
        asked_when: None,
        shape: PlanShape::Text,
    };
    Plan {
        name: list.name.to_string(),
        says: list.says.to_string(),
        tier: None,
        asked_when: None,
        shape: PlanShape::List(
            std::iter::once(id)
                .chain(list.fields.iter().map(plan))
                .collect(),
        ),
    }
}

/// Works out every figure of every element.
pub fn derive(facts: &mut Facts, vocabulary: &Vocabulary, group: FactId, list: &FigureList) {
    for (recorded, element) in lay_out(facts, vocabulary, group, list) {
        for figure in list.fields {
            let view = View { facts, vocabulary };
            let id = view.at(element, figure.name);
            let taken = work::take(&view, recorded, figure);
            let content = work::content(&view, figure, &taken);
            facts.work_out(id, content, work::behind(&taken));
        }
    }
}

/// Makes the elements with their names: pairs of recorded and worked-out element. What else they
/// hold is open until it is filled.
pub fn lay_out(
    facts: &mut Facts,
    vocabulary: &Vocabulary,
    group: FactId,
    list: &FigureList,
) -> Vec<(FactId, FactId)> {
    let view = View { facts, vocabulary };
    let (id, of) = (view.at(group, list.name), view.at(Facts::ROOT, list.of));
    let (field, source) = (facts.fact(id).field, facts.fact(of).clone());
    let (Shape::List { element }, Content::List { listed, extent, .. }) =
        (&vocabulary.field(field).shape, &source.content)
    else {
        return Vec::new();
    };
    let blank = |field, parent, span| Fact {
        field,
        parent,
        span,
        content: Content::Open(Why::NotWorkedOut("it has not been worked out".to_string())),
    };
    let first = facts.reserve(*listed, &blank(*element, id, source.span));
    let content = Content::List {
        first,
        listed: *listed,
        extent: extent.clone(),
    };
    facts.work_out(id, content, vec![of]);
    let recorded: Vec<FactId> = facts.elements(of).collect();
    let fields: Vec<_> = vocabulary.children(*element).collect();
    let mut pairs = Vec::with_capacity(recorded.len());
    for (recorded, this) in recorded.into_iter().zip((first.0..).map(FactId)) {
        let span = facts.fact(recorded).span;
        let count = u32::try_from(fields.len()).unwrap_or(0);
        let inner = facts.reserve(count, &blank(*element, this, span));
        for (slot, field) in (inner.0..).map(FactId).zip(&fields) {
            facts.set(slot, blank(*field, this, span));
        }
        let mut group = blank(*element, id, span);
        group.content = Content::Group { first: inner };
        facts.set(this, group);
        name(facts, vocabulary, recorded, this);
        pairs.push((recorded, this));
    }
    pairs
}

/// Gives an element the name of the recorded one.
fn name(facts: &mut Facts, vocabulary: &Vocabulary, recorded: FactId, element: FactId) {
    let view = View { facts, vocabulary };
    let (from, to) = (view.at(recorded, ID), view.at(element, ID));
    let content = facts.fact(from).content.clone();
    facts.work_out(to, content, vec![from]);
}
