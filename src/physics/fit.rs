//! Fits a log of readings in the return, and says how sure the fit is.
//!
//! Contract: the model is a well-mixed system, `C = C_m + A e^(−k t)`, with the mains `C_m` measured
//! and held. Readings within three of the meter's digits of the mains carry nothing and should be
//! left out by the caller. A log needs three readings or more, best spread over one time constant.

use super::dilution::{BAND, CONCENTRATION};
use super::{OutOfRange, above_zero, finite, not_negative, within};

/// One reading of a meter.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Reading {
    /// Time since dumping started, in s.
    pub time: f64,
    /// What the meter read, in the unit of the mains.
    pub value: f64,
}

/// A curve through a log.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Fit {
    /// `A`, the difference from the mains at time 0; negative when the system began below it.
    pub difference: f64,
    /// `k`, in 1/s.
    pub rate: f64,
    /// Root of the mean square of what the curve leaves, in the unit of the readings.
    pub scatter: f64,
    /// Variance of the difference, covariance of difference and rate, variance of the rate.
    pub covariance: [f64; 3],
}

/// A value with its standard error.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Estimate {
    pub value: f64,
    pub standard_error: f64,
}

const READINGS: (&str, &str) = ("number of readings that differ from the mains", "");
const TIMES: (&str, &str) = ("number of different times among the readings", "");
const SPREAD: (&str, &str) = ("spread of the readings over time", "");
const RATE: (&str, &str) = ("rate of approach to the mains", "1/s");

/// Fits difference and rate to a log by least squares on the readings themselves.
///
/// Least `Σ (C_i − C_m − A e^(−k t_i))²`: `C_i` reading at time `t_i` in s, `C_m` the mains. Begins
/// with the straight line through `ln |C − C_m|` weighted by `(C − C_m)²` and goes on by Gauss and
/// Newton. The covariance is `s² (JᵀJ)⁻¹` with `s²` the sum of squares over `n − 2`.
///
/// Valid for three readings or more on one side of the mains at two times or more, and a difference
/// that shrinks with time.
///
/// ```
/// use wetside_physics::fit::{Reading, fit};
/// let log = [(0.0, 2500.0), (300.0, 1507.0), (600.0, 963.0), (900.0, 664.0), (1200.0, 500.0)];
/// let log = log.map(|(time, value)| Reading { time, value });
/// let fit = fit(&log, 300.0).unwrap();
/// assert!((60.0 * fit.rate - 0.11996).abs() < 1e-5);
/// ```
///
/// Source: least squares (textbook, from memory), checked against the SciPy library.
pub fn fit(log: &[Reading], mains: f64) -> Result<Fit, OutOfRange> {
    let points = differences(log, mains)?;
    let (mut difference, mut rate) = weighted_line(&points)?;
    for _ in 0..50 {
        let normal = Normal::at(&points, difference, rate);
        let Some((first, second)) = normal.solve() else {
            break;
        };
        difference += first;
        rate += second;
        if first.abs() <= 1e-13 * difference.abs() && second.abs() <= 1e-13 * rate.abs() {
            break;
        }
    }
    above_zero(RATE, rate)?;
    finite(("difference from the mains", ""), difference)?;
    let normal = Normal::at(&points, difference, rate);
    let count = points.len() as f64;
    let determinant = positive(normal.determinant())?;
    let noise = normal.squares / (count - 2.0) / determinant;
    Ok(Fit {
        difference: difference * side(&points),
        rate,
        scatter: (normal.squares / count).sqrt(),
        covariance: [
            noise * normal.rate_rate,
            -noise * normal.difference_rate * side(&points),
            noise * normal.difference_difference,
        ],
    })
}

/// Time from the start of the log at which the fitted curve comes within a band, in s.
///
/// `t = ln(|A|/B)/k`, 0 when it begins within; the standard error by propagation through
/// `(1/(A k), −t/k)`: `A`, `k` of the fit, `B` the band in the unit of the readings.
///
/// Valid for a band above 0. The error tells of the scatter about the curve, not of a system that is
/// not well mixed.
///
/// ```
/// use wetside_physics::fit::{Reading, fit, time_within};
/// let log = [(0.0, 2500.0), (300.0, 1507.0), (600.0, 963.0), (900.0, 664.0), (1200.0, 500.0)];
/// let log = log.map(|(time, value)| Reading { time, value });
/// let end = time_within(&fit(&log, 300.0).unwrap(), 30.0).unwrap();
/// assert!((end.value / 60.0 - 35.80).abs() < 0.01);
/// ```
///
/// Source: first-order propagation of errors (textbook, from memory).
pub fn time_within(fit: &Fit, band: f64) -> Result<Estimate, OutOfRange> {
    let ratio = fit.difference.abs() / above_zero(BAND, band)?;
    let rate = above_zero(RATE, fit.rate)?;
    if ratio <= 1.0 {
        return Ok(Estimate {
            value: 0.0,
            standard_error: 0.0,
        });
    }
    let time = ratio.ln() / rate;
    let (by_difference, by_rate) = (1.0 / (fit.difference * rate), -time / rate);
    let [difference, both, rates] = fit.covariance;
    let variance = by_difference * by_difference * difference
        + 2.0 * by_difference * by_rate * both
        + by_rate * by_rate * rates;
    Ok(Estimate {
        value: time,
        standard_error: variance.max(0.0).sqrt(),
    })
}

/// Time and difference from the mains of each reading.
fn differences(log: &[Reading], mains: f64) -> Result<Vec<(f64, f64)>, OutOfRange> {
    let mains = not_negative(CONCENTRATION, mains)?;
    let mut points = Vec::with_capacity(log.len());
    for reading in log {
        let time = not_negative(("time", "s"), reading.time)?;
        points.push((time, not_negative(CONCENTRATION, reading.value)? - mains));
    }
    let away = points.iter().filter(|(_, off)| off * side(&points) > 0.0);
    within(READINGS, away.count() as f64, 3.0, f64::INFINITY)?;
    let mut times: Vec<f64> = points.iter().map(|(time, _)| *time).collect();
    times.sort_by(f64::total_cmp);
    times.dedup();
    within(TIMES, times.len() as f64, 2.0, f64::INFINITY)?;
    Ok(points)
}

/// 1 when the readings lie above the mains on the whole, else −1.
fn side(points: &[(f64, f64)]) -> f64 {
    let sum: f64 = points.iter().map(|(_, off)| off).sum();
    if sum < 0.0 { -1.0 } else { 1.0 }
}

/// Difference (taken positive) and rate by the weighted straight line through the logarithms.
fn weighted_line(points: &[(f64, f64)]) -> Result<(f64, f64), OutOfRange> {
    let side = side(points);
    let (mut weights, mut times, mut squares, mut logs, mut products) = (0.0, 0.0, 0.0, 0.0, 0.0);
    for (time, off) in points.iter().map(|(time, off)| (time, off * side)) {
        if off > 0.0 {
            let weight = off * off;
            weights += weight;
            times += weight * time;
            squares += weight * time * time;
            logs += weight * off.ln();
            products += weight * time * off.ln();
        }
    }
    let determinant = positive(weights * squares - times * times)?;
    let slope = (weights * products - times * logs) / determinant;
    let rate = above_zero(RATE, -slope)?;
    Ok((((logs - slope * times) / weights).exp(), rate))
}

/// A determinant, if the readings are spread enough to have one. It has no usual size, so only its
/// sign can be wrong.
fn positive(determinant: f64) -> Result<f64, OutOfRange> {
    if determinant > 0.0 && determinant.is_finite() {
        return Ok(determinant);
    }
    above_zero(SPREAD, determinant.min(0.0))
}

/// The normal equations of the fit at one difference and rate.
struct Normal {
    difference_difference: f64,
    difference_rate: f64,
    rate_rate: f64,
    by_difference: f64,
    by_rate: f64,
    squares: f64,
}

impl Normal {
    fn at(points: &[(f64, f64)], difference: f64, rate: f64) -> Normal {
        let side = side(points);
        let mut normal = Normal {
            difference_difference: 0.0,
            difference_rate: 0.0,
            rate_rate: 0.0,
            by_difference: 0.0,
            by_rate: 0.0,
            squares: 0.0,
        };
        for (time, off) in points {
            let fall = (-rate * time).exp();
            let slope = -difference * time * fall;
            let left = off * side - difference * fall;
            normal.difference_difference += fall * fall;
            normal.difference_rate += fall * slope;
            normal.rate_rate += slope * slope;
            normal.by_difference += fall * left;
            normal.by_rate += slope * left;
            normal.squares += left * left;
        }
        normal
    }

    fn determinant(&self) -> f64 {
        self.difference_difference * self.rate_rate - self.difference_rate * self.difference_rate
    }

    fn solve(&self) -> Option<(f64, f64)> {
        let determinant = self.determinant();
        let first = self.by_difference * self.rate_rate - self.by_rate * self.difference_rate;
        let second =
            self.by_rate * self.difference_difference - self.by_difference * self.difference_rate;
        (determinant > 0.0).then_some((first / determinant, second / determinant))
    }
}
