//! The stages of a job and the verdicts, with the words for both.
//!
//! Contract: what a verdict means does not change with the stage, only how it is said; both are spelt here
//! and nowhere else. This module must not know how a verdict is reached from more than one outcome.

use super::{Class, Outcome};
use serde::{Deserialize, Serialize};

/// How far a job has got, in the order of the work.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
pub enum Stage {
    Survey,
    MakeSafe,
    SetUp,
    Flush,
    Prove,
    Protect,
    HandBack,
    Upkeep,
}

/// What is said of a stage: its word in a survey, and what a verdict lets or forbids there, each as the rest
/// of a sentence that begins with `clear to` or `do not`.
struct Told {
    word: &'static str,
    clear_to: &'static str,
    do_not: &'static str,
}

impl Stage {
    pub const ALL: [Stage; 8] = [
        Stage::Survey,
        Stage::MakeSafe,
        Stage::SetUp,
        Stage::Flush,
        Stage::Prove,
        Stage::Protect,
        Stage::HandBack,
        Stage::Upkeep,
    ];

    fn told(self) -> Told {
        let (word, clear_to, do_not) = match self {
            Stage::Survey => ("survey", "go on to make-safe", "start"),
            Stage::MakeSafe => ("make-safe", "go on to set-up", "start"),
            Stage::SetUp => ("set-up", "start the flush", "start"),
            Stage::Flush => ("flush", "go on to the proof", "go on"),
            Stage::Prove => ("prove", "go on to the protection", "go on"),
            Stage::Protect => ("protect", "go on to hand-back", "go on"),
            Stage::HandBack => ("hand-back", "hand over", "hand over"),
            Stage::Upkeep => ("upkeep", "leave it in use", "leave it in use"),
        };
        Told {
            word,
            clear_to,
            do_not,
        }
    }

    pub fn words(self) -> &'static str {
        self.told().word
    }

    pub fn named(words: &str) -> Option<Stage> {
        Stage::ALL.into_iter().find(|stage| stage.words() == words)
    }

    /// The stage that follows in one go; upkeep is a visit of its own.
    pub fn next(self) -> Option<Stage> {
        let later = Stage::ALL.into_iter().find(|stage| *stage > self);
        later.filter(|stage| *stage != Stage::Upkeep)
    }
}

/// What all outcomes due at a stage come to.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Verdict {
    Clear,
    /// Not yet: a step is still to be done.
    Prepare,
    /// Not yet: something that could block is not known.
    FindOut,
    /// A hazard stands in the way: do not start, or go on, or hand over.
    DoNotStart,
}

impl Verdict {
    /// What one outcome of a rule that is due makes of the verdict, on its own.
    pub fn of(class: Class, outcome: Outcome) -> Verdict {
        match (class, outcome) {
            (_, Outcome::Met | Outcome::NotApplicable) | (Class::Advisory, _) => Verdict::Clear,
            (Class::Hazard, Outcome::Broken) => Verdict::DoNotStart,
            (Class::Hazard, Outcome::Undecided) => Verdict::FindOut,
            (Class::Preparation, Outcome::Broken | Outcome::Undecided) => Verdict::Prepare,
        }
    }

    /// The word of the verdict, the same at every stage: for programs, and for expectations.
    pub fn words(self) -> &'static str {
        match self {
            Verdict::Clear => "clear",
            Verdict::Prepare => "not yet: prepare",
            Verdict::FindOut => "not yet: find out",
            Verdict::DoNotStart => "do not start",
        }
    }

    /// The verdict as people are told it at a stage: `do not hand over` where there is nothing to start.
    pub fn at(self, stage: Stage) -> String {
        let Told {
            clear_to, do_not, ..
        } = stage.told();
        match self {
            Verdict::Clear => format!("clear to {clear_to}"),
            Verdict::Prepare | Verdict::FindOut => self.words().to_string(),
            Verdict::DoNotStart => format!("do not {do_not}"),
        }
    }

    pub fn named(words: &str) -> Option<Verdict> {
        let all = [
            Verdict::Clear,
            Verdict::Prepare,
            Verdict::FindOut,
            Verdict::DoNotStart,
        ];
        all.into_iter().find(|verdict| verdict.words() == words)
    }
}
