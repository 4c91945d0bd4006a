//! The phases that a job may be in, by the stage that it is judged for and by what its survey records.
//!
//! Contract: a phase is left out only where its condition is surely not so. A pack without phases has one.

use super::scene::{STAGE, fact_at};
use crate::pack::{Pack, Phase};
use wetside_base::finding::Stage;
use wetside_lang::eval::{Scene, Supposed, truth};
use wetside_units::truth::Truth;

/// Their places among the phases of the pack.
pub(super) fn possible(pack: &Pack, scene: Scene<'_>, stage: Stage) -> Vec<usize> {
    let recorded = fact_at(scene.vocabulary, scene.facts, STAGE);
    let word = scene.vocabulary.word_id(stage.words());
    let asked: Vec<_> = recorded
        .zip(word)
        .map(|(fact, word)| (fact, Supposed::Words(vec![word])))
        .into_iter()
        .collect();
    let may_be = |phase: &Phase| {
        let truth = truth(&phase.when.node, &scene, &[], &asked);
        truth != Truth::No
    };
    let phases = pack.phases.iter().enumerate();
    let possible: Vec<usize> = phases
        .filter(|(_, phase)| may_be(phase))
        .map(|(at, _)| at)
        .collect();
    if possible.is_empty() {
        // Nobody can say where the job stands: the words for each phase are told.
        (0..pack.phases.len().max(1)).collect()
    } else {
        possible
    }
}
