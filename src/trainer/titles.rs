//! The titles of the packs' rules, by which trainees name what is wrong.

use crate::survey::look::Look;
use wetside_base::finding::Outcome;
use wetside_engine::check::Packs;
use wetside_engine::pack::{Pack, Rule};
use wetside_engine::run;

pub(crate) type Named<'p> = (&'p Pack, &'p Rule);

/// The title of a rule.
pub(crate) fn of(packs: &Packs, rule: &str) -> Option<String> {
    rule_named(packs, rule).map(|(_, rule)| rule.words.title.clone())
}

/// The part that a rule is of; empty where there is no such rule.
pub(crate) fn part_of(packs: &Packs, rule: &str) -> String {
    rule_named(packs, rule).map_or(String::new(), |(_, rule)| rule.part.clone())
}

pub(crate) fn rule_named<'p>(packs: &'p Packs, id: &str) -> Option<Named<'p>> {
    packs
        .packs
        .iter()
        .find_map(|pack| Some((pack, pack.rule(id)?)))
}

/// The rules that a title names; more than one only where packs share a title.
pub(crate) fn rules<'p>(packs: &'p Packs, named: &str) -> Vec<Named<'p>> {
    let all = packs
        .packs
        .iter()
        .flat_map(|pack| pack.rules.iter().map(move |rule| (pack, rule)));
    all.filter(|(_, rule)| rule.words.title == named).collect()
}

/// The titles of all rules, in the order of the packs.
pub(crate) fn all(packs: &Packs) -> Vec<String> {
    let rules = packs.packs.iter().flat_map(|pack| &pack.rules);
    rules.map(|rule| rule.words.title.clone()).collect()
}

/// The rules that are due at the stage of a survey: those that speak of something there, and the rest.
pub(crate) fn due<'p>(look: &Look<'p>) -> (Vec<Named<'p>>, Vec<Named<'p>>) {
    let (mut fitting, mut others) = (Vec::new(), Vec::new());
    for pack in &look.packs.packs {
        let scene = look.scene_of(pack);
        for rule in &pack.rules {
            if rule.stage > look.judgement.stage {
                continue;
            }
            let judged = run::judge(rule, scene);
            let speaks = judged
                .iter()
                .any(|judged| judged.outcome != Outcome::NotApplicable);
            let rules = if speaks { &mut fitting } else { &mut others };
            rules.push((pack, rule));
        }
    }
    (fitting, others)
}
