//! The titles of the packs' rules, by which trainees name what is wrong.

use wetside_base::finding::Stage;
use wetside_engine::check::Packs;
use wetside_engine::pack::{Pack, Rule};

/// The title of a rule.
pub(crate) fn of(packs: &Packs, rule: &str) -> Option<String> {
    let (pack, rule) = rule_named(packs, rule)?;
    Some(title(packs, pack, rule))
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
    all.filter(|(pack, rule)| title(packs, pack, rule) == named)
        .collect()
}

/// The titles of the rules that are due at a stage, in the order of the packs.
pub(crate) fn due(packs: &Packs, stage: Stage) -> Vec<String> {
    let due = |pack: &'_ Pack| -> Vec<String> {
        let rules = pack.rules.iter().filter(|rule| rule.stage <= stage);
        rules.map(|rule| title(packs, pack, rule)).collect()
    };
    packs.packs.iter().flat_map(due).collect()
}

fn title(packs: &Packs, pack: &Pack, rule: &Rule) -> String {
    rule.words(pack.names(&packs.vocabulary)).title.clone()
}
