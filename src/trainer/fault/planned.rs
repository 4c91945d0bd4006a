//! One fault of the catalogue, checked.
//!
//! Contract: data only. Paths lead to fields of the vocabulary, conditions are checked, the rules that
//! are named exist. How hard a fault is to see comes to points by one published table, which stands
//! here. This module must not know surveys.

use serde::{Deserialize, Serialize};
use std::collections::BTreeMap;
use wetside_lang::check::Variable;
use wetside_lang::node::{Checked, Each, Route};

/// A change of a clean survey, and what it must raise.
#[derive(Clone, Debug)]
pub struct Fault {
    /// The file's name.
    pub id: String,
    pub title: String,
    pub family: Family,
    /// The part of the pack that it practises.
    pub part: String,
    pub needs: Option<Checked>,
    /// The things of a list among which one is drawn.
    pub things: Option<Things>,
    pub edits: Vec<Edit>,
    /// Empty for a decoy, and only for a decoy.
    pub raises: Vec<Promise>,
    /// Rules that may speak up as well.
    pub may_raise: Vec<String>,
    pub not_with: Vec<String>,
    pub sight: Sight,
    /// How hard it is: by what there is to see and to know, or by what trainees found of it.
    pub points: u32,
    /// Of a decoy: the finding that a hasty reader would claim.
    pub looks_like: Option<(String, FieldPath)>,
    /// Of a decoy: why it is right.
    pub because: String,
}

/// The sorts of faults.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Family {
    Value,
    State,
    #[serde(rename = "missing line")]
    MissingLine,
    Contradiction,
    #[serde(rename = "wrong building")]
    WrongBuilding,
    #[serde(rename = "unit slip")]
    UnitSlip,
    #[serde(rename = "short list")]
    ShortList,
    Unknown,
    Decoy,
}

impl Family {
    pub fn words(self) -> &'static str {
        match self {
            Family::Value => "value",
            Family::State => "state",
            Family::MissingLine => "missing line",
            Family::Contradiction => "contradiction",
            Family::WrongBuilding => "wrong building",
            Family::UnitSlip => "unit slip",
            Family::ShortList => "short list",
            Family::Unknown => "unknown",
            Family::Decoy => "decoy",
        }
    }
}

/// The list that a fault draws a thing from.
#[derive(Clone, Debug)]
pub struct Things {
    /// The name that the fault's paths have for the thing.
    pub variable: Variable,
    pub each: Each,
    /// The list's own path.
    pub list: Vec<String>,
}

/// A field of the survey, or of the thing that was drawn.
#[derive(Clone, Debug)]
pub struct FieldPath {
    pub route: Route,
    /// Whether the path begins at the thing.
    pub of_thing: bool,
    /// The names of the keys, from the survey's top or from the thing.
    pub keys: Vec<String>,
}

/// One change of the text.
#[derive(Clone, Debug)]
pub enum Edit {
    /// Another value, one of these; the line is added where there is none.
    Set(FieldPath, Vec<Written>),
    /// One more word in a list of words.
    With(FieldPath, String),
    /// One word less in a list of words.
    Without(FieldPath, String),
    /// The same number in another unit.
    Unit(FieldPath, String),
    Delete(FieldPath),
    Unknown(FieldPath),
    /// The thing is no longer listed; the count stays.
    Remove,
    Swap(FieldPath, FieldPath),
}

/// A value as a survey writes it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Written {
    Word(String),
    Words(Vec<String>),
}

/// What a fault must raise.
#[derive(Clone, Debug)]
pub enum Promise {
    /// The rule is broken, and its finding points at the field.
    Broken { rule: String, at: FieldPath },
    /// Something due waits for the field.
    Missing(FieldPath),
}

/// How hard a fault is to see.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Sight {
    /// Lines that have to be held together.
    pub lines: u32,
    #[serde(default)]
    pub arithmetic: Arithmetic,
    #[serde(default)]
    pub unit_change: Answer,
    #[serde(default)]
    pub unknowns: Answer,
    /// The value lies closer to its limit than it is written.
    #[serde(default)]
    pub edge: Answer,
}

/// `yes` or `no`, as a file says it.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Deserialize, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum Answer {
    Yes,
    #[default]
    No,
}

impl From<bool> for Answer {
    fn from(yes: bool) -> Answer {
        if yes { Answer::Yes } else { Answer::No }
    }
}

#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Deserialize)]
pub enum Arithmetic {
    #[default]
    #[serde(rename = "none")]
    None,
    #[serde(rename = "one step")]
    OneStep,
    #[serde(rename = "several steps")]
    SeveralSteps,
}

impl Sight {
    /// The published weighting: one point for each line beyond the first, four at most; one for a
    /// step of arithmetic and two for several; one each for units to convert, for something unknown
    /// that plays a part, for a value on the edge of its limit, and for trade knowledge: a limit, a table or a list
    /// that has to be known by heart. *Our own choice, no source.*
    pub(crate) fn points(self, by_heart: bool) -> u32 {
        let arithmetic = match self.arithmetic {
            Arithmetic::None => 0,
            Arithmetic::OneStep => 1,
            Arithmetic::SeveralSteps => 2,
        };
        let yes = |answer: Answer| u32::from(answer == Answer::Yes);
        self.lines.saturating_sub(1).min(4)
            + arithmetic
            + yes(self.unit_change)
            + yes(self.unknowns)
            + yes(self.edge)
            + u32::from(by_heart)
    }
}

/// How hard an exercise is meant to be: the points that each of its faults may have.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Difficulty {
    /// 0 or 1 point.
    Easy,
    /// 2 or 3 points.
    Medium,
    /// 4 points or more.
    Hard,
}

impl Difficulty {
    pub const ALL: [Difficulty; 3] = [Difficulty::Easy, Difficulty::Medium, Difficulty::Hard];

    pub fn word(self) -> &'static str {
        match self {
            Difficulty::Easy => "easy",
            Difficulty::Medium => "medium",
            Difficulty::Hard => "hard",
        }
    }

    /// The level of so many points.
    pub fn of(points: u32) -> Difficulty {
        match points {
            0 | 1 => Difficulty::Easy,
            2 | 3 => Difficulty::Medium,
            _ => Difficulty::Hard,
        }
    }
}

impl Fault {
    pub(crate) fn is_decoy(&self) -> bool {
        self.family == Family::Decoy
    }

    pub fn difficulty(&self) -> Difficulty {
        Difficulty::of(self.points)
    }
}

/// All faults, in the order of their paths.
#[derive(Clone, Debug)]
pub struct Catalogue {
    pub faults: Vec<Fault>,
    /// The check sum of the files.
    pub sum: u64,
}

impl Default for Catalogue {
    fn default() -> Catalogue {
        Catalogue {
            faults: Vec::new(),
            sum: crate::draw::EMPTY,
        }
    }
}

impl Catalogue {
    pub fn fault(&self, id: &str) -> Option<&Fault> {
        self.faults.iter().find(|fault| fault.id == id)
    }

    /// Takes how hard each of these is from what trainees found of it.
    pub fn are_found(&mut self, points: &BTreeMap<String, u32>) {
        for fault in &mut self.faults {
            fault.points = points.get(&fault.id).copied().unwrap_or(fault.points);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn points_follow_the_table() {
        let sight = |lines, arithmetic, edge: Answer| Sight {
            lines,
            arithmetic,
            edge,
            ..Sight::default()
        };
        assert_eq!(sight(1, Arithmetic::None, Answer::No).points(false), 0);
        assert_eq!(
            sight(9, Arithmetic::SeveralSteps, Answer::Yes).points(true),
            8
        );
        assert_eq!(Difficulty::of(2), Difficulty::Medium);
        assert_eq!(Difficulty::of(4), Difficulty::Hard);
    }
}
