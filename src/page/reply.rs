//! What a page is told.

use serde::Serialize;
use wetside_base::problem::Problem;
use wetside_engine::interview::{Effect, Waits};
use wetside_record::Refused;

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
    pub read: Option<Read>,
    /// How many questions are left, with the one that is shown.
    pub left: usize,
    pub asked: Option<Asked>,
    pub curves: Vec<Curve>,
    pub papers: Vec<Paper>,
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

/// The question to show.
#[derive(Serialize)]
pub(crate) struct Asked {
    /// As `wetside ask --json` has it.
    pub document: String,
    /// The names of its facts, by which it is answered and found again.
    pub names: Vec<String>,
    /// What is written of each of its things.
    pub now: Vec<Option<String>>,
    /// Why it is asked, where that is wanted.
    pub why: Option<Why>,
}

/// The rules that wait for an answer, hazards first, and what each answer would do.
#[derive(Serialize)]
pub(crate) struct Why {
    rules: Vec<Rule>,
    effects: Vec<Does>,
}

#[derive(Serialize)]
struct Rule {
    class: &'static str,
    title: String,
    because: String,
}

/// How many rules some answers settle, find broken, and how many questions they open; of a measure, at most.
#[derive(Serialize)]
struct Does {
    answers: Vec<String>,
    settles: usize,
    breaks: usize,
    opens: usize,
}

impl Why {
    pub(crate) fn new(rules: &[Waits<'_>], effects: Vec<Effect>) -> Why {
        let rule = |one: &Waits<'_>| Rule {
            class: one.class.word(),
            title: one.title.to_string(),
            because: one.because.to_string(),
        };
        let does = |one: Effect| Does {
            answers: one.answers,
            settles: one.settles,
            breaks: one.breaks,
            opens: one.opens,
        };
        Why {
            rules: rules.iter().map(rule).collect(),
            effects: effects.into_iter().map(does).collect(),
        }
    }
}

/// Of what the last reading is, and whether it counts as clean.
#[derive(Serialize)]
pub(crate) struct Read {
    pub of: String,
    pub clean: bool,
}

/// A picture, or why there is none.
#[derive(Serialize)]
pub(crate) struct Curve {
    pub name: &'static str,
    pub svg: Option<String>,
    pub why_not: Option<String>,
}

#[derive(Serialize)]
pub(crate) struct Paper {
    pub name: &'static str,
    pub text: String,
}
