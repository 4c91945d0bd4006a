//! Rules where answers of the survey contradict each other.
//!
//! Contract: such a rule is judged as written and again with the doubted answers open. Broken as written
//! stays broken, whatever else is wrong; otherwise the second outcome counts. So an answer in doubt passes
//! nothing and makes no rule inapplicable, and a contradiction hides no danger. Of hazards the same holds where
//! a number is unlikely and nobody confirms it.

use super::grounds::grounds;
use super::judge::{Judged, judge};
use crate::pack::Rule;
use std::collections::BTreeMap;
use wetside_base::facts::FactId;
use wetside_base::finding::{Class, Outcome};
use wetside_lang::eval::Scene;

/// What is in doubt.
#[derive(Clone, Copy)]
pub struct Doubt<'a> {
    /// The survey with the doubted answers open.
    pub scene: Scene<'a>,
    /// What each of them belongs to: a contradiction, or something unlikely.
    pub of: &'a BTreeMap<FactId, usize>,
}

/// What is in doubt of a survey, if anything.
#[derive(Clone, Copy, Default)]
pub struct Doubts<'a> {
    /// What passes nothing.
    pub always: Option<Doubt<'a>>,
    /// What passes no hazard, that among it.
    pub for_hazards: Option<Doubt<'a>>,
}

impl<'a> Doubts<'a> {
    /// What is in doubt where a rule of that class is judged.
    pub(super) fn of(&self, class: Class) -> Option<&Doubt<'a>> {
        let hazards = self.for_hazards.as_ref();
        let hazards = hazards.filter(|_| class == Class::Hazard);
        hazards.or(self.always.as_ref())
    }

    /// The same seen in another way.
    pub(super) fn with(self, seen: impl Fn(Scene<'a>) -> Scene<'a>) -> Doubts<'a> {
        let each = |doubt: Option<Doubt<'a>>| {
            doubt.map(|doubt| Doubt {
                scene: seen(doubt.scene),
                ..doubt
            })
        };
        Doubts {
            always: each(self.always),
            for_hazards: each(self.for_hazards),
        }
    }
}

/// An outcome, and whether it is undecided through doubt alone.
pub struct Doubted {
    pub judged: Judged,
    pub through_doubt: bool,
}

/// Every outcome of a rule, in the order of [`judge`].
pub fn judge_in_doubt(rule: &Rule, written: Scene<'_>, doubt: Scene<'_>) -> Vec<Doubted> {
    let again = judge(rule, doubt).into_iter();
    let mut again: BTreeMap<Option<FactId>, Judged> =
        again.map(|judged| (judged.element, judged)).collect();
    let mut all = Vec::new();
    for mut judged in judge(rule, written) {
        let second = again.remove(&judged.element);
        let passes = matches!(judged.outcome, Outcome::Met | Outcome::NotApplicable);
        if passes {
            judged.outcome = second.map_or(Outcome::Undecided, |second| second.outcome);
        }
        let through_doubt = passes && judged.outcome == Outcome::Undecided;
        all.push(Doubted {
            judged,
            through_doubt,
        });
    }
    // A list that may hold more through doubt has an outcome of its own that it did not have before.
    let more = again.into_values();
    all.extend(more.map(|judged| Doubted {
        judged,
        through_doubt: true,
    }));
    all
}

impl Doubt<'_> {
    /// What an outcome waits for: the first of what it rests on.
    pub(super) fn behind(self, rule: &Rule, judged: &Judged) -> usize {
        let open = grounds(rule, self.scene, judged).open;
        let of = open.iter().filter_map(|keeps| self.of.get(&keeps.fact));
        of.min().copied().unwrap_or(0)
    }
}
