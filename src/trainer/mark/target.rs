//! What a trainee should have found in one survey, with everything that marking has to know of it.
//!
//! Contract: the key says what there is to find; the survey is judged again, and a key that no longer
//! fits what is found is refused, for then the packs are not those that it was made with.

use crate::draw;
use crate::key::{Key, KeyFault, KeyFinding};
use crate::proof::declared::is_within;
use crate::survey::look::Look;
use crate::titles;
use std::collections::BTreeSet;
use wetside_base::finding::{Class, Finding, On, Outcome};
use wetside_base::problem::Problem;
use wetside_base::source::Source;
use wetside_document::Node;
use wetside_engine::check::Packs;

/// One thing to find.
#[derive(Clone, Debug)]
pub(crate) struct Target<'l> {
    pub fault: &'l KeyFault,
    pub what: TargetKind<'l>,
    pub class: Class,
    /// The lines that count as its place.
    pub place: BTreeSet<usize>,
    /// Lines that it rests on, or of the same thing.
    pub near: BTreeSet<usize>,
}

#[derive(Clone, Debug)]
pub(crate) enum TargetKind<'l> {
    Broken {
        finding: &'l Finding,
        on: &'l On,
        part: String,
    },
    /// The fact, and what waits for it.
    Missing {
        fact: &'l str,
        waiting: Vec<&'l Finding>,
    },
}

impl Target<'_> {
    /// How much it weighs in the score: a hazard 3, a preparation 2, an advisory 1; something missing
    /// weighs as a preparation. *Our own choice, no source.*
    pub(crate) fn weight(&self) -> i64 {
        match self.what {
            TargetKind::Missing { .. } => 2,
            TargetKind::Broken { .. } => weight_of(self.class),
        }
    }
}

pub(crate) fn weight_of(class: Class) -> i64 {
    match class {
        Class::Hazard => 3,
        Class::Preparation => 2,
        Class::Advisory => 1,
    }
}

/// The survey of an exercise, judged again.
///
/// # Errors
/// When it is not the survey that the key belongs to, or the packs are others.
pub(crate) fn look_again<'p>(
    survey: &Source,
    key: &Key,
    packs: &'p Packs,
) -> Result<Look<'p>, Problem> {
    let text = survey.text.replace("\r\n", "\n");
    let first = survey.line_span(1);
    if draw::written(draw::sum(draw::EMPTY, &text)) != key.survey {
        let says = "this is not the survey that the key belongs to, or it was changed";
        let help = "mark with the survey as it was handed out";
        return Err(Problem::new("other-survey", first, says, help));
    }
    let look = Look::at(Source::new(survey.name.clone(), text), packs);
    if look.judgement.packs != key.packs {
        let says = format!(
            "the key was made with {}, not with {}",
            key.packs.join(" and "),
            look.judgement.packs.join(" and ")
        );
        let help = "mark with the packs that the exercise was made with, or make it again";
        return Err(Problem::new("other-pack", first, says, help));
    }
    Ok(look)
}

/// Everything that there is to find.
///
/// # Errors
/// When the key promises what is not found, or does not speak of what is.
pub(crate) fn targets<'l>(key: &'l Key, look: &'l Look<'l>) -> Result<Vec<Target<'l>>, Problem> {
    let mut targets = Vec::new();
    for fault in &key.faults {
        for finding in &fault.findings {
            let target = target(fault, finding, look);
            targets.push(target.ok_or_else(|| stale(look, &fault.id))?);
        }
    }
    let known = |(finding, on): &(&Finding, &On)| {
        let promised = targets.iter().any(|target| match &target.what {
            TargetKind::Broken { on: promised, .. } => std::ptr::eq(*promised, *on),
            TargetKind::Missing { .. } => false,
        });
        let neutral = key.neutral.iter().any(|neutral| match neutral {
            KeyFinding::Rule { rule, thing, .. } => *rule == finding.rule && *thing == on.element,
            KeyFinding::Missing { .. } => false,
        });
        promised || neutral
    };
    match look.judgement.outcomes().find(|told| !known(told)) {
        Some((finding, _)) => Err(stale(look, &finding.rule)),
        None => Ok(targets),
    }
}

fn stale(look: &Look<'_>, what: &str) -> Problem {
    let says = format!("the survey and its key do not agree about `{what}`");
    let help = "mark with the packs that the exercise was made with, or make it again";
    Problem::new("stale-key", look.source.line_span(1), says, help)
}

fn target<'l>(
    fault: &'l KeyFault,
    wanted: &'l KeyFinding,
    look: &'l Look<'l>,
) -> Option<Target<'l>> {
    let mut outcomes = look.judgement.outcomes();
    match wanted {
        KeyFinding::Rule { rule, thing, line } => {
            let (finding, on) = outcomes.find(|(finding, on)| {
                finding.outcome == Outcome::Broken && finding.rule == *rule && on.element == *thing
            })?;
            let part = titles::part_of(look.packs, rule);
            let place: BTreeSet<usize> = fault.lines.iter().copied().chain([*line]).collect();
            let rests_on = on.lines.iter().map(|label| look.line_of(label.span));
            let near = rests_on
                .chain(same_group(look, *line))
                .filter(|line| !place.contains(line))
                .collect();
            Some(Target {
                fault,
                class: finding.class,
                what: TargetKind::Broken { finding, on, part },
                place,
                near,
            })
        }
        KeyFinding::Missing { fact, line } => {
            let waits = |on: &On| on.causes.iter().any(|cause| is_within(&cause.fact, fact));
            let waiting = outcomes.filter(|(_, on)| waits(on));
            let waiting: Vec<&Finding> = waiting.map(|(finding, _)| finding).collect();
            let mut gaps = look.judgement.gaps.iter();
            let gap = gaps.any(|gap| is_within(&gap.fact, fact));
            let class = waiting.iter().map(|finding| finding.class).min();
            Some(Target {
                fault,
                class: class.or(gap.then_some(Class::Hazard))?,
                what: TargetKind::Missing { fact, waiting },
                place: fault.lines.iter().copied().chain([*line]).collect(),
                near: same_group(look, *line).collect(),
            })
        }
    }
}

/// The lines of the thing or section that a line belongs to: the smallest group of several lines.
fn same_group(look: &Look<'_>, line: usize) -> impl Iterator<Item = usize> + use<> {
    let mut smallest: Option<(usize, usize)> = None;
    look.root.walk(&mut |found| {
        if found.node.entries().is_empty() || std::ptr::eq(found.node, &raw const look.root) {
            return;
        }
        let (first, last) = lines_of(look, found.node);
        let smaller = smallest.is_none_or(|(from, to)| last - first < to - from);
        if first < last && first <= line && line <= last && smaller {
            smallest = Some((first, last));
        }
    });
    let (first, last) = smallest.unwrap_or((line, line));
    first..=last
}

/// The first and last line of a value.
pub(crate) fn lines_of(look: &Look<'_>, node: &Node) -> (usize, usize) {
    let last = node.span.end.max(node.span.start + 1) - 1;
    (look.line_of(node.span), look.source.line_of(last))
}
