//! What is worked out of a house only when it is asked for: everything open, points compared, the plan.
//!
//! Contract: data for people. What a survey leaves open is supposed as usual where a convention has
//! it, and each supposition is named; no rule ever sees a supposition. Without the layout, the main
//! bore, the longest run, the machine's plate and its point of connection there is nothing to tell.

use super::all_open::{AllOpen, NoNetwork, all_open};
use super::alone::{Branch, branches, floor_loop};
use super::connect::{Comparison, compare_houses, weakest_height};
use super::plan::{Job, Plan, plan};
use super::read::{self, Reading};
use super::{FloorHeating, House, Layout, convention, points};
use crate::figures::explain;
use crate::figures::range::Range;
use crate::figures::rinse::cleaner_adds;
use crate::figures::table::Refused;
use crate::figures::view::View;
use crate::figures::water::{BAND_LEAST, BAND_SHARE};
use wetside_base::facts::Facts;
use wetside_base::vocabulary::Vocabulary;
use wetside_physics::hoses::{Hose, gravity_flow};
use wetside_physics::water;

/// Everything that can be told of a house.
#[derive(Clone, Debug)]
pub struct Told {
    /// How the mains are taken to run.
    pub layout: Layout,
    pub convention: &'static str,
    /// What was supposed that the survey does not say, in words.
    pub supposed: Vec<String>,
    /// Each branch alone, in the order of the survey.
    pub branches: Vec<Branch>,
    /// Everything open, or why there is no telling.
    pub open: Result<AllOpen, NoNetwork>,
    /// The points at which the machine may be connected, where the survey lists them.
    pub connections: Option<Comparison>,
    pub plan: Plan,
    /// The longest loop of a floor alone: its flow in m³/s and its speed in m/s.
    pub floor: Option<(Range, Range)>,
}

/// Tells everything, or why nothing can be told.
pub fn tell(facts: &Facts, vocabulary: &Vocabulary) -> Result<Told, Refused> {
    let view = View { facts, vocabulary };
    let reading = read::house(&view, true).map_err(|none| none.why)?;
    let Reading {
        mut house,
        mut supposed,
        ..
    } = reading;
    let job = match explain::supposed(facts, vocabulary) {
        Some((then, words)) => {
            supposed.push(words);
            let facts = &then;
            job(&View { facts, vocabulary })
        }
        None => job(&view),
    };
    house.floor = floor(&view, &house);
    Ok(Told {
        layout: house.layout,
        convention: convention::of_layout(house.layout),
        supposed,
        branches: branches(&house)?.into_iter().flatten().collect(),
        open: all_open(&house),
        connections: connections(&view)?,
        plan: plan(&house, &job)?,
        floor: match &house.floor {
            Some(floor) => Some(floor_loop(&house, floor)?),
            None => None,
        },
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

fn job(view: &View<'_>) -> Job {
    let known = |path: &str| view.range(view.at(Facts::ROOT, path)).ok();
    let bounded = |path: &str| known(path).filter(|range| range.high.is_finite());
    let adds = cleaner_adds(view, Facts::ROOT)
        .range
        .unwrap_or(Range::FROM_NOTHING);
    Job {
        flush_volume: bounded("figure.flush_volume"),
        mains_flow: known("water_supply.flow"),
        hose_flow: dump_hose(view),
        drain_flow: known("drain.acceptance"),
        start: known("readings.system.tds").map(|start| start.plus(adds)),
        mains: known("readings.mains.tds"),
        band: BAND_SHARE,
        least_band: BAND_LEAST,
        warming: bounded("figure.heat_up_time"),
    }
}

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
