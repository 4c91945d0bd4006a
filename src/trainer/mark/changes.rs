//! What a person has ruled of the marks of one sheet, upon appeal or where words of one's own had to be read.
//!
//! Contract: a ruling answers a question that marking answers too, and its answer stands in place of that. Whether a
//! sheet has what a ruling speaks of is asked here; who may rule is not.

use super::marked::{Asked, Change, Harm, OTHER_CLASS, TargetMark, WHOLE};
use crate::fault::Answer;
use crate::sheet::{Sheet, Verdict};
use wetside_base::finding::Class;

/// The changes of one sheet.
pub(super) struct Changes<'a>(pub &'a [Change]);

impl Changes<'_> {
    fn answer(&self, asked: &Asked) -> Option<Answer> {
        let last = self.0.iter().rev().find(|change| change.asked == *asked);
        last.map(|change| change.answer)
    }

    /// Of a claim by its place from 0.
    pub(super) fn claim(&self, at: usize) -> Option<Answer> {
        self.answer(&Asked::Claim(at + 1))
    }

    pub(super) fn step(&self, at: usize) -> Option<Answer> {
        self.answer(&Asked::Step(at + 1))
    }

    /// The verdict that a sheet is marked with: what it said, unless somebody ruled that it is right.
    pub(super) fn verdict(&self, said: Verdict, is: Verdict) -> Verdict {
        match self.answer(&Asked::Verdict) {
            Some(Answer::Yes) => is,
            _ => said,
        }
    }

    pub(super) fn ruled(&self, mut target: TargetMark) -> TargetMark {
        let is_hazard = target.class == Class::Hazard;
        let harm = |harm: Harm| is_hazard.then_some(harm);
        let weight = target.weight;
        let found = self.answer(&Asked::Fault(target.fault.clone()));
        match found {
            Some(Answer::Yes) => (target.eighths, target.harm) = (WHOLE * weight, None),
            Some(Answer::No) => (target.eighths, target.harm) = (0, harm(Harm::Missed)),
            None => {}
        }
        let class = self.answer(&Asked::Class(target.fault.clone()));
        match class.filter(|_| target.class_right().is_some()) {
            Some(Answer::Yes) => (target.eighths, target.harm) = (WHOLE * weight, None),
            Some(Answer::No) => {
                (target.eighths, target.harm) = (OTHER_CLASS * weight, harm(Harm::Belittled(None)));
            }
            None => {}
        }
        target
    }

    /// Those that speak of something that the sheet has; that a verdict is not the right one nobody rules.
    pub(super) fn that_fit(&self, sheet: &Sheet, targets: &[TargetMark]) -> Vec<Change> {
        let claims = 1..=sheet.claims.len();
        let fits = |change: &&Change| match &change.asked {
            Asked::Fault(fault) | Asked::Class(fault) => {
                targets.iter().any(|target| target.fault == *fault)
            }
            Asked::Claim(number) | Asked::Step(number) => claims.contains(number),
            Asked::Verdict => change.answer == Answer::Yes,
        };
        self.0.iter().filter(fits).cloned().collect()
    }
}
