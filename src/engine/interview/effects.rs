//! What each answer to a question would do.
//!
//! Contract: found by supposing the answer and judging again, as far as that goes without working figures out
//! anew: so a number here is a least one. Of a measure, what an answer can do at all.

use super::{Ask, Asks, Packs, Question, stage};
use crate::gaps::Standing;
use crate::run::{scene, waiting};
use wetside_base::facts::Facts;
use wetside_base::finding::Outcome;
use wetside_base::vocabulary::{Shape, Type};
use wetside_lang::cells::cells_of;
use wetside_lang::eval::Supposed;

/// What some answers do, all of them the same.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Effect {
    /// The words; none where it is a measure or the like.
    pub answers: Vec<String>,
    /// How many outcomes it decides well, and how many ill.
    pub settles: usize,
    pub breaks: usize,
    /// How many fields it opens that were not surely asked before.
    pub opens: usize,
}

/// The effects of the answers to a question, in the order of its words.
pub fn effects(recorded: &Facts, packs: &Packs, ask: &Ask, question: &Question<'_>) -> Vec<Effect> {
    let vocabulary = &packs.vocabulary;
    let (Some(stage), Asks::Value) = (stage(recorded, packs, ask), question.asks) else {
        return Vec::new();
    };
    let facts = packs.with_figures(recorded);
    let scene = scene(vocabulary, &facts, ask.as_of);
    let fact = question.facts[0];
    let waits = waiting(&packs.packs, scene, stage);
    let gated = packs.gates().each();
    let gated: Vec<_> = gated
        .filter(|(field, _)| matches!(packs.gates().standing(*field, scene), Standing::Waits(_)))
        .collect();
    let effect = |cell: &Supposed| {
        let mut effect = Effect {
            answers: Vec::new(),
            settles: 0,
            breaks: 0,
            opens: 0,
        };
        for one in &waits {
            match one.outcome_if(fact, cell.clone()) {
                Outcome::Met | Outcome::NotApplicable => effect.settles += 1,
                Outcome::Broken => effect.breaks += 1,
                Outcome::Undecided => {}
            }
        }
        let supposed = [(fact, cell.clone())];
        let opened = gated.iter().filter(|(_, gate)| {
            use wetside_lang::eval::{Noting, answer};
            answer(gate, scene, &[], &supposed, Noting::Nothing).truth
                == wetside_units::truth::Truth::Yes
        });
        effect.opens = opened.count();
        effect
    };
    let Shape::Fact(Type::Choice(words)) = &vocabulary.field(question.field).shape else {
        let cuts: Vec<_> = waits.iter().flat_map(|one| one.rule.cuts()).collect();
        let cells = cells_of(fact, scene, &cuts);
        let all: Vec<Effect> = cells.iter().map(effect).collect();
        let most = |of: fn(&Effect) -> usize| all.iter().map(of).max().unwrap_or(0);
        return vec![Effect {
            answers: Vec::new(),
            settles: most(|one| one.settles),
            breaks: most(|one| one.breaks),
            opens: most(|one| one.opens),
        }];
    };
    let mut effects: Vec<Effect> = Vec::new();
    for word in words {
        let mut one = effect(&Supposed::Words(vec![*word]));
        let answer = vocabulary.word(*word).to_string();
        let alike = effects.iter_mut().find(|other| {
            (other.settles, other.breaks, other.opens) == (one.settles, one.breaks, one.opens)
        });
        if let Some(alike) = alike {
            alike.answers.push(answer);
        } else {
            one.answers.push(answer);
            effects.push(one);
        }
    }
    effects
}
