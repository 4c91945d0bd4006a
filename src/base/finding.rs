//! What a check of one system comes to: outcomes, findings and the verdict.
//!
//! Contract: data only, with no colour and no layout, complete enough that every output format can
//! be made from it without asking anything else. The two tables of the design stand here and in `stage`, and nowhere
//! else: from condition to outcome, and from outcomes to verdict. This module must not know how an
//! outcome was reached.

mod judgement;
mod stage;

pub use judgement::{Basis, Beside, Counts, Gap, Identity, Judgement, OfThing, Question, Unlikely};
pub use stage::{Stage, Verdict};

use crate::facts::one_line;
use crate::problem::Label;
use crate::source::Span;
use serde::{Deserialize, Serialize};
use std::fmt;
use wetside_units::truth::Truth;

/// What one rule says of one system, or of one element of it.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Outcome {
    Met,
    Broken,
    Undecided,
    NotApplicable,
}

impl Outcome {
    /// From what a rule asks first (`when`) and what it then demands (`must`).
    ///
    /// A guard that is undecided never makes a rule not applicable; a demand that is met is met
    /// whether the rule applies or not.
    pub fn of(when: Truth, must: Truth) -> Outcome {
        match (when, must) {
            (Truth::No, _) => Outcome::NotApplicable,
            (_, Truth::Yes) => Outcome::Met,
            (Truth::Yes, Truth::No) => Outcome::Broken,
            (Truth::Yes, Truth::Undecided) | (Truth::Undecided, _) => Outcome::Undecided,
        }
    }

    /// The outcome that holds whichever of several suppositions is true.
    ///
    /// Where some would be met and others not applicable, none is broken: that is met, as for an
    /// undecided guard.
    pub fn certain(mut among: impl Iterator<Item = Outcome>) -> Outcome {
        let Some(first) = among.next() else {
            return Outcome::Undecided;
        };
        let joined = |sure, next| match (sure, next) {
            (Outcome::Undecided, _) => None,
            (a, b) if a == b => Some(a),
            (Outcome::Met | Outcome::NotApplicable, Outcome::Met | Outcome::NotApplicable) => {
                Some(Outcome::Met)
            }
            _ => None,
        };
        // Once it is undecided, nothing decides it any more.
        among.try_fold(first, joined).unwrap_or(Outcome::Undecided)
    }

    pub const ALL: [Outcome; 4] = [
        Outcome::Met,
        Outcome::Broken,
        Outcome::Undecided,
        Outcome::NotApplicable,
    ];

    pub fn words(self) -> &'static str {
        match self {
            Outcome::Met => "met",
            Outcome::Broken => "broken",
            Outcome::Undecided => "undecided",
            Outcome::NotApplicable => "not applicable",
        }
    }

    pub fn named(words: &str) -> Option<Outcome> {
        Outcome::ALL
            .into_iter()
            .find(|outcome| outcome.words() == words)
    }

    /// Of several elements judged by one rule, the outcome that counts for the whole.
    pub fn worst(among: impl Iterator<Item = Outcome>) -> Outcome {
        let weight = |outcome: &Outcome| match outcome {
            Outcome::Broken => 3,
            Outcome::Undecided => 2,
            Outcome::Met => 1,
            Outcome::NotApplicable => 0,
        };
        among.max_by_key(weight).unwrap_or(Outcome::NotApplicable)
    }
}

/// How much a rule weighs.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
pub enum Class {
    /// Blocks the work.
    Hazard,
    /// A step that must be done.
    Preparation,
    /// Worth knowing.
    Advisory,
}

impl Class {
    pub const ALL: [Class; 3] = [Class::Hazard, Class::Preparation, Class::Advisory];

    pub fn word(self) -> &'static str {
        match self {
            Class::Hazard => "hazard",
            Class::Preparation => "preparation",
            Class::Advisory => "advisory",
        }
    }

    pub fn named(word: &str) -> Option<Class> {
        Class::ALL.into_iter().find(|class| class.word() == word)
    }
}

macro_rules! shown_by {
    ($($type:ty: $words:ident),*) => {$(
        impl fmt::Display for $type {
            fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                f.write_str(self.$words())
            }
        }
    )*};
}

shown_by!(Outcome: words, Class: word, Stage: words, Verdict: words);

/// Where a demand comes from, and how sure that is.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct Citation {
    pub work: String,
    pub clause: Option<String>,
    /// law, guidance, standard or common practice
    pub standing: String,
    /// read, second-hand, from memory or no source
    pub certainty: String,
}

/// A line of a pack.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct PackLine {
    /// The file within the pack.
    pub file: String,
    /// The line, from 1.
    pub line: usize,
    /// What stands there: the rule's demand, or a limit with its value.
    pub words: String,
}

/// All that one rule has against a survey in one way: what is broken by it, or undecided.
///
/// A rule that judges every element of a list can have something against thousands. So it is told once:
/// a few elements in full, some more by name, and the rest as a number. Nothing is left out of
/// [`Finding::count`].
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Finding {
    /// The id of the rule, and the pack that it belongs to.
    pub rule: String,
    pub pack: String,
    /// The lines of the pack that it rests on: the rule's demand first, then the limits it names.
    pub pack_lines: Vec<PackLine>,
    pub title: String,
    pub class: Class,
    pub stage: Stage,
    /// Broken or undecided.
    pub outcome: Outcome,
    pub because: String,
    pub source: Citation,
    pub caution: Option<String>,
    /// What it was judged on, told in full; never empty.
    pub on: Vec<On>,
    /// Further elements by their names.
    pub also_on: Vec<String>,
    /// How many more there are, beside those that are named.
    pub more: usize,
    /// The broken rule of its pack that it follows from, under which it stands.
    pub explained_by: Option<String>,
    /// The broken rules of its pack that are to be seen to before it.
    pub after: Vec<String>,
    /// Why it is not in the way on this job, where somebody accepted that.
    pub departure: Option<Departure>,
}

/// Who accepted that a job departs from a rule, and what is done in place of what it asks.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Departure {
    pub because: String,
    pub instead: String,
    pub by: String,
    pub on: String,
    pub until: String,
    /// The line where it stands, from 1.
    pub line: usize,
}

/// One outcome: a rule on the system, or on one element of it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct On {
    /// The element that was judged, by its id.
    pub element: Option<String>,
    /// The fault in this survey's own values.
    pub says: String,
    pub remedy: String,
    /// The line to show first.
    pub place: Span,
    /// What stands in that line.
    pub place_words: String,
    /// The other lines that the outcome rests on, and how many there are beside those told.
    pub lines: Vec<Label>,
    pub more_lines: usize,
    /// Why it is undecided, and how many reasons there are beside those told; none for a broken one.
    pub causes: Vec<Cause>,
    pub more_causes: usize,
}

impl Finding {
    /// How many outcomes it stands for.
    pub fn count(&self) -> usize {
        self.on.len() + self.also_on.len() + self.more
    }

    /// The first outcome, and those that follow it.
    ///
    /// # Panics
    /// When it is of nothing; whoever makes a finding has an outcome to tell.
    pub fn split(&self) -> (&On, &[On]) {
        self.on.split_first().expect("a finding is of an outcome")
    }
}

/// A fact that keeps an outcome open.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Cause {
    /// The fact as people name it: `emitters, hall: condition`.
    pub fact: String,
    pub why: CauseKind,
    pub span: Span,
}

#[derive(Clone, Debug, PartialEq, Eq)]
pub enum CauseKind {
    NotRecorded,
    /// Recorded as unknown, perhaps with a reason.
    Unknown(Option<String>),
    Malformed,
    /// A range that lies across the limit, as written.
    Range(String),
    /// A list that may hold more than it names.
    ListOpen,
    /// A range, as written, that leaves a figure worked out from it across the limit.
    RangeBehind {
        written: String,
        figure: String,
    },
    /// A figure that could not be worked out, and why.
    NotWorkedOut(String),
}

impl Cause {
    /// The cause as the end of a sentence.
    pub fn words(&self) -> String {
        let fact = &self.fact;
        match &self.why {
            CauseKind::NotRecorded => format!("`{fact}` is not recorded"),
            CauseKind::Unknown(None) => format!("`{fact}` is unknown"),
            CauseKind::Unknown(Some(reason)) => {
                format!("`{fact}` is unknown ({})", one_line(reason))
            }
            CauseKind::Malformed => format!("`{fact}` could not be understood"),
            CauseKind::Range(written) => {
                format!("`{fact}` is `{written}`, which lies across the limit")
            }
            CauseKind::ListOpen => format!("`{fact}` may hold more than is listed"),
            CauseKind::RangeBehind { written, figure } => {
                format!("`{fact}` is `{written}`, which leaves `{figure}` across the limit")
            }
            CauseKind::NotWorkedOut(reason) => {
                format!("`{fact}` could not be worked out: {}", one_line(reason))
            }
        }
    }
}
