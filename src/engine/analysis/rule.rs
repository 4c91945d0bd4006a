//! One rule alone: whether it can fail, be content and apply at all, and whether each part of it does something.

use crate::mutants::{each_combination, idle_parts};
use crate::pack::{Pack, Rule, in_file};
use std::collections::BTreeSet;
use std::ops::ControlFlow;
use wetside_base::finding::Outcome;
use wetside_base::problem::Problem;
use wetside_base::source::Span;
use wetside_base::vocabulary::Vocabulary;
use wetside_lang::ast::WhenEmpty;

/// What was found in one rule, or of it beside others.
#[derive(Default)]
pub(super) struct Found {
    pub told: Vec<Problem>,
    /// How many combinations of facts were tried.
    pub tried: usize,
    /// How much could not be tried in full.
    pub open: usize,
}

/// Where a key of a rule's file stands.
pub(super) fn key(rule: &Rule, key: &str) -> Span {
    let root = wetside_document::read(&rule.source()).root;
    root.get(key).map_or(rule.must_span, |entry| entry.key.span)
}

pub(super) fn of(pack: &Pack, rule: &Rule, vocabulary: &Vocabulary) -> Found {
    let mut found = Found::default();
    let mut seen = BTreeSet::new();
    let mut proved = true;
    let tried = each_combination((pack, rule), (pack, rule), vocabulary, &mut |tried| {
        found.tried += 1;
        for judged in tried.one {
            proved &= judged.outcome != Outcome::Undecided;
            seen.insert(judged.outcome);
        }
        ControlFlow::Continue(())
    });
    let empty = rule.selection.as_ref().map(|one| one.when_empty);
    if empty == Some(WhenEmpty::Broken) {
        // By a list with nothing in it.
        seen.insert(Outcome::Broken);
    }
    if tried.is_none() || !proved {
        found.open = 1;
    } else {
        found.told.extend(never(rule, &seen));
    }
    // Where the whole rule does nothing, its parts need not be told.
    if found.told.is_empty() {
        let (parts, tried) = idle_parts(pack, rule, vocabulary);
        found.tried += tried;
        let source = rule.source();
        let root = wetside_document::read(&source).root;
        for part in parts {
            let node = root.get(part.key).map(|entry| &entry.value);
            let span = node.map_or(rule.must_span, |node| in_file(&source, node, part.span));
            let (says, help) = (
                "this changes no outcome, whatever a survey says",
                "take it out, or mend what was meant; what stands beside it decides already",
            );
            found.told.push(Problem::new("idle-part", span, says, help));
        }
    }
    found
}

/// What a rule can never come to.
fn never(rule: &Rule, seen: &BTreeSet<Outcome>) -> Option<Problem> {
    let (kind, at, says, help) = match (
        seen.contains(&Outcome::Broken),
        seen.contains(&Outcome::Met),
    ) {
        (true, true) => return None,
        (false, false) => (
            "never-applies",
            "when",
            "this rule applies to no survey",
            "no system is as `when` asks; mend it, or take the rule out",
        ),
        (false, true) => (
            "never-broken",
            "must",
            "this rule can never be broken",
            "what it demands holds of every survey that it applies to; mend `must` or `when`, or take the rule out",
        ),
        (true, false) => (
            "never-met",
            "must",
            "this rule can never be met",
            "what it demands holds of no survey that it applies to; mend `must`, or say in `when` where it is wanted",
        ),
    };
    Some(Problem::new(kind, key(rule, at), says, help))
}
