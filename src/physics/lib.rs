//! The physics of a wet heating system as plain functions on plain numbers.
//!
//! Contract: every argument and result is an `f64` in SI units (metres, seconds, kilograms, pascals,
//! cubic metres, watts), apart from temperatures, which are degrees Celsius because every source
//! states its formula in them, and concentrations, which may be in any one unit. Pressures are gauge
//! pressures unless the name says `absolute`; heads are metres of the fluid in the pipe. Outside the
//! range in which its source holds, a function returns [`OutOfRange`], which names the quantity and
//! the range; it never extrapolates in silence. Same numbers in, same bits out.
//!
//! These modules must not know surveys, unknowns, rules, files or words of the trade beyond the
//! names of pipes, valves and emitters in their tables.

pub mod content;
pub mod dilution;
pub mod dump;
pub mod fit;
pub mod friction;
pub mod glycol;
pub mod heat;
pub mod lead;
pub mod network;
pub mod pipe;
pub mod pump;
pub mod sludge;
pub mod vessel;
pub mod water;

use std::fmt;

/// Standard acceleration of free fall, 9.80665 m/s², exact by definition.
///
/// Source: Third General Conference on Weights and Measures, 1901 (from memory).
pub const GRAVITY: f64 = 9.80665;

/// One bar in pascals.
pub const BAR: f64 = 100_000.0;

/// A quantity lies outside the range in which a formula holds.
///
/// ```
/// let refused = wetside_physics::water::density(120.0).unwrap_err();
/// assert_eq!(refused.to_string(), "temperature is 120 °C, and must lie from 0 to 100 °C");
/// ```
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct OutOfRange {
    /// What was out of range, in plain words.
    pub quantity: &'static str,
    /// Its unit as written after a number; empty for a pure number.
    pub unit: &'static str,
    /// The value that was given.
    pub value: f64,
    /// The lower end of the range.
    pub from: f64,
    /// The upper end of the range, or infinity.
    pub to: f64,
    /// Whether the lower end itself is allowed.
    pub from_allowed: bool,
}

impl fmt::Display for OutOfRange {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        // People read pressures in bar.
        let (unit, scale) = if self.unit == "Pa" {
            ("bar", BAR)
        } else {
            (self.unit, 1.0)
        };
        let space = if unit.is_empty() { "" } else { " " };
        let [value, from, to] = [self.value, self.from, self.to].map(|end| told(end / scale));
        write!(f, "{} is {value}{space}{unit}, and must ", self.quantity)?;
        match (self.from_allowed, self.to.is_finite()) {
            (true, true) if self.from == -LARGEST => {
                write!(f, "be a number from {:e} to {:e}", self.from, self.to)
            }
            (true, true) => write!(f, "lie from {from} to {to}{space}{unit}"),
            (false, true) => write!(f, "lie above {from} and up to {to}{space}{unit}"),
            (true, false) => write!(f, "be a number of at least {from}{space}{unit}"),
            (false, false) => write!(f, "be a number above {from}{space}{unit}"),
        }
    }
}

/// A number with four digits that count, as far as it has them.
fn told(number: f64) -> String {
    if !number.is_finite() || number == 0.0 {
        return number.to_string();
    }
    let before = number.abs().log10().floor() as i32;
    let places = usize::try_from(3 - before).unwrap_or(0);
    let written = format!("{number:.places$}");
    match written.split_once('.') {
        Some((whole, rest)) if rest.bytes().all(|digit| digit == b'0') => whole.to_string(),
        Some(_) => written.trim_end_matches('0').to_string(),
        None => written,
    }
}

impl std::error::Error for OutOfRange {}

/// A quantity's name and unit, for the checks below.
type Named = (&'static str, &'static str);

const CELSIUS: Named = ("temperature", "°C");
const LENGTH: Named = ("length", "m");
const BORE: Named = ("bore", "m");
const FLOW: Named = ("flow", "m³/s");
const VOLUME: Named = ("volume", "m³");
const DENSITY: Named = ("density", "kg/m³");
const KINEMATIC: Named = ("kinematic viscosity", "m²/s");
const ROUGHNESS: Named = ("roughness", "m");
const LOSS: Named = ("loss coefficient", "");

/// No quantity of a heating system is larger than this in SI units, and none that is not 0 is
/// smaller than its inverse. Within these bounds no formula here runs out of what a double holds.
const LARGEST: f64 = 1e18;
const SMALLEST: f64 = 1.0 / LARGEST;

/// `value` if it lies from `from` to `to`, both included.
fn within(named: Named, value: f64, from: f64, to: f64) -> Result<f64, OutOfRange> {
    if value >= from && value <= to.min(LARGEST) {
        return Ok(value);
    }
    let to = if value > LARGEST && value < to {
        LARGEST
    } else {
        to
    };
    Err(refusal(named, value, from, to, true))
}

/// `value` if it is above zero.
fn above_zero(named: Named, value: f64) -> Result<f64, OutOfRange> {
    if value > 0.0 && value < SMALLEST {
        return Err(refusal(named, value, SMALLEST, f64::INFINITY, true));
    }
    above(named, value, 0.0)
}

/// `value` if it is above `from`.
fn above(named: Named, value: f64, from: f64) -> Result<f64, OutOfRange> {
    if value > from && value <= LARGEST {
        return Ok(value);
    }
    let huge = value > LARGEST && value.is_finite();
    let to = if huge { LARGEST } else { f64::INFINITY };
    Err(refusal(named, value, from, to, false))
}

/// `value` if it is not below zero.
fn not_negative(named: Named, value: f64) -> Result<f64, OutOfRange> {
    within(named, value, 0.0, f64::INFINITY)
}

/// `value` if it is a number of any sign.
fn finite(named: Named, value: f64) -> Result<f64, OutOfRange> {
    within(named, value, -LARGEST, LARGEST)
}

fn refusal(named: Named, value: f64, from: f64, to: f64, from_allowed: bool) -> OutOfRange {
    let (quantity, unit) = named;
    OutOfRange {
        quantity,
        unit,
        value,
        from,
        to,
        from_allowed,
    }
}

/// The root of an increasing function between `low` and `high`, by halving until the interval no
/// longer shrinks. Where the whole interval lies on one side, the nearer end.
fn root_of_increasing(mut low: f64, mut high: f64, f: impl Fn(f64) -> f64) -> f64 {
    // A double has 53 bits, so 200 halvings are more than the interval can bear; the early exit
    // is what ends the loop.
    for _ in 0..200 {
        let middle = 0.5 * (low + high);
        if middle <= low || middle >= high {
            break;
        }
        if f(middle) < 0.0 {
            low = middle;
        } else {
            high = middle;
        }
    }
    0.5 * (low + high)
}
