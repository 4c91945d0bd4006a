//! Ranges and lines in words.

use crate::figures::explain::worked_out;
use crate::figures::range::Range;
use crate::units::{Interval, Kind, UnitId, print};

/// A range in SI units in the unit in which it reads best: of a time that may be short or long, in that
/// of the longest.
pub fn quantity(range: Range, kind: Kind) -> String {
    const LONG: f64 = 10.0;
    let Some(interval) = range.to_interval(kind) else {
        return "no number".to_string();
    };
    let wide = kind == Kind::Time && range.high > LONG * range.low;
    match interval.high().at().filter(|_| wide) {
        Some(high) => {
            let unit = print::best_unit(kind, &Interval::exact(high));
            print::range_in(&interval, unit, 3)
        }
        None => worked_out(kind, &interval),
    }
}

/// Digits of a cell in a table.
const DIGITS: u32 = 2;

/// A range in a unit that the head of its column names.
pub fn cell(range: Range, kind: Kind, unit: &str) -> String {
    let (interval, id) = (range.to_interval(kind), UnitId::spelt(unit, kind));
    let Some((interval, id)) = interval.zip(id) else {
        return "no number".to_string();
    };
    let whole = print::range_in(&interval, id, DIGITS);
    whole
        .strip_suffix(unit)
        .map_or(whole.as_str(), str::trim_end)
        .to_string()
}
