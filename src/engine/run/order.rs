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
    let linked = linked(&findings, packs);
    if linked.is_empty() {
        return findings;
    }
    let notes: Vec<_> = findings
        .iter()
        .map(|found| (root(found, &linked), before(found, &linked)))
        .collect();
    for (finding, (explained_by, after)) in findings.iter_mut().zip(notes) {
        finding.explained_by = explained_by;
        finding.after = after;
    }
    first_things_first(findings)
}

/// A broken finding whose rule says something of other rules.
struct Linked<'a> {
    finding: &'a Finding,
    rule: &'a Rule,
    pack: &'a Pack,
}

fn linked<'a>(findings: &'a [Finding], packs: &'a [Pack]) -> Vec<Linked<'a>> {
    let of = |finding: &'a Finding| {
        let pack = packs.iter().find(|pack| pack.holds(finding))?;
        let rule = pack.rule(&finding.rule)?;
        let speaks = rule.links().next().is_some() && finding.outcome == Outcome::Broken;
        speaks.then_some(Linked {
            finding,
            rule,
            pack,
        })
    };
    findings.iter().filter_map(of).collect()
}

impl Linked<'_> {
    fn rule_of(&self, other: &Finding) -> Option<&Rule> {
        let same = self.pack.holds(other);
        self.pack.rule(&other.rule).filter(|_| same)
    }

    fn explains(&self, other: &Finding) -> bool {
        // What is graver at this stage never stands under what is less grave.
        let explains = |rule| {
            self.finding.class <= other.class
                && self.rule.explains(rule)
                && self.is_of_all(rule, other)
        };
        self.rule_of(other).is_some_and(explains)
    }

    fn comes_before(&self, other: &Finding) -> bool {
        self.rule_of(other)
            .is_some_and(|rule| self.rule.comes_before(rule))
    }

    /// Whether it was found on all that another was found on; what is of the system is of all its things.
    fn is_of_all(&self, rule: &Rule, other: &Finding) -> bool {
        let list = |rule: &Rule| Some(rule.selection.as_ref()?.each.list.field);
        let same = list(self.rule).zip(list(rule));
        let mut things = things(other);
        same.is_none_or(|(one, another)| one != another)
            || other.more == 0
                && things.all(|thing| self::things(self.finding).any(|one| one == thing))
    }
}

fn things(finding: &Finding) -> impl Iterator<Item = &String> {
    let told = finding.on.iter().filter_map(|on| on.element.as_ref());
    told.chain(&finding.also_on)
}

/// The finding that explains this one, and is explained by none itself.
fn root(finding: &Finding, linked: &[Linked<'_>]) -> Option<String> {
    let leading = linked.iter().find(|one| one.explains(finding))?;
    let broken = finding.outcome == Outcome::Broken;
    let further = || root(leading.finding, linked);
    broken.then(|| further().unwrap_or_else(|| leading.rule.id.clone()))
}

fn before(finding: &Finding, linked: &[Linked<'_>]) -> Vec<String> {
    let first = linked.iter().filter(|one| one.comes_before(finding));
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
