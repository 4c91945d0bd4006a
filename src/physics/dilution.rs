//! Dilution of a system with fresh water: well mixed, branch by branch, and radiator by radiator.
//!
//! Contract: concentrations may be in any one unit, volumes are in m³, flows in m³/s, times in s. A
//! target is a *band*: the difference from the mains that is allowed, in the same unit; a tenth of
//! the mains is the usual one. A band that no time can reach gives `None`. The volume that mixes
//! includes the machine's tank and hoses.

mod star;

use super::{FLOW, OutOfRange, VOLUME, above_zero, not_negative, within};
use star::Star;

/// One well-mixed volume under a flow of fresh water.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Mixed {
    /// Volume that mixes, in m³.
    pub volume: f64,
    /// Flow of fresh water in, and of old water out, in m³/s.
    pub fresh_flow: f64,
    /// Concentration at the start.
    pub start: f64,
    /// Concentration of the fresh water.
    pub mains: f64,
}

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

/// Radiators flushed one at a time, each with the tank and mains it shares.
#[derive(Clone, Debug, PartialEq)]
pub struct Sequence {
    /// Volume of tank and mains in m³.
    pub common_volume: f64,
    /// Flow of fresh water in m³/s.
    pub fresh_flow: f64,
    /// Volumes of the radiators in m³, in the order in which they are opened.
    pub radiators: Vec<f64>,
    /// Concentration everywhere at the start.
    pub start: f64,
    /// Concentration of the fresh water.
    pub mains: f64,
}

pub(super) const CONCENTRATION: (&str, &str) = ("concentration", "");
pub(super) const BAND: (&str, &str) = ("allowed difference from the mains", "");
const TIME: (&str, &str) = ("time", "s");
const FRESH: (&str, &str) = ("fresh flow", "m³/s");

/// Concentration of a well-mixed volume after a time.
///
/// `C = C_m + (C₀ − C_m) e^(−q t/V)`: `C₀` at the start, `C_m` of the mains, `q` fresh flow in m³/s,
/// `t` time in s, `V` volume in m³.
///
/// Valid for a time of at least 0.
///
/// ```
/// use wetside_physics::dilution::{Mixed, mixed_after};
/// let house = Mixed { volume: 0.1, fresh_flow: 0.0002, start: 2500.0, mains: 300.0 };
/// assert!((mixed_after(&house, 1800.0).unwrap() - 360.1).abs() < 0.1);
/// ```
///
/// Source: mass balance of one stirred tank (textbook, from memory).
pub fn mixed_after(mixed: &Mixed, time: f64) -> Result<f64, OutOfRange> {
    let (start, mains) = ends(mixed.start, mixed.mains)?;
    let changes = not_negative(FRESH, mixed.fresh_flow)? * not_negative(TIME, time)?
        / above_zero(VOLUME, mixed.volume)?;
    Ok(mains + (start - mains) * (-changes).exp())
}

/// Time for a well-mixed volume to come within a band of the mains, in s.
///
/// `t = (V/q) ln(|C₀ − C_m|/B)`: `B` the band in the unit of the concentrations, the rest as in
/// [`mixed_after`]. 0 when it is there already; `None` without a fresh flow.
///
/// Valid for a band above 0.
///
/// ```
/// use wetside_physics::dilution::{Mixed, mixed_time};
/// let house = Mixed { volume: 0.1, fresh_flow: 0.0002, start: 2500.0, mains: 300.0 };
/// let seconds = mixed_time(&house, 0.1 * 300.0).unwrap().unwrap();
/// assert!((seconds / 60.0 - 35.79).abs() < 0.01);
/// ```
///
/// Source: as [`mixed_after`].
pub fn mixed_time(mixed: &Mixed, band: f64) -> Result<Option<f64>, OutOfRange> {
    let flow = not_negative(FRESH, mixed.fresh_flow)?;
    let volumes = volumes_needed(mixed.start, mixed.mains, band)?;
    let volume = above_zero(VOLUME, mixed.volume)?;
    Ok(match (volumes == 0.0, flow == 0.0) {
        (true, _) => Some(0.0),
        (false, true) => None,
        (false, false) => Some(volume / flow * volumes),
    })
}

/// Volumes of fresh water that bring a well-mixed system within a band, without unit.
///
/// `n = ln(|C₀ − C_m|/B)`, 0 when it is there already; symbols as in [`mixed_time`]. Whatever the
/// flow, the water used is `n` times the volume that mixes.
///
/// Valid for a band above 0.
///
/// ```
/// let volumes = wetside_physics::dilution::volumes_needed(2500.0, 300.0, 30.0).unwrap();
/// assert!((volumes - 4.295).abs() < 1e-3);
/// ```
///
/// Source: as [`mixed_after`].
pub fn volumes_needed(start: f64, mains: f64, band: f64) -> Result<f64, OutOfRange> {
    let (start, mains) = ends(start, mains)?;
    let ratio = (start - mains).abs() / above_zero(BAND, band)?;
    Ok(if ratio <= 1.0 { 0.0 } else { ratio.ln() })
}

/// Concentrations in tank and branches after a time.
///
/// `V_t dC_t/dt = q_d C_m + (q_c − q_d) C_r − q_c C_t`, `V_i dC_i/dt = q_i (C_t − C_i)`,
/// `C_r = Σ q_i C_i/q_c`, `q_c = Σ q_i`: `V_t`, `V_i` volumes of tank and branch in m³, `q_d` fresh
/// flow and `q_i` branch flow in m³/s, `C_m` of the mains. Solved exactly, by the exponential of the
/// matrix.
///
/// Valid for at least one branch, flows and volumes above 0, and a fresh flow up to `q_c`.
///
/// ```
/// use wetside_physics::dilution::{Branch, Branched, branched_after};
/// let house = Branched {
///     tank_volume: 0.025, fresh_flow: 8e-3 / 60.0, start: 1800.0, mains: 250.0,
///     branches: vec![
///         Branch { flow: 20e-3 / 60.0, volume: 0.040 },
///         Branch { flow: 0.2e-3 / 60.0, volume: 0.009 },
///     ],
/// };
/// let then = branched_after(&house, 41.780014 * 60.0).unwrap();
/// // The return reads within a tenth of the mains, while the starved radiator is still foul.
/// assert!((then.return_reading - 275.0).abs() < 0.01 && then.branches[1] > 960.0);
/// ```
///
/// Source: mass balance of stirred tanks (textbook, from memory).
pub fn branched_after(branched: &Branched, time: f64) -> Result<Snapshot, OutOfRange> {
    let star = Star::new(branched)?;
    Ok(star.snapshot(branched, &star.after(time)?))
}

/// Time for the reading in the return to come within a band of the mains, in s; the water used is
/// this time the fresh flow. `None` without a fresh flow.
///
/// Every concentration of [`branched_after`] approaches the mains steadily, so the first time is the
/// only one. A starved branch may still be foul then.
///
/// Valid as [`branched_after`], for a band above 0.
///
/// ```
/// use wetside_physics::dilution::{Branch, Branched, return_time};
/// let one = Branched {
///     tank_volume: 0.030, fresh_flow: 12e-3 / 60.0, start: 2500.0, mains: 300.0,
///     branches: vec![Branch { flow: 18e-3 / 60.0, volume: 0.012 }],
/// };
/// let seconds = return_time(&one, 30.0).unwrap().unwrap();
/// assert!((seconds / 60.0 - 13.222677).abs() < 1e-4);
/// ```
///
/// Source: as [`branched_after`].
pub fn return_time(branched: &Branched, band: f64) -> Result<Option<f64>, OutOfRange> {
    let star = Star::new(branched)?;
    star.time_within(branched, band, |state| star.return_reading(state))
}

/// Time for the true average to come within a band of the mains, in s. `None` without a fresh flow.
///
/// Valid as [`return_time`].
///
/// ```
/// use wetside_physics::dilution::{Branch, Branched, average_time};
/// let one = Branched {
///     tank_volume: 0.030, fresh_flow: 12e-3 / 60.0, start: 2500.0, mains: 300.0,
///     branches: vec![Branch { flow: 18e-3 / 60.0, volume: 0.012 }],
/// };
/// let seconds = average_time(&one, 30.0).unwrap().unwrap();
/// assert!((seconds / 60.0 - 12.703034).abs() < 1e-4);
/// ```
///
/// Source: as [`branched_after`].
pub fn average_time(branched: &Branched, band: f64) -> Result<Option<f64>, OutOfRange> {
    let star = Star::new(branched)?;
    star.time_within(branched, band, |state| star.average(state))
}

/// Times for each radiator in turn to come within a band of the mains, in s.
///
/// Each newly opened radiator mixes at once with tank and mains, `C = (C V + C_i V_i)/(V + V_i)`,
/// and the whole is then diluted as in [`mixed_time`] with `V + V_i`: `V`, `C` volume and
/// concentration of tank and mains, `V_i`, `C_i` of the radiator. Their sum against [`mixed_time`]
/// over everything shows what isolating costs in water.
///
/// Valid for a fresh flow and volumes above 0 and a band above 0.
///
/// ```
/// use wetside_physics::dilution::{Sequence, sequence_times};
/// let three = Sequence {
///     common_volume: 0.040, fresh_flow: 15e-3 / 60.0, start: 1500.0, mains: 350.0,
///     radiators: vec![0.025, 0.018, 0.030],
/// };
/// let seconds: f64 = sequence_times(&three, 35.0).unwrap().iter().sum();
/// assert!((seconds / 60.0 - 36.892925).abs() < 1e-5);
/// ```
///
/// Source: as [`mixed_after`]; instant mixing is an assumption.
pub fn sequence_times(sequence: &Sequence, band: f64) -> Result<Vec<f64>, OutOfRange> {
    let (start, mains) = ends(sequence.start, sequence.mains)?;
    let common = above_zero(VOLUME, sequence.common_volume)?;
    let flow = above_zero(FRESH, sequence.fresh_flow)?;
    let mut shared = start;
    let mut times = Vec::with_capacity(sequence.radiators.len());
    for radiator in &sequence.radiators {
        let volume = common + above_zero(VOLUME, *radiator)?;
        shared = (shared * common + start * radiator) / volume;
        let volumes = volumes_needed(shared, mains, band)?;
        shared = mains + (shared - mains) * (-volumes).exp();
        times.push(volume / flow * volumes);
    }
    Ok(times)
}

fn ends(start: f64, mains: f64) -> Result<(f64, f64), OutOfRange> {
    Ok((
        not_negative(CONCENTRATION, start)?,
        not_negative(CONCENTRATION, mains)?,
    ))
}
