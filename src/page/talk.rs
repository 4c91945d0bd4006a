//! What a page asks for, and what it is told.

use serde::{Deserialize, Serialize};
use serde_json::Value;
use std::collections::BTreeSet;
use wetside_base::problem::Problem;
use wetside_record::Refused;

/// One request. What is left out is not wanted.
#[derive(Deserialize, Default)]
#[serde(default, deny_unknown_fields)]
pub(crate) struct Request {
    /// The name of the survey, and its text.
    pub name: String,
    pub survey: String,
    /// The text of the file beside it that says what the job departs from.
    pub departures: Option<String>,
    pub stage: Option<String>,
    pub as_of: Option<String>,
    /// Packs to judge by from here on, beside the one that is built in.
    pub packs: Option<Vec<Pack>>,
    /// What is to be written into the survey before all else.
    pub act: Option<Act>,
    /// The changes so far as a reply gave them, so that each can be taken back.
    pub changes: String,
    /// The questions that were answered or put off, by the names of their facts: they are not asked again.
    pub skipped: BTreeSet<String>,
    /// The names of the last question, from which one walks on.
    pub after: Vec<String>,
    /// Whether to walk from the beginning, and not to open with what settles most.
    pub walking: bool,
    /// The question to show instead of the next one: by its names, or by a line and column of the survey.
    pub ask: Vec<String>,
    pub ask_place: Option<(usize, usize)>,
    pub want: Vec<Want>,
}

/// A pack as files: the path of each below its folder, and its text.
#[derive(Deserialize)]
pub(crate) struct Pack {
    pub name: String,
    pub files: Vec<(String, String)>,
}

#[derive(Deserialize)]
#[serde(rename_all = "snake_case")]
pub(crate) enum Act {
    /// A new survey in the place of the text.
    Begin,
    /// An answer to a question: one for all its things, or as many as it has things, an empty one left open.
    Answer {
        names: Vec<String>,
        typed: Vec<String>,
    },
    /// A short line of a person at work, with the time on the wall, as `2026-10-13T10:42`.
    Note {
        line: String,
        clock: Option<String>,
        by: Option<String>,
    },
    /// A comment at the end of the survey, such as the name of a photograph.
    Remark(String),
    /// The last change is taken back.
    Undo,
}

#[derive(Clone, Copy, Deserialize, PartialEq, Eq)]
#[serde(rename_all = "snake_case")]
pub(crate) enum Want {
    Check,
    Questions,
    /// The question to show.
    Asked,
    /// Why that question is asked, and what its answers would do.
    Why,
    Figures,
    Steps,
    /// What was read last.
    Read,
    Curves,
    Papers,
}

/// One reply. The documents are texts as the program writes them.
#[derive(Serialize, Default)]
pub(crate) struct Reply {
    /// The survey as it is now, where it was changed.
    pub survey: Option<String>,
    /// The changes so far, as a text: its numbers are larger than those of a page.
    pub changes: Option<String>,
    /// What is said back of a note.
    pub says: Vec<String>,
    /// Why nothing was done.
    pub refused: Option<Refusal>,
    /// The report on packs that are faulty; nothing is judged then.
    pub faulty_packs: Option<String>,
    pub check: Option<String>,
    pub questions: Option<String>,
    pub figures: Option<String>,
    pub steps: Option<String>,
    /// The last reading of each part, and whether it counts as clean.
    pub read: Vec<Value>,
    /// How many questions are left, with the one that is shown.
    pub left: usize,
    pub asked: Option<Value>,
    /// Each with its picture, or why there is none.
    pub curves: Vec<Value>,
    pub papers: Vec<Value>,
}

#[derive(Serialize)]
pub(crate) struct Refusal {
    pub says: String,
    pub help: String,
}

impl Refusal {
    pub(crate) fn new(says: impl Into<String>, help: impl Into<String>) -> Refusal {
        Refusal {
            says: says.into(),
            help: help.into(),
        }
    }
}

impl From<Problem> for Refusal {
    fn from(problem: Problem) -> Refusal {
        Refusal::new(problem.says, problem.help)
    }
}

impl From<Refused> for Refusal {
    fn from(refused: Refused) -> Refusal {
        Refusal::new(refused.says, refused.help)
    }
}
