//! What is worked out of a house only when it is asked for: everything open, points compared, the plan.
//!
//! Contract: data for people. What a survey leaves open is supposed as usual where a convention has
//! it, and each supposition is named; no rule ever sees a supposition. Without the layout, the main
//! bore, the longest run, the machine's plate and its point of connection there is nothing to tell.

use super::all_open::{AllOpen, NoNetwork, all_open};
use super::alone::{Branch, branches};
use super::connect::{Comparison, compare_houses, weakest_height};
use super::plan::{Job, Plan, plan};
use super::read::{self, Reading};
use super::{FloorHeating, House, Input, Layout, convention, points, widest};
use crate::facts::Facts;
use crate::figures::range::Range;
use crate::figures::table::Refused;
use crate::figures::view::View;
use crate::physics::hoses::{Hose, gravity_flow};
use crate::physics::water;
use crate::vocabulary::Vocabulary;

/// Everything that can be told of a house.
#[derive(Clone, Debug)]
pub struct Told {
    /// How the mains are taken to run.
    pub layout: Layout,
    pub convention: &'static str,
    /// What was supposed that the survey does not say, in words.
    pub supposed: Vec<String>,
    /// Each branch alone, in the order of the survey, and the input that widens its speed most.
    pub branches: Vec<(Branch, Option<Input>)>,
    /// Everything open, or why there is no telling.
    pub open: Result<AllOpen, NoNetwork>,
    /// The points at which the machine may be connected, where the survey lists them.
    pub connections: Option<Comparison>,
    pub plan: Plan,
}

/// Tells everything, or why nothing can be told.
pub fn tell(facts: &Facts, vocabulary: &Vocabulary) -> Result<Told, Refused> {
    let view = View { facts, vocabulary };
    let reading = read::house(&view, true).map_err(|none| none.why)?;
    let Reading {
        mut house,
        supposed,
        ..
    } = reading;
    house.floor = floor(&view, &house);
    let alone = branches(&house)?;
    let listed = alone.into_iter().enumerate();
    let branches = listed
        .filter_map(|(at, branch)| branch.map(|branch| (branch, widens(&house, at))))
        .collect();
    Ok(Told {
        layout: house.layout,
        convention: convention::of_layout(house.layout),
        supposed,
        branches,
        open: all_open(&house),
        connections: connections(&view)?,
        plan: plan(&house, &job(&view))?,
    })
}

/// The input that widens an emitter's speed alone most.
pub fn widens(house: &House, at: usize) -> Option<Input> {
    widest(house, |house| {
        let mut one = house.clone();
        // The others matter to where the mains run, and to nothing else: only their ends are kept.
        for (other, emitter) in one.emitters.iter_mut().enumerate() {
            emitter.off = other != at;
        }
        let all = branches(&one).ok()?;
        let branch = all.into_iter().nth(at)??;
        Some(branch.speed)
    })
}

/// The points that the survey lists, compared.
fn connections(view: &View<'_>) -> Result<Option<Comparison>, Refused> {
    let listed = view.set(view.at(Facts::ROOT, points::AVAILABLE));
    let (sure, _) = listed.unwrap_or_default();
    let mut houses = Vec::new();
    for point in sure.into_iter().filter_map(read::point) {
        let reading = read::house_at(view, true, point).map_err(|none| none.why)?;
        houses.push(reading.house);
    }
    let Some(first) = houses.first() else {
        return Ok(None);
    };
    Ok(compare_houses(&houses, weakest_height(first, false))?)
}

fn floor(view: &View<'_>, house: &House) -> Option<FloorHeating> {
    let at = |path: &str| view.at(Facts::ROOT, path);
    if view.word(at("underfloor.fitted")) != Some("yes") {
        return None;
    }
    Some(FloorHeating {
        loops: view.range(at("underfloor.loops")).ok()?,
        length: view.range(at("underfloor.loop_length")).ok()?,
        bore: view.range(at("underfloor.bore")).ok()?,
        roughness: house.mains.roughness,
        loss: convention::LOOP_FITTINGS.range,
        valve: convention::LOOP_VALVE.range,
    })
}

/// 0 °C in K.
const FREEZING: f64 = 273.15;

fn job(view: &View<'_>) -> Job {
    let known = |path: &str| view.range(view.at(Facts::ROOT, path)).ok();
    let bounded = |path: &str| known(path).filter(|range| range.high.is_finite());
    let celsius = |kelvin: Range| Range::new(kelvin.low - FREEZING, kelvin.high - FREEZING);
    let ceilings = [
        ("hoses", "machine.hose_rated_temperature"),
        ("machine", "machine.rated_temperature"),
        ("cleaner", "cleaner.maximum_temperature"),
        ("floor", "underfloor.maximum_temperature"),
    ];
    let ceilings = ceilings.into_iter().filter_map(|(part, path)| {
        let ceiling = known(path)?;
        Some((part.to_string(), celsius(ceiling)))
    });
    Job {
        flush_volume: bounded("figure.flush_volume").or(bounded("figure.estimated_volume")),
        total_volume: bounded("figure.total_volume").or(bounded("figure.estimated_volume")),
        mains_flow: known("water_supply.flow"),
        hose_flow: dump_hose(view),
        drain_flow: known("drain.acceptance"),
        start: known("readings.system.tds").map(|start| with_cleaner(view, start)),
        mains: known("readings.mains.tds"),
        band: 0.1,
        least_band: LEAST_BAND,
        cleaner_rate: known("cleaner.rate"),
        inhibitor_rate: known("protection.rate"),
        container: None,
        warming: bounded("figure.heat_up_time"),
        ceilings: ceilings.collect(),
        power: known("machine.power"),
    }
}

/// The water as the rinse finds it: a cleaner adds to its reading, by up to 2,500 ppm as in
/// `figure.rinse_volumes` (common practice, no source).
fn with_cleaner(view: &View<'_>, start: Range) -> Range {
    const MOST: f64 = 2.5;
    let nature = view.word(view.at(Facts::ROOT, "cleaner.nature"));
    let adds = if nature == Some("none") { 0.0 } else { MOST };
    Range::new(start.low, start.high + adds)
}

/// The least band of dissolved solids, 10 ppm, in kg/m³.
const LEAST_BAND: f64 = 10e-3;

/// What the dump hose passes by gravity alone, in m³/s: half a metre to one storey of fall, its bore as
/// that of the machine's hoses. Nothing where its length is not recorded.
fn dump_hose(view: &View<'_>) -> Option<Range> {
    let length = view.range(view.at(Facts::ROOT, "drain.hose_length")).ok()?;
    let viscosity = water::kinematic_viscosity(20.0).ok()?;
    let (bore, fall) = (convention::HOSE_BORE.range, convention::DUMP_FALL.range);
    let flow = |fall: f64, length: f64, bore: f64| {
        let hose = Hose {
            fall,
            length,
            bore,
            roughness: 20e-6,
            loss: 0.5,
        };
        gravity_flow(&hose, viscosity).ok()
    };
    Some(Range::new(
        flow(fall.low, length.high, bore.low)?,
        flow(fall.high, length.low, bore.high)?,
    ))
}
