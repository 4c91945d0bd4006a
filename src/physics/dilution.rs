//! Dilution of a system with fresh water: well mixed, and branch by branch.
//!
//! Contract: concentrations may be in any one unit, volumes are in m³, flows in m³/s, times in s. A
//! target is a *band*: the difference from the mains that is allowed, in the same unit; a tenth of
//! the mains is the usual one. A band that no time can reach gives `None`. The volume that mixes
//! includes the machine's tank and hoses.

use super::{FLOW, OutOfRange, VOLUME, above_zero, not_negative, root_of_increasing, within};

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

pub(crate) const CONCENTRATION: (&str, &str) = ("concentration", "");
pub(crate) const BAND: (&str, &str) = ("allowed difference from the mains", "");
const TIME: (&str, &str) = ("time", "s");
const FRESH: (&str, &str) = ("fresh flow", "m³/s");

/// Volumes of fresh water that bring a well-mixed system within a band, without unit.
///
/// `n = ln(|C₀ − C_m|/B)`, 0 when it is there already: `C₀` at the start, `C_m`
/// of the mains, `B` the band, in one unit. Whatever the flow, the water used is `n` times the volume
/// that mixes.
///
/// Valid for a band above 0.
///
/// ```
/// let volumes = wetside_physics::dilution::volumes_needed(2500.0, 300.0, 30.0).unwrap();
/// assert!((volumes - 4.295).abs() < 1e-3);
/// ```
///
/// Source: mass balance of one stirred tank (textbook, from memory).
pub fn volumes_needed(start: f64, mains: f64, band: f64) -> Result<f64, OutOfRange> {
    let (start, mains) = ends(start, mains)?;
    let ratio = (start - mains).abs() / above_zero(BAND, band)?;
    Ok(if ratio <= 1.0 { 0.0 } else { ratio.ln() })
}

/// Times in s at which the reading in the return, and the true average, come within a band of the mains;
/// the water used is such a time times the fresh flow. `None` without a fresh flow.
///
/// `V_t dC_t/dt = q_d C_m + (q_c − q_d) C_r − q_c C_t`, `V_i dC_i/dt = q_i (C_t − C_i)`,
/// `C_r = Σ q_i C_i/q_c`, `q_c = Σ q_i`: `V_t`, `V_i` volumes of tank and branch in m³, `q_d` fresh
/// flow and `q_i` branch flow in m³/s, `C_m` of the mains. Solved exactly, by the exponential of the
/// matrix. Every concentration approaches the mains steadily, so the first time is the only one. A
/// starved branch may still be foul when the return reads clean.
///
/// Valid for at least one branch, flows and volumes above 0, a fresh flow up to `q_c`, and a band
/// above 0.
///
/// ```
/// use wetside_physics::dilution::{Branch, Branched, times_within};
/// let one = Branched {
///     tank_volume: 0.030, fresh_flow: 12e-3 / 60.0, start: 2500.0, mains: 300.0,
///     branches: vec![Branch { flow: 18e-3 / 60.0, volume: 0.012 }],
/// };
/// let [reads, is] = times_within(&one, 30.0).unwrap().unwrap();
/// assert!((reads / 60.0 - 13.222677).abs() < 1e-4);
/// assert!((is / 60.0 - 12.703034).abs() < 1e-4);
/// ```
///
/// Source: mass balance of stirred tanks (textbook, from memory).
pub fn times_within(branched: &Branched, band: f64) -> Result<Option<[f64; 2]>, OutOfRange> {
    let star = Star::new(branched)?;
    let reads = star.time_within(branched, band, &star.in_return)?;
    let is = star.time_within(branched, band, &star.in_water)?;
    Ok(reads.zip(is).map(|(reads, is)| [reads, is]))
}

/// Terms of the series for a step whose matrix has a norm of at most one half: enough for all bits.
const TERMS: u32 = 16;
/// The longest time is the shortest step doubled this often, some thousand years in a house. Every
/// doubling doubles the rounding error too.
const DOUBLINGS: i32 = 36;

type Matrix = Vec<Vec<f64>>;

/// The equations of a tank and its branches.
///
/// A state holds the *deviations* from the mains as shares of the first one, the tank's first; all begin
/// at 1 and fall steadily towards 0, since no coefficient off the diagonal is negative and the first slope
/// is nowhere positive.
struct Star {
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
    fn new(branched: &Branched) -> Result<Star, OutOfRange> {
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

    /// The time in s at which the state, each member with its share, comes within the band.
    fn time_within(
        &self,
        branched: &Branched,
        band: f64,
        shares: &[f64],
    ) -> Result<Option<f64>, OutOfRange> {
        let whole = (branched.start - branched.mains).abs();
        let band = above_zero(BAND, band)?;
        if whole <= band {
            return Ok(Some(0.0));
        }
        if branched.fresh_flow == 0.0 {
            return Ok(None);
        }
        let foul = |state: &[f64]| dot(shares, state) > band / whole;
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
            band / whole - dot(shares, &self.series(&state, rest))
        });
        Ok(Some(time + rest))
    }

    fn longest(&self) -> f64 {
        self.step * 2.0_f64.powi(DOUBLINGS)
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

fn ends(start: f64, mains: f64) -> Result<(f64, f64), OutOfRange> {
    Ok((
        not_negative(CONCENTRATION, start)?,
        not_negative(CONCENTRATION, mains)?,
    ))
}
