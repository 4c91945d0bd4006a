//! The order between findings: which follow from another, and which are seen to first.
//!
//! Contract: nothing is left out and nothing is added. A finding stands under another only where that one
//! is broken too, is no less grave at the stage, is of the same pack, and was found on every thing that it was found on
//! itself.
//! A pack sees to it that the links of its rules lead nowhere back. This module must not know facts.

use crate::pack::{Pack, Rule};
use wetside_base::finding::{Finding, Outcome};

/// Notes what each finding follows from, and what is to be seen to before it; within a class, what comes
/// before another stands before it.
pub(super) fn arrange(mut findings: Vec<Finding>, packs: &[Pack]) -> Vec<Finding> {
    let ruled: Vec<Option<Ruled<'_>>> = findings.iter().map(|one| ruled(one, packs)).collect();
    let speak: Vec<Ruled<'_>> = ruled
        .iter()
        .flatten()
        .copied()
        .filter(Ruled::speaks)
        .collect();
    if speak.is_empty() {
        return findings;
    }
    let note = |found| (root(found, &speak), before(found, &speak));
    let notes: Vec<_> = ruled
        .iter()
        .map(|found| found.map(note).unwrap_or_default())
        .collect();
    for (finding, (explained_by, after)) in findings.iter_mut().zip(notes) {
        finding.explained_by = explained_by;
        finding.after = after;
    }
    first_things_first(findings)
}

/// A finding with its rule.
#[derive(Clone, Copy)]
struct Ruled<'a> {
    finding: &'a Finding,
    rule: &'a Rule,
    pack: &'a Pack,
}

fn ruled<'a>(finding: &'a Finding, packs: &'a [Pack]) -> Option<Ruled<'a>> {
    let pack = packs.iter().find(|pack| pack.holds(finding))?;
    let rule = pack.rule(&finding.rule)?;
    Some(Ruled {
        finding,
        rule,
        pack,
    })
}

impl Ruled<'_> {
    /// Whether it is broken and its rule says something of others.
    fn speaks(&self) -> bool {
        self.rule.links().next().is_some() && self.finding.outcome == Outcome::Broken
    }

    fn is_of_pack(&self, other: Ruled<'_>) -> bool {
        std::ptr::eq(self.pack, other.pack)
    }

    fn explains(&self, other: Ruled<'_>) -> bool {
        // What is graver at this stage never stands under what is less grave.
        self.is_of_pack(other)
            && self.finding.class <= other.finding.class
            && self.rule.explains(other.rule)
            && self.is_of_all(other)
    }

    fn comes_before(&self, other: Ruled<'_>) -> bool {
        self.is_of_pack(other) && self.rule.comes_before(other.rule)
    }

    /// Whether it was found on all that another was found on; what is of the system is of all its things.
    fn is_of_all(&self, other: Ruled<'_>) -> bool {
        let list = |rule: &Rule| Some(rule.selection.as_ref()?.each.list.field);
        let same = list(self.rule).zip(list(other.rule));
        let mut things = things(other.finding);
        same.is_none_or(|(one, another)| one != another)
            || other.finding.more == 0
                && things.all(|thing| self::things(self.finding).any(|one| one == thing))
    }
}

fn things(finding: &Finding) -> impl Iterator<Item = &String> {
    let told = finding.on.iter().filter_map(|on| on.element.as_ref());
    told.chain(&finding.also_on)
}

/// The finding that explains this one, and is explained by none itself.
fn root(found: Ruled<'_>, speak: &[Ruled<'_>]) -> Option<String> {
    let leading = speak.iter().find(|one| one.explains(found))?;
    let broken = found.finding.outcome == Outcome::Broken;
    let further = || root(*leading, speak);
    broken.then(|| further().unwrap_or_else(|| leading.rule.id.clone()))
}

fn before(found: Ruled<'_>, speak: &[Ruled<'_>]) -> Vec<String> {
    let first = speak.iter().filter(|one| one.comes_before(found));
    first.map(|one| one.rule.id.clone()).collect()
}

/// The findings as they are, but for those that are to be seen to after another of their class.
fn first_things_first(mut waiting: Vec<Finding>) -> Vec<Finding> {
    let mut order = Vec::with_capacity(waiting.len());
    while let Some(class) = waiting.first().map(|found| found.class) {
        let holds_up = |one: &Finding, other: &Finding| {
            one.class == class && one.outcome == Outcome::Broken && other.after.contains(&one.rule)
        };
        let free = |other: &Finding| {
            other.after.is_empty() || !waiting.iter().any(|one| holds_up(one, other))
        };
        // Classes stand together, so the first that is free is of the class that is due.
        let next = waiting.iter().position(free).unwrap_or(0);
        order.push(waiting.remove(next));
    }
    order
}
