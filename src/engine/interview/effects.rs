//! What each answer to a question would do.
//!
//! Contract: found by supposing the answer and judging again, as far as that goes without working figures out
//! anew: so a number here is a least one. Of a measure, what an answer can do at all.

use super::{Ask, Asks, Packs, Question, stage};
use crate::gaps::Standing;
use crate::run::{Waiting, scene, waiting};
use serde::Serialize;
use wetside_base::facts::{FactId, Facts};
use wetside_base::finding::Outcome;
use wetside_base::vocabulary::{Shape, Type, WordId};
use wetside_lang::cells::cells_of;
use wetside_lang::eval::{Scene, Supposed, truth};
use wetside_lang::node::Node;
use wetside_units::truth::Truth;

/// What some answers do, all of them the same.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Effect {
    /// The words; none where it is a measure or the like.
    pub answers: Vec<String>,
    /// How many outcomes it decides well, and how many ill.
    pub settles: usize,
    pub breaks: usize,
    /// How many fields it opens that were not surely asked before.
    pub opens: usize,
}

/// The effects of the answers to a question, in the order of its words; of several things, on the first.
pub fn effects(recorded: &Facts, packs: &Packs, ask: &Ask, question: &Question<'_>) -> Vec<Effect> {
    let vocabulary = &packs.vocabulary;
    let (Some(stage), Asks::Value) = (stage(recorded, packs, ask), question.asks) else {
        return Vec::new();
    };
    let facts = packs.with_figures(recorded);
    let scene = scene(vocabulary, &facts, ask.as_of);
    let gated = packs.gates().each();
    let gated = gated
        .filter(|(field, _)| matches!(packs.gates().standing(*field, scene), Standing::Waits(_)));
    let trial = Trial {
        fact: question.facts[0],
        waits: waiting(&packs.packs, scene, stage),
        gates: gated.map(|(_, gate)| gate).collect(),
        scene,
    };
    if let Shape::Fact(Type::Choice(words)) = &vocabulary.field(question.field).shape {
        let supposed = |word: &WordId| trial.of(&Supposed::Words(vec![*word]));
        let effects = words
            .iter()
            .map(|word| (vocabulary.word(*word), supposed(word)));
        return alike(effects);
    }
    let cuts: Vec<_> = trial.waits.iter().flat_map(|one| one.rule.cuts()).collect();
    let cells = cells_of(trial.fact, scene, &cuts);
    let all: Vec<Effect> = cells.iter().map(|cell| trial.of(cell)).collect();
    let most = |of: fn(&Effect) -> usize| all.iter().map(of).max().unwrap_or(0);
    vec![Effect {
        answers: Vec::new(),
        settles: most(|one| one.settles),
        breaks: most(|one| one.breaks),
        opens: most(|one| one.opens),
    }]
}

/// Words that do the same, together.
fn alike<'v>(each: impl Iterator<Item = (&'v str, Effect)>) -> Vec<Effect> {
    let mut effects: Vec<Effect> = Vec::new();
    for (word, one) in each {
        let does = |one: &Effect| (one.settles, one.breaks, one.opens);
        let answers = vec![word.to_string()];
        match effects.iter_mut().find(|other| does(other) == does(&one)) {
            Some(other) => other.answers.extend(answers),
            None => effects.push(Effect { answers, ..one }),
        }
    }
    effects
}

/// One fact of which something is supposed, and what may be decided by it.
struct Trial<'p, 's> {
    fact: FactId,
    waits: Vec<Waiting<'p, 's>>,
    /// The gates that are not surely open or shut.
    gates: Vec<&'p Node>,
    scene: Scene<'s>,
}

impl Trial<'_, '_> {
    fn of(&self, cell: &Supposed) -> Effect {
        let outcomes = self
            .waits
            .iter()
            .map(|one| one.outcome_if(self.fact, cell.clone()));
        let outcomes: Vec<Outcome> = outcomes.collect();
        let count = |of: fn(&Outcome) -> bool| outcomes.iter().filter(|one| of(one)).count();
        let supposed = [(self.fact, cell.clone())];
        let opened = |gate: &&&Node| truth(gate, &self.scene, &[], &supposed) == Truth::Yes;
        Effect {
            answers: Vec::new(),
            settles: count(|one| matches!(one, Outcome::Met | Outcome::NotApplicable)),
            breaks: count(|one| *one == Outcome::Broken),
            opens: self.gates.iter().filter(opened).count(),
        }
    }
}
