//! The titles of the packs' rules, by which trainees name what is wrong.

use wetside_base::finding::Stage;
use wetside_engine::check::Packs;
use wetside_engine::pack::{Pack, Rule};

/// The title of a rule.
pub(crate) fn of(packs: &Packs, rule: &str) -> Option<String> {
    rule_named(packs, rule).map(|(_, rule)| rule.words.title.clone())
}

/// A rule and its pack.
pub(crate) fn rule_named<'p>(packs: &'p Packs, id: &str) -> Option<(&'p Pack, &'p Rule)> {
    packs
        .packs
        .iter()
        .find_map(|pack| Some((pack, pack.rule(id)?)))
}

/// The rules that a title names; more than one only where packs share a title.
pub(crate) fn rules<'p>(packs: &'p Packs, named: &str) -> Vec<(&'p Pack, &'p Rule)> {
    let all = packs
        .packs
        .iter()
        .flat_map(|pack| pack.rules.iter().map(move |rule| (pack, rule)));
    all.filter(|(_, rule)| rule.words.title == named).collect()
}

/// The titles of the rules that are due at a stage, in the order of the packs.
pub(crate) fn due(packs: &Packs, stage: Stage) -> Vec<String> {
    let rules = packs.packs.iter().flat_map(|pack| &pack.rules);
    let due = rules.filter(|rule| rule.stage <= stage);
    due.map(|rule| rule.words.title.clone()).collect()
}
