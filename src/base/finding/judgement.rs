//! The whole result of checking one survey: findings, gaps, questions and how many outcomes there were.
//!
//! Contract: data only. What is not told in full is counted. This module must not know how any of it
//! was reached.

use super::{Finding, On, Outcome, Stage, Verdict};
use crate::problem::{Label, Problem};
use crate::source::{Source, Span};
use serde::{Deserialize, Serialize};

/// Of a fact in a list which field it is of, by its path, and of which thing: alike ones are told together.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct OfThing {
    pub field: String,
    pub thing: String,
}

/// A minimum fact that the survey does not speak of at all.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Gap {
    pub fact: String,
    pub of: Option<OfThing>,
    /// What the field asks, from the schema.
    pub asks: String,
    /// The words or the unit that may be written.
    pub answers: String,
    pub span: Span,
}

/// A fact to find out, and how much hangs on it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Question {
    pub fact: String,
    pub of: Option<OfThing>,
    pub asks: String,
    /// The words or the unit that may be written; nothing where an answer is there already and is in doubt.
    pub answers: String,
    pub span: Span,
    /// The rules that wait for it.
    pub rules: Vec<String>,
}

/// Answers that hardly any system gives, worth another look.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Unlikely {
    /// The answer as people name it and a survey confirms it; of several together the first, of several alike their
    /// field.
    pub fact: String,
    /// The answers with their values, and what is usual: a sentence without a full stop.
    pub says: String,
    pub span: Span,
    /// Why it is so all the same, in the words of a survey that confirms it.
    pub confirmed: Option<String>,
    /// The hazards that cannot be ruled out by such a number: in the way until it is mended or confirmed.
    pub hazards: Vec<String>,
}

/// How many outcomes there were of each kind, elements counted apart.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize)]
pub struct Counts {
    pub met: usize,
    pub broken: usize,
    pub undecided: usize,
    pub not_applicable: usize,
    /// Rules that are not due at this stage.
    pub later: usize,
    /// How many of those met are of rules that can stop the work: without any, nothing is known to be safe.
    pub met_that_block: usize,
}

impl Counts {
    /// Counts one outcome more.
    pub fn add(&mut self, outcome: Outcome) {
        *match outcome {
            Outcome::Met => &mut self.met,
            Outcome::Broken => &mut self.broken,
            Outcome::Undecided => &mut self.undecided,
            Outcome::NotApplicable => &mut self.not_applicable,
        } += 1;
    }

    /// How many outcomes there were at all.
    pub fn judged(&self) -> usize {
        self.met + self.broken + self.undecided + self.not_applicable
    }
}

/// A pack as reports name it.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct Identity {
    pub pack: String,
    pub edition: String,
    /// Of its content, whatever the folder is called: see the digests of the engine.
    pub digest: String,
    /// The pack that it changes, if it is a layer.
    pub builds_on: Option<String>,
    /// What it changes there, in short: `retire` and the name of a rule.
    pub changes: Vec<String>,
}

/// What judged a survey, and what was asked beside the survey's own words.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Basis {
    pub packs: Vec<Identity>,
    /// What the program carries and was told not to judge by.
    pub left_out: Vec<String>,
    /// The stage and the day that were asked for, where the survey's own did not serve.
    pub stage: Option<Stage>,
    pub as_of: Option<String>,
}

impl Basis {
    /// The packs by name and edition.
    pub fn cited(&self) -> Vec<String> {
        let all = self.packs.iter();
        all.map(|one| format!("{} {}", one.pack, one.edition))
            .collect()
    }
}

/// The file of departures that lies beside a survey.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Beside {
    pub source: Source,
    pub problems: Vec<Problem>,
}

/// The result of checking one survey.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Judgement {
    pub verdict: Verdict,
    pub stage: Stage,
    /// The date of judgement, if one is known.
    pub as_of: Option<String>,
    pub packs: Vec<String>,
    pub basis: Basis,
    /// What is wrong in the file.
    pub problems: Vec<Problem>,
    /// What the job departs from, if it says so.
    pub beside: Option<Beside>,
    /// What is broken or undecided and due: hazards first, then by place.
    pub findings: Vec<Finding>,
    /// Minimum facts that are not recorded, and how many there are beside those told.
    pub gaps: Vec<Gap>,
    pub more_gaps: usize,
    /// The fewest facts that could settle what is undecided and blocks, and how many there are beside
    /// those told.
    pub questions: Vec<Question>,
    pub more_questions: usize,
    /// Words of the trade that were read as words of a survey.
    pub read_as: Vec<Label>,
    /// What is worth another look, and how much there is beside that.
    pub unlikely: Vec<Unlikely>,
    pub more_unlikely: usize,
    /// Hazards and preparations of later stages that are broken already.
    pub ahead: Vec<Finding>,
    pub counts: Counts,
}

impl Judgement {
    /// Each outcome that is told in full, with its finding.
    pub fn outcomes(&self) -> impl Iterator<Item = (&Finding, &On)> {
        let all = self.findings.iter();
        all.flat_map(|finding| finding.on.iter().map(move |on| (finding, on)))
    }

    /// How many problems there are in the survey and in the file beside it.
    pub fn problem_count(&self) -> usize {
        let beside = self.beside.as_ref();
        self.problems.len() + beside.map_or(0, |beside| beside.problems.len())
    }

    /// How many minimum facts are not recorded, told or not.
    pub fn gap_count(&self) -> usize {
        self.gaps.len() + self.more_gaps
    }
}
