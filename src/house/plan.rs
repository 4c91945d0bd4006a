//! The plan of a flush: the order of the branches, and what each stage takes in time and water.
//!
//! Contract: times of attention are conventions of the trade; times of water come from the house's
//! flows. Doses, the ceiling of temperature and the current are figures of the survey and stand there.
//! A stage whose time cannot be told has none, with the rest still there. The plan begins when
//! the machine is connected and ends when the proof is taken.

use crate::all_open::AllOpen;
use crate::alone::Branch;
use crate::convention;
use crate::emitter::held;
use crate::model::{Emitter, House, Layout, Way};
use crate::range::Range;
use crate::rinse::{Cost, Foul, Return, at_the_end, one_by_one, seen_in_return};
use wetside_physics::OutOfRange;

/// What the plan needs beside the house. Where something is not known it is left out.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Job {
    /// All water going round, machine and hoses included, in m³.
    pub flush_volume: Option<Range>,
    /// What mains, dump hose and drain pass, in m³/s.
    pub mains_flow: Option<Range>,
    pub hose_flow: Option<Range>,
    pub drain_flow: Option<Range>,
    /// Dissolved solids of the system and of the mains, in ppm.
    pub start: Option<Range>,
    pub mains: Option<Range>,
    /// The band within which the water counts as rinsed: a share of the mains, and the least in ppm.
    pub band: f64,
    pub least_band: f64,
    /// Time to warm the water up, in s.
    pub warming: Option<Range>,
}

/// A stage of the flush.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Step {
    /// Plain water, everything open, every joint looked at.
    FirstRound,
    /// The first black water goes to the drain.
    FirstDump,
    Warming,
    AllOpen,
    /// One branch at a time.
    Branches,
    FloorLoops,
    AllOpenAgain,
    Rinse,
    Proof,
}

/// A stage with what it takes: time in s and fresh water in m³.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Stage {
    pub step: Step,
    pub cost: Option<Cost>,
}

/// One branch in its turn.
#[derive(Clone, Debug, PartialEq)]
pub struct Turn {
    pub id: String,
    /// In s.
    pub time: Range,
    /// How often the flow is reversed in that time, at a reversal every one to two minutes.
    pub reversals: Range,
    /// How often its water changes in that time.
    pub changes: Range,
    /// Whether it can be reversed at all is not certain.
    pub one_way: bool,
}

/// What limits the dump in the long run.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Limit {
    Mains,
    Hose,
    Drain,
}

/// The plan.
#[derive(Clone, Debug, PartialEq)]
pub struct Plan {
    pub order: Vec<Turn>,
    pub stages: Vec<Stage>,
    /// Of the stages whose cost is known.
    pub total: Cost,
    /// Average rate of dumping in m³/s, and what sets it.
    pub dump: Option<(Range, Limit)>,
    /// One dilution at the end, and one for each emitter instead.
    pub rinse_at_end: Option<Cost>,
    pub rinse_one_by_one: Option<Cost>,
    pub return_shows: Option<Return>,
}

const NOTHING: Range = Range::point(0.0);

/// The plan of a flush, from each branch alone and, where there is a network, all of them together.
pub fn plan(
    house: &House,
    branches: &[Branch],
    open: Option<&AllOpen>,
    job: &Job,
) -> Result<Plan, OutOfRange> {
    let order = order(&house.emitters);
    let dump = dump(job);
    let contents: Vec<Range> = house.emitters.iter().map(held).collect();
    let foul = foul(job, dump);
    let known = contents.iter().all(|content| content.high.is_finite());
    let (mut at_end, mut each, mut shows) = (None, None, None);
    if let Some(foul) = &foul {
        at_end = Some(at_the_end(foul)?);
        if known && foul.fresh.low > 0.0 && !contents.is_empty() {
            let turns: Vec<Range> = order.iter().map(|at| contents[*at]).collect();
            each = Some(one_by_one(foul, &turns)?);
        }
        if let Some(open) = open {
            shows = seen_in_return(open, &contents, foul)?;
        }
    }
    let order: Vec<Turn> = order
        .into_iter()
        .map(|at| turn(house.layout, &branches[at]))
        .collect();
    let stages = stages(house, job, &order, dump.map(|(rate, _)| rate), at_end);
    Ok(Plan {
        total: total(&stages),
        order,
        stages,
        dump,
        rinse_at_end: at_end,
        rinse_one_by_one: each,
        return_shows: shows,
    })
}

/// The places of the emitters: upper floors first, since dirt falls; what is fed from above last, since
/// its foot is drained afterwards; else by name.
fn order(emitters: &[Emitter]) -> Vec<usize> {
    let mut all: Vec<usize> = (0..emitters.len()).collect();
    all.sort_by(|one, other| {
        let (one, other) = (&emitters[*one], &emitters[*other]);
        let drop = one.drop_feed.cmp(&other.drop_feed);
        let floor = other.floor.high.total_cmp(&one.floor.high);
        drop.then(floor).then_with(|| one.id.cmp(&other.id))
    });
    all
}

fn turn(layout: Layout, branch: &Branch) -> Turn {
    let attention = match layout {
        Layout::Microbore | Layout::OnePipe | Layout::Radial => convention::EACH_SLOW_EMITTER,
        _ => convention::EACH_EMITTER,
    };
    let wanted = convention::CHANGES.range;
    let time = Range::new(
        attention.range.low.max(wanted.low * branch.change.low),
        attention.range.high.max(wanted.high * branch.change.high),
    );
    let every = convention::REVERSAL.range;
    Turn {
        id: branch.id.clone(),
        time,
        reversals: Range::new(
            (time.low / every.high).floor(),
            (time.high / every.low).floor(),
        ),
        changes: Range::new(
            attention.range.low / branch.change.high,
            time.high / branch.change.low,
        ),
        one_way: branch.way != Way::Both,
    }
}

/// The average rate of dumping: what mains, hose and drain all allow. It cannot be told without the
/// mains; the other two only lower it.
fn dump(job: &Job) -> Option<(Range, Limit)> {
    let mut least = (job.mains_flow?, Limit::Mains);
    for (flow, limit) in [(job.hose_flow, Limit::Hose), (job.drain_flow, Limit::Drain)] {
        let Some(flow) = flow else {
            continue;
        };
        let named = if flow.middle() < least.0.middle() {
            limit
        } else {
            least.1
        };
        let both = Range::new(least.0.low.min(flow.low), least.0.high.min(flow.high));
        least = (both, named);
    }
    Some(least)
}

fn foul(job: &Job, dump: Option<(Range, Limit)>) -> Option<Foul> {
    Some(Foul {
        start: job.start?,
        mains: job.mains?,
        band: job.band,
        least_band: job.least_band,
        volume: job.flush_volume?,
        fresh: dump?.0,
    })
}

fn stages(
    house: &House,
    job: &Job,
    order: &[Turn],
    dump: Option<Range>,
    rinse: Option<Cost>,
) -> Vec<Stage> {
    let dry = |time: Range| {
        Some(Cost {
            time,
            water: NOTHING,
        })
    };
    let first_dump = job.flush_volume.zip(dump).map(|(volume, rate)| Cost {
        time: Range::new(volume.low / rate.high, volume.high / rate.low),
        water: volume,
    });
    let branches = order.iter().map(|turn| turn.time);
    let loops = house.floor.as_ref().map(|floor| floor.loops);
    let steps = [
        (Step::FirstRound, dry(convention::FIRST_ROUND.range)),
        (Step::FirstDump, first_dump),
        (Step::Warming, job.warming.and_then(dry)),
        (Step::AllOpen, dry(convention::ALL_OPEN.range)),
        (Step::Branches, dry(branches.fold(NOTHING, Range::plus))),
        (
            Step::FloorLoops,
            loops.and_then(|loops| dry(loops.product(convention::EACH_LOOP.range))),
        ),
        (Step::AllOpenAgain, dry(convention::ALL_OPEN.range)),
        (Step::Rinse, rinse),
        (Step::Proof, dry(convention::PROOF.range)),
    ];
    let steps = steps.into_iter();
    let taken = steps.filter(|(step, _)| *step != Step::FloorLoops || loops.is_some());
    taken.map(|(step, cost)| Stage { step, cost }).collect()
}

fn total(stages: &[Stage]) -> Cost {
    let known = stages.iter().filter_map(|stage| stage.cost.as_ref());
    let nothing = Cost {
        time: NOTHING,
        water: NOTHING,
    };
    known.fold(nothing, |all, one| Cost {
        time: all.time.plus(one.time),
        water: all.water.plus(one.water),
    })
}
