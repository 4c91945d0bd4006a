//! Dilution of a system with fresh water: well mixed, and branch by branch.
//!
//! Contract: concentrations may be in any one unit, volumes are in m³, flows in m³/s, times in s. A
//! target is a *band*: the difference from the mains that is allowed, in the same unit; a tenth of
//! the mains is the usual one. A band that no time can reach gives `None`. The volume that mixes
//! includes the machine's tank and hoses. The concentrations after a time are for the curves of
//! dissolved solids against minutes.

mod star;

pub(crate) use star::{BAND, CONCENTRATION};
pub use star::{Branch, Branched, Snapshot};

use super::{OutOfRange, above_zero};
use star::{Star, ends};

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
