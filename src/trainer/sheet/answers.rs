//! What a trainee says of a survey.

use wetside_base::finding::Class;
use wetside_base::source::Span;

/// A sheet as it was handed in.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Sheet {
    pub trainee: String,
    pub verdict: Verdict,
    /// In the order of the sheet.
    pub claims: Vec<Claim>,
    /// The claim that is to be seen to first, by its place from 0.
    pub first: Option<usize>,
}

/// A trainee's name as it is compared.
pub fn person(name: &str) -> String {
    let words: Vec<String> = name.split_whitespace().map(str::to_lowercase).collect();
    words.join(" ")
}

/// What a trainee says of the whole job.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Verdict {
    /// Nothing was written, as on a paper that came back empty.
    NoAnswer,
    Clear,
    NotYet,
    DoNotStart,
}

impl Verdict {
    const ALL: [Verdict; 4] = [
        Verdict::NoAnswer,
        Verdict::Clear,
        Verdict::NotYet,
        Verdict::DoNotStart,
    ];

    pub(super) fn named(words: &str) -> Option<Verdict> {
        let mut all = Verdict::ALL.into_iter();
        all.find(|verdict| verdict.words() == words)
    }

    pub fn words(self) -> &'static str {
        match self {
            Verdict::NoAnswer => "no answer",
            Verdict::Clear => "clear",
            Verdict::NotYet => "not yet",
            Verdict::DoNotStart => "do not start",
        }
    }
}

/// One thing that a trainee claims.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Claim {
    /// Where it stands in the sheet.
    pub span: Span,
    pub what: What,
    /// Lines that it rests on beside its own.
    pub with: Vec<usize>,
    /// What to do about it: a step that was offered, or words of one's own where none was.
    pub step: Option<String>,
}

#[derive(Clone, Debug, PartialEq, Eq)]
pub enum What {
    /// Something is wrong on a line of the survey.
    Wrong {
        line: usize,
        class: Class,
        /// The title of a rule.
        reason: String,
    },
    /// Something is wrong on a line, in words of one's own.
    InOwnWords {
        line: usize,
        class: Class,
        words: String,
    },
    /// Something cannot be decided, because this is missing.
    Missing { field: String, line: Option<usize> },
}

impl What {
    pub(crate) fn line(&self) -> Option<usize> {
        match self {
            What::Wrong { line, .. } | What::InOwnWords { line, .. } => Some(*line),
            What::Missing { line, .. } => *line,
        }
    }

    /// Its line, and what it says is wrong there; what is missing has neither.
    pub(crate) fn says(&self) -> Option<(usize, &str)> {
        match self {
            What::Wrong { line, reason, .. } => Some((*line, reason)),
            What::InOwnWords { line, words, .. } => Some((*line, words)),
            What::Missing { .. } => None,
        }
    }

    pub(crate) fn is_in_own_words(&self) -> bool {
        matches!(self, What::InOwnWords { .. })
    }

    /// The class that was claimed; what is missing has none.
    pub(crate) fn class(&self) -> Option<Class> {
        match self {
            What::Wrong { class, .. } | What::InOwnWords { class, .. } => Some(*class),
            What::Missing { .. } => None,
        }
    }
}
