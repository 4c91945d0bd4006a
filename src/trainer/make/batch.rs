//! Exercises from a clean survey, a catalogue and options.
//!
//! Contract: the same options give the same bytes everywhere. What is drawn is proved; what cannot be
//! proved is drawn again, a fixed number of times, and then refused with the reason. A survey without a
//! fault is drawn like one with faults, and then each of its changes is exchanged for a harmless one of
//! the same sort, so that the surface does not tell them apart.

use super::bench::Bench;
use super::comments;
use crate::draw::{self, Draw};
use crate::fault::{Answer, Catalogue, Difficulty, Fault};
use crate::key::{Key, made};
use crate::proof::plant::Planting;
use crate::proof::{Defect, prove};
use crate::survey::look::Look;
use crate::survey::text;
use serde::Deserialize;
use std::collections::BTreeMap;
use wetside_base::source::Source;
use wetside_edit::splice::Splice;
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
    /// Whether half of the comments that the clean survey has beside its values stay.
    pub comments: Answer,
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
            comments: Answer::Yes,
        }
    }
}

/// One exercise.
#[derive(Clone, Debug)]
pub struct Exercise {
    /// Which of the batch, from 1.
    pub number: usize,
    /// What the trainee gets.
    pub survey: Source,
    pub key: Key,
    /// The clean survey that it was made from, as the splices see it.
    pub base: String,
    /// What was changed by each fault and decoy, by its id.
    pub parts: Vec<(String, Vec<Splice>)>,
    /// What was changed to no effect, and the comments that went.
    pub harmless: Vec<Splice>,
}

/// Why nothing was made.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Refused {
    pub says: String,
    pub help: String,
}

/// How often a survey is drawn before it is given up.
const MOST_DRAWS: usize = 100;
/// The most faults of one survey, since matching claims with more would take too long.
pub const MOST_FAULTS: usize = 8;
/// The most decoys or small_changes of one survey.
pub const MOST_CHANGES: usize = 20;
/// The most surveys of one batch.
pub const MOST_SURVEYS: usize = 1000;

/// Makes a batch of exercises.
///
/// # Errors
/// When the survey is not clean, or no exercise of these options can be proved.
pub fn make(
    survey: &Source,
    packs: &Packs,
    catalogue: &Catalogue,
    options: &Options,
) -> Result<Vec<Exercise>, Refused> {
    let clean = match options.comments {
        Answer::Yes => text::for_exercises(survey),
        Answer::No => text::without_comments(survey),
    };
    let look = Look::at(Source::new(survey.name.clone(), clean), packs);
    prove::base(&look).map_err(|defect| {
        refused(
            defect.says,
            "name a survey that comes to `clear` with nothing to tell",
        )
    })?;
    let pool = pool(catalogue, options)?;
    let decoys: Vec<usize> = (0..catalogue.faults.len())
        .filter(|at| catalogue.faults[*at].is_decoy())
        .collect();
    let mut maker = Maker {
        bench: Bench::new(look, packs, catalogue),
        options,
        pool,
        decoys,
        used: BTreeMap::new(),
    };
    let free = maker.fault_free();
    (1..=options.surveys)
        .map(|number| maker.one(number, free[number - 1]))
        .collect()
}

fn refused(says: impl Into<String>, help: impl Into<String>) -> Refused {
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
    Ok(pool)
}

/// What is drawn for one survey, before it is proved.
struct Drawn<'c> {
    plantings: Vec<Planting<'c>>,
    /// Faults that were drawn and exchanged; their reasons are offered all the same.
    exchanged: Vec<&'c Fault>,
    harmless: Vec<Splice>,
}

struct Maker<'a> {
    bench: Bench<'a>,
    options: &'a Options,
    pool: Vec<usize>,
    decoys: Vec<usize>,
    /// How often each fault and decoy was drawn so far, by its id. A draw that came to nothing counts, so that what
    /// cannot stand beside the rest does not come again and again.
    used: BTreeMap<&'a str, usize>,
}

impl<'a> Maker<'a> {
    /// Which surveys of the batch have no fault: a share of them, at places that are drawn.
    fn fault_free(&self) -> Vec<bool> {
        let (surveys, share) = (self.options.surveys, self.options.fault_free.min(100));
        let mut draw = Draw::for_number(self.options.seed, 0);
        // A single survey is free of faults with that chance.
        let count = (surveys * share + draw.below(100)) / 100;
        let mut free: Vec<bool> = (0..surveys).map(|at| at < count).collect();
        draw.shuffle(&mut free);
        free
    }

    fn one(&mut self, number: usize, free: bool) -> Result<Exercise, Refused> {
        let mut draw = Draw::for_number(self.options.seed, number as u64);
        let mut reasons: BTreeMap<Defect, usize> = BTreeMap::new();
        for _ in 0..MOST_DRAWS {
            let drawn = self.drawn(&mut draw, free)?;
            let proved = drawn.and_then(|drawn| {
                let look = prove::together(
                    &drawn.plantings,
                    &drawn.harmless,
                    &self.bench.base,
                    self.bench.packs,
                )?;
                Ok((drawn, look))
            });
            match proved {
                Ok((drawn, look)) => return Ok(self.exercise(number, drawn, look, &mut draw)),
                Err(defect) => *reasons.entry(defect).or_default() += 1,
            }
        }
        let most = reasons.into_iter().max_by_key(|(_, count)| *count);
        let why = most.map_or(String::new(), |(defect, _)| defect.says);
        let says = format!(
            "survey {number} could not be proved in {MOST_DRAWS} draws, mostly because {why}"
        );
        Err(refused(
            says,
            "ask for fewer faults or decoys, more parts, or another survey to start from",
        ))
    }

    /// Faults, decoys and small changes; or why this draw came to nothing.
    fn drawn(&mut self, draw: &mut Draw, free: bool) -> Result<Result<Drawn<'a>, Defect>, Refused> {
        let mut chosen: Vec<Planting<'a>> = Vec::new();
        let (pool, decoys) = (self.pool.clone(), self.decoys.clone());
        self.choose(&pool, self.options.faults, draw, &mut chosen);
        if chosen.len() < self.options.faults {
            let says = format!(
                "this survey takes no more than {} of the faults asked for at a time",
                chosen.len()
            );
            return Err(refused(
                says,
                "ask for fewer, for more parts or another difficulty, or start from another survey",
            ));
        }
        // As many decoys as the survey takes: with faults and without it takes the same.
        self.choose(
            &decoys,
            self.options.faults + self.options.decoys,
            draw,
            &mut chosen,
        );
        for planting in &chosen {
            *self.used.entry(&planting.fault.id).or_default() += 1;
        }
        let mut drawn = Drawn {
            plantings: chosen,
            exchanged: Vec::new(),
            harmless: Vec::new(),
        };
        if free {
            let (decoys, faults): (Vec<_>, Vec<_>) = drawn
                .plantings
                .into_iter()
                .partition(|planting| planting.fault.is_decoy());
            drawn.plantings = decoys;
            drawn.exchanged = faults.iter().map(|planting| planting.fault).collect();
            for splice in faults.iter().flat_map(|planting| &planting.splices) {
                let taken = taken(&drawn);
                let Some(harmless) = self.bench.harmless_like(splice, &taken, draw) else {
                    return Ok(Err(Defect::new(
                        "nothing-harmless",
                        "no harmless change looks like those of the faults",
                    )));
                };
                drawn.harmless.extend(harmless);
            }
        }
        for _ in 0..self.options.small_changes {
            let taken = taken(&drawn);
            drawn
                .harmless
                .extend(self.bench.small_change(&taken, draw).unwrap_or_default());
        }
        let dropped = comments::dropped(&taken(&drawn), &self.bench.base, draw);
        drawn.harmless.extend(dropped);
        Ok(Ok(drawn))
    }

    /// Draws faults of a pool until so many are chosen, one at most of each; first those that the batch has had
    /// least often.
    fn choose(
        &mut self,
        pool: &[usize],
        until: usize,
        draw: &mut Draw,
        chosen: &mut Vec<Planting<'a>>,
    ) {
        let mut order = pool.to_vec();
        draw.shuffle(&mut order);
        let catalogue = self.bench.catalogue;
        order.sort_by_key(|fault| self.used.get(catalogue.faults[*fault].id.as_str()));
        for fault in order {
            if chosen.len() >= until {
                return;
            }
            if chosen
                .iter()
                .any(|other| apart(other.fault, &self.bench.catalogue.faults[fault]))
            {
                continue;
            }
            let taken: Vec<Splice> = chosen
                .iter()
                .flat_map(|planting| planting.splices.clone())
                .collect();
            chosen.extend(self.bench.planting(fault, &taken, draw));
        }
    }

    fn exercise(&self, number: usize, drawn: Drawn<'a>, look: Look, draw: &mut Draw) -> Exercise {
        let what = made::Made {
            number,
            seed: self.options.seed,
            plantings: &drawn.plantings,
            exchanged: &drawn.exchanged,
            harmless: &drawn.harmless,
            base: &self.bench.base,
            look: &look,
            catalogue_sum: self.bench.catalogue.sum,
        };
        let key = made::of(&what, self.bench.packs, draw);
        let name = format!("exercise-{}.yaml", draw::written(key.id_sum()));
        let parts = drawn
            .plantings
            .into_iter()
            .map(|planting| (planting.fault.id.clone(), planting.splices));
        Exercise {
            number,
            survey: Source::new(name, look.source.text),
            key,
            base: self.bench.base.source.text.clone(),
            parts: parts.collect(),
            harmless: drawn.harmless,
        }
    }
}

fn taken(drawn: &Drawn<'_>) -> Vec<Splice> {
    let planted = drawn
        .plantings
        .iter()
        .flat_map(|planting| planting.splices.iter());
    planted.chain(&drawn.harmless).cloned().collect()
}

/// Whether two faults may not stand in one survey.
fn apart(one: &Fault, other: &Fault) -> bool {
    one.id == other.id || one.not_with.contains(&other.id) || other.not_with.contains(&one.id)
}
