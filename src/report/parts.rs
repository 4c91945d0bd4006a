//! The groups that a report tells findings in.
//!
//! Contract: every finding is of exactly one group.

use super::pen::{Ink, number};
use wetside_base::finding::{Class, Finding, Outcome};

/// A group of findings: what its heading says and how it is told apart without colour.
pub(crate) struct Part {
    /// Whether it holds what the job departs from, and nothing else.
    pub departed: bool,
    /// What it holds of that.
    holds: fn(&Finding) -> bool,
    pub heading: fn(usize) -> String,
    pub explains: &'static str,
    /// The line under the heading.
    pub rule: char,
    /// What stands before each finding.
    pub lead: &'static str,
    /// The word for one finding of the group.
    pub word: &'static str,
    pub ink: Ink,
}

/// The groups in the order of a report.
pub(crate) const PARTS: [Part; 5] = [
    Part {
        departed: false,
        holds: |one| one.class == Class::Hazard && one.outcome != Outcome::Undecided,
        heading: |count| number(count, "hazard", "hazards"),
        explains: "The work must not start, or go on, while any of these stands.",
        rule: '=',
        lead: "!!! ",
        word: "Hazard",
        ink: Ink::Stop,
    },
    Part {
        departed: false,
        holds: |one| one.class == Class::Hazard && one.outcome == Outcome::Undecided,
        heading: |count| number(count, "hazard undecided", "hazards undecided"),
        explains: "Too little is known to rule these out, so they block until somebody has looked.",
        rule: '=',
        lead: "??? ",
        word: "Undecided hazard",
        ink: Ink::Wait,
    },
    Part {
        departed: false,
        holds: |one| one.class == Class::Preparation,
        heading: |count| number(count, "step to prepare", "steps to prepare"),
        explains: "Each must be done first. A step is assumed where too little is known to leave it out.",
        rule: '-',
        lead: "[ ] ",
        word: "Step",
        ink: Ink::Wait,
    },
    Part {
        departed: false,
        holds: |one| one.class == Class::Advisory,
        heading: |count| number(count, "advisory", "advisories"),
        explains: "Worth knowing; never in the way.",
        rule: '.',
        lead: " -  ",
        word: "Advisory",
        ink: Ink::Strong,
    },
    Part {
        departed: true,
        holds: |_| true,
        heading: |count| number(count, "rule departed from", "rules departed from"),
        explains: "Still not as it must be. Somebody who answers for it has accepted that on this job, so it is not counted above.",
        rule: '.',
        lead: " ~  ",
        word: "Departure",
        ink: Ink::Wait,
    },
];

impl Part {
    /// The findings of the group.
    pub(crate) fn of<'a>(&self, findings: &'a [Finding]) -> impl Iterator<Item = &'a Finding> {
        let (departed, holds) = (self.departed, self.holds);
        findings
            .iter()
            .filter(move |one| one.departure.is_some() == departed && holds(one))
    }
}
