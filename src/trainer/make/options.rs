//! What a batch of exercises is drawn by, and the faults that this lets in.

use crate::fault::{Answer, Catalogue, Difficulty, Fault};
use serde::Deserialize;

/// What is asked for.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields, default)]
pub struct Options {
    /// All drawing starts from it.
    pub seed: u64,
    /// Surveys to make.
    pub surveys: usize,
    /// Faults in each that has any.
    pub faults: usize,
    /// Things in each that look wrong and are right.
    pub decoys: usize,
    /// Numbers in each that are changed a little, to no effect.
    pub small_changes: usize,
    /// Only faults of this difficulty.
    pub difficulty: Option<Difficulty>,
    /// Only faults of these parts of the pack; all if there are none.
    pub parts: Vec<String>,
    /// How many of a hundred surveys have no fault.
    pub fault_free: usize,
    /// Whether each exercise has a house of its own.
    pub own_house: Answer,
    /// Whether only words are planted that sound houses have too, so that nobody finds a fault by comparing papers.
    pub common_words: Answer,
    /// The points of difficulty that the faults of each survey come to together; whatever they come to, if nothing.
    pub points: Option<u32>,
}

impl Default for Options {
    fn default() -> Options {
        Options {
            seed: 1,
            surveys: 1,
            faults: 3,
            decoys: 2,
            small_changes: 3,
            difficulty: None,
            parts: Vec::new(),
            fault_free: 0,
            own_house: Answer::Yes,
            common_words: Answer::No,
            points: None,
        }
    }
}

/// The most faults of one survey, since matching claims with more would take too long.
pub const MOST_FAULTS: usize = 8;
/// The most decoys or small_changes of one survey.
pub const MOST_CHANGES: usize = 20;
/// The most surveys of one batch.
pub const MOST_SURVEYS: usize = 1000;

/// Why nothing was made.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Refused {
    pub says: String,
    pub help: String,
}

pub(super) fn refused(says: impl Into<String>, help: impl Into<String>) -> Refused {
    Refused {
        says: says.into(),
        help: help.into(),
    }
}

/// The faults that the options let in.
pub(super) fn pool(catalogue: &Catalogue, options: &Options) -> Result<Vec<usize>, Refused> {
    let fitting = (1..=MOST_FAULTS).contains(&options.faults)
        && options.decoys.max(options.small_changes) <= MOST_CHANGES
        && (1..=MOST_SURVEYS).contains(&options.surveys);
    if !fitting {
        let says = format!(
            "an exercise has 1 to {MOST_FAULTS} faults and at most {MOST_CHANGES} decoys or other changes, a batch 1 to {MOST_SURVEYS} surveys"
        );
        return Err(refused(
            says,
            "for surveys without a fault ask for a share of them",
        ));
    }
    if let Some(part) = options
        .parts
        .iter()
        .find(|part| !catalogue.faults.iter().any(|fault| fault.part == **part))
    {
        let help = wetside_base::suggest::help(
            part,
            catalogue.faults.iter().map(|fault| fault.part.as_str()),
            "name a part of the pack by its folder",
        );
        return Err(refused(
            format!("the catalogue has no fault of a part `{part}`"),
            help,
        ));
    }
    let asked = |fault: &Fault| {
        let part = options.parts.is_empty() || options.parts.contains(&fault.part);
        !fault.is_decoy()
            && part
            && options
                .difficulty
                .is_none_or(|level| fault.difficulty() == level)
    };
    let pool: Vec<usize> = (0..catalogue.faults.len())
        .filter(|at| asked(&catalogue.faults[*at]))
        .collect();
    if pool.is_empty() {
        return Err(refused(
            "no fault of the catalogue is of this difficulty in these parts",
            "ask for other parts, or leave the difficulty open",
        ));
    }
    if pool.len() < options.faults {
        let says = format!(
            "the catalogue has {} of the faults asked for, and a survey is to have {}",
            pool.len(),
            options.faults
        );
        return Err(refused(
            says,
            "ask for fewer, for other parts, or leave the difficulty open",
        ));
    }
    Ok(pool)
}
