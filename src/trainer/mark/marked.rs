//! A marked answer sheet. Data, and what follows from it by arithmetic.

use super::refute::Refuted;
use crate::fault::Answer;
use crate::sheet::Verdict;
use serde::Deserialize;
use wetside_base::finding::{Citation, Class};
use wetside_base::source::Span;

/// The eighths of a whole finding.
pub const WHOLE: i64 = 8;
/// Those of a finding whose class is wrong and whose line and reason are right.
pub(crate) const OTHER_CLASS: i64 = 6;
/// What has to be reached, in hundredths of the score.
pub const PASS_MARK: i64 = 70;

/// A sheet with its marks.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Marked {
    pub exercise: String,
    /// What its course calls it.
    pub title: Option<String>,
    pub trainee: String,
    /// What the trainee said of the job, and what it comes to.
    pub verdict: (Verdict, Verdict),
    /// Eighths that a job stopped without need costs.
    pub false_stop: i64,
    /// In the order of the sheet.
    pub claims: Vec<ClaimMark>,
    /// What was there to find, in the order of the key.
    pub targets: Vec<TargetMark>,
    /// Eighths reached, never below nothing, and eighths possible.
    pub score: (i64, i64),
    /// What the sheet said to the reasons that it offered.
    pub offered: Offered,
    pub reasoning: Reasoning,
    /// What is to be seen to first, and whether the sheet says so.
    pub first: Option<String>,
    /// What a person has changed, in the order in which it was changed.
    pub changes: Vec<Change>,
    /// Where something was changed, the sheet as it was marked without that.
    pub unchanged: Option<Box<Marked>>,
}

/// One question that every marker of one sheet answers.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Deserialize)]
#[serde(from = "String")]
pub enum Asked {
    /// Whether what this fault raises was found.
    Fault(String),
    /// Whether it was given the class that it has; asked where the reason and the line are right.
    Class(String),
    /// Whether a claim, counted from 1, is so; asked of words of one's own and of what was claimed in vain.
    Claim(usize),
    /// Whether a claim says rightly what to do; asked of words of one's own.
    Step(usize),
    /// Whether the job was called what it comes to.
    Verdict,
}

const VERDICT: &str = "verdict";
const CLASS_OF: &str = "class of ";
const CLAIM: &str = "claim ";
const STEP: &str = "do of claim ";

impl Asked {
    /// The question as tables have it.
    pub fn words(&self) -> String {
        match self {
            Asked::Fault(fault) => fault.clone(),
            Asked::Class(fault) => format!("{CLASS_OF}{fault}"),
            Asked::Claim(number) => format!("{CLAIM}{number}"),
            Asked::Step(number) => format!("{STEP}{number}"),
            Asked::Verdict => VERDICT.to_string(),
        }
    }

    /// The question of these words.
    pub fn named(words: &str) -> Asked {
        let numbered = |head: &str| words.strip_prefix(head)?.parse().ok();
        if let Some(fault) = words.strip_prefix(CLASS_OF) {
            Asked::Class(fault.to_string())
        } else if let Some(number) = numbered(CLAIM) {
            Asked::Claim(number)
        } else if let Some(number) = numbered(STEP) {
            Asked::Step(number)
        } else if words == VERDICT {
            Asked::Verdict
        } else {
            Asked::Fault(words.to_string())
        }
    }
}

impl From<String> for Asked {
    fn from(words: String) -> Asked {
        Asked::named(&words)
    }
}

/// A mark that a person has changed: a row of the table of changes.
#[derive(Clone, Debug, PartialEq, Eq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Change {
    pub exercise: String,
    pub trainee: String,
    pub asked: Asked,
    pub answer: Answer,
    pub by: String,
    pub reason: String,
}

impl Change {
    /// What was changed, by whom and why, in a sentence without a full stop.
    pub fn says(&self) -> String {
        let Change { by, reason, .. } = self;
        let answer = match self.answer {
            Answer::Yes => "right",
            Answer::No => "not right",
        };
        let asked = self.asked.words();
        format!("`{asked}` counts as {answer}, by {by}: {reason}")
    }
}

/// What is reached of what there is to be had.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Reasoning {
    pub lines: (usize, usize),
    pub steps: (usize, usize),
    pub first: (usize, usize),
}

fn sum(one: (usize, usize), other: (usize, usize)) -> (usize, usize) {
    (one.0 + other.0, one.1 + other.1)
}

impl Reasoning {
    pub(crate) fn with(self, other: Reasoning) -> Reasoning {
        Reasoning {
            lines: sum(self.lines, other.lines),
            steps: sum(self.steps, other.steps),
            first: sum(self.first, other.first),
        }
    }

    /// Of all three together.
    pub fn all(self) -> (usize, usize) {
        let parts = [self.lines, self.steps, self.first];
        parts.into_iter().fold((0, 0), sum)
    }
}

/// What one or more sheets said to the reasons that were offered, each a question of its own: is it so here?
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Offered {
    /// Reasons that were so, and how many of them were claimed.
    pub so: usize,
    pub claimed: usize,
    /// Reasons that were not so, and how many of them were claimed all the same.
    pub not_so: usize,
    pub in_vain: usize,
}

impl Offered {
    pub(crate) fn with(self, other: Offered) -> Offered {
        Offered {
            so: self.so + other.so,
            claimed: self.claimed + other.claimed,
            not_so: self.not_so + other.not_so,
            in_vain: self.in_vain + other.in_vain,
        }
    }
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
    /// What a person is asked of it: of words of one's own, and of what was claimed in vain.
    pub questions: Vec<Question>,
    /// What there is to say of its lines and of what to do, in sentences without a full stop.
    pub reasoned: Vec<String>,
}

/// What a person may be asked of a claim.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Question {
    pub asked: Asked,
    /// What the lines alone answer, or what a person has ruled.
    pub is: bool,
    /// The words of one's own that are to be read.
    pub words: Option<String>,
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
    /// The part of the pack that it is of.
    pub(crate) part: String,
    /// The points of difficulty of its fault.
    pub(crate) difficulty: u32,
    pub class: Class,
    /// Eighths gained; 0 of what was missed.
    pub eighths: i64,
    pub weight: i64,
    /// Of a hazard: how it was let pass, if it was.
    pub(crate) harm: Option<Harm>,
    pub lesson: Lesson,
}

impl TargetMark {
    /// Whether it was given its class; nothing where it was not found with its line and its reason.
    pub(crate) fn class_right(&self) -> Option<bool> {
        let whole = self.eighths == WHOLE * self.weight;
        (whole || self.eighths == OTHER_CLASS * self.weight).then_some(whole)
    }
}

/// How a hazard was let pass.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Harm {
    Missed,
    /// It could not be decided, and nobody said so.
    LeftOpen,
    /// It was claimed in this lesser class, or in one that a person ruled to be less.
    Belittled(Option<Class>),
}

impl Harm {
    fn says(self, place: &str, title: &str) -> String {
        match self {
            Harm::Missed => format!("the hazard{place} was missed: {title}"),
            Harm::LeftOpen => {
                format!("a hazard{place} cannot be decided, and that was missed: {title}")
            }
            Harm::Belittled(class) => {
                let class = class.map_or("less than it is", with_article);
                format!("the hazard{place} was called {class}: {title}")
            }
        }
    }
}

fn with_article(class: Class) -> &'static str {
    match class {
        Class::Hazard => "a hazard",
        Class::Preparation => "a preparation",
        Class::Advisory => "an advisory",
    }
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
    /// What is to be done about it.
    pub step: Option<String>,
}

impl Marked {
    /// The score in hundredths, rounded down.
    pub fn hundredths(&self) -> i64 {
        self.score.0 * 100 / self.score.1.max(1)
    }

    /// What fails the sheet whatever its points, each in a sentence without a full stop.
    pub fn unsafe_because(&self) -> Vec<String> {
        let (said, is) = self.verdict;
        let milder = (said < is).then(|| {
            let is = is.words();
            match said {
                Verdict::NoAnswer => format!("nothing was said of the job, which comes to `{is}`"),
                _ => format!("the job comes to `{is}` and was called `{}`", said.words()),
            }
        });
        let harms = self.targets.iter().filter_map(|target| {
            let harm = target.harm?;
            let first = target.lesson.lines.first();
            let place = first.map_or(String::new(), |(line, _)| format!(" on line {line}"));
            Some(harm.says(&place, &target.title))
        });
        milder.into_iter().chain(harms).collect()
    }

    pub fn passed(&self) -> bool {
        let reached = self.score.0 * 100 >= self.score.1 * PASS_MARK;
        reached && self.unsafe_because().is_empty()
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
