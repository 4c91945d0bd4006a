//! What comes of a note: a survey with it, or why it is not written.

use wetside_base::problem::Problem;
use wetside_base::source::Source;

/// A survey with the note in it, and what is said back.
#[derive(Clone, Debug)]
pub struct Noted {
    pub source: Source,
    pub says: Vec<String>,
}

/// Why a note is not written, and what to do.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Refused {
    pub says: String,
    pub help: String,
    /// How many words mean nothing here; another way to read the note may know them.
    pub(crate) strange: usize,
}

impl Refused {
    pub(crate) fn new(says: impl Into<String>, help: impl Into<String>) -> Refused {
        Refused {
            says: says.into(),
            help: help.into(),
            strange: 0,
        }
    }
}

impl From<Problem> for Refused {
    fn from(problem: Problem) -> Refused {
        Refused::new(problem.says, problem.help)
    }
}

/// The words that nothing is known of.
pub(crate) fn not_understood(words: &[&str]) -> Refused {
    let says = format!("`{}` is not understood", words.join(" "));
    let help = "name a thing as the survey names it, and say a measure with its unit, a word that its field \
                takes, or that it is back; words of your own stand behind the name of their field, such as \
                `note`";
    Refused {
        strange: words.len(),
        ..Refused::new(says, help)
    }
}
