//! What is worked out of a house only when it is asked for: everything open, points compared, the plan.
//!
//! Contract: data for people. What a survey leaves open is supposed as usual where a convention has
//! it, and each supposition is named; no rule ever sees a supposition. Without the layout, the main
//! bore, the longest run, the machine's plate and its point of connection there is nothing to tell.

use super::day::{self, Stage};
use super::explain;
use super::house::read;
use super::log;
use super::rinse::cleaner_adds;
use super::survey;
use super::tank::LEAST_OVER_PUMP;
use super::view::{Refused, View};
use super::water::{BAND_LEAST, BAND_SHARE};
use wetside_base::facts::{FactId, Facts};
use wetside_base::vocabulary::Vocabulary;
use wetside_house::{
    AllOpen, Branch, Comparison, FloorHeating, House, Job, Layout, Machine, NoNetwork, Plan, Range,
    all_open, branches, compare, convention, floor_loop, plan, weakest_height,
};
use wetside_physics::dump::{Hose, gravity_flow};
use wetside_physics::fit::Reading;
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
    /// The day from door to door.
    pub day: Vec<Stage>,
    /// Emitters that are counted and not named, and how long they take together in s.
    pub unnamed: (Range, Range),
    pub machine: Machine,
    /// The readings of the rinse in the log, where they can be used, and when the first of them was taken, in s.
    pub readings: (f64, Vec<Reading>),
    pub tank: Option<Dump>,
    /// What nothing but gravity drives through the dump hose, in m³/s.
    pub hose: Option<Range>,
    /// The longest loop of a floor alone: its flow in m³/s and its speed in m/s.
    pub floor: Option<(Range, Range)>,
}

/// The machine's tank while it dumps.
#[derive(Clone, Copy, Debug)]
pub struct Dump {
    /// Water at the working level, and the least over the pump's inlet, in m³.
    pub full: Range,
    pub least: f64,
    /// How fast it falls, in m³/s.
    pub falls: Range,
}

/// Tells everything, or why nothing can be told.
pub fn tell(facts: &Facts, vocabulary: &Vocabulary) -> Result<Told, Refused> {
    let view = View { facts, vocabulary };
    let reading = read::house(&view, true, None);
    let (mut house, mut supposed) = (reading.house?, reading.supposed);
    let then = explain::supposed(facts, vocabulary);
    let of_job = then.as_ref().map_or(view, |(facts, words)| {
        supposed.push(words.clone());
        View { facts, vocabulary }
    });
    house.floor = floor(&view, &house);
    let (branches, open) = (branches(&house)?, all_open(&house));
    let floor = house.floor.as_ref();
    let plan = plan(&house, &branches, open.as_ref().ok(), &job(&of_job))?;
    let unnamed = day::unnamed(&view, Some(house.layout), house.emitters.len());
    let turns = plan.order.iter().map(|turn| turn.time);
    let turns = turns.fold(unnamed.1, Range::plus);
    Ok(Told {
        layout: house.layout,
        convention: convention::of_layout(house.layout),
        supposed,
        connections: connections(&view)?,
        day: day::stages(&of_job, Some(turns)),
        plan,
        unnamed,
        machine: house.machine,
        readings: log::readings(&view),
        tank: tank(&view),
        hose: dump_hose(&view),
        branches,
        open,
        floor: floor.map(|floor| floor_loop(&house, floor)).transpose()?,
    })
}

fn tank(view: &View<'_>) -> Option<Dump> {
    let known = |path: &str| view.range(view.at(Facts::ROOT, path)).ok();
    let (tank, free) = (known(survey::TANK)?, known(survey::FREEBOARD)?);
    let (dumped, made_up) = (known(survey::DUMP_FLOW)?, known(survey::TAP_FLOW)?);
    let falls = Range::new(dumped.low - made_up.high, dumped.high - made_up.low);
    let full = Range::new(tank.low - free.high, tank.high - free.low);
    (falls.low > 0.0 && full.low > LEAST_OVER_PUMP).then_some(Dump {
        full,
        least: LEAST_OVER_PUMP,
        falls,
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
    let adds = cleaner_adds(view, Facts::ROOT)
        .range
        .unwrap_or(Range::FROM_NOTHING);
    let flush_volume = view.range(view.figure("flush_volume")).ok();
    let list = view.at(Facts::ROOT, survey::EMITTERS);
    Job {
        flush_volume: flush_volume.filter(|range| range.high.is_finite()),
        mains_flow: known(survey::TAP_FLOW),
        drain_flow: known(survey::DRAIN_TAKES),
        start: known(survey::SYSTEM_TDS).map(|start| start.plus(adds)),
        mains: known(survey::MAINS_TDS),
        band: BAND_SHARE,
        least_band: BAND_LEAST,
        interval: known(survey::REVERSAL_INTERVAL).filter(|every| every.low > 0.0),
        cold_feet: view
            .facts
            .elements(list)
            .map(|one| cold_foot(view, one))
            .collect(),
    }
}

/// How much colder the foot of an emitter is than its top, in K.
fn cold_foot(view: &View<'_>, emitter: FactId) -> Option<Range> {
    let at = |path: &str| view.range(view.at(emitter, path)).ok();
    let (top, foot) = (at(survey::TOP_BEFORE)?, at(survey::FOOT_BEFORE)?);
    Some(Range::new(top.low - foot.high, top.high - foot.low))
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
