//! Exercises from clean surveys, a catalogue and options.
//!
//! Contract: the same options give the same bytes everywhere. Each exercise has a house of its own, varied from
//! one of the surveys, unless the options say that the survey stands as it is. What is drawn is proved; what cannot be
//! proved is drawn again, a fixed number of times, and then refused with the reason. A survey without a
//! fault is drawn like one with faults, and then each of its changes is exchanged for a harmless one of
//! the same sort, so that the surface does not tell them apart.

use super::bench::Bench;
use super::house::Street;
use super::options::{Ground, Options, Refused, Words, ground, refused};
use super::turns::Used;
use crate::draw::Draw;
use crate::fault::{Answer, Catalogue, Fault};
use crate::key::Key;
use crate::key::made::{self, Changes};
use crate::proof::plant::Planting;
use crate::proof::prove::{self, Defect};
use crate::survey::look::Look;
use std::collections::BTreeMap;
use wetside_base::source::Source;
use wetside_edit::splice::Splice;
use wetside_engine::check::Packs;

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
    /// What was changed to no effect.
    pub harmless: Vec<Splice>,
}

impl Exercise {
    /// Lets the sheet offer nothing to choose from, so that answers are words of one's own.
    pub fn ask_in_own_words(&mut self) {
        self.key.reasons.clear();
        self.key.fields.clear();
        self.key.steps.clear();
    }
}

/// How often a survey is drawn before it is given up.
const MOST_DRAWS: usize = 100;
/// How many houses are tried before that.
const MOST_HOUSES: usize = 3;

/// Makes a batch of exercises.
///
/// # Errors
/// When the survey is not clean, or no exercise of these options can be proved.
pub fn make(
    surveys: &[Source],
    packs: &Packs,
    catalogue: &Catalogue,
    options: &Options,
) -> Result<Vec<Exercise>, Refused> {
    beside(surveys, packs, catalogue, options, &mut Used::default())
}

/// Makes a batch beside others, which had these faults and decoys.
pub(super) fn beside(
    surveys: &[Source],
    packs: &Packs,
    catalogue: &Catalogue,
    options: &Options,
    used: &mut Used,
) -> Result<Vec<Exercise>, Refused> {
    let Ground { pool, looks, words } = ground(surveys, packs, catalogue, options)?;
    let sites = looks.into_iter().map(|look| match options.own_house {
        Answer::Yes => Site::Street(Street::new(look)),
        Answer::No => Site::House(Bench::new(look, catalogue)),
    });
    let mut sites: Vec<Site<'_>> = sites.collect();
    // In an order that is drawn, so that the place in the batch does not tell of the system.
    Draw::for_number(options.seed, u64::MAX).shuffle(&mut sites);
    let decoys: Vec<usize> = (0..catalogue.faults.len())
        .filter(|at| catalogue.faults[*at].is_decoy())
        .collect();
    let mut maker = Maker {
        catalogue,
        options,
        pool,
        decoys,
        used,
        words,
    };
    let free = maker.fault_free();
    (1..=options.surveys)
        .map(|number| {
            // What one survey does not bear another may.
            let mut last = refused("there is no survey", "name a clean survey");
            for next in 0..sites.len() {
                let at = (number - 1 + next) % sites.len();
                match maker.one(number, free[number - 1], &mut sites[at]) {
                    Ok(exercise) => return Ok(exercise),
                    Err(refused) => last = refused,
                }
            }
            Err(last)
        })
        .collect()
}

/// Where exercises of a batch are set: in ever another house, or in one.
enum Site<'a> {
    Street(Street<'a>),
    House(Bench<'a>),
}

struct Maker<'a> {
    catalogue: &'a Catalogue,
    options: &'a Options,
    pool: Vec<usize>,
    decoys: Vec<usize>,
    /// Within one exercise a draw that came to nothing counts as well, so that what cannot stand beside the rest does
    /// not come again and again.
    used: &'a mut Used,
    /// The words that faults may have, if not all.
    words: Option<Words>,
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

    fn one(&mut self, number: usize, free: bool, site: &mut Site<'a>) -> Result<Exercise, Refused> {
        let mut draw = Draw::for_number(self.options.seed, number as u64);
        let street = match site {
            Site::House(bench) => return self.in_house(number, free, bench, &mut draw),
            Site::Street(street) => street,
        };
        let mut last = refused("", "");
        // One house bears what another does not.
        for _ in 0..MOST_HOUSES {
            let house = street.house(&mut draw);
            let mut bench = Bench::new(house, self.catalogue);
            match self.in_house(number, free, &mut bench, &mut draw) {
                Ok(exercise) => return Ok(exercise),
                Err(refused) => last = refused,
            }
        }
        Err(last)
    }

    fn in_house(
        &mut self,
        number: usize,
        free: bool,
        bench: &mut Bench<'a>,
        draw: &mut Draw,
    ) -> Result<Exercise, Refused> {
        let mut reasons: BTreeMap<Defect, usize> = BTreeMap::new();
        let before = self.used.clone();
        for _ in 0..MOST_DRAWS {
            let proved = self.drawn(bench, draw, free).and_then(|drawn| {
                let look = prove::together(&drawn.plantings, &drawn.harmless, &bench.base)?;
                Ok((drawn, look))
            });
            match proved {
                Ok((drawn, look)) => {
                    *self.used = before;
                    for fault in drawn.faults() {
                        self.used.add(fault);
                    }
                    return Ok(self.exercise(number, drawn, look, bench, draw));
                }
                Err(defect) => *reasons.entry(defect).or_default() += 1,
            }
        }
        let most = reasons.into_iter().max_by_key(|(_, count)| *count);
        let why = most.map_or(String::new(), |(defect, _)| defect.says);
        let says = format!(
            "survey {number} could not be made in {MOST_DRAWS} draws, mostly because {why}"
        );
        Err(refused(
            says,
            "ask for fewer faults or decoys, more parts, any difficulty, or another survey to start from",
        ))
    }

    /// Faults, decoys and small changes; or why this draw came to nothing.
    fn drawn(
        &mut self,
        bench: &mut Bench<'a>,
        draw: &mut Draw,
        free: bool,
    ) -> Result<Changes<'a>, Defect> {
        let mut chosen: Vec<Planting<'a>> = Vec::new();
        let (faults, decoys) = (self.options.faults, self.options.decoys);
        self.choose(bench, &self.pool, faults, draw, &mut chosen);
        if chosen.len() < faults {
            let says = "too few of the faults asked for stand beside each other in this house";
            return Err(Defect::new("too-few", says));
        }
        // As many decoys as the survey takes: with faults and without it takes the same.
        self.choose(bench, &self.decoys, faults + decoys, draw, &mut chosen);
        for planting in &chosen {
            self.used.add(planting.fault);
        }
        let mut drawn = Changes {
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
                let taken = drawn.splices();
                let harmless = bench.harmless_like(splice, &taken, draw).ok_or_else(|| {
                    let says = "no harmless change looks like those of the faults";
                    Defect::new("nothing-harmless", says)
                })?;
                drawn.harmless.extend(harmless);
            }
        }
        for _ in 0..self.options.small_changes {
            let taken = drawn.splices();
            drawn
                .harmless
                .extend(bench.small_change(&taken, draw).unwrap_or_default());
        }
        Ok(drawn)
    }

    /// Draws faults of a pool until so many are chosen, one at most of each; first those that the batch has had
    /// least often. Of faults, those that leave the points asked for within reach.
    fn choose(
        &self,
        bench: &mut Bench<'a>,
        pool: &[usize],
        until: usize,
        draw: &mut Draw,
        chosen: &mut Vec<Planting<'a>>,
    ) {
        let mut order = pool.to_vec();
        draw.shuffle(&mut order);
        let faults = &self.catalogue.faults;
        order.sort_by_key(|fault| self.used.of(&faults[*fault]));
        let points = pool.iter().map(|fault| faults[*fault].points);
        let (least, most) = (points.clone().min(), points.max());
        let span = least.unwrap_or(0)..=most.unwrap_or(0);
        for fault in order {
            if chosen.len() >= until {
                return;
            }
            let fault_is = &faults[fault];
            let so_far = chosen.iter().map(|planting| planting.fault.points);
            let with = so_far.sum::<u32>() + fault_is.points;
            let rest = u32::try_from(until - chosen.len() - 1).unwrap_or(0);
            let within = self.options.points.is_none_or(|points| {
                (with + rest * span.start()..=with + rest * span.end()).contains(&points)
            });
            let beside = chosen.iter().all(|other| !apart(other.fault, fault_is));
            if beside && (within || fault_is.is_decoy()) {
                let taken: Vec<Splice> = chosen
                    .iter()
                    .flat_map(|planting| planting.splices.clone())
                    .collect();
                chosen.extend(bench.planting(fault, &taken, self.words.as_ref(), draw));
            }
        }
    }

    fn exercise(
        &self,
        number: usize,
        drawn: Changes<'a>,
        look: Look<'_>,
        bench: &Bench<'a>,
        draw: &mut Draw,
    ) -> Exercise {
        let what = made::Made {
            number,
            seed: self.options.seed,
            changes: &drawn,
            base: &bench.base,
            look: &look,
            catalogue_sum: self.catalogue.sum,
        };
        let key = made::of(&what, draw);
        let name = format!("exercise-{}.yaml", key.exercise);
        let parts = drawn
            .plantings
            .into_iter()
            .map(|planting| (planting.fault.id.clone(), planting.splices));
        Exercise {
            number,
            survey: Source::new(name, look.source.text),
            key,
            base: bench.base.source.text.clone(),
            parts: parts.collect(),
            harmless: drawn.harmless,
        }
    }
}

/// Whether two faults may not stand in one survey.
fn apart(one: &Fault, other: &Fault) -> bool {
    one.id == other.id || one.not_with.contains(&other.id) || other.not_with.contains(&one.id)
}
