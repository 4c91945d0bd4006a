//! The minimum facts that a survey does not speak of.
//!
//! Contract: a minimum field whose gate is open, or cannot be shown to be shut, and which is not
//! recorded is a gap. Gates are conditions of the rule language that stand in the schema. A gap keeps
//! the verdict from being clear, whatever the rules say. Where long lists lack the same field in every
//! element, the first are told and all are counted. This module must not know packs.

use crate::run::{fact_name, of_thing};
use serde::{Deserialize, Serialize};
use std::collections::BTreeMap;
use wetside_base::facts::{Content, FactId, Facts, Told, Why};
use wetside_base::finding::Gap;
use wetside_base::vocabulary::{FieldId, Shape, Tier, Vocabulary};
use wetside_lang::check;
use wetside_lang::eval::{Scene, answer};
use wetside_lang::names::Names;
use wetside_lang::node::{Node, Reads};
use wetside_lang::parse::parse;
use wetside_units::truth::Truth;

/// Whether a field is asked for.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) enum Standing {
    Open,
    Shut,
    /// Nobody can say before these facts are known.
    Waits(Vec<FactId>),
}

/// The conditions under which fields are asked for.
#[derive(Debug, Default, Serialize, Deserialize)]
pub struct Gates {
    gates: Vec<(FieldId, Node)>,
    /// Of each field, whether it is a minimum one or holds any.
    minimum: Vec<bool>,
}

impl Gates {
    /// Reads the gates of a vocabulary.
    ///
    /// # Panics
    /// When a gate is no sound condition; the schema is part of the program, and a test reads it.
    pub fn new(vocabulary: &Vocabulary) -> Gates {
        let names = Names::of(vocabulary);
        let gated = vocabulary.fields().filter_map(|(id, field)| {
            let gate = field.asked_when.as_ref()?;
            let (expr, mut problems) = parse(gate);
            let (checked, faults) = check::condition(&expr, names, &[]);
            problems.extend(faults);
            assert!(
                problems.is_empty(),
                "the gate of `{}`: {problems:?}",
                field.path
            );
            Some((id, checked.node))
        });
        Gates {
            gates: gated.collect(),
            minimum: minimum(vocabulary),
        }
    }

    /// Looks again at which fields are minimum ones, after some without gates were added.
    pub(crate) fn know_more(&mut self, vocabulary: &Vocabulary) {
        self.minimum = minimum(vocabulary);
    }

    /// The gated fields with their gates, in the order of the schema.
    pub(crate) fn each(&self) -> impl Iterator<Item = (FieldId, &Node)> {
        self.gates.iter().map(|(field, gate)| (*field, gate))
    }

    /// What the gates read of a survey.
    pub(crate) fn reads(&self) -> Reads {
        let mut reads = Reads::default();
        self.gates
            .iter()
            .for_each(|(_, gate)| gate.note(&mut reads));
        reads
    }

    /// Whether a field may be asked for: not where its own gate or one above it is shut.
    pub(crate) fn may_ask(&self, field: FieldId, scene: Scene<'_>) -> bool {
        self.standing(field, scene) != Standing::Shut
    }

    /// What its own gate and those above it say of a field.
    pub(crate) fn standing(&self, field: FieldId, scene: Scene<'_>) -> Standing {
        let mut waits = Vec::new();
        let mut at = Some(field);
        while let Some(here) = at {
            for (_, gate) in self.gates.iter().filter(|(gated, _)| *gated == here) {
                let answer = answer(gate, &scene, &[]);
                match answer.truth {
                    Truth::No => return Standing::Shut,
                    Truth::Yes => {}
                    Truth::Undecided => waits.extend(answer.trail),
                }
            }
            at = scene.vocabulary.field(here).parent;
        }
        if waits.is_empty() {
            Standing::Open
        } else {
            Standing::Waits(waits)
        }
    }

    /// The minimum facts that are not recorded and may be asked for.
    pub(crate) fn missing(&self, scene: Scene<'_>) -> Vec<FactId> {
        let mut search = Search::of(self, scene);
        search.within(Facts::ROOT);
        search.facts
    }
}

fn minimum(vocabulary: &Vocabulary) -> Vec<bool> {
    let fields: Vec<_> = vocabulary.fields().collect();
    let mut minimum = vec![false; fields.len()];
    // A field stands behind the group that it belongs to.
    for (id, field) in fields.into_iter().rev() {
        let own = &mut minimum[id.0 as usize];
        *own |= field.tier == Some(Tier::Minimum);
        if let (true, Some(parent)) = (*own, field.parent) {
            minimum[parent.0 as usize] = true;
        }
    }
    minimum
}

/// The most gaps of one field that are told, each on another element of a list.
const MOST_OF_FIELD: usize = 32;

/// The gaps in the order of the schema, and how many there are beside those told.
pub fn gaps(gates: &Gates, scene: Scene<'_>) -> (Vec<Gap>, usize) {
    let mut search = Search::of(gates, scene);
    search.within(Facts::ROOT);
    let gap = |id: FactId| {
        let fact = scene.facts.fact(id);
        Gap {
            fact: fact_name(scene, id),
            of: of_thing(scene, id),
            asks: scene.vocabulary.field(fact.field).says.clone(),
            answers: scene.vocabulary.answers(fact.field),
            span: fact.span,
        }
    };
    (search.facts.into_iter().map(gap).collect(), search.more)
}

struct Search<'a> {
    gates: &'a Gates,
    scene: Scene<'a>,
    /// Of each field that was missing somewhere: whether it may be asked for, and how often it was met.
    met: BTreeMap<FieldId, (bool, usize)>,
    facts: Vec<FactId>,
    more: usize,
}

impl<'a> Search<'a> {
    fn of(gates: &'a Gates, scene: Scene<'a>) -> Search<'a> {
        Search {
            gates,
            scene,
            met: BTreeMap::new(),
            facts: Vec::new(),
            more: 0,
        }
    }

    fn within(&mut self, id: FactId) {
        let scene = self.scene;
        let fact = scene.facts.fact(id);
        if !self.gates.minimum[fact.field.0 as usize] {
            return;
        }
        let field = scene.vocabulary.field(fact.field);
        let missing = match &fact.content {
            Content::Open(Why::NotRecorded) => true,
            Content::List { extent, .. } => extent.told == Told::NotRecorded,
            _ => false,
        };
        if missing && field.tier == Some(Tier::Minimum) {
            self.missing(id);
        }
        match field.shape {
            Shape::Group { count, .. } => {
                (0..count).for_each(|slot| self.within(scene.facts.child(id, slot)));
            }
            Shape::List { .. } => scene.facts.elements(id).for_each(|one| self.within(one)),
            Shape::Fact(_) => {}
        }
    }

    fn missing(&mut self, id: FactId) {
        let scene = self.scene;
        let fact = scene.facts.fact(id);
        let fresh = || (self.gates.may_ask(fact.field, scene), 0);
        let (may_ask, times) = self.met.entry(fact.field).or_insert_with(fresh);
        if !*may_ask {
            return;
        }
        *times += 1;
        if *times > MOST_OF_FIELD {
            self.more += 1;
            return;
        }
        self.facts.push(id);
    }
}
