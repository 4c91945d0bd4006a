//! What is worked out of a house only when it is asked for: everything open, points compared, the plan.
//!
//! Contract: data for people. What a survey leaves open is supposed as usual where a convention has
//! it, and each supposition is named; no rule ever sees a supposition. Without the layout, the main
//! bore, the longest run, the machine's plate and its point of connection there is nothing to tell.

use super::explain;
use super::house::read;
use super::rinse::cleaner_adds;
use super::survey;
use super::view::{Refused, View};
use super::water::{BAND_LEAST, BAND_SHARE};
use wetside_base::facts::Facts;
use wetside_base::vocabulary::Vocabulary;
use wetside_house::{
    AllOpen, Branch, Comparison, FloorHeating, House, Job, Layout, NoNetwork, Plan, Range,
    all_open, branches, compare, convention, floor_loop, plan, weakest_height,
};
use wetside_physics::dump::{Hose, gravity_flow};
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
    let reading = read::house(&view, true, None);
    let (mut house, mut supposed) = (reading.house?, reading.supposed);
    let job = match explain::supposed(facts, vocabulary) {
        Some((then, words)) => {
            supposed.push(words);
            let facts = &then;
            job(&View { facts, vocabulary })
        }
        None => job(&view),
    };
    house.floor = floor(&view, &house);
    let (branches, open) = (branches(&house)?, all_open(&house));
    let floor = house.floor.as_ref();
    Ok(Told {
        layout: house.layout,
        convention: convention::of_layout(house.layout),
        supposed,
        connections: connections(&view)?,
        plan: plan(&house, &branches, open.as_ref().ok(), &job)?,
        branches,
        open,
        floor: floor.map(|floor| floor_loop(&house, floor)).transpose()?,
    })
}

/// The points that the survey lists, compared.
fn connections(view: &View<'_>) -> Result<Option<Comparison>, Refused> {
    let (_, listed) = view.choices(&survey::POINTS_AVAILABLE);
    let (sure, _) = listed.unwrap_or_default();
    let at = |point| read::house(view, true, Some(point)).house;
    let houses: Vec<House> = sure.into_iter().map(at).collect::<Result<_, Refused>>()?;
    let Some(first) = houses.first() else {
        return Ok(None);
    };
    Ok(compare(&houses, weakest_height(first, false))?)
}

fn floor(view: &View<'_>, house: &House) -> Option<FloorHeating> {
    if view.choice(Facts::ROOT, &survey::FLOOR_FITTED).1 != Some(true) {
        return None;
    }
    let known = |path: &str| view.range(view.at(Facts::ROOT, path)).ok();
    Some(FloorHeating {
        loops: known(survey::FLOOR_LOOPS)?,
        length: known(survey::FLOOR_LOOP_LENGTH)?,
        bore: known(survey::FLOOR_BORE)?,
        roughness: house.mains.roughness,
        loss: convention::LOOP_FITTINGS.range,
        valve: convention::LOOP_VALVE.range,
    })
}

fn job(view: &View<'_>) -> Job {
    let known = |path: &str| view.range(view.at(Facts::ROOT, path)).ok();
    let bounded = |figure: &str| {
        let range = view.range(view.figure(figure)).ok();
        range.filter(|range| range.high.is_finite())
    };
    let adds = cleaner_adds(view, Facts::ROOT)
        .range
        .unwrap_or(Range::FROM_NOTHING);
    Job {
        flush_volume: bounded("flush_volume"),
        mains_flow: known(survey::TAP_FLOW),
        hose_flow: dump_hose(view),
        drain_flow: known(survey::DRAIN_TAKES),
        start: known(survey::SYSTEM_TDS).map(|start| start.plus(adds)),
        mains: known(survey::MAINS_TDS),
        band: BAND_SHARE,
        least_band: BAND_LEAST,
        warming: bounded("heat_up_time"),
    }
}

/// What the dump hose passes by gravity alone, in m³/s: half a metre to one storey of fall, its bore as
/// that of the machine's hoses. Nothing where its length is not recorded.
fn dump_hose(view: &View<'_>) -> Option<Range> {
    let length = view
        .range(view.at(Facts::ROOT, survey::DUMP_HOSE_LENGTH))
        .ok()?;
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
