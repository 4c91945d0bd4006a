//! The turns of a flush: the order of the branches, what each takes, whether its route works at all, and
//! the rinse.
//!
//! Contract: times of attention are conventions of the trade; times of water come from the house's flows.
//! A route that does not change its branch's water often enough within the longest turn does not work:
//! its turn is no longer for that, and what would make it work is worked out. What the whole day takes is
//! a figure of the survey and stands there; so do doses, the ceiling of temperature and the current.

use crate::alone::{Branch, branch};
use crate::convention;
use crate::emitter::held;
use crate::model::{House, Layout, Way};
use crate::opened::AllOpen;
use crate::range::Range;
use crate::rinse::{Cost, Foul, Moment, Return, at_the_end, course, one_by_one, seen_in_return};
use wetside_physics::OutOfRange;
use wetside_units::truth::Truth;

/// What the plan needs beside the house. Where something is not known it is left out.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Job {
    /// All water going round, machine and hoses included, in m³.
    pub flush_volume: Option<Range>,
    /// What mains and drain pass, in m³/s.
    pub mains_flow: Option<Range>,
    pub drain_flow: Option<Range>,
    /// Dissolved solids of the system and of the mains, in ppm.
    pub start: Option<Range>,
    pub mains: Option<Range>,
    /// The band within which the water counts as rinsed: a share of the mains, and the least in ppm.
    pub band: f64,
    pub least_band: f64,
    /// Time between two reversals in s, where it is recorded.
    pub interval: Option<Range>,
    /// How much colder the foot of each emitter is than its top, in K, in the order of the house.
    pub cold_feet: Vec<Option<Range>>,
}

/// One branch in its turn.
#[derive(Clone, Debug, PartialEq)]
pub struct Turn {
    pub id: String,
    /// Why it stands where it does among those of its floor.
    pub why: Why,
    /// In s.
    pub time: Range,
    /// What goes through it, in m³/s.
    pub flow: Range,
    /// How often the flow is reversed in that time.
    pub reversals: Range,
    /// How often its water changes in that time.
    pub changes: Range,
    /// Whether it can be reversed at all is not certain.
    pub one_way: bool,
    /// Whether its water changes often enough within the longest turn.
    pub works: Truth,
    /// Where it may not, what to do, and the flow that it has then, in m³/s.
    pub helps: Option<(Vec<Help>, Range)>,
}

/// Why a branch stands where it does in the order.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Why {
    /// It is fed from above, so its foot is drained afterwards.
    DropFeed,
    /// Its foot is so much colder than its top, in K: it holds the most dirt.
    ColdFoot(Range),
    /// Its tails are the longest that are left.
    Far,
    /// Nothing sets it apart but its name.
    Name,
}

/// What makes a route work.
#[derive(Clone, Debug, PartialEq)]
pub enum Help {
    /// Shut these ways round it.
    Shut(Vec<String>),
    /// Block the main under it.
    Block,
    /// Take it off and flush it by itself.
    TakeOff,
}

/// What limits the dump in the long run.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Limit {
    Mains,
    Drain,
}

/// The plan.
#[derive(Clone, Debug, PartialEq)]
pub struct Plan {
    pub order: Vec<Turn>,
    /// Time between two reversals in s.
    pub interval: Range,
    /// Average rate of dumping in m³/s, and what sets it.
    pub dump: Option<(Range, Limit)>,
    /// One dilution at the end, and one for each emitter instead.
    pub rinse_at_end: Option<Cost>,
    pub rinse_one_by_one: Option<Cost>,
    pub return_shows: Option<Return>,
    /// The course of the rinse at the middle of the ranges, and what counts as rinsed then; nothing where
    /// it cannot be told.
    pub course: Vec<Moment>,
    pub clean: Option<Range>,
}

/// The plan of a flush, from each branch alone and, where there is a network, all of them together.
pub fn plan(
    house: &House,
    branches: &[Branch],
    open: Option<&AllOpen>,
    job: &Job,
) -> Result<Plan, OutOfRange> {
    let order = order(house, job);
    let dump = dump(job);
    let contents: Vec<Range> = house.emitters.iter().map(held).collect();
    let foul = foul(job, dump);
    let known = contents.iter().all(|content| content.high.is_finite());
    let (mut at_end, mut each, mut shows) = (None, None, None);
    let mut rinsed = Vec::new();
    if let Some(foul) = &foul {
        at_end = Some(at_the_end(foul)?);
        if known && foul.fresh.low > 0.0 && !contents.is_empty() {
            let turns: Vec<Range> = order.iter().map(|(at, _)| contents[*at]).collect();
            each = Some(one_by_one(foul, &turns)?);
        }
        if let Some(open) = open {
            shows = seen_in_return(open, &contents, foul)?;
        }
        let until = at_end.map_or(0.0, |cost| cost.time.high);
        if until.is_finite() && until > 0.0 {
            rinsed = course(open, &contents, foul, until);
        }
    }
    let interval = job.interval.unwrap_or(convention::REVERSAL.range);
    let turns = order
        .into_iter()
        .map(|(at, why)| turn(house, at, &branches[at], why, interval));
    Ok(Plan {
        order: turns.collect::<Result<_, OutOfRange>>()?,
        interval,
        dump,
        rinse_at_end: at_end,
        rinse_one_by_one: each,
        return_shows: shows,
        course: rinsed,
        clean: foul.map(|foul| foul.clean()),
    })
}

/// How much colder the foot of an emitter is of which nobody took the temperatures, in K: as it is
/// between flow and return of one that runs well.
///
/// Source: common practice, no source.
const USUAL_FOOT: f64 = 10.0;

/// The places of the emitters with the reasons: upper floors first, since dirt falls; what is fed from
/// above last; on a floor the dirtiest, then the farthest; else by name.
fn order(house: &House, job: &Job) -> Vec<(usize, Why)> {
    let emitters = &house.emitters;
    let foot = |at: usize| job.cold_feet.get(at).copied().flatten();
    let cold = |at: usize| foot(at).map_or(USUAL_FOOT, |foot| foot.middle());
    let tails = |at: usize| emitters[at].tails.length.middle();
    let mut all: Vec<usize> = (0..emitters.len()).collect();
    all.sort_by(|a, b| {
        let (one, other) = (&emitters[*a], &emitters[*b]);
        let drop = one.drop_feed.cmp(&other.drop_feed);
        let floor = other.floor.high.total_cmp(&one.floor.high);
        let dirt = cold(*b).total_cmp(&cold(*a));
        let far = tails(*b).total_cmp(&tails(*a));
        let by_name = one.id.cmp(&other.id);
        drop.then(floor).then(dirt).then(far).then(by_name)
    });
    let nearer = |at: usize| {
        let floor = emitters[at].floor;
        let mut others = (0..emitters.len()).filter(|other| emitters[*other].floor == floor);
        others.any(|other| tails(other) < tails(at))
    };
    let why = |at: usize| match foot(at) {
        _ if emitters[at].drop_feed => Why::DropFeed,
        Some(foot) if foot.middle() > USUAL_FOOT => Why::ColdFoot(foot),
        _ if nearer(at) => Why::Far,
        _ => Why::Name,
    };
    all.into_iter().map(|at| (at, why(at))).collect()
}

/// How long an emitter's turn may be, in s, by the layout and the time for one change of its water.
pub fn turn_time(layout: Option<Layout>, change: Range) -> Range {
    let slow = convention::EACH_SLOW_EMITTER.range;
    let attention = match layout {
        Some(Layout::Microbore | Layout::OnePipe | Layout::Radial) => slow,
        Some(Layout::TwoPipe | Layout::Underfloor) => convention::EACH_EMITTER.range,
        Some(Layout::Mixed) | None => convention::EACH_EMITTER.range.hull(slow),
    };
    let (wanted, longest) = (wanted(change), convention::LONGEST_TURN.range.high);
    Range::new(
        attention.low.max(wanted.low.min(longest)),
        attention.high.max(wanted.high.min(longest)),
    )
}

/// Time in s for as many changes as a branch is given at least.
fn wanted(change: Range) -> Range {
    change.product(convention::CHANGES.range)
}

/// Whether a branch's water changes often enough within the longest turn.
fn works(change: Range) -> Truth {
    let (wanted, longest) = (wanted(change), convention::LONGEST_TURN.range);
    if wanted.high <= longest.low {
        Truth::Yes
    } else if wanted.low > longest.high {
        Truth::No
    } else {
        Truth::Undecided
    }
}

fn turn(
    house: &House,
    at: usize,
    branch: &Branch,
    why: Why,
    interval: Range,
) -> Result<Turn, OutOfRange> {
    let time = turn_time(Some(house.layout), branch.change);
    let works = works(branch.change);
    Ok(Turn {
        id: branch.id.clone(),
        why,
        time,
        flow: branch.flow,
        reversals: Range::new(
            (time.low / interval.high).floor(),
            (time.high / interval.low).floor(),
        ),
        changes: Range::new(time.low / branch.change.high, time.high / branch.change.low),
        one_way: branch.way != Way::Both,
        helps: match works {
            Truth::Yes => None,
            _ => Some(help(house, at, branch)?),
        },
        works,
    })
}

/// What a remedy must gain in flow to be worth naming.
const GAIN: f64 = 1.1;

/// What makes a route work, and the flow that it has then: shutting what passes it by, blocking the main
/// under it, and if neither is enough taking it off.
fn help(house: &House, at: usize, now: &Branch) -> Result<(Vec<Help>, Range), OutOfRange> {
    let mut better = house.clone();
    let (mut done, mut flow) = (Vec::new(), now.flow);
    let around = better.shorts.drain(..).map(|short| short.id).collect();
    let on_loop = matches!(house.layout, Layout::OnePipe | Layout::Mixed);
    for help in [Help::Shut(around), Help::Block] {
        match &help {
            Help::Shut(around) if around.is_empty() => continue,
            Help::Block if !on_loop || house.mains.piece == Truth::Yes => continue,
            Help::Block => better.mains.piece = Truth::Yes,
            Help::Shut(_) | Help::TakeOff => {}
        }
        let then = branch(&better, at)?;
        if then.flow.middle() > GAIN * flow.middle() {
            flow = then.flow;
            done.push(help);
        }
        if works(then.change) == Truth::Yes {
            return Ok((done, flow));
        }
    }
    done.push(Help::TakeOff);
    Ok((done, flow))
}

/// The average rate of dumping: what mains and drain both allow. It cannot be told without the mains;
/// the drain only lowers it.
fn dump(job: &Job) -> Option<(Range, Limit)> {
    let mains = job.mains_flow?;
    let Some(drain) = job.drain_flow else {
        return Some((mains, Limit::Mains));
    };
    let limit = if drain.middle() < mains.middle() {
        Limit::Drain
    } else {
        Limit::Mains
    };
    let both = Range::new(mains.low.min(drain.low), mains.high.min(drain.high));
    Some((both, limit))
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
