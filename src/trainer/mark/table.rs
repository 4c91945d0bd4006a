//! The published table of marks: what a claim is worth, what a false stop costs, what is unsafe.
//!
//! Contract: the one place of these rules in code; their words for people are `sheet/marking.md`, which the
//! answer sheet, its paper and the guide show. *The table is our own choice, no source.*

use super::marked::{Harm, OTHER_CLASS, WHOLE};
use super::matching::best_matching;
use super::target::{Target, TargetKind};
use crate::proof::declared::is_within;
use crate::sheet::Verdict;
use wetside_base::finding::{self, Class};
use wetside_base::source::Span;

/// A claim with its names resolved.
pub(super) struct Understood<'s> {
    pub span: Span,
    pub what: Meant<'s>,
    /// Whether a person has ruled that it is not so.
    pub void: bool,
}

pub(super) enum Meant<'s> {
    Wrong {
        line: usize,
        class: Class,
        reason: &'s str,
        /// The rules of that title, each with its part.
        rules: Vec<(String, String)>,
    },
    /// Words of one's own: what they say is read by the line alone.
    InOwnWords {
        line: usize,
        class: Class,
        words: &'s str,
    },
    /// A fact, as findings name it.
    Missing(String),
}

impl Understood<'_> {
    pub(super) fn words(&self) -> String {
        match &self.what {
            Meant::Wrong {
                line,
                class,
                reason,
                ..
            } => format!("line {line}, {class}: {reason}"),
            Meant::InOwnWords { line, class, words } => {
                format!("line {line}, {class}: \u{201c}{words}\u{201d}")
            }
            Meant::Missing(fact) => format!("cannot be decided, because `{fact}` is missing"),
        }
    }

    /// Its line, and what it says is wrong there; what is missing has neither.
    fn said(&self) -> Option<(usize, &str)> {
        match &self.what {
            Meant::Wrong { line, reason, .. } => Some((*line, reason)),
            Meant::InOwnWords { line, words, .. } => Some((*line, words)),
            Meant::Missing(_) => None,
        }
    }

    /// Whether it has line and reason of another claim.
    fn repeats(&self, other: &Understood<'_>) -> bool {
        let alike = self.in_own_words() == other.in_own_words();
        alike && self.said().is_some() && self.said() == other.said()
    }

    /// The reason that was claimed; words of one's own and what is missing have none.
    pub(super) fn reason(&self) -> Option<&str> {
        let (_, reason) = self.said().filter(|_| !self.in_own_words())?;
        Some(reason)
    }

    pub(super) fn in_own_words(&self) -> bool {
        matches!(self.what, Meant::InOwnWords { .. })
    }

    /// The class that was claimed; what is missing has none.
    pub(super) fn class(&self) -> Option<Class> {
        match &self.what {
            Meant::Wrong { class, .. } | Meant::InOwnWords { class, .. } => Some(*class),
            Meant::Missing(_) => None,
        }
    }
}

const HALF: i64 = 4;
/// The eighths of a point that each step costs by which a sheet is stricter than the job.
const STRICTER: i64 = 4;

/// What each claim would earn by each target, and the target that each is best counted for.
pub(super) fn matching(
    claims: &[Understood<'_>],
    targets: &[Target<'_>],
) -> (Vec<Vec<i64>>, Vec<Option<usize>>) {
    let credits = |claim: &Understood<'_>| {
        let credits = targets.iter().map(|target| credit(claim, target));
        credits.collect()
    };
    let credits: Vec<Vec<i64>> = claims.iter().map(credits).collect();
    let weights: Vec<i64> = targets.iter().map(Target::weight).collect();
    let matched = best_matching(&without_repeats(claims, &credits), &weights);
    (credits, matched)
}

/// The credits without the halves of claims whose line and reason stand on the sheet before: who says one
/// thing twice has not found a second.
fn without_repeats(claims: &[Understood<'_>], credits: &[Vec<i64>]) -> Vec<Vec<i64>> {
    let kept = |(at, row): (usize, &Vec<i64>)| {
        let again = claims[..at].iter().any(|other| claims[at].repeats(other));
        row.iter()
            .map(|credit| if again && *credit == HALF { 0 } else { *credit })
            .collect()
    };
    credits.iter().enumerate().map(kept).collect()
}

/// The eighths of a target that a claim is worth.
fn credit(claim: &Understood<'_>, target: &Target<'_>) -> i64 {
    if claim.void {
        return 0;
    }
    match (&claim.what, &target.what) {
        (
            Meant::Wrong {
                line, class, rules, ..
            },
            TargetKind::Broken { finding, part, .. },
        ) => {
            let at_place = target.place.contains(line);
            let same_rule = rules.iter().any(|(id, _)| *id == finding.rule);
            let same_part = rules.iter().any(|(_, other)| other == part);
            if same_rule && at_place {
                whole_or_other(*class, finding.class)
            } else if same_rule && target.near.contains(line) || same_part && at_place {
                HALF
            } else {
                0
            }
        }
        (Meant::InOwnWords { line, class, .. }, TargetKind::Broken { finding, .. }) => {
            if target.place.contains(line) {
                whole_or_other(*class, finding.class)
            } else if target.near.contains(line) {
                HALF
            } else {
                0
            }
        }
        (Meant::InOwnWords { line, .. }, TargetKind::Missing { .. }) => {
            if target.place.contains(line) { HALF } else { 0 }
        }
        (Meant::Missing(claimed), TargetKind::Missing { fact, .. }) => {
            if is_within(claimed, fact) {
                WHOLE
            } else if is_within(fact, claimed) {
                HALF
            } else {
                0
            }
        }
        (Meant::Wrong { rules, .. }, TargetKind::Missing { waiting, .. }) => {
            let waits = waiting
                .iter()
                .any(|finding| rules.iter().any(|(id, _)| *id == finding.rule));
            if waits { HALF } else { 0 }
        }
        (Meant::Missing(_), TargetKind::Broken { .. }) => 0,
    }
}

fn whole_or_other(said: Class, is: Class) -> i64 {
    if said == is { WHOLE } else { OTHER_CLASS }
}

/// What is unsafe in how the target at `at` was dealt with, by all claims of the sheet.
pub(super) fn harm(
    at: usize,
    target: &Target<'_>,
    claims: &[Understood<'_>],
    matched: &[Option<usize>],
) -> Option<Harm> {
    if target.class != Class::Hazard {
        return None;
    }
    if !matched.contains(&Some(at)) {
        return Some(match target.what {
            TargetKind::Broken { .. } => Harm::Missed,
            TargetKind::Missing { .. } => Harm::LeftOpen,
        });
    }
    // Who claims one hazard in two classes has not said that it is a hazard, whatever else the claim counts for;
    // words of one's own are about the one thing that they count for.
    let about = |(claim, taken): &(&Understood<'_>, &Option<usize>)| {
        let elsewhere = taken.is_some() && matches!(claim.what, Meant::InOwnWords { .. });
        **taken == Some(at) || !elsewhere && !claim.void && names_hazard(claim, target)
    };
    claims
        .iter()
        .zip(matched)
        .filter(about)
        .filter_map(|(claim, _)| claim.class())
        .find(|class| *class > Class::Hazard)
        .map(|class| Harm::Belittled(Some(class)))
}

/// Whether a claim gives the reason of a hazard: of a broken one on its line, or on one near.
fn names_hazard(claim: &Understood<'_>, target: &Target<'_>) -> bool {
    let (line, rules) = match &claim.what {
        Meant::Wrong { line, rules, .. } => (line, rules),
        Meant::InOwnWords { line, .. } => return target.place.contains(line),
        Meant::Missing(_) => return false,
    };
    let named = |id: &str| rules.iter().any(|(rule, _)| rule == id);
    match &target.what {
        TargetKind::Broken { finding, .. } => {
            named(&finding.rule) && (target.place.contains(line) || target.near.contains(line))
        }
        TargetKind::Missing { waiting, .. } => waiting
            .iter()
            .any(|finding| finding.class == Class::Hazard && named(&finding.rule)),
    }
}

/// What a false stop costs, in eighths of a point; a hazard claimed `in_vain` stops the job as well.
pub(super) fn false_stop(said: Verdict, is: Verdict, in_vain: bool) -> i64 {
    let called = if in_vain { Verdict::DoNotStart } else { said };
    STRICTER * (called as i64 - is as i64).max(0)
}

pub(super) fn verdict(of: finding::Verdict) -> Verdict {
    match of {
        finding::Verdict::Clear => Verdict::Clear,
        finding::Verdict::Prepare | finding::Verdict::FindOut => Verdict::NotYet,
        finding::Verdict::DoNotStart => Verdict::DoNotStart,
    }
}
