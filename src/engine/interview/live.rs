//! The facts that are worth asking: those for which something waits that is due and in the way.
//!
//! Contract: a fact whose gate is not surely open is not live; the facts that its gate waits for are, in its
//! place. So whatever waits comes to be asked, or stands behind a gate that an answer has shut.

use crate::check::Packs;
use crate::gaps::{Gates, Standing};
use crate::pack::Rule;
use crate::run::{SURE, is_open, waiting};
use std::collections::{BTreeMap, BTreeSet};
use wetside_base::facts::{Content, FactId};
use wetside_base::finding::{Class, Stage};
use wetside_base::vocabulary::FieldId;
use wetside_lang::eval::Scene;

/// What is gained by a fact.
#[derive(Debug, Default)]
pub(super) struct Wanted<'p> {
    pub gain: u32,
    pub rules: Vec<&'p Rule>,
}

/// The facts that are worth asking.
pub(super) type Live<'p> = BTreeMap<FactId, Wanted<'p>>;

pub(super) fn of<'p>(packs: &'p Packs, scene: Scene<'_>, stage: Stage) -> Live<'p> {
    let mut search = Search {
        gates: packs.gates(),
        scene,
        standing: BTreeMap::new(),
        live: Live::new(),
    };
    for waits in waiting(&packs.packs, scene, stage) {
        let weight = match waits.rule.class {
            Class::Hazard => 2,
            Class::Preparation | Class::Advisory => 1,
        };
        for (fact, share) in waits.weights() {
            search.want(fact, weight * share, Some(waits.rule), &mut BTreeSet::new());
        }
    }
    for fact in packs.gates().missing(scene) {
        search.want(fact, 2 * SURE, None, &mut BTreeSet::new());
    }
    search.live
}

struct Search<'p, 's> {
    gates: &'p Gates,
    scene: Scene<'s>,
    standing: BTreeMap<FieldId, Standing>,
    live: Live<'p>,
}

impl<'p> Search<'p, '_> {
    fn want(
        &mut self,
        fact: FactId,
        gain: u32,
        rule: Option<&'p Rule>,
        seen: &mut BTreeSet<FactId>,
    ) {
        let facts = self.scene.facts;
        let group = matches!(facts.fact(fact).content, Content::Group { .. });
        if group || facts.is_worked_out(fact) || !is_open(facts, fact) || !seen.insert(fact) {
            return;
        }
        let field = facts.fact(fact).field;
        let (gates, scene) = (self.gates, self.scene);
        let standing = self.standing.entry(field);
        match standing
            .or_insert_with(|| gates.standing(field, scene))
            .clone()
        {
            Standing::Shut => {}
            Standing::Waits(before) => {
                for fact in before {
                    self.want(fact, gain, rule, seen);
                }
            }
            Standing::Open => {
                let wanted = self.live.entry(fact).or_default();
                wanted.gain = wanted.gain.saturating_add(gain);
                let known =
                    |rule: &&Rule| wanted.rules.iter().any(|other| std::ptr::eq(*other, *rule));
                if let Some(rule) = rule.filter(|rule| !known(rule)) {
                    wanted.rules.push(rule);
                }
            }
        }
    }
}
