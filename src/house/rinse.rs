//! Rinsing: one dilution at the end against one for each emitter, and whether the return tells.
//!
//! Contract: concentrations are in any one unit. Times rise with volumes and with how foul the water
//! was, and fall with the fresh flow. What an emitter holds is part of all the water, so how much one
//! emitter after another takes neither rises nor falls with it; its range lies between bounds that hold
//! for every house. Whether the return reads clean before the system is depends on how unequal the
//! branches are; it is worked out for branches at the middle of their ranges, and again with each at the
//! end that makes them most unequal.

use crate::opened::AllOpen;
use crate::range::Range;
use wetside_physics::OutOfRange;
use wetside_physics::dilution::{Branch, Branched, times_within, volumes_needed};

/// What rinsing starts from.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Foul {
    /// Dissolved solids of the water going round, and of the mains.
    pub start: Range,
    pub mains: Range,
    /// Share of the mains' reading within which the water counts as rinsed, and the least band.
    pub band: f64,
    pub least_band: f64,
    /// All water going round, machine and hoses included, in m³.
    pub volume: Range,
    /// Fresh water in m³/s, which is what is dumped on average.
    pub fresh: Range,
}

/// Time in s and fresh water in m³.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Cost {
    pub time: Range,
    pub water: Range,
}

/// What the return shows with everything open, in s from the start of the rinse.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Return {
    /// When the return reads within the band.
    pub reads_clean: Range,
    /// When the average of all water is within it.
    pub is_clean: Range,
    /// How much earlier the return reads clean, at the middle of the ranges and at the most unequal.
    pub early: Range,
}

impl Foul {
    fn band(&self, mains: f64) -> f64 {
        (self.band * mains).max(self.least_band)
    }

    /// What counts as rinsed, at the middle of the mains.
    pub(crate) fn clean(&self) -> Range {
        let mains = self.mains.middle();
        let band = self.band(mains);
        Range::new((mains - band).max(0.0), mains + band)
    }

    fn volumes(&self) -> Result<Range, OutOfRange> {
        volumes_of(self.start, self.mains, |mains| self.band(mains))
    }
}

/// How many times its own volume of fresh water brings mixed water to within a band of the mains: it is
/// greatest at a corner, and nothing where water and mains may read alike.
pub fn volumes_of(
    start: Range,
    mains: Range,
    band: impl Fn(f64) -> f64,
) -> Result<Range, OutOfRange> {
    let at = |start, mains| volumes_needed(start, mains, band(mains)).map(Range::point);
    let low = at(start.low, mains.low)?.hull(at(start.low, mains.high)?);
    let high = at(start.high, mains.low)?.hull(at(start.high, mains.high)?);
    let mut all = low.hull(high);
    if start.low <= mains.high && mains.low <= start.high {
        all.low = 0.0;
    }
    Ok(all)
}

/// Everything at once at the end, by the equation of a mixed tank.
pub fn at_the_end(foul: &Foul) -> Result<Cost, OutOfRange> {
    Ok(cost(foul, foul.volumes()?.product(foul.volume)))
}

/// Each emitter in turn, in the order given, mixing with everything rinsed before. `contents` are
/// those of emitters with their tails, in m³.
///
/// The first is rinsed with all the rest of the water as foul as itself; each after it is opened to a
/// rest that is clean.
pub fn one_by_one(foul: &Foul, contents: &[Range]) -> Result<Cost, OutOfRange> {
    let volumes = foul.volumes()?;
    Ok(cost(
        foul,
        Range::new(
            least_water(foul.volume.low, contents, volumes.low),
            most_water(foul.volume.high, contents, volumes.high),
        ),
    ))
}

/// Tank, hoses and mains hold this share of all water at least, whatever contents are claimed.
const LEAST_COMMON: f64 = 0.05;

/// Fresh water that an emitter takes which is opened to a clean rest, in m³.
///
/// `w = (K + c) ln((K + r c)/(K + c))`: `K` the rest and `c` its content in m³, `r` how many bands its
/// water is away from the mains. It rises with all three, and less and less with `K` and `c` together.
fn opened(rest: f64, content: f64, bands: f64) -> f64 {
    let all = rest + content;
    if all > 0.0 {
        all * ((rest + bands * content) / all).ln()
    } else {
        0.0
    }
}

/// How much more [`opened`] takes for each m³ of rest, and of content.
fn slopes(rest: f64, content: f64, bands: f64) -> (f64, f64) {
    let (all, mixed) = (rest + content, rest + bands * content);
    let log = (mixed / all).ln();
    (log + all / mixed - 1.0, log + bands * all / mixed - 1.0)
}

/// Places between the ends of a range at which its bounds are looked for.
const STEPS: u32 = 64;

/// No more fresh water than this is needed, in m³.
///
/// What all take together bends downwards, so from any one house it rises no more than its slopes there
/// lead: of several houses along the ranges the one that says least is taken. Where the emitters are
/// claimed to hold nearly all the water, it rises with all that they hold.
fn most_water(volume: f64, contents: &[Range], volumes: f64) -> f64 {
    let least = LEAST_COMMON * volume;
    let along = (0..=STEPS).filter_map(|step| {
        let share = f64::from(step) / f64::from(STEPS);
        let at = |content: &Range| content.low + share * (content.high - content.low);
        let held: Vec<f64> = contents.iter().map(at).collect();
        let rest = volume - held.iter().sum::<f64>();
        (rest >= least).then(|| by_slopes(rest, &held, contents, volumes))
    });
    let claimed: Vec<f64> = contents.iter().map(|content| content.high).collect();
    let crowded = water_of(least, &claimed, volumes);
    let most = along.fold(f64::INFINITY, f64::min);
    if most.is_finite() {
        most.max(crowded)
    } else {
        crowded
    }
}

/// Fresh water for the first emitter with the rest, and for each after it, in m³.
fn water_of(rest: f64, held: &[f64], volumes: f64) -> f64 {
    let bands = volumes.exp();
    let first = rest + held.first().copied().unwrap_or(0.0);
    let others = held.iter().skip(1);
    first * volumes
        + others
            .map(|content| opened(rest, *content, bands))
            .sum::<f64>()
}

/// The most that the slopes at one house lead to within the ranges of the contents.
fn by_slopes(rest: f64, held: &[f64], contents: &[Range], volumes: f64) -> f64 {
    let bands = volumes.exp();
    let others = held.iter().skip(1);
    let slopes: Vec<(f64, f64)> = others
        .map(|content| slopes(rest, *content, bands))
        .collect();
    let by_rest = volumes + slopes.iter().map(|(by_rest, _)| by_rest).sum::<f64>();
    let by_content = std::iter::once(volumes).chain(slopes.iter().map(|(_, by)| *by));
    let ahead = contents.iter().zip(held).zip(by_content);
    // More in one emitter is less in the rest.
    let gains = ahead.map(|((content, at), by)| {
        let slope = by - by_rest;
        (slope * (content.high - at)).max(slope * (content.low - at))
    });
    water_of(rest, held, volumes) + gains.sum::<f64>()
}

/// No less fresh water than this is needed, in m³: over narrow steps of the rest, what every content
/// takes at its least, and what is not in the rest where it takes least.
fn least_water(volume: f64, contents: &[Range], volumes: f64) -> f64 {
    let bands = volumes.exp();
    let sum = |end: fn(&Range) -> f64| contents.iter().map(end).sum::<f64>();
    let least = LEAST_COMMON * volume;
    let low = (volume - sum(|content| content.high)).max(least);
    let high = (volume - sum(|content| content.low)).max(least);
    let rest = |step: u32| low + (high - low) * f64::from(step) / f64::from(STEPS);
    let water = |step: u32| {
        let (rest, next) = (rest(step), rest(step + 1));
        let spare = (volume - next - sum(|content| content.low)).max(0.0);
        let mut water = rest * volumes;
        // Between its ends a content takes no less than on the line between what it takes there.
        let mut lines: Vec<(f64, f64)> = Vec::with_capacity(contents.len());
        for (at, content) in contents.iter().enumerate() {
            let takes = |content: f64| match at {
                0 => content * volumes,
                _ => opened(rest, content, bands),
            };
            water += takes(content.low);
            let width = content.high - content.low;
            if width > 0.0 {
                lines.push(((takes(content.high) - takes(content.low)) / width, width));
            }
        }
        lines.sort_by(|(one, _), (other, _)| one.total_cmp(other));
        let mut left = spare;
        for (slope, width) in lines {
            water += slope * left.min(width);
            left -= left.min(width);
        }
        water
    };
    (0..STEPS).map(water).fold(f64::INFINITY, f64::min)
}

/// Time is that of the fresh flow; the water does not depend on that flow.
fn cost(foul: &Foul, water: Range) -> Cost {
    let time = |water: f64, fresh: f64| if water == 0.0 { 0.0 } else { water / fresh };
    Cost {
        time: Range::new(
            time(water.low, foul.fresh.high),
            time(water.high, foul.fresh.low),
        ),
        water,
    }
}

/// What the return shows while everything is open. Nothing without a fresh flow, or where a content
/// is not known.
pub(crate) fn seen_in_return(
    open: &AllOpen,
    contents: &[Range],
    foul: &Foul,
) -> Result<Option<Return>, OutOfRange> {
    let flows = open.branches.iter().map(|share| share.flow);
    let shares: Vec<(Range, Range)> = flows.zip(contents.iter().copied()).collect();
    let known = shares.iter().all(|(_, content)| content.high.is_finite());
    if foul.fresh.low <= 0.0 || !known || shares.is_empty() {
        return Ok(None);
    }
    let middle: Vec<Branch> = shares
        .iter()
        .map(|(flow, content)| Branch {
            flow: flow.middle(),
            volume: content.middle(),
        })
        .collect();
    let mut unequal = middle.clone();
    if let Some(slowest) = slowest(&shares) {
        for (at, branch) in unequal.iter_mut().enumerate() {
            let (flow, content) = shares[at];
            let starved = at == slowest;
            branch.flow = if starved { flow.low } else { flow.high };
            branch.volume = if starved { content.high } else { content.low };
        }
    }
    let (one, other) = (times(foul, middle)?, times(foul, unequal)?);
    let both = |one: f64, other: f64| Range::point(one).hull(Range::point(other));
    Ok(one
        .zip(other)
        .map(|([reads, is], [then_reads, then_is])| Return {
            reads_clean: both(reads, then_reads),
            is_clean: both(is, then_is),
            early: both(is - reads, then_is - then_reads),
        }))
}

/// One moment of the rinse: dissolved solids of all water on average, of what comes back, and of the branch
/// that is farthest from the mains.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Moment {
    /// In s from the start.
    pub time: f64,
    pub average: f64,
    pub back: Option<f64>,
    pub worst: Option<f64>,
}

/// Moments that are told of a rinse, and steps to each.
const MOMENTS: u32 = 80;
const STEPS_EACH: u32 = 25;

/// The course of a rinse at the middle of every range, for so many seconds: of one mixed tank where it is
/// not known how the flow is shared.
pub(crate) fn course(
    open: Option<&AllOpen>,
    contents: &[Range],
    foul: &Foul,
    until: f64,
) -> Vec<Moment> {
    let (start, mains, volume) = (
        foul.start.middle(),
        foul.mains.middle(),
        foul.volume.middle(),
    );
    let flows = open.map_or(&[][..], |open| &open.branches);
    let mut branches: Vec<(f64, f64, f64)> = flows
        .iter()
        .zip(contents)
        .map(|(share, content)| (share.flow.middle().max(LEAST_FLOW), content.middle(), start))
        .collect();
    if branches.iter().any(|(_, held, _)| !held.is_finite()) {
        branches.clear();
    }
    let round: f64 = branches.iter().map(|(flow, ..)| flow).sum();
    let held: f64 = branches.iter().map(|(_, held, _)| held).sum();
    let tank_holds = (volume - held).max(LEAST_COMMON * volume);
    let step = until / f64::from(MOMENTS * STEPS_EACH);
    let (fresh, mut tank) = (foul.fresh.middle(), start);
    let mut all = Vec::new();
    for nth in 0..=MOMENTS * STEPS_EACH {
        let back = branches
            .iter()
            .map(|(flow, _, now)| flow * now)
            .sum::<f64>()
            / round;
        let all_water = branches
            .iter()
            .map(|(_, held, now)| held * now)
            .sum::<f64>();
        if nth % STEPS_EACH == 0 {
            let off = |now: f64| (now - mains).abs();
            let worst = branches.iter().map(|(.., now)| *now);
            all.push(Moment {
                time: step * f64::from(nth),
                average: (tank * tank_holds + all_water) / (tank_holds + held),
                back: (!branches.is_empty()).then_some(back),
                worst: worst.max_by(|one, other| off(*one).total_cmp(&off(*other))),
            });
        }
        let (through, toward) = if branches.is_empty() {
            (fresh, mains)
        } else {
            let fresh = fresh.min(round);
            (round, (fresh * mains + (round - fresh) * back) / round)
        };
        for (flow, held, now) in &mut branches {
            *now += (tank - *now) * (1.0 - (-*flow * step / *held).exp());
        }
        tank += (toward - tank) * (1.0 - (-through * step / tank_holds).exp());
    }
    all
}

/// The branch whose water may take longest to go through.
fn slowest(shares: &[(Range, Range)]) -> Option<usize> {
    let turn = |at: &usize| shares[*at].1.high / shares[*at].0.low.max(LEAST_FLOW);
    (0..shares.len()).max_by(|one, other| turn(one).total_cmp(&turn(other)))
}

/// A branch that may have no flow at all is given this much, in m³/s: a drop a second.
const LEAST_FLOW: f64 = 5e-8;

/// When the return reads clean and when the average is, in s, at the middle of the other ranges.
fn times(foul: &Foul, mut branches: Vec<Branch>) -> Result<Option<[f64; 2]>, OutOfRange> {
    for branch in &mut branches {
        branch.flow = branch.flow.max(LEAST_FLOW);
    }
    let (round, held) = branches.iter().fold((0.0, 0.0), |(flow, volume), branch| {
        (flow + branch.flow, volume + branch.volume)
    });
    let (volume, mains) = (foul.volume.middle(), foul.mains.middle());
    let branched = Branched {
        tank_volume: (volume - held).max(LEAST_COMMON * volume),
        fresh_flow: foul.fresh.middle().min(round),
        branches,
        start: foul.start.middle(),
        mains,
    };
    let band = foul.band(mains);
    times_within(&branched, band)
}
