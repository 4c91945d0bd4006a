//! The shapes of Wetside's files, and the check of a value against them.
//!
//! Contract: the JSON Schema files beside this crate are the single place where a field of a survey
//! or a key of a pack is named, typed and described. This crate holds their text and answers where a
//! value does not fit. Its faults are data: a place in the value, what is wrong there, a place in the
//! schema; the words for people are made elsewhere. Nothing is ever fetched.
//! No other crate calls the validating library: whatever does so compiles it anew, for most of a
//! minute in a release build.
//! This crate must not know YAML, lines, units, rules or heating.

mod faults;
mod plain;
#[cfg(test)]
mod tests;

use std::sync::OnceLock;

use serde_json::Value;

pub use faults::{Fault, Sort, What};
pub use plain::Plain;

/// The text of `survey.schema.json`.
pub const SURVEY: &str = include_str!("../survey.schema.json");
/// The text of `pack.schema.json`, the head of a rule pack.
pub const PACK: &str = include_str!("../pack.schema.json");
/// The text of `rule.schema.json`.
pub const RULE: &str = include_str!("../rule.schema.json");
/// The text of `table.schema.json`, a table of a rule pack.
pub const TABLE: &str = include_str!("../table.schema.json");
/// The text of `agreements.schema.json`, what the answers of a survey must agree on.
const AGREEMENTS: &str = include_str!("../agreements.schema.json");
/// The text of `moved.schema.json`, what a pack knows of the things that are moved for the work.
const MOVED: &str = include_str!("../moved.schema.json");
/// The text of `steps.schema.json`, the steps and the register for programs.
const STEPS: &str = include_str!("../steps.schema.json");
/// The text of `ask.schema.json`, the questions for programs.
const ASK: &str = include_str!("../ask.schema.json");
/// The text of `report.schema.json`, the report for programs.
pub const REPORT: &str = include_str!("../report.schema.json");
/// The text of `figures.schema.json`, the figures for programs.
pub const FIGURES: &str = include_str!("../figures.schema.json");
/// The text of `fault.schema.json`, a fault of the catalogue for exercises.
pub const FAULT: &str = include_str!("../fault.schema.json");
/// The text of `answers.schema.json`, the answer sheet of an exercise.
pub const ANSWERS: &str = include_str!("../answers.schema.json");
/// The text of `key.schema.json`, the answer key of an exercise.
pub const KEY: &str = include_str!("../key.schema.json");

/// The text of `departures.schema.json`, what one job departs from.
const DEPARTURES: &str = include_str!("../departures.schema.json");

/// What the answers of every survey must agree on, whatever the pack: files by their names. They stand beside
/// the schema and not in a pack, so that nobody can switch them off.
pub const AGREED: &[(&str, &str)] = &[
    ("building.yaml", include_str!("../agreements/building.yaml")),
    ("dates.yaml", include_str!("../agreements/dates.yaml")),
    (
        "installation.yaml",
        include_str!("../agreements/installation.yaml"),
    ),
    (
        "order-of-the-work.yaml",
        include_str!("../agreements/order-of-the-work.yaml"),
    ),
    ("register.yaml", include_str!("../agreements/register.yaml")),
    ("water.yaml", include_str!("../agreements/water.yaml")),
];

/// The kinds of file that have a shape.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Which {
    /// A whole survey.
    Survey,
    /// A part of a survey, as the case of a rule gives it: the same without the edition.
    Fragment,
    /// The head of a rule pack.
    Pack,
    /// One rule.
    Rule,
    /// One table of a pack.
    Table,
    /// A table of what the answers of a survey must agree on.
    Agreements,
    /// What a pack knows of the things that are moved for the work.
    Moved,
    /// The report that the program writes for other programs.
    Report,
    /// One fault of the catalogue for exercises.
    Fault,
    /// The answer sheet of an exercise.
    Answers,
    /// The answer key of an exercise.
    Key,
    /// The figures that the program writes for other programs.
    Figures,
    /// The steps and the register that the program writes for other programs.
    Steps,
    /// What one job departs from.
    Departures,
    /// The questions that the program writes for other programs.
    Ask,
}

impl Which {
    /// Every kind, in the order of the declaration.
    pub const ALL: [Which; 15] = [
        Which::Survey,
        Which::Fragment,
        Which::Pack,
        Which::Rule,
        Which::Table,
        Which::Agreements,
        Which::Moved,
        Which::Report,
        Which::Fault,
        Which::Answers,
        Which::Key,
        Which::Figures,
        Which::Steps,
        Which::Departures,
        Which::Ask,
    ];

    /// What the file is called, without its ending; a fragment has none of its own.
    pub fn name(self) -> Option<&'static str> {
        let (_, id) = self.text().split_once("urn:wetside:")?;
        id.split('"').next().filter(|_| self != Which::Fragment)
    }

    /// The text of the schema file.
    pub fn text(self) -> &'static str {
        match self {
            Which::Survey | Which::Fragment => SURVEY,
            Which::Pack => PACK,
            Which::Rule => RULE,
            Which::Table => TABLE,
            Which::Agreements => AGREEMENTS,
            Which::Moved => MOVED,
            Which::Report => REPORT,
            Which::Fault => FAULT,
            Which::Answers => ANSWERS,
            Which::Key => KEY,
            Which::Figures => FIGURES,
            Which::Steps => STEPS,
            Which::Departures => DEPARTURES,
            Which::Ask => ASK,
        }
    }

    /// The schema as a value. The keys keep the order of the file.
    ///
    /// # Panics
    /// Never for the files of this crate: its tests read each of them.
    pub fn read(self) -> Value {
        serde_json::from_str(self.text()).expect("the schema files are tested to be JSON")
    }

    /// The same, kept for the whole run. It is large, so this is for those who ask often.
    pub fn schema(self) -> &'static Value {
        static READ: [OnceLock<Value>; 14] = [const { OnceLock::new() }; 14];
        READ[self.place()].get_or_init(|| self.read())
    }

    /// Where this kind's schema and validator are kept. A fragment shares the survey's.
    fn place(self) -> usize {
        match self {
            Which::Survey | Which::Fragment => 0,
            Which::Pack => 1,
            Which::Rule => 2,
            Which::Table => 3,
            Which::Report => 4,
            Which::Fault => 5,
            Which::Answers => 6,
            Which::Key => 7,
            Which::Figures => 8,
            Which::Agreements => 9,
            Which::Moved => 10,
            Which::Steps => 11,
            Which::Departures => 12,
            Which::Ask => 13,
        }
    }
}

/// Whether the value fits. The quick way when no more is asked.
pub fn is_valid<'t>(which: Which, value: impl Into<Plain<'t>>) -> bool {
    let value = value.into();
    let valid = faults::validator(which).is_valid(&value);
    valid || (which == Which::Fragment && check(which, value).is_empty())
}

/// Every place where the value does not fit, in an order that depends on nothing but schema and
/// value; empty when all fits.
///
/// Of a choice between shapes only the one that the value seems meant for is spoken of: a list with
/// a faulty element gives the fault of the element.
/// Of a survey's quantities, dates and times only the sort of value is judged here, not the text: the
/// patterns in the schema are for editors, and whoever reads such a text can say better what is wrong
/// with it. So [`What::Pattern`] comes from the files of a pack alone.
pub fn check<'t>(which: Which, value: impl Into<Plain<'t>>) -> Vec<Fault> {
    let value = value.into();
    if faults::validator(which).is_valid(&value) {
        return Vec::new();
    }
    let mut found = faults::find(which, &value);
    if which == Which::Fragment {
        found.retain(|fault| !fault.is_missing_edition());
    }
    found
}
