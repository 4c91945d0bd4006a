//! Ranges and lines in words.

use wetside_engine::figures::explain::worked_out;
use wetside_house::Range;
use wetside_units::{Kind, UnitId, print};

/// A range in SI units in the unit in which it reads best.
pub(super) fn quantity(range: Range, kind: Kind) -> String {
    match range.to_interval(kind) {
        Some(interval) => worked_out(kind, &interval),
        None => "no number".to_string(),
    }
}

/// Digits of a cell in a table.
const DIGITS: u32 = 2;

/// A range in a unit that the head of its column names.
pub(super) fn cell(range: Range, kind: Kind, unit: &str) -> String {
    let (interval, id) = (range.to_interval(kind), UnitId::spelt(unit, kind));
    let Some((interval, id)) = interval.zip(id) else {
        return "no number".to_string();
    };
    let whole = print::worked_out_in(kind, &interval, id, DIGITS);
    whole
        .strip_suffix(unit)
        .map_or(whole.as_str(), str::trim_end)
        .to_string()
}

/// A time in a table, in the unit in which it reads best.
pub(super) fn time_cell(range: Range) -> String {
    match range.to_interval(Kind::Time) {
        Some(interval) => print::worked_out_to(Kind::Time, &interval, DIGITS),
        None => "no number".to_string(),
    }
}
