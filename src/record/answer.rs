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

/// The first way in which all of a note makes sense; else the first question that knows most of its words.
pub(crate) fn first_understood(
    ways: impl IntoIterator<Item = Option<Result<Noted, Refused>>>,
) -> Option<Result<Noted, Refused>> {
    let mut refused: Option<Refused> = None;
    for way in ways.into_iter().flatten() {
        match way {
            Ok(noted) => return Some(Ok(noted)),
            Err(why) => {
                let is_better = |first: &Refused| why.strange < first.strange;
                if refused.as_ref().is_none_or(is_better) {
                    refused = Some(why);
                }
            }
        }
    }
    refused.map(Err)
}

impl From<Problem> for Refused {
    fn from(problem: Problem) -> Refused {
        Refused::new(problem.says, problem.help)
    }
}
