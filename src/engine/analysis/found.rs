//! What was found in one rule, and where to tell it.

use crate::pack::Rule;
use wetside_base::problem::Problem;
use wetside_base::source::Span;

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
