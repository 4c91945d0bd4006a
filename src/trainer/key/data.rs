//! The answer key: what is wrong in one survey, where, and how it came to be known.
//!
//! Contract: data. The key holds everything that marking needs beside the survey and the packs; its lines
//! are those of the trainee's survey.

use serde::{Deserialize, Serialize};

/// The key of one exercise, as its file has it. Seal and edition stand in the file alone.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Key {
    pub exercise: String,
    /// What the recipe of its course calls it, the same for all of a class.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub title: Option<String>,
    /// For whom it was made, if for one of a class.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub trainee: Option<String>,
    /// The check sum of the trainee's survey.
    pub survey: String,
    /// The name of the clean survey.
    pub made_from: String,
    /// Nothing for an exercise written by hand.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub recipe: Option<Drawn>,
    pub packs: Vec<String>,
    pub catalogue: String,
    pub faults: Vec<KeyFault>,
    /// Findings that follow from the faults; claiming them changes nothing.
    #[serde(default)]
    pub neutral: Vec<KeyFinding>,
    #[serde(default)]
    pub decoys: Vec<KeyDecoy>,
    /// The reasons that the answer sheet offers, in the order of the alphabet.
    pub reasons: Vec<String>,
    /// What the answer sheet names as perhaps missing, in the order of the alphabet.
    pub fields: Vec<KeyField>,
    /// What the answer sheet offers as perhaps to be done, in the order of the alphabet.
    pub steps: Vec<String>,
}

/// A field of the survey, with what it is in plain words.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
pub struct KeyField {
    /// The whole path; in a list without the name of the thing.
    pub field: String,
    pub is: String,
}

/// What an exercise was drawn by.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Drawn {
    pub seed: u64,
    /// Which survey of the batch it is.
    pub variant: usize,
}

#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct KeyFault {
    pub id: String,
    pub title: String,
    /// Points by the published weighting.
    pub difficulty: u32,
    /// The lines that were changed; the line above, where one was taken out.
    pub lines: Vec<usize>,
    pub findings: Vec<KeyFinding>,
}

#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(untagged, try_from = "WrittenFinding")]
pub enum KeyFinding {
    /// A rule that is broken; of the neutral ones also one that is undecided.
    Rule {
        rule: String,
        #[serde(skip_serializing_if = "Option::is_none")]
        thing: Option<String>,
        line: usize,
    },
    /// Something waits for a fact; the line is the nearest that is there.
    Missing {
        #[serde(rename = "missing")]
        fact: String,
        line: usize,
    },
}

#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct KeyDecoy {
    pub id: String,
    pub title: String,
    pub lines: Vec<usize>,
    pub because: String,
}

/// A finding as the file has it: a rule, with a thing where it speaks of one, or what is missing.
#[derive(Default, Deserialize)]
#[serde(default)]
pub(crate) struct WrittenFinding {
    rule: Option<String>,
    thing: Option<String>,
    missing: Option<String>,
    line: usize,
}

impl TryFrom<WrittenFinding> for KeyFinding {
    type Error = &'static str;

    fn try_from(written: WrittenFinding) -> Result<KeyFinding, &'static str> {
        let line = written.line;
        match (written.rule, written.missing) {
            (Some(rule), None) => Ok(KeyFinding::Rule {
                rule,
                thing: written.thing,
                line,
            }),
            (None, Some(fact)) => Ok(KeyFinding::Missing { fact, line }),
            _ => Err("a finding has either `rule` or `missing`"),
        }
    }
}

impl Key {
    /// Whether the answers are words of one's own, since nothing is offered to choose from.
    pub fn in_own_words(&self) -> bool {
        self.reasons.is_empty() && self.steps.is_empty()
    }

    /// The number behind the exercise's name.
    pub(crate) fn id_sum(&self) -> u64 {
        u64::from_str_radix(&self.exercise, 16).unwrap_or(0)
    }
}
