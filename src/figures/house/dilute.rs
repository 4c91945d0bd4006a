//! Rinsing: one dilution at the end against one for each emitter, and whether the return tells.
//!
//! Contract: concentrations are in any one unit. Times rise with volumes and with how foul the water
//! was, and fall with the fresh flow, so their ranges lie between two corners. Whether the return
//! reads clean before the system is depends on how unequal the branches are; it is worked out for
//! branches at the middle of their ranges, and again with each at the end that makes them most unequal.

use super::House;
use super::all_open::AllOpen;
use crate::figures::range::Range;
use crate::physics::OutOfRange;
use crate::physics::dilution::{
    Branch, Branched, Mixed, Sequence, average_time, mixed_time, return_time, sequence_times,
};

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

    /// The corners of least and greatest time: volume, fresh flow, start and mains.
    fn corners(&self) -> [[f64; 4]; 2] {
        [
            [
                self.volume.low,
                self.fresh.high,
                self.start.low,
                self.mains.high,
            ],
            [
                self.volume.high,
                self.fresh.low,
                self.start.high,
                self.mains.low,
            ],
        ]
    }
}

/// Everything at once at the end, by the equation of a mixed tank.
pub fn at_the_end(foul: &Foul) -> Result<Cost, OutOfRange> {
    let time = |[volume, fresh_flow, start, mains]: [f64; 4]| {
        let mixed = Mixed {
            volume,
            fresh_flow,
            start,
            mains,
        };
        mixed_time(&mixed, foul.band(mains)).map(|time| time.unwrap_or(f64::INFINITY))
    };
    let [least, most] = foul.corners();
    cost(foul, time(least)?, time(most)?)
}

/// Each emitter in turn, in the order given, mixing with everything rinsed before. `contents` are
/// those of emitters with their tails, in m³.
pub fn one_by_one(foul: &Foul, contents: &[Range]) -> Result<Cost, OutOfRange> {
    let time = |[volume, fresh_flow, start, mains]: [f64; 4], end: fn(&Range) -> f64| {
        let radiators: Vec<f64> = contents.iter().map(end).collect();
        let common = volume - radiators.iter().sum::<f64>();
        let sequence = Sequence {
            common_volume: common.max(LEAST_COMMON * volume),
            fresh_flow,
            radiators,
            start,
            mains,
        };
        let times = sequence_times(&sequence, foul.band(mains))?;
        Ok::<f64, OutOfRange>(times.iter().sum())
    };
    let [least, most] = foul.corners();
    cost(
        foul,
        time(least, |content| content.low)?,
        time(most, |content| content.high)?,
    )
}

/// Tank, hoses and mains hold this share of all water at least, whatever contents are claimed.
const LEAST_COMMON: f64 = 0.05;

/// Water is the time's fresh flow; its range does not depend on that flow.
fn cost(foul: &Foul, least: f64, most: f64) -> Result<Cost, OutOfRange> {
    let water = |time: f64, fresh: f64| if time == 0.0 { 0.0 } else { time * fresh };
    Ok(Cost {
        time: Range::new(least, most),
        water: Range::new(water(least, foul.fresh.high), water(most, foul.fresh.low)),
    })
}

/// What the return shows while everything is open. Nothing without a fresh flow, or where a content
/// is not known.
pub fn seen_in_return(
    house: &House,
    open: &AllOpen,
    contents: &[Range],
    foul: &Foul,
) -> Result<Option<Return>, OutOfRange> {
    let shares: Vec<(Range, Range)> = house
        .emitters
        .iter()
        .zip(&open.branches)
        .zip(contents)
        .filter(|((emitter, _), _)| !emitter.off)
        .filter_map(|((_, share), content)| share.as_ref().map(|share| (share.flow, *content)))
        .collect();
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
    Ok(one.zip(other).map(|(one, other)| {
        let early = Range::point(one.1 - one.0).hull(Range::point(other.1 - other.0));
        Return {
            reads_clean: Range::point(one.0).hull(Range::point(other.0)),
            is_clean: Range::point(one.1).hull(Range::point(other.1)),
            early,
        }
    }))
}

/// The branch whose water may take longest to go through.
fn slowest(shares: &[(Range, Range)]) -> Option<usize> {
    let turn = |at: &usize| shares[*at].1.high / shares[*at].0.low.max(LEAST_FLOW);
    (0..shares.len()).max_by(|one, other| turn(one).total_cmp(&turn(other)))
}

/// A branch that may have no flow at all is given this much, in m³/s: a drop a second.
const LEAST_FLOW: f64 = 5e-8;

/// When the return reads clean and when the average is, in s, at the middle of the other ranges.
fn times(foul: &Foul, mut branches: Vec<Branch>) -> Result<Option<(f64, f64)>, OutOfRange> {
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
    let reads = return_time(&branched, band)?;
    Ok(reads.zip(average_time(&branched, band)?))
}
