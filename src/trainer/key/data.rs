//! The answer key: what is wrong in one survey, where, and how it came to be known.
//!
//! Contract: data. The key holds everything that marking needs beside the survey and the packs; its lines
//! are those of the trainee's survey. What is written is read back the same. The seal is a check sum over the lines below
//! it: a slip of the pen shows, and nothing more. Whoever means to read the key can, so it stays with the trainer.

use crate::draw;
use serde::{Deserialize, Serialize};
use wetside_base::problem::Problem;
use wetside_base::source::Source;
use wetside_document::{Node, typed};
use wetside_engine::schema;
use wetside_schemas::Which;

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
}

/// The text of the key's file.
///
/// # Panics
/// Never: a key holds texts, whole numbers and lists of them, and all of these can be written.
pub fn write(key: &Key) -> String {
    let key = serde_yaml::to_string(key).expect("a key can be written");
    let body = format!("key: 3\n{key}");
    let seal = draw::written(draw::sum(draw::EMPTY, &body));
    format!(
        "# Answer key, for the trainer only: anyone who opens this file can read it.\nseal: \"{seal}\"\n{body}"
    )
}

/// The key in a file.
pub fn read(source: &Source) -> Result<Key, Vec<Problem>> {
    let reading = wetside_document::read(source);
    if ["key", "seal"]
        .iter()
        .all(|key| reading.root.get(key).is_none())
    {
        return Err(vec![not_a_key(source)]);
    }
    let mut problems = reading.problems.clone();
    problems.extend(schema::check::problems(Which::Key, source, &reading));
    if problems.is_empty() {
        problems.extend(broken_seal(source, &reading.root));
    }
    if !problems.is_empty() {
        return Err(problems);
    }
    typed(&reading.root).map_err(|problem| vec![problem])
}

fn not_a_key(source: &Source) -> Problem {
    let help =
        "take the key as it was made: a file that ends in `-key.yaml`, in the trainer's folder";
    let says = "this is no key that can be used";
    Problem::new("not-a-key", source.line_span(1), says, help)
}

fn broken_seal(source: &Source, root: &Node) -> Option<Problem> {
    let seal = &root.get("seal")?.value;
    let end = source.line_span(source.line_of(seal.span.start)).end as usize;
    // An editor may have changed how lines end; that is no change of the key.
    let body = source.text[end..].replace("\r\n", "\n");
    let body = body.strip_prefix('\n').unwrap_or(&body);
    let sum = draw::written(draw::sum(draw::EMPTY, body));
    let says = "the key was changed after it was made";
    let help = "take the key as it was made, or make the exercise again from its seed";
    (seal.as_text() != Some(&sum)).then(|| Problem::new("broken-seal", seal.span, says, help))
}
