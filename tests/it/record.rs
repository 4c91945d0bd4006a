//! The record of the day: the register of what was moved, the log, and notes.

mod log;
mod notes;
mod register;

use crate::harms;
use wetside_base::finding::Verdict;
use wetside_base::source::Source;
use wetside_engine::check::{Ask, Packs, check};

/// Sound houses that were handed back, and are clear.
fn handed_back(packs: &Packs) -> Vec<Source> {
    let houses = harms::sound_houses()
        .into_iter()
        .chain(crate::examples::examples());
    let is_handed_back = |house: &Source| {
        let judged = check(house, packs, &Ask::default());
        judged.verdict == Verdict::Clear && judged.stage >= wetside_base::finding::Stage::HandBack
    };
    let houses: Vec<Source> = houses.filter(is_handed_back).collect();
    assert!(houses.len() >= 4, "{} houses are handed back", houses.len());
    houses
}
