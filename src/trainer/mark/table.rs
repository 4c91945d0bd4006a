//! The published table of marks: what a claim is worth, what a false stop costs, what is unsafe.
//!
//! Contract: the one place of these rules in code; their words for people are `sheet/marking.md`, which the
//! answer sheet, its paper and the guide show. *The table is our own choice, no source.* No claim is matched so that the
//! sum is less than it could be, so nobody loses marks by the order in which claims were written.

use super::marked::{Harm, OTHER_CLASS, WHOLE};
use super::target::{Target, TargetKind};
use crate::proof::declared::is_within;
use crate::sheet::{Claim, Verdict, What};
use wetside_base::finding::{self, Class};
use wetside_engine::pack::Rule;

/// A claim with its names resolved.
pub(super) struct Understood<'s> {
    pub claim: &'s Claim,
    /// The rules whose title is its reason.
    pub rules: Vec<&'s Rule>,
    /// The fact that it says is missing, as findings name it.
    pub fact: String,
    /// Whether a person has ruled that it is not so.
    pub void: bool,
}

impl Understood<'_> {
    pub(super) fn words(&self) -> String {
        match &self.claim.what {
            What::Wrong {
                line,
                class,
                reason,
            } => format!("line {line}, {class}: {reason}"),
            What::InOwnWords { line, class, words } => {
                format!("line {line}, {class}: \u{201c}{words}\u{201d}")
            }
            What::Missing { .. } => {
                format!("cannot be decided, because `{}` is missing", self.fact)
            }
        }
    }

    /// Whether it has line and reason of another claim.
    fn repeats(&self, other: &Understood<'_>) -> bool {
        let (one, other) = (&self.claim.what, &other.claim.what);
        let alike = one.is_in_own_words() == other.is_in_own_words();
        alike && one.says().is_some() && one.says() == other.says()
    }

    /// Whether its reason is the title of this rule.
    pub(super) fn names(&self, rule: &str) -> bool {
        self.rules.iter().any(|one| one.id == rule)
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
    let half = |is: bool| if is { HALF } else { 0 };
    match (&claim.claim.what, &target.what) {
        (What::Wrong { line, class, .. }, TargetKind::Broken { finding, part, .. }) => {
            let at_place = target.place.contains(line);
            let same_rule = claim.names(&finding.rule);
            let same_part = claim.rules.iter().any(|rule| rule.part == *part);
            if same_rule && at_place {
                whole_or_other(*class, finding.class)
            } else {
                half(same_rule && target.near.contains(line) || same_part && at_place)
            }
        }
        (What::InOwnWords { line, class, .. }, TargetKind::Broken { finding, .. }) => {
            if target.place.contains(line) {
                whole_or_other(*class, finding.class)
            } else {
                half(target.near.contains(line))
            }
        }
        (What::InOwnWords { line, .. }, TargetKind::Missing { .. }) => {
            half(target.place.contains(line))
        }
        (What::Missing { .. }, TargetKind::Missing { fact, .. }) => {
            if is_within(&claim.fact, fact) {
                WHOLE
            } else {
                half(is_within(fact, &claim.fact))
            }
        }
        (What::Wrong { .. }, TargetKind::Missing { waiting, .. }) => {
            half(waiting.iter().any(|finding| claim.names(&finding.rule)))
        }
        (What::Missing { .. }, TargetKind::Broken { .. }) => 0,
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
        let elsewhere = taken.is_some() && claim.claim.what.is_in_own_words();
        **taken == Some(at) || !elsewhere && !claim.void && names_hazard(claim, target)
    };
    claims
        .iter()
        .zip(matched)
        .filter(about)
        .filter_map(|(claim, _)| claim.claim.what.class())
        .find(|class| *class > Class::Hazard)
        .map(|class| Harm::Belittled(Some(class)))
}

/// Whether a claim gives the reason of a hazard: of a broken one on its line, or on one near.
fn names_hazard(claim: &Understood<'_>, target: &Target<'_>) -> bool {
    let line = match &claim.claim.what {
        What::Wrong { line, .. } => line,
        What::InOwnWords { line, .. } => return target.place.contains(line),
        What::Missing { .. } => return false,
    };
    match &target.what {
        TargetKind::Broken { finding, .. } => {
            let near = target.place.contains(line) || target.near.contains(line);
            near && claim.names(&finding.rule)
        }
        TargetKind::Missing { waiting, .. } => waiting
            .iter()
            .any(|finding| finding.class == Class::Hazard && claim.names(&finding.rule)),
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

/// For each claim the target it is matched with, so that the weighted sum is the greatest; of several
/// ways the one in which earlier claims have earlier targets.
fn best_matching(credits: &[Vec<i64>], weights: &[i64]) -> Vec<Option<usize>> {
    let targets = weights.len().min(MOST_TARGETS);
    let states = 1 << targets;
    // best[claim][taken]: the most that this claim and those after it can still earn.
    let mut best = vec![vec![0_i64; states]; credits.len() + 1];
    for claim in (0..credits.len()).rev() {
        for taken in 0..states {
            let earned = (0..targets)
                .filter(|at| taken & (1 << at) == 0 && credits[claim][*at] > 0)
                .map(|at| credits[claim][at] * weights[at] + best[claim + 1][taken | (1 << at)])
                .max();
            best[claim][taken] = earned.unwrap_or(0).max(best[claim + 1][taken]);
        }
    }
    let mut taken = 0;
    let mut matched = Vec::with_capacity(credits.len());
    for claim in 0..credits.len() {
        let choice = (0..targets).find(|at| {
            let free = taken & (1 << at) == 0 && credits[claim][*at] > 0;
            free && credits[claim][*at] * weights[*at] + best[claim + 1][taken | (1 << at)]
                == best[claim][taken]
        });
        taken |= choice.map_or(0, |at| 1 << at);
        matched.push(choice);
    }
    matched
}

/// More than any exercise asks for; the work of matching doubles with each.
const MOST_TARGETS: usize = 16;

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_claim_makes_room_for_another() {
        // The first claim is worth half of either; the second only of the first.
        let credits = [vec![4, 4], vec![8, 0]];
        assert_eq!(best_matching(&credits, &[3, 3]), [Some(1), Some(0)]);
        // A weightier target is preferred, an earlier one among equals.
        assert_eq!(best_matching(&[vec![4, 4]], &[1, 3]), [Some(1)]);
        assert_eq!(
            best_matching(&[vec![4, 4], vec![4, 4]], &[2, 2]),
            [Some(0), Some(1)]
        );
        assert_eq!(best_matching(&[vec![0]], &[2]), [None]);
        assert_eq!(best_matching(&[vec![]], &[]), [None]);
    }
}
