//! Quantities as text.
//!
//! Contract: a quantity prints back in the unit and manner it was written in, and what is printed
//! reads back as the same quantity wherever its numbers have finite decimals. A figure that was
//! worked out is printed to few digits: a single number to the nearest, a range outwards, so that
//! the printed range never claims more than is known.

use super::exact::Exact;
use super::interval::{End, Interval};
use super::kind::Kind;
use super::quantity::{Form, Quantity};
use super::rounding::Rounding;
use super::table::UnitId;
use std::fmt;

/// How many significant digits a converted or computed number is shown with.
pub const SHOWN: u32 = 4;

impl fmt::Display for Quantity {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&written(self))
    }
}

/// A number of base units in the given unit, to at most so many significant digits, trailing
/// zeros left out: `0.31 m/s`.
pub fn number_in(base: Exact, unit: UnitId, significant: u32) -> String {
    range_in(&Interval::exact(base), unit, significant)
}

/// A range in base units in the given unit: `4 to 6 m`, `at least 9 L/min`. A single number is
/// rounded to the nearest, a range outwards.
pub fn range_in(range: &Interval, unit: UnitId, significant: u32) -> String {
    let Some(shown) = unit.range_from_base(range) else {
        return "a number too large to show".to_owned();
    };
    let short = |at: Exact, rounding| at.rounded(significant, rounding).to_decimal(0);
    if let Some(single) = shown.single() {
        return with_unit(&short(single, Rounding::Nearest), unit);
    }
    let low = |at| short(at, Rounding::Down);
    let high = |at| short(at, Rounding::Up);
    ends(&shown, unit, low, high)
}

/// How many significant digits of a worked-out value people are shown.
const WORKED_OUT: u32 = 3;

/// A value that was worked out, in base units: in the unit in which it reads best, with no more
/// digits than it deserves; `unknown` where there is no limit on either side.
pub fn worked_out(kind: Kind, range: &Interval) -> String {
    if range.low().at().is_none() && range.high().at().is_none() {
        return "unknown".to_owned();
    }
    range_in(range, best_unit(kind, range), WORKED_OUT)
}

/// The usual unit of a kind; of a time the largest that it fills twice.
pub fn best_unit(kind: Kind, range: &Interval) -> UnitId {
    let size = range.low().at().or(range.high().at());
    let (Kind::Time, Some(size)) = (kind, size) else {
        return UnitId::usual(kind);
    };
    let fills = |symbol: &&&str| {
        let unit = UnitId::spelt(symbol, kind);
        let twice = unit.and_then(|unit| unit.factor().plus(unit.factor()));
        twice.is_some_and(|twice| size.magnitude() >= twice)
    };
    let best = ["years", "days", "h", "min"]
        .iter()
        .find(fills)
        .unwrap_or(&"s");
    UnitId::spelt(best, kind).unwrap_or(UnitId::usual(kind))
}

fn written(quantity: &Quantity) -> String {
    let unit = quantity.unit;
    let Some(shown) = quantity.written_range() else {
        return range_in(&quantity.range, unit, SHOWN);
    };
    let written = u32::from(quantity.decimals);
    // The two numbers of a range get equally many decimals.
    let places = |one: Exact, other: Exact| {
        written
            .max(one.decimals().unwrap_or(0))
            .max(other.decimals().unwrap_or(0))
    };
    let both = |one: Exact, mark: &str, other: Exact| {
        let places = places(one, other);
        with_unit(
            &format!(
                "{} {mark} {}",
                one.to_decimal(places),
                other.to_decimal(places)
            ),
            unit,
        )
    };
    let middle = shown.middle();
    match (quantity.form, shown.low(), shown.high()) {
        (Form::Computed, ..) => range_in(&quantity.range, unit, SHOWN),
        (Form::Exact, End::Closed(low), End::Closed(high)) if low == high => {
            with_unit(&low.to_decimal(written), unit)
        }
        (Form::About, End::Closed(low), End::Closed(high)) => match middle {
            Some(centre) => format!("about {}", with_unit(&centre.to_decimal(written), unit)),
            None => both(low, "to", high),
        },
        (Form::Tolerance, End::Closed(low), End::Closed(high)) => {
            match middle.and_then(|centre| Some((centre, high.minus(centre)?))) {
                Some((centre, half)) => both(centre, "±", half),
                None => both(low, "to", high),
            }
        }
        (_, End::Closed(low), End::Closed(high)) => both(low, "to", high),
        _ => {
            let full = |at: Exact| at.to_decimal(written);
            ends(&shown, unit, full, full)
        }
    }
}

fn ends(
    shown: &Interval,
    unit: UnitId,
    low_text: impl Fn(Exact) -> String,
    high_text: impl Fn(Exact) -> String,
) -> String {
    let numbers = match (shown.low(), shown.high()) {
        (End::Closed(low), End::Closed(high)) => {
            format!("{} to {}", low_text(low), high_text(high))
        }
        (End::Unbounded, End::Unbounded) => "any number".to_owned(),
        (low, high) => {
            let low = match low {
                End::Closed(at) => Some(format!("at least {}", low_text(at))),
                End::Open(at) => Some(format!("more than {}", low_text(at))),
                End::Unbounded => None,
            };
            let high = match high {
                End::Closed(at) => Some(format!("at most {}", high_text(at))),
                End::Open(at) => Some(format!("less than {}", high_text(at))),
                End::Unbounded => None,
            };
            [low, high]
                .into_iter()
                .flatten()
                .collect::<Vec<_>>()
                .join(" and ")
        }
    };
    with_unit(&numbers, unit)
}

fn with_unit(numbers: &str, unit: UnitId) -> String {
    let symbol = unit.symbol();
    // Units that are whole words have a singular.
    let word = symbol
        .strip_suffix('s')
        .filter(|word| word.len() > 2 && !word.contains('/'));
    match (symbol, word) {
        ("", _) => numbers.to_owned(),
        (_, Some(word)) if numbers == "1" => format!("{numbers} {word}"),
        _ => format!("{numbers} {symbol}"),
    }
}
