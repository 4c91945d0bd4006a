//! The findings that a drawing marks, and the numbers they have on paper.
//!
//! Contract: what is broken or undecided and can block has a number, in the order of the report; a step that is
//! only assumed, and advice, have none. A finding belongs to a thing where it is told at a line of that thing.
//! The drawing and the table ask the same function.

use wetside_base::finding::{Class, Finding, Judgement, Outcome};
use wetside_base::source::Span;

/// What a mark says, told apart by shape and word before colour.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) enum Shape {
    Hazard,
    Undecided,
    Step,
}

impl Shape {
    pub(crate) const ALL: [Shape; 3] = [Shape::Hazard, Shape::Undecided, Shape::Step];

    pub(crate) fn words(self) -> &'static str {
        match self {
            Shape::Hazard => "hazard",
            Shape::Undecided => "hazard undecided",
            Shape::Step => "step to prepare",
        }
    }
}

/// One finding with its number.
#[derive(Clone, Copy)]
pub(crate) struct Mark<'a> {
    pub number: usize,
    pub shape: Shape,
    pub finding: &'a Finding,
}

pub(crate) fn marks(judgement: &Judgement) -> Vec<Mark<'_>> {
    let shaped = judgement.findings.iter().filter_map(|finding| {
        let shape = match (finding.class, finding.outcome) {
            (Class::Hazard, Outcome::Undecided) => Shape::Undecided,
            (Class::Hazard, _) => Shape::Hazard,
            (Class::Preparation, Outcome::Broken) => Shape::Step,
            _ => return None,
        };
        Some((shape, finding))
    });
    let numbered = (1..).zip(shaped);
    let mark = |(number, (shape, finding))| Mark {
        number,
        shape,
        finding,
    };
    numbered.map(mark).collect()
}

/// Those that are told at one of these places.
pub(crate) fn told_at<'a>(marks: &[Mark<'a>], places: &[Span]) -> Vec<Mark<'a>> {
    let here = |mark: &&Mark<'a>| {
        let mut on = mark.finding.on.iter();
        on.any(|on| places.contains(&on.place))
    };
    marks.iter().filter(here).copied().collect()
}

/// What to do, once where it is the same on all things.
pub(crate) fn remedies(finding: &Finding) -> Vec<&str> {
    let mut all: Vec<&str> = finding
        .on
        .iter()
        .map(|on| on.remedy.trim_end_matches('.'))
        .collect();
    all.dedup();
    all
}
