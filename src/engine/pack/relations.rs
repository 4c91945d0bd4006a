//! What a rule says of the other rules of its pack: which it explains, and which it comes before.
//!
//! Contract: where nothing is wrong, each link leads to a rule of the pack, no way along the links leads
//! back, and a rule explains none that is graver than itself or that it has nothing to do with. This
//! module must not know surveys or findings.

use super::link::{EVERYTHING, Link, leads};
use super::rule::Rule;
use super::{Pack, PackProblem};
use std::sync::Arc;
use wetside_base::problem::Problem;
use wetside_base::suggest;
use wetside_base::vocabulary::{FieldId, Shape, Vocabulary};

/// What is wrong with the links of rules that are sound in all else.
pub(crate) fn check(pack: &Pack, vocabulary: &Vocabulary) -> Vec<PackProblem> {
    let rules = pack.rules.as_slice();
    let mut problems = Vec::new();
    for rule in rules {
        let explained = rule.explains.iter().map(|link| (link, true));
        let later = rule.comes_before.iter().map(|link| (link, false));
        for (link, explains) in explained.chain(later) {
            let wrong = wrong(rule, link, explains, rules, vocabulary);
            problems.extend(wrong.map(|(kind, says, help)| PackProblem {
                source: Arc::new(rule.source()),
                problem: Problem::new(kind, link.span, says, help),
            }));
        }
    }
    problems
}

/// The kind of what is wrong with a link, what it is, and what to do.
fn wrong(
    rule: &Rule,
    link: &Link,
    explains: bool,
    rules: &[Rule],
    vocabulary: &Vocabulary,
) -> Option<(&'static str, String, String)> {
    let name = &link.rule;
    if name == EVERYTHING && !explains {
        return None;
    }
    let Some(other) = named(rules, name) else {
        let ids = rules.iter().map(|rule| rule.id.as_str());
        let help = suggest::help(name, ids, "name a rule by the name of its file");
        let says = format!("there is no rule `{name}` in this pack");
        return Some(("no-such-rule", says, help));
    };
    if other.comes_first() && !rule.comes_first() {
        let says = format!("`{name}` comes before everything, so nothing stands before it");
        let help = "take the link out".to_string();
        return Some(("links-in-a-circle", says, help));
    }
    if leads_back(rule, other, rules) {
        let says = format!("`{name}` leads back to this rule, so neither stands first");
        let help = "take one of the links on this way out".to_string();
        return Some(("links-in-a-circle", says, help));
    }
    if !explains {
        return None;
    }
    if other.class < rule.class {
        let says = format!(
            "`{name}` is a matter of class {}, and this rule is of class {}",
            other.class, rule.class
        );
        let help = "what is graver never stands under what is less grave: take the link out";
        return Some(("explains-what-is-graver", says, help.to_string()));
    }
    if !link.argued && !share_a_fact(rule, other, vocabulary) {
        let says = format!("`{name}` reads no fact that this rule reads");
        let help = format!("write how the one follows from the other: `{name} because …`");
        return Some(("no-shared-fact", says, help));
    }
    None
}

fn named<'r>(rules: &'r [Rule], id: &str) -> Option<&'r Rule> {
    rules.iter().find(|rule| rule.id == id)
}

/// Whether a way along the links leads from a rule to another.
fn leads_back(to: &Rule, from: &Rule, rules: &[Rule]) -> bool {
    leads(from.id.as_str(), to.id.as_str(), |id| {
        let links = named(rules, id).into_iter().flat_map(Rule::links);
        links.map(|link| link.rule.as_str())
    })
}

/// Lists and groups are no facts: what two radiators are asked need have nothing in common.
fn share_a_fact(one: &Rule, other: &Rule, vocabulary: &Vocabulary) -> bool {
    let is_fact = |field: &FieldId| matches!(vocabulary.field(*field).shape, Shape::Fact(_));
    let read = other.reads().fields;
    let fields = one.reads().fields;
    fields
        .iter()
        .any(|field| is_fact(field) && read.contains(field))
}
