//! Why a claim is not so: the lines that say the contrary.
//!
//! Contract: data for a sentence. The claimed rule is judged on the thing that the claimed line belongs
//! to; the facts that its answer rests on are the lines to show.

use super::target::lines_of;
use crate::survey::look::Look;
use crate::titles;
use wetside_base::facts::FactId;
use wetside_base::finding::Outcome;
use wetside_base::problem::Label;
use wetside_engine::pack::{Pack, Rule};
use wetside_engine::run::{self, Judged};
use wetside_lang::eval::{Scene, answer};
use wetside_units::truth::Truth;

/// What speaks against a claim.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Refuted {
    /// In the words of a sentence without a full stop.
    pub says: String,
    /// The lines that say so, each with what stands there.
    pub lines: Vec<Label>,
}

impl Refuted {
    /// Without a line that says so.
    pub(super) fn alone(says: impl Into<String>) -> Refuted {
        Refuted {
            says: says.into(),
            lines: Vec::new(),
        }
    }
}

/// What speaks against the claim that a rule of this title is broken at a line.
pub(crate) fn refuted(title: &str, line: usize, look: &Look<'_>) -> Refuted {
    let rules = titles::rules(look.packs, title);
    let Some((pack, rule)) = rules.first() else {
        return Refuted::alone("no rule says so");
    };
    let scene = look.scene_of(pack);
    let judged = run::judge(rule, scene);
    match judged_at(&judged, line, look, rule) {
        Some(judged) => by_judgement(pack, rule, judged, scene, look),
        None => Refuted::alone("this survey has nothing that the rule speaks of"),
    }
}

/// The outcome on the thing that holds the line, or else the first.
fn judged_at<'j>(
    judged: &'j [Judged],
    line: usize,
    look: &Look<'_>,
    rule: &Rule,
) -> Option<&'j Judged> {
    let holds = |judged: &&Judged| {
        let Some(element) = judged.element else {
            return false;
        };
        let span = look.facts.fact(element).span;
        let mut inside = false;
        look.root.walk(&mut |found| {
            if found.node.span.start == span.start
                || found.key.is_some_and(|key| key.span.start == span.start)
            {
                let (first, last) = lines_of(look, found.node);
                inside |= first <= line && line <= last;
            }
        });
        inside
    };
    let here = judged.iter().find(holds);
    let due = |judged: &&Judged| judged.outcome != Outcome::NotApplicable;
    match rule.selection {
        Some(_) => here.or_else(|| judged.iter().find(due)).or(judged.first()),
        None => judged.first(),
    }
}

fn by_judgement(
    pack: &Pack,
    rule: &Rule,
    judged: &Judged,
    scene: Scene<'_>,
    look: &Look<'_>,
) -> Refuted {
    let variables: Vec<FactId> = judged.element.into_iter().collect();
    let filter = rule
        .selection
        .as_ref()
        .and_then(|selection| selection.each.filter.as_deref());
    let guards = filter
        .into_iter()
        .chain(rule.when.as_ref().map(|when| &when.node));
    let conditions: Vec<_> = match judged.outcome {
        Outcome::NotApplicable => guards.collect(),
        _ => vec![&rule.must.node],
    };
    let answers = conditions
        .iter()
        .map(|node| answer(node, &scene, &variables));
    let decisive = match judged.outcome {
        Outcome::NotApplicable => Truth::No,
        _ => Truth::Yes,
    };
    let facts = answers
        .filter(|answer| answer.truth == decisive)
        .flat_map(|answer| answer.trail);
    let mut lines: Vec<Label> = facts.map(|fact| label(fact, scene, look)).collect();
    lines.dedup();
    let limits = rule.must.reads().limits.into_iter();
    let limits = limits.map(|at| &pack.limits[at]);
    let limits: Vec<String> = limits
        .map(|limit| format!("`{}` ({})", limit.limit.written, limit.says))
        .collect();
    let of = judged.element.map_or(String::new(), |element| {
        format!(" for `{}`", run::element_name(scene, element))
    });
    let says = match judged.outcome {
        Outcome::Met if limits.is_empty() => format!("what the rule asks for is there{of}"),
        Outcome::Met => format!(
            "what the rule asks for is there{of}; its limit is {}",
            limits.join(" and ")
        ),
        Outcome::NotApplicable => format!("the rule does not apply here{of}"),
        Outcome::Broken => format!("it is so{of}, but not on this line"),
        Outcome::Undecided => format!("it cannot be decided{of}"),
    };
    Refuted { says, lines }
}

fn label(fact: FactId, scene: Scene<'_>, look: &Look<'_>) -> Label {
    let value = run::fact_value(scene, &look.source, fact);
    Label {
        span: look.facts.fact(fact).span,
        words: format!("`{}` is `{value}`", run::fact_name(scene, fact)),
    }
}
