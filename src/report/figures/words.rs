//! Ranges and lines in words.

use wetside_engine::figures::explain::{Worked, worked_out};
use wetside_house::{Likely, Range};
use wetside_units::{Kind, UnitId, print};

const NO_NUMBER: &str = "no number";

/// A range in SI units in the unit in which it reads best.
pub(super) fn quantity(range: Range, kind: Kind) -> String {
    let interval = range.to_interval(kind);
    interval.map_or(NO_NUMBER.to_string(), |interval| {
        worked_out(kind, &interval)
    })
}

/// Digits of a cell in a table.
const DIGITS: u32 = 2;

/// A range in a unit that the head of its column names.
pub(super) fn cell(range: Range, kind: Kind, unit: &str) -> String {
    cell_to(range, kind, unit, DIGITS)
}

fn cell_to(range: Range, kind: Kind, unit: &str, digits: u32) -> String {
    let (interval, id) = (range.to_interval(kind), UnitId::spelt(unit, kind));
    let Some((interval, id)) = interval.zip(id) else {
        return NO_NUMBER.to_string();
    };
    let whole = print::worked_out_in(kind, &interval, id, digits);
    whole
        .strip_suffix(unit)
        .map_or(whole.as_str(), str::trim_end)
        .to_string()
}

/// A likely value and its range in a table, in a unit that the head of its column names, or a time in its own;
/// where nothing is likely the sure range, called so. What is spread over several times itself has one digit.
pub(super) fn likely_cell(
    likely: Option<Likely>,
    sure: Range,
    kind: Kind,
    unit: Option<&str>,
) -> String {
    const SPREAD: f64 = 3.0;
    let told = |range: Range, digits| match unit {
        Some(unit) => cell_to(range, kind, unit, digits),
        None => rough_to(range, kind, digits),
    };
    let Some(Likely { value, range }) = likely else {
        return format!("sure {}", told(sure, DIGITS));
    };
    let (range, digits) = match kind {
        Kind::GaugePressure => (to_hundredths(range), 3),
        _ if range.high > SPREAD * range.low => (range, 1),
        _ => (range, DIGITS),
    };
    let value = if kind == Kind::GaugePressure {
        to_hundredths(Range::point(value)).high
    } else {
        value
    };
    format!(
        "{} ({})",
        told(Range::point(value), digits),
        told(range, digits)
    )
}

/// A range of pressures to the hundredth of a bar: about nothing its digits are no measure of it.
fn to_hundredths(range: Range) -> Range {
    const STEP: f64 = 1000.0;
    if range.is_point() {
        return Range::point((range.low / STEP).round() * STEP);
    }
    Range::new(
        (range.low / STEP).floor() * STEP,
        (range.high / STEP).ceil() * STEP,
    )
}

/// A range in a table, in the unit in which it reads best.
pub(super) fn rough(range: Range, kind: Kind) -> String {
    rough_to(range, kind, DIGITS)
}

fn rough_to(range: Range, kind: Kind, digits: u32) -> String {
    let interval = range.to_interval(kind);
    interval.map_or(NO_NUMBER.to_string(), |interval| {
        print::worked_out_to(kind, &interval, digits)
    })
}

/// A range of seconds in whole minutes, so that a day can be read at a glance.
pub fn minutes(range: Range) -> String {
    let minutes = |seconds: f64| (seconds / 60.0).round();
    let (low, high) = (minutes(range.low), minutes(range.high));
    if !high.is_finite() {
        format!("at least {low} min")
    } else if low < high {
        format!("{low} to {high} min")
    } else {
        format!("{high} min")
    }
}

/// A range of seconds as hours and minutes, as a clock that was started shows them: `1:53 to 2:38`.
pub fn clock(range: Range) -> String {
    let clock = |seconds: f64| {
        let minutes = (seconds / 60.0).round();
        format!("{}:{:02}", (minutes / 60.0).floor(), minutes % 60.0)
    };
    let (low, high) = (clock(range.low), clock(range.high));
    if !range.high.is_finite() {
        format!("at least {low}")
    } else if low == high {
        low
    } else {
        format!("{low} to {high}")
    }
}

/// The name of a figure as people say it.
pub(super) fn plain(name: &str) -> String {
    name.replace('_', " ").replace("tds", "TDS")
}

/// The value of a figure by its name, or why it has none.
pub(super) fn of<'a>(figures: &'a [Worked], name: &str) -> Result<&'a str, &'a str> {
    let found = figures.iter().find(|figure| figure.name == name);
    match found.map(|figure| &figure.value) {
        Some(Ok(value)) => Ok(value),
        Some(Err(why)) => Err(why),
        None => Err("there is no such figure"),
    }
}
