//! What a batch of exercises is drawn by, and what from: surveys that are clear, the faults that the options let in, and
//! the words that these may have.

use super::harmless::{Leaf, leaves};
use super::varies::{Table, table};
use crate::fault::{Answer, Catalogue, Difficulty, Fault};
use crate::proof::plant::Planting;
use crate::proof::prove;
use crate::survey::look::Look;
use crate::survey::text;
use serde::Deserialize;
use std::collections::{BTreeMap, BTreeSet};
use wetside_base::source::Source;
use wetside_base::vocabulary::{FieldId, Vocabulary};
use wetside_edit::splice::Sort;
use wetside_engine::check::Packs;

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
fn pool(catalogue: &Catalogue, options: &Options) -> Result<Vec<usize>, Refused> {
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

/// What exercises are drawn from.
pub(super) struct Ground<'p> {
    /// Faults of the catalogue.
    pub(super) pool: Vec<usize>,
    pub(super) looks: Vec<Look<'p>>,
    /// The words that faults may have, if not all.
    pub(super) words: Option<Words>,
}

/// # Errors
/// Where a survey is not clear, or too few faults are let in.
pub(super) fn ground<'p>(
    surveys: &[Source],
    packs: &'p Packs,
    catalogue: &Catalogue,
    options: &Options,
) -> Result<Ground<'p>, Refused> {
    let pool = pool(catalogue, options)?;
    let looks = surveys.iter().map(|survey| {
        // A remark was written for the value that stood there, and would tell that another does.
        let clean = text::without_comments(survey);
        let clean = clean.trim_start().to_string();
        let look = Look::at(Source::new(survey.name.clone(), clean), packs);
        prove::base(&look).map_err(|defect| {
            refused(
                format!("{}: {}", survey.name, defect.says),
                "name surveys that come to `clear` with nothing to tell",
            )
        })?;
        Ok(look)
    });
    let looks = looks.collect::<Result<Vec<Look<'p>>, Refused>>()?;
    let few = options.common_words == Answer::Yes;
    let words = few.then(|| Words::of(&looks, table(), &packs.vocabulary));
    Ok(Ground { pool, looks, words })
}

/// The words that sound houses have, so that a fault need not be the only one that has its word. Numbers and what is not
/// there show nothing, since they differ from house to house.
pub(crate) struct Words(BTreeMap<FieldId, BTreeSet<String>>);

const UNKNOWN: &str = "unknown";
/// A word that fewer surveys have than one of so many is as good as theirs alone.
const ONE_OF: usize = 4;

impl Words {
    /// Those that surveys share, and those that houses are varied by.
    pub(crate) fn of(surveys: &[Look<'_>], table: &Table, vocabulary: &Vocabulary) -> Words {
        let mut seen: BTreeMap<(FieldId, String), BTreeSet<usize>> = BTreeMap::new();
        for (at, look) in surveys.iter().enumerate() {
            for leaf in leaves(look) {
                for word in parts(look.source.slice(leaf.span())) {
                    seen.entry((leaf.field, word)).or_default().insert(at);
                }
            }
        }
        let shared = seen
            .into_iter()
            .filter(|(_, of)| of.len() * ONE_OF > surveys.len());
        let mut words: BTreeMap<FieldId, BTreeSet<String>> = BTreeMap::new();
        for ((field, word), _) in shared {
            words.entry(field).or_default().insert(word);
        }
        for (id, field) in vocabulary.fields() {
            let drawn = table.words().filter(|(path, _)| **path == field.path);
            let drawn = drawn.flat_map(|(_, words)| words.iter().cloned());
            let open = table.leaves_open(&field.path).then(|| UNKNOWN.to_string());
            words.entry(id).or_default().extend(drawn.chain(open));
        }
        Words(words)
    }

    /// Whether every word that a planting writes stands in sound houses too.
    pub(crate) fn hide(&self, planting: &Planting<'_>, leaves: &[Leaf]) -> bool {
        let of_value = |sort| matches!(sort, Sort::Value | Sort::Unknown);
        let mut written = planting
            .splices
            .iter()
            .filter(|splice| of_value(splice.sort));
        written.all(|splice| {
            let Some(leaf) = leaves.iter().find(|leaf| leaf.span() == splice.at) else {
                return true;
            };
            let known = self.0.get(&leaf.field);
            let mut words = parts(&splice.text).into_iter();
            words.all(|word| is_number(&word) || known.is_some_and(|known| known.contains(&word)))
        })
    }
}

fn is_number(word: &str) -> bool {
    let word = word.strip_prefix("about ").unwrap_or(word);
    word.starts_with(|sign: char| sign.is_ascii_digit() || sign == '-')
}

/// The words of a set, or the one that stands alone.
fn parts(text: &str) -> Vec<String> {
    let plain = |word: &str| word.trim().trim_matches('"').to_string();
    match text.strip_prefix('[') {
        Some(set) => set.trim_end_matches(']').split(',').map(plain).collect(),
        None => vec![plain(text)],
    }
}
