//! What is worked out of a house only when it is asked for: everything open, points compared, the plan.
//!
//! Contract: data for people. What a survey leaves open is supposed as usual where a convention has
//! it, and each supposition is named; no rule ever sees a supposition. Without the layout, the main
//! bore, the longest run, the machine's plate and its point of connection there is nothing to tell.

use super::advice::{self, Advice};
use super::day::{self, RINSE, Stage, TURNS};
use super::emitters;
use super::explain;
use super::house::read;
use super::likely::named;
use super::log;
use super::rinse::cleaner_adds;
use super::survey;
use super::tank::LEAST_OVER_PUMP;
use super::view::{Refused, View};
use super::water::{BAND_LEAST, BAND_SHARE};
use wetside_base::facts::{Content, FactId, Facts, Why};
use wetside_base::vocabulary::{Shape, Type, Vocabulary};
use wetside_house::{
    AllOpen, Branch, Comparison, FloorHeating, House, IndexRun, Job, Layout, LikelyBranch,
    LikelyHouse, NoNetwork, Plan, Range, all_open, branches, compare, convention, floor_loop,
    index_run, likely, likely_sum, plan, turn_time, weakest_height,
};
use wetside_physics::dump::{Hose, gravity_flow};
use wetside_physics::fit::Reading;
use wetside_physics::water;

/// Everything that can be told of a house.
#[derive(Clone, Debug)]
pub struct Told {
    pub house: House,
    /// How the mains are taken to run.
    pub convention: &'static str,
    /// What was supposed that the survey does not say, in words.
    pub supposed: Vec<String>,
    /// Each branch alone, in the order of the survey.
    pub branches: Vec<Branch>,
    /// Everything open, or why there is no telling.
    pub open: Result<AllOpen, NoNetwork>,
    /// What is likely of both, where no fact behind it is open.
    pub likely: Likely,
    /// Where the head goes on the way through the slowest branch, where one is.
    pub index_run: Option<IndexRun>,
    /// What would narrow the figures most.
    pub advice: Vec<Advice>,
    /// The points at which the machine may be connected, where the survey lists them.
    pub connections: Option<Comparison>,
    pub plan: Plan,
    /// The day from door to door.
    pub day: Vec<Stage>,
    /// Emitters that are counted and not named, and how long they take together in s.
    pub unnamed: (Range, Range),
    /// The readings of the rinse in the log, where they can be used, and when the first of them was taken, in s.
    pub readings: (f64, Vec<Reading>),
    pub tank: Option<Dump>,
    /// What nothing but gravity drives through the dump hose, in m³/s.
    pub hose: Option<Range>,
    /// The longest loop of a floor alone: its flow in m³/s and its speed in m/s.
    pub floor: Option<(Range, Range)>,
}

/// What is likely of the branches, in the order of the survey, and what keeps others from having it.
#[derive(Clone, Debug, Default)]
pub struct Likely {
    pub house: LikelyHouse,
    pub waits: Vec<String>,
    /// Time and changes of its water of each turn, in the order of the plan.
    pub turns: Vec<Option<(Range, Range)>>,
    /// Of the whole day, from door to door: time in s and fresh water in m³.
    pub time: Option<wetside_house::Likely>,
    pub water: Option<wetside_house::Likely>,
}

impl Likely {
    /// The turns and the day, by what is likely of each branch.
    fn of_day(
        &mut self,
        view: &View<'_>,
        house: &House,
        plan: &Plan,
        unnamed: Range,
        day: &[Stage],
    ) {
        let turn = |turn: &wetside_house::Turn| {
            let at = house.emitters.iter().position(|one| one.id == turn.id)?;
            let change = self.house.branches.get(at)?.change?.range;
            let time = turn_time(Some(house.layout), change);
            let changes = Range::new(time.low / change.high, time.high / change.low);
            Some((time, changes))
        };
        self.turns = plan.order.iter().map(turn).collect();
        let turns = self.turns.iter().zip(&plan.order);
        let turns = turns.map(|(likely, turn)| likely.map_or(turn.time, |(time, _)| time));
        let turns = turns.fold(unnamed, Range::plus);
        let times = day.iter().map(|stage| match stage.says {
            TURNS => (turns, None),
            RINSE => (stage.time, named(view, "rinse_time")),
            _ => (stage.time, None),
        });
        self.time = likely_sum(&times.collect::<Vec<_>>());
        let waters = day.iter().map(|stage| match stage.says {
            RINSE => (stage.water, named(view, "rinse_water")),
            _ => (stage.water, None),
        });
        self.water = likely_sum(&waters.collect::<Vec<_>>());
    }
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
    let (mut house, mut supposed) = (reading.house.clone()?, reading.supposed.clone());
    let then = explain::supposed(facts, vocabulary);
    let of_job = then.as_ref().map_or(view, |(facts, words)| {
        supposed.push(words.clone());
        view.of(facts)
    });
    house.floor = floor(&view, &house);
    let (branches, open) = (branches(&house)?, all_open(&house));
    let floor = house.floor.as_ref();
    let plan = plan(&house, &branches, open.as_ref().ok(), &job(&of_job))?;
    let unnamed = day::unnamed(&view, Some(house.layout), house.emitters.len());
    let turns = plan.order.iter().map(|turn| turn.time);
    let turns = turns.fold(unnamed.1, Range::plus);
    let day = day::stages(&of_job, Some(turns));
    let mut likely = likely_of(&view, &reading, &house, &branches, open.as_ref().ok());
    likely.of_day(&of_job, &house, &plan, unnamed.1, &day);
    Ok(Told {
        convention: convention::of_layout(house.layout),
        supposed,
        connections: connections(&view)?,
        day,
        plan,
        unnamed,
        readings: log::readings(&view),
        tank: tank(&view),
        hose: dump_hose(&view),
        index_run: index_run_of(&house, &branches, &likely.house)?,
        advice: advice::advice(&of_job, &reading, &house, &branches),
        likely,
        branches,
        open,
        floor: floor.map(|floor| floor_loop(&house, floor)).transpose()?,
        house,
    })
}

/// The run of the branch that is likely the slowest, by the middle of its range where nothing is likely.
fn index_run_of(
    house: &House,
    branches: &[Branch],
    likely: &LikelyHouse,
) -> Result<Option<IndexRun>, Refused> {
    let speed = |at: usize| {
        let found = likely.branches.get(at).and_then(|branch| branch.speed);
        found.map_or(branches[at].speed.middle(), |speed| speed.value)
    };
    let slowest = (0..branches.len()).min_by(|one, other| speed(*one).total_cmp(&speed(*other)));
    let slowest = slowest.filter(|_| house.layout != Layout::Mixed);
    Ok(slowest.map(|at| index_run(house, at)).transpose()?)
}

/// What is likely of a house. Where a fact is open there is no telling what is: the branch that it stands
/// behind has nothing likely then, and with everything open none has.
fn likely_of(
    view: &View<'_>,
    reading: &read::Reading,
    house: &House,
    branches: &[Branch],
    open: Option<&AllOpen>,
) -> Likely {
    let facts = view.facts;
    let list = view.at(Facts::ROOT, survey::EMITTERS);
    // What is a choice stands in the house as open or shut, and `likely` asks it there; but for the valves, of
    // which a kind that nobody knows is a wide range.
    let choice = |id: FactId| {
        let shape = &view.vocabulary.field(facts.fact(id).field).shape;
        matches!(shape, Shape::Fact(Type::Choice(_)))
    };
    let not_known = |all: &[FactId], asked: &dyn Fn(FactId) -> bool| {
        let asked = all.iter().copied().filter(|id| asked(*id));
        let mut open = asked.filter(|id| match &facts.fact(*id).content {
            Content::Open(why) => !matches!(why, Why::NotWorkedOut(..)),
            // Emitters that nobody listed take nothing from a branch that is alone.
            Content::List { .. } => *id != list && emitters::elements(view, *id).1,
            _ => false,
        });
        open.next().map(|id| view.open(id).0)
    };
    let mixed = view.at(Facts::ROOT, survey::ANTIFREEZE.path);
    let nothing = |why| Likely {
        waits: vec![why],
        ..Likely::default()
    };
    if let Some(why) = not_known(&reading.common, &|id| !choice(id) || id == mixed) {
        return nothing(why);
    }
    let own = reading.own.iter();
    let waits: Vec<Option<String>> = own.map(|own| not_known(own, &|_| true)).collect();
    let open = open.filter(|_| waits.iter().all(Option::is_none));
    let mut house = match likely(house, branches, open) {
        Ok(house) => house,
        Err(why) => return nothing(why),
    };
    for (branch, why) in house.branches.iter_mut().zip(&waits) {
        if why.is_some() {
            *branch = LikelyBranch::default();
        }
    }
    let waits = waits.into_iter().flatten().collect();
    Likely {
        house,
        waits,
        ..Likely::default()
    }
}

fn tank(view: &View<'_>) -> Option<Dump> {
    let (tank, free) = (view.known(survey::TANK)?, view.known(survey::FREEBOARD)?);
    let (dumped, made_up) = (
        view.known(survey::DUMP_FLOW)?,
        view.known(survey::TAP_FLOW)?,
    );
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
    Some(FloorHeating {
        loops: view.known(survey::FLOOR_LOOPS)?,
        length: view.known(survey::FLOOR_LOOP_LENGTH)?,
        bore: view.known(survey::FLOOR_BORE)?,
        roughness: house.mains.roughness,
        loss: convention::LOOP_FITTINGS.range,
        valve: convention::LOOP_VALVE.range,
    })
}

fn job(view: &View<'_>) -> Job {
    let adds = cleaner_adds(view, Facts::ROOT).range;
    let adds = adds.unwrap_or(Range::FROM_NOTHING);
    let flush_volume = view.range(view.figure("flush_volume")).ok();
    let interval = view.known(survey::REVERSAL_INTERVAL);
    let emitters = view.facts.elements(view.at(Facts::ROOT, survey::EMITTERS));
    Job {
        flush_volume: flush_volume.filter(|range| range.high.is_finite()),
        mains_flow: view.known(survey::TAP_FLOW),
        drain_flow: view.known(survey::DRAIN_TAKES),
        start: view.known(survey::SYSTEM_TDS).map(|start| start.plus(adds)),
        mains: view.known(survey::MAINS_TDS),
        band: BAND_SHARE,
        least_band: BAND_LEAST,
        interval: interval.filter(|every| every.low > 0.0),
        cold_feet: emitters.map(|one| cold_foot(view, one)).collect(),
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
    let length = view.known(survey::DUMP_HOSE_LENGTH)?;
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
