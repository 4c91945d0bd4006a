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

    /// Yes if every answer is; yes for none.
    pub fn every(answers: impl IntoIterator<Item = Truth>) -> Truth {
        answers.into_iter().fold(Truth::Yes, Truth::and)
    }

    /// Yes if some answer is; no for none.
    pub fn some(answers: impl IntoIterator<Item = Truth>) -> Truth {
        answers.into_iter().fold(Truth::No, Truth::or)
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

impl fmt::Display for Truth {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Truth::No => "no",
            Truth::Undecided => "undecided",
            Truth::Yes => "yes",
        })
    }
}

#[cfg(test)]
mod tests {
    use super::Truth::{self, No, Undecided, Yes};

    /// p, q, then: p and q, p or q, join.
    const TABLE: [[Truth; 5]; 9] = [
        [Yes, Yes, Yes, Yes, Yes],
        [Yes, No, No, Yes, Undecided],
        [Yes, Undecided, Undecided, Yes, Undecided],
        [No, Yes, No, Yes, Undecided],
        [No, No, No, No, No],
        [No, Undecided, No, Undecided, Undecided],
        [Undecided, Yes, Undecided, Yes, Undecided],
        [Undecided, No, No, Undecided, Undecided],
        [Undecided, Undecided, Undecided, Undecided, Undecided],
    ];

    #[test]
    fn the_connectives_keep_to_the_whole_table() {
        for [p, q, and, or, join] in TABLE {
            assert_eq!(p.and(q), and, "{p} and {q}");
            assert_eq!(p.or(q), or, "{p} or {q}");
            assert_eq!(p.join(q), join, "{p} join {q}");
        }
        assert_eq!([!No, !Undecided, !Yes], [Yes, Undecided, No]);
    }

    #[test]
    fn learning_more_never_turns_a_decided_answer() {
        let refines = |a: Truth, b: Truth| !a.is_decided() || a == b;
        for p in Truth::ALL {
            for q in Truth::ALL {
                for (p2, q2) in Truth::ALL
                    .into_iter()
                    .flat_map(|p2| Truth::ALL.map(|q2| (p2, q2)))
                {
                    if refines(p, p2) && refines(q, q2) {
                        assert!(refines(p.and(q), p2.and(q2)));
                        assert!(refines(p.or(q), p2.or(q2)));
                        assert!(refines(!p, !p2));
                    }
                }
            }
        }
    }

    #[test]
    fn many_answers_fold_like_two() {
        assert_eq!(Truth::every([]), Yes);
        assert_eq!(Truth::some([]), No);
        assert_eq!(Truth::every([Yes, Undecided]), Undecided);
        assert_eq!(Truth::every([Undecided, No]), No);
        assert_eq!(Truth::some([No, Undecided]), Undecided);
        assert_eq!(Truth::some([Undecided, Yes]), Yes);
    }
}
