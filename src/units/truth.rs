//! The three answers to a question about a system that is only partly known.
//!
//! Contract: the connectives are Kleene's strong ones. They are commutative and associative, so
//! the order in which parts are asked cannot be seen in the answer, and an answer of yes or no
//! never changes when more becomes known. This module must not know why an answer is undecided.
//!
//! Source: S. C. Kleene, *Introduction to Metamathematics*, 1952, section 64 (from memory).

use std::fmt;
use std::ops::Not;

/// An answer: certain one way, certain the other way, or open.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Truth {
    No,
    Undecided,
    Yes,
}

impl Truth {
    /// Every answer once, in the order no, undecided, yes.
    pub const ALL: [Truth; 3] = [Truth::No, Truth::Undecided, Truth::Yes];

    /// Yes when both are; no as soon as one is.
    #[must_use]
    pub fn and(self, other: Truth) -> Truth {
        self.min(other)
    }

    /// Yes as soon as one is; no when both are.
    #[must_use]
    pub fn or(self, other: Truth) -> Truth {
        self.max(other)
    }

    /// What is left of two possible answers when either may hold: the common one, else undecided.
    #[must_use]
    pub fn join(self, other: Truth) -> Truth {
        if self == other {
            self
        } else {
            Truth::Undecided
        }
    }

    /// Whether the answer is yes or no.
    pub fn is_decided(self) -> bool {
        self != Truth::Undecided
    }

    /// Yes if every answer is; yes for none. Answers behind a no are not asked for.
    pub fn every(answers: impl IntoIterator<Item = Truth>) -> Truth {
        !Truth::some(answers.into_iter().map(Truth::not))
    }

    /// Yes if some answer is; no for none. Answers behind a yes are not asked for.
    pub fn some(answers: impl IntoIterator<Item = Truth>) -> Truth {
        let mut any = Truth::No;
        for answer in answers {
            any = any.or(answer);
            if any == Truth::Yes {
                break;
            }
        }
        any
    }
}

impl Not for Truth {
    type Output = Truth;

    fn not(self) -> Truth {
        match self {
            Truth::No => Truth::Yes,
            Truth::Undecided => Truth::Undecided,
            Truth::Yes => Truth::No,
        }
    }
}

impl From<bool> for Truth {
    fn from(known: bool) -> Truth {
        if known { Truth::Yes } else { Truth::No }
    }
}

impl From<Option<bool>> for Truth {
    /// What is not known is undecided.
    fn from(known: Option<bool>) -> Truth {
        known.map_or(Truth::Undecided, Truth::from)
    }
}

impl fmt::Display for Truth {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Truth::No => "no",
            Truth::Undecided => "undecided",
            Truth::Yes => "yes",
        })
    }
}
