//! The minimum facts that a survey does not speak of.
//!
//! Contract: a minimum field whose gate is open, or cannot be shown to be shut, and which is not
//! recorded is a gap. Gates are conditions of the rule language that stand in the schema. A gap keeps
//! the verdict from being clear, whatever the rules say. This module must not know packs.

use crate::run::fact_name;
use serde::{Deserialize, Serialize};
use wetside_base::facts::{Content, FactId, Facts, Told, Why};
use wetside_base::finding::Gap;
use wetside_base::vocabulary::{FieldId, Shape, Tier, Vocabulary};
use wetside_lang::check;
use wetside_lang::eval::{Noting, Scene, answer};
use wetside_lang::names::Names;
use wetside_lang::node::{Node, Reads};
use wetside_lang::parse::parse;
use wetside_units::truth::Truth;

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
        let names = Names {
            vocabulary,
            limits: &[],
            tables: &[],
        };
        let gated = vocabulary.fields().filter_map(|(id, field)| {
            let gate = field.asked_when.as_ref()?;
            let (expr, problems) = parse(gate);
            assert!(
                problems.is_empty(),
                "the gate of `{}`: {problems:?}",
                field.path
            );
            let (checked, problems) = check::condition(&expr, names, &[]);
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

    /// What the gates read of a survey.
    pub(crate) fn reads(&self) -> Reads {
        let mut reads = Reads::default();
        self.gates
            .iter()
            .for_each(|(_, gate)| gate.note(&mut reads));
        reads
    }

    /// Whether a field is asked for: no where its own gate or one above it is shut.
    fn asked(&self, field: FieldId, scene: Scene<'_>) -> Truth {
        let mut at = Some(field);
        let mut open = Truth::Yes;
        while let Some(here) = at {
            let gates = self.gates.iter().filter(|(gated, _)| *gated == here);
            let answers =
                gates.map(|(_, gate)| answer(gate, scene, &[], &[], Noting::Nothing).truth);
            open = open.and(Truth::every(answers));
            at = scene.vocabulary.field(here).parent;
        }
        open
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

/// Every gap, in the order of the schema.
pub fn gaps(gates: &Gates, scene: Scene<'_>) -> Vec<Gap> {
    let mut gaps = Vec::new();
    collect(Facts::ROOT, gates, scene, &mut gaps);
    gaps
}

fn collect(id: FactId, gates: &Gates, scene: Scene<'_>, gaps: &mut Vec<Gap>) {
    let fact = scene.facts.fact(id);
    if !gates.minimum[fact.field.0 as usize] {
        return;
    }
    let field = scene.vocabulary.field(fact.field);
    let missing = match &fact.content {
        Content::Open(Why::NotRecorded) => true,
        Content::List { extent, .. } => extent.told == Told::NotRecorded,
        _ => false,
    };
    if missing && field.tier == Some(Tier::Minimum) && gates.asked(fact.field, scene) != Truth::No {
        gaps.push(Gap {
            fact: fact_name(scene, id),
            asks: field.says.clone(),
            span: fact.span,
        });
    }
    match field.shape {
        Shape::Group { count, .. } => {
            for slot in 0..count {
                collect(scene.facts.child(id, slot), gates, scene, gaps);
            }
        }
        Shape::List { .. } => {
            for element in scene.facts.elements(id) {
                collect(element, gates, scene, gaps);
            }
        }
        Shape::Fact(_) => {}
    }
}
