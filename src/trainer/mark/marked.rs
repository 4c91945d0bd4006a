//! A marked answer sheet. Data, and what follows from it by arithmetic.

use super::refute::Refuted;
use crate::sheet::Verdict;
use wetside_base::finding::{Citation, Class};
use wetside_base::source::Span;

/// The eighths of a whole finding.
pub const WHOLE: i64 = 8;
/// What has to be reached, in hundredths of the score.
pub const PASS_MARK: i64 = 70;

/// A sheet with its marks.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Marked {
    pub exercise: String,
    pub trainee: String,
    /// What the trainee said of the job, and what it comes to.
    pub verdict: (Verdict, Verdict),
    /// In the order of the sheet.
    pub claims: Vec<ClaimMark>,
    /// What was there to find, in the order of the key.
    pub targets: Vec<TargetMark>,
    /// Eighths reached, never below nothing, and eighths possible.
    pub score: (i64, i64),
    /// Rules that were met, where one could have claimed the contrary.
    pub opportunities: usize,
}

/// What became of one claim.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ClaimMark {
    /// Where it stands in the sheet.
    pub span: Span,
    /// The claim in a sentence.
    pub words: String,
    pub fate: Fate,
    /// Eighths gained or lost.
    pub eighths: i64,
    /// Of a false alarm: what speaks against it.
    pub refuted: Option<Refuted>,
    /// The title of the reason, or `missing`, for the tables of the class.
    pub reason: String,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Fate {
    /// All of it right.
    Hit,
    /// Right but for the class.
    OtherClass,
    /// Half of it right.
    Partly,
    /// It follows from a fault.
    Neutral,
    /// Somebody claimed it before: the same trainee.
    Again,
    FalseAlarm,
}

impl Fate {
    pub fn words(self) -> &'static str {
        match self {
            Fate::Hit => "right",
            Fate::OtherClass => "right, but of another class",
            Fate::Partly => "partly right",
            Fate::Neutral => "so, and not asked for",
            Fate::Again => "claimed before",
            Fate::FalseAlarm => "not so",
        }
    }
}

/// One thing to find, and whether it was found.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct TargetMark {
    pub fault: String,
    pub title: String,
    pub class: Class,
    /// Eighths gained; 0 of what was missed.
    pub eighths: i64,
    pub weight: i64,
    /// A hazard that was missed, or called an advisory.
    pub fatal: bool,
    pub lesson: Lesson,
}

/// What there was to see.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Lesson {
    /// In a sentence without a full stop.
    pub says: String,
    /// The lines, each with what stands there, the one to name first.
    pub lines: Vec<(usize, String)>,
    /// The limits that decided, each with its source.
    pub limits: Vec<(String, Citation)>,
    pub because: String,
    pub source: Option<Citation>,
}

impl Marked {
    /// The score in hundredths, rounded down.
    pub fn hundredths(&self) -> i64 {
        self.score.0 * 100 / self.score.1.max(1)
    }

    pub fn missed_a_hazard(&self) -> bool {
        self.targets.iter().any(|target| target.fatal)
    }

    /// Whether a job that must not start was called clear.
    pub fn cleared_a_hazard(&self) -> bool {
        self.verdict == (Verdict::Clear, Verdict::DoNotStart)
    }

    pub fn passed(&self) -> bool {
        let reached = self.score.0 * 100 >= self.score.1 * PASS_MARK;
        reached && !self.missed_a_hazard() && !self.cleared_a_hazard()
    }

    /// Things to find that were found, at least in part.
    pub fn hits(&self) -> usize {
        self.targets
            .iter()
            .filter(|target| target.eighths > 0)
            .count()
    }

    pub fn false_alarms(&self) -> usize {
        self.claims
            .iter()
            .filter(|claim| claim.fate == Fate::FalseAlarm)
            .count()
    }
}
