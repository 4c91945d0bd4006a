//! A tank in the middle and branches around it: linear equations and their exact solution.
//!
//! Contract: a state holds the *deviations* from the mains as shares of the first one, the tank's
//! first; all begin at 1 and fall steadily towards 0, since no coefficient off the diagonal is
//! negative and the first slope is nowhere positive.

use crate::{FLOW, OutOfRange, VOLUME, above_zero, not_negative, root_of_increasing, within};

/// A branch of a system, itself well mixed.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Branch {
    /// Flow through it in m³/s.
    pub flow: f64,
    /// Volume in m³.
    pub volume: f64,
}

/// A tank that feeds branches; part of what returns is dumped and made up by the mains.
#[derive(Clone, Debug, PartialEq)]
pub struct Branched {
    /// Volume of the tank in m³.
    pub tank_volume: f64,
    /// Flow dumped, and of fresh water in, in m³/s; at most the flow of all branches.
    pub fresh_flow: f64,
    pub branches: Vec<Branch>,
    /// Concentration everywhere at the start.
    pub start: f64,
    /// Concentration of the fresh water.
    pub mains: f64,
}

/// Concentrations at one time.
#[derive(Clone, Debug, PartialEq)]
pub struct Snapshot {
    pub tank: f64,
    /// In the order of the branches.
    pub branches: Vec<f64>,
    /// What a meter in the return reads.
    pub return_reading: f64,
    /// The true average over all the water.
    pub average: f64,
}

pub(crate) const CONCENTRATION: (&str, &str) = ("concentration", "");
pub(crate) const BAND: (&str, &str) = ("allowed difference from the mains", "");
const TIME: (&str, &str) = ("time", "s");
const FRESH: (&str, &str) = ("fresh flow", "m³/s");

/// Terms of the series for a step whose matrix has a norm of at most one half: enough for all bits.
const TERMS: u32 = 16;
/// The longest time is the shortest step doubled this often, some thousand years in a house. Every
/// doubling doubles the rounding error too.
const DOUBLINGS: i32 = 36;

type Matrix = Vec<Vec<f64>>;

pub(super) struct Star {
    /// Slopes of the state per second, a row for each member.
    rates: Matrix,
    /// Share of each member in the return's reading.
    in_return: Vec<f64>,
    /// Share of each member in the water.
    in_water: Vec<f64>,
    /// A step in s for which the series is exact.
    step: f64,
}

impl Star {
    pub(super) fn new(branched: &Branched) -> Result<Star, OutOfRange> {
        let count = branched.branches.len();
        within(("number of branches", ""), count as f64, 1.0, 1000.0)?;
        ends(branched.start, branched.mains)?;
        let tank = above_zero(VOLUME, branched.tank_volume)?;
        let (mut round, mut water) = (0.0, tank);
        for branch in &branched.branches {
            round += above_zero(FLOW, branch.flow)?;
            water += above_zero(VOLUME, branch.volume)?;
        }
        let fresh = within(FRESH, branched.fresh_flow, 0.0, round)?;
        let mut rates = vec![vec![0.0; count + 1]; count + 1];
        let (mut in_return, mut in_water) = (vec![0.0], vec![tank / water]);
        rates[0][0] = -round / tank;
        for (at, branch) in branched.branches.iter().enumerate() {
            let rate = branch.flow / branch.volume;
            rates[at + 1][0] = rate;
            rates[at + 1][at + 1] = -rate;
            rates[0][at + 1] = (round - fresh) / tank * branch.flow / round;
            in_return.push(branch.flow / round);
            in_water.push(branch.volume / water);
        }
        let norm = rates
            .iter()
            .map(|row| row.iter().map(|rate| rate.abs()).sum());
        let step = 0.5 / norm.fold(0.0, f64::max);
        Ok(Star {
            rates,
            in_return,
            in_water,
            step,
        })
    }

    pub(super) fn return_reading(&self, state: &[f64]) -> f64 {
        dot(&self.in_return, state)
    }

    pub(super) fn average(&self, state: &[f64]) -> f64 {
        dot(&self.in_water, state)
    }

    /// The state after a time in s.
    pub(super) fn after(&self, time: f64) -> Result<Vec<f64>, OutOfRange> {
        let time = within(TIME, time, 0.0, self.longest())?;
        let mut strides = vec![self.first_stride()];
        while 2.0 * strides[strides.len() - 1].span <= time {
            strides.push(strides[strides.len() - 1].doubled());
        }
        let mut state = vec![1.0; self.rates.len()];
        let mut left = time;
        for stride in strides.iter().rev() {
            if stride.span <= left {
                state = apply(&stride.matrix, &state);
                left -= stride.span;
            }
        }
        Ok(self.series(&state, left))
    }

    /// The time in s at which a falling measure of the state comes within the band.
    pub(super) fn time_within(
        &self,
        branched: &Branched,
        band: f64,
        measure: impl Fn(&[f64]) -> f64,
    ) -> Result<Option<f64>, OutOfRange> {
        let whole = (branched.start - branched.mains).abs();
        let band = above_zero(BAND, band)?;
        if whole <= band {
            return Ok(Some(0.0));
        }
        if branched.fresh_flow == 0.0 {
            return Ok(None);
        }
        let foul = |state: &[f64]| measure(state) > band / whole;
        let mut state = vec![1.0; self.rates.len()];
        let mut strides = vec![self.first_stride()];
        while foul(&apply(&strides[strides.len() - 1].matrix, &state)) {
            let next = strides[strides.len() - 1].doubled();
            within(TIME, next.span, 0.0, self.longest())?;
            strides.push(next);
        }
        // Take every stride, from the longest, that does not yet reach the band.
        let mut time = 0.0;
        for stride in strides.iter().rev() {
            let next = apply(&stride.matrix, &state);
            if foul(&next) {
                state = next;
                time += stride.span;
            }
        }
        let rest = root_of_increasing(0.0, self.step, |rest| {
            band / whole - measure(&self.series(&state, rest))
        });
        Ok(Some(time + rest))
    }

    fn longest(&self) -> f64 {
        self.step * 2.0_f64.powi(DOUBLINGS)
    }

    pub(super) fn snapshot(&self, branched: &Branched, state: &[f64]) -> Snapshot {
        let scaled = |share: f64| branched.mains + share * (branched.start - branched.mains);
        Snapshot {
            tank: scaled(state[0]),
            branches: state[1..].iter().map(|share| scaled(*share)).collect(),
            return_reading: scaled(self.return_reading(state)),
            average: scaled(self.average(state)),
        }
    }

    /// The state carried on by at most one step, by the series of the exponential.
    fn series(&self, state: &[f64], time: f64) -> Vec<f64> {
        let mut sum = state.to_vec();
        let mut term = state.to_vec();
        for order in 1..=TERMS {
            term = apply(&self.rates, &term);
            for (part, total) in term.iter_mut().zip(&mut sum) {
                *part *= time / f64::from(order);
                *total += *part;
            }
        }
        sum
    }

    fn first_stride(&self) -> Stride {
        let size = self.rates.len();
        let mut columns = Vec::with_capacity(size);
        for at in 0..size {
            let mut unit = vec![0.0; size];
            unit[at] = 1.0;
            columns.push(self.series(&unit, self.step));
        }
        let row = |row: usize| columns.iter().map(|column| column[row]).collect();
        Stride {
            span: self.step,
            matrix: (0..size).map(row).collect(),
        }
    }
}

/// A matrix that carries a state on by a span of time in s.
struct Stride {
    span: f64,
    matrix: Matrix,
}

impl Stride {
    fn doubled(&self) -> Stride {
        Stride {
            span: 2.0 * self.span,
            matrix: product(&self.matrix, &self.matrix),
        }
    }
}

fn dot(one: &[f64], other: &[f64]) -> f64 {
    one.iter().zip(other).map(|(a, b)| a * b).sum()
}

fn apply(matrix: &Matrix, state: &[f64]) -> Vec<f64> {
    matrix.iter().map(|row| dot(row, state)).collect()
}

fn product(one: &Matrix, other: &Matrix) -> Matrix {
    let mut result = vec![vec![0.0; one.len()]; one.len()];
    for (row, sums) in one.iter().zip(&mut result) {
        for (share, line) in row.iter().zip(other) {
            for (sum, entry) in sums.iter_mut().zip(line) {
                *sum += share * entry;
            }
        }
    }
    result
}

pub(super) fn ends(start: f64, mains: f64) -> Result<(f64, f64), OutOfRange> {
    Ok((
        not_negative(CONCENTRATION, start)?,
        not_negative(CONCENTRATION, mains)?,
    ))
}
