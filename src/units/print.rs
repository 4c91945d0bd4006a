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
const SHOWN: u32 = 4;

impl fmt::Display for Quantity {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&written(self))
    }
}

/// A range in base units in the given unit: `4 to 6 m`, `at least 9 L/min`. A single number is
/// rounded to the nearest, a range outwards.
pub fn range_in(range: &Interval, unit: UnitId, significant: u32) -> String {
    in_units(range, (unit, unit), significant, None)
}

/// How many significant digits of a worked-out value people are shown.
const WORKED_OUT: u32 = 3;

/// What lasts longer than this, in seconds, goes on for ever: 31 years.
pub const FOR_EVER: i64 = 1_000_000_000;

/// A value that was worked out, in base units: in the unit in which it reads best, with no more
/// digits than it deserves; `unknown` where there is no limit on either side.
pub fn worked_out(kind: Kind, range: &Interval) -> String {
    worked_out_to(kind, range, WORKED_OUT - u32::from(is_wide(range)))
}

/// Whether the ends lie so far apart that a third digit of either says nothing.
fn is_wide(range: &Interval) -> bool {
    let ends = range.low().at().zip(range.high().at());
    let quarter_more = |low: Exact| low.times(Exact::ratio(5, 4)?);
    ends.is_some_and(|(low, high)| {
        low >= Exact::ZERO && quarter_more(low).is_some_and(|more| high > more)
    })
}

/// A value that was worked out, to so many digits.
pub fn worked_out_to(kind: Kind, range: &Interval, significant: u32) -> String {
    if range.low().at().is_none() && range.high().at().is_none() {
        return "unknown".to_owned();
    }
    let ever = Exact::whole(FOR_EVER);
    if kind == Kind::Time && range.low().at().is_some_and(|low| low >= ever) {
        return "for ever".to_owned();
    }
    let units = match kind {
        Kind::Time => units_of_time(range),
        _ => (UnitId::usual(kind), UnitId::usual(kind)),
    };
    in_units(range, units, significant, place(kind, range, units.1))
}

/// A value that was worked out, in the unit of its column.
pub fn worked_out_in(kind: Kind, range: &Interval, unit: UnitId, significant: u32) -> String {
    in_units(range, (unit, unit), significant, place(kind, range, unit))
}

/// Units of time from the smallest.
const TIMES: [&str; 5] = ["s", "min", "h", "days", "years"];

/// The units in which a person would say the two ends of a time: one for both where both read well in
/// it, as in `90 to 150 min`, and otherwise for each end its own, as in `10 min to 5 h`.
fn units_of_time(range: &Interval) -> (UnitId, UnitId) {
    let unit =
        |at: usize| UnitId::spelt(TIMES[at], Kind::Time).unwrap_or(UnitId::usual(Kind::Time));
    let reaches = |size: Exact, times: i128, at: usize| {
        let most = Exact::ratio(times, 1).and_then(|times| unit(at).factor().times(times));
        most.is_some_and(|most| size >= most)
    };
    // The largest unit that it fills twice.
    let own = |size: Exact| {
        (1..TIMES.len())
            .rfind(|at| reaches(size, 2, *at))
            .unwrap_or(0)
    };
    let size = |end: End| end.at().map(Exact::magnitude);
    let sized = |end: End| size(end).filter(|size| !size.is_zero());
    let (low, high) = match (sized(range.low()), sized(range.high())) {
        (Some(low), Some(high)) => (low, high),
        (one, other) => {
            let only = unit(one.or(other).map_or(0, own));
            return (only, only);
        }
    };
    let (short, long) = (low.min(high), low.max(high));
    let (small, large) = (own(short), own(long));
    let both = if small == large || !reaches(long, 3, small + 1) {
        Some(small)
    } else {
        reaches(short, 1, large).then_some(large)
    };
    match both {
        Some(at) => (unit(at), unit(at)),
        None => (unit(own(low)), unit(own(high))),
    }
}

/// Of two points on a scale the place of the last digit that deserves to be shown, as the number by
/// which it is one: what is left of zero beside a whole bar says nothing more for another digit, and no
/// gauge shows a thousandth of a bar.
fn place(kind: Kind, range: &Interval, unit: UnitId) -> Option<Exact> {
    const FINEST: u32 = 6;
    const OF_A_GAUGE: Exact = Exact::whole(100);
    let shown = unit.range_from_base(range).filter(|_| kind.is_point())?;
    let (low, high) = shown.low().at().zip(shown.high().at())?;
    let larger = low.magnitude().max(high.magnitude());
    let least = Exact::ratio(10_i128.pow(WORKED_OUT - 1), 1)?;
    let mut scales = (0..=FINEST).filter_map(|places| Exact::ratio(10_i128.pow(places), 1));
    let on_a_gauge = kind == Kind::GaugePressure && unit == UnitId::usual(kind);
    let enough = |scale: &Exact| {
        on_a_gauge && *scale == OF_A_GAUGE
            || larger.times(*scale).is_some_and(|digits| digits >= least)
    };
    scales.find(enough)
}

/// A range with each end in its unit, and no finer than the place.
fn in_units(
    range: &Interval,
    (low_unit, high_unit): (UnitId, UnitId),
    significant: u32,
    place: Option<Exact>,
) -> String {
    let (Some(low), Some(high)) = (
        low_unit.range_from_base(range),
        high_unit.range_from_base(range),
    ) else {
        return "a number too large to show".to_owned();
    };
    let short = |at: Exact, rounding| at.rounded(significant, rounding).to_decimal(0);
    if let Some(single) = low.single() {
        return with_unit(&short(single, Rounding::Nearest), low_unit);
    }
    let down = |at| short(to_place(at, place, Exact::floor), Rounding::Down);
    let up = |at| short(to_place(at, place, Exact::ceil), Rounding::Up);
    if low_unit == high_unit {
        return with_unit(&ends(low.low(), low.high(), down, up), low_unit);
    }
    let down = |at| with_unit(&down(at), low_unit);
    let up = |at| with_unit(&up(at), high_unit);
    ends(low.low(), high.high(), down, up)
}

fn to_place(at: Exact, place: Option<Exact>, whole: fn(Exact) -> Exact) -> Exact {
    let rounded = place.and_then(|place| whole(at.times(place)?).over(place));
    rounded.unwrap_or(at)
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
            with_unit(&ends(shown.low(), shown.high(), full, full), unit)
        }
    }
}

/// Both ends in words.
fn ends(
    low: End,
    high: End,
    low_text: impl Fn(Exact) -> String,
    high_text: impl Fn(Exact) -> String,
) -> String {
    match (low, high) {
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
    }
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
