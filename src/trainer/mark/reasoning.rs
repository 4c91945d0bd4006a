//! How somebody knows what they claim: which lines belong together, what to do, and what first.
//!
//! Contract: held to the finding's own lines, to what it asks to be done, and to where a missing fact is found out. A
//! figure of its own beside the points, which passes and fails nobody. What is said in words of one's own is marked
//! by a person or not at all. *Our own choice, no source.*

use super::changes::Changes;
use super::marked::Reasoning;
use super::target::{Target, TargetKind};
use crate::fault::Answer;
use crate::key::offered::find_out;
use crate::sheet::{Claim, Sheet};
use crate::survey::look::{Look, field_path};
use std::collections::BTreeSet;
use wetside_base::finding::Class;
use wetside_engine::check::Packs;

/// More lines than this are not asked of one finding.
const MOST_LINES: usize = 3;

/// One sheet whose claims are matched with what there was to find.
pub(super) struct Asked<'a> {
    pub sheet: &'a Sheet,
    pub targets: &'a [Target<'a>],
    /// The target of each claim whose line and reason are right, or that names what is missing.
    pub right: &'a [Option<usize>],
    pub steps: &'a [String],
    pub changes: &'a Changes<'a>,
    pub look: &'a Look<'a>,
}

/// The reasoning of a sheet: its figure, what is to be said of each claim, and of what is to be seen to first.
pub(super) struct Reasoned {
    pub figure: Reasoning,
    pub of_claims: Vec<Vec<String>>,
    pub of_first: Option<String>,
}

impl Asked<'_> {
    pub(super) fn reasoned(&self) -> Reasoned {
        let mut figure = Reasoning::default();
        for target in self.targets {
            figure.lines.1 += most(&together(target, self.look));
            let step = step(target, self.look.packs);
            figure.steps.1 += usize::from(step.is_some_and(|step| self.steps.contains(&step)));
        }
        let claims = self.sheet.claims.iter().zip(self.right).enumerate();
        let of_claims = claims.map(|(at, (claim, right))| {
            let Some(target) = right.map(|at| &self.targets[at]) else {
                return Vec::new();
            };
            let lines = self.lines(claim, target, &mut figure);
            let step = self.step_taken(at, claim, target, &mut figure);
            lines.into_iter().chain(step).collect()
        });
        let of_claims = of_claims.collect();
        let of_first = self.first(&mut figure);
        Reasoned {
            figure,
            of_claims,
            of_first,
        }
    }

    fn lines(&self, claim: &Claim, target: &Target<'_>, figure: &mut Reasoning) -> Option<String> {
        let together = together(target, self.look);
        let most = most(&together);
        let own = claim.what.line();
        let with = claim.with.iter().copied();
        let with: BTreeSet<usize> = with.filter(|line| Some(*line) != own).collect();
        let wrong = with.difference(&together).count();
        let named = (with.len() - wrong).saturating_sub(wrong).min(most);
        if most == 0 && with.is_empty() {
            return None;
        }
        figure.lines.0 += named;
        let others: Vec<String> = together
            .iter()
            .filter(|line| Some(**line) != own)
            .map(usize::to_string)
            .collect();
        let rests = match others.as_slice() {
            [] => "it rests on no other line".to_string(),
            [one] => format!("it rests on line {one} as well"),
            several => format!("it rests on lines {} as well", several.join(", ")),
        };
        Some(format!("{rests}: {named} of {most}"))
    }

    fn step_taken(
        &self,
        at: usize,
        claim: &Claim,
        target: &Target<'_>,
        figure: &mut Reasoning,
    ) -> Option<String> {
        let wanted = step(target, self.look.packs)?;
        let ruled = self.changes.step(at);
        let offered = self.steps.contains(&wanted);
        let right = match ruled {
            Some(answer) => answer == Answer::Yes,
            None => offered && claim.step.as_ref() == Some(&wanted),
        };
        figure.steps.0 += usize::from(right);
        figure.steps.1 += usize::from(ruled.is_some() && !offered);
        let told = match (&claim.step, right) {
            (_, true) => "what you would do is what it asks".to_string(),
            (None, false) => format!("it asks: {wanted}"),
            (Some(step), false) => format!("you would: {step}; it asks: {wanted}"),
        };
        Some(told)
    }

    fn first(&self, figure: &mut Reasoning) -> Option<String> {
        let firsts = firsts(self.targets);
        let place = |at: &usize| {
            let first = self.targets[*at].place.first();
            first.map_or(String::new(), usize::to_string)
        };
        let lines: Vec<String> = firsts.iter().map(place).collect();
        let named = self.sheet.first.and_then(|claim| self.right[claim]);
        let right = named.is_some_and(|at| firsts.contains(&at));
        figure.first = (usize::from(right), usize::from(!firsts.is_empty()));
        let told = if right {
            "as the sheet says"
        } else {
            "which the sheet does not say"
        };
        let lines = lines.join(" or ");
        (!firsts.is_empty())
            .then(|| format!("to be seen to first: what is on line {lines}, {told}"))
    }
}

/// The lines that a finding rests on.
fn together(target: &Target<'_>, look: &Look<'_>) -> BTreeSet<usize> {
    match &target.what {
        TargetKind::Broken { on, .. } => {
            let others = on.lines.iter().map(|label| label.span);
            let all = std::iter::once(on.place).chain(others);
            all.map(|span| look.line_of(span)).collect()
        }
        TargetKind::Missing { .. } => BTreeSet::new(),
    }
}

/// How many lines are asked of those that belong together, beside the one that is claimed.
fn most(together: &BTreeSet<usize>) -> usize {
    together.len().saturating_sub(1).min(MOST_LINES)
}

/// What is to be done about it: what the finding asks, or where the missing fact is found out.
pub(super) fn step(target: &Target<'_>, packs: &Packs) -> Option<String> {
    match &target.what {
        TargetKind::Broken { on, .. } => Some(on.remedy.clone()).filter(|step| !step.is_empty()),
        TargetKind::Missing { fact, .. } => {
            let path = field_path(fact);
            let mut fields = packs.vocabulary.fields();
            let (field, _) = fields.find(|(_, field)| field.path == path)?;
            find_out(&packs.vocabulary, field)
        }
    }
}

/// What may be seen to first: of the gravest, what neither follows from another of them nor waits for one. What
/// is known to be wrong goes before what is to be found out.
fn firsts(targets: &[Target<'_>]) -> Vec<usize> {
    let rank = |target: &Target<'_>| match (&target.what, target.class) {
        (TargetKind::Broken { .. }, Class::Hazard) => 0,
        (TargetKind::Missing { .. }, Class::Hazard) => 1,
        (TargetKind::Broken { .. }, Class::Preparation) => 2,
        (TargetKind::Missing { .. }, _) => 3,
        (TargetKind::Broken { .. }, Class::Advisory) => 4,
    };
    let gravest = targets.iter().map(rank).min();
    let of_gravest = || {
        let all = targets.iter().enumerate();
        all.filter(|(_, target)| Some(rank(target)) == gravest)
    };
    let is_there = |rule: &String| {
        of_gravest().any(|(_, target)| matches!(&target.what, TargetKind::Broken { finding, .. } if finding.rule == *rule))
    };
    let free = |target: &Target<'_>| match &target.what {
        TargetKind::Broken { finding, .. } => !finding
            .after
            .iter()
            .chain(&finding.explained_by)
            .any(is_there),
        TargetKind::Missing { .. } => true,
    };
    of_gravest()
        .filter(|(_, target)| free(target))
        .map(|(at, _)| at)
        .collect()
}
