//! The functions of the rule language: one table of name, meaning, kinds, example and code.
//!
//! Contract: the checker, the evaluator and the reference page read the same row, so that a function
//! is added in one place. A function is inclusion-isotonic: a narrower argument never gives a wider
//! result.

use crate::node::Type;
use wetside_units::datetime::{DateTime, SECONDS_A_DAY};
use wetside_units::{End, Exact, Interval, Kind};

pub struct Function {
    pub name: &'static str,
    /// What it gives, for people.
    pub says: &'static str,
    /// One use with its value, run as a test.
    pub example: (&'static str, &'static str),
    pub arguments: usize,
    /// The type of the result for these types of arguments, or what was expected instead.
    pub yields: fn(&[Type]) -> Result<Type, &'static str>,
    /// Base units in, base units out, seconds for days and moments; nothing where a number does not fit.
    pub value: fn(&[Interval]) -> Option<Interval>,
}

/// The place of the function that a moment goes through where it stands beside a plain day.
pub(crate) const DAY_OF: usize = 0;

pub const FUNCTIONS: &[Function] = &[
    Function {
        name: "day_of",
        says: "the day of a moment",
        example: ("day_of(2026-10-13T10:05) is 2026-10-13", "yes"),
        arguments: 1,
        yields: |types| match types {
            [Type::Moment] => Ok(Type::Date),
            _ => Err("a day with a time of day"),
        },
        value: |moments| {
            let [moment] = moments else { return None };
            let day = Exact::whole(SECONDS_A_DAY);
            let last = match moment.high() {
                // Up to midnight, and not midnight itself, is still the day before.
                End::Open(at) => End::Closed(at.over(day)?.ceil().minus(Exact::ONE)?.times(day)?),
                end => begun(end, day)?,
            };
            Interval::new(begun(moment.low(), day)?, last)
        },
    },
    Function {
        name: "pressure_of",
        says: "the pressure under a column of cold water of this height, at 1,000 kg/m³ and \
               standard gravity, 9.80665 m/s² (exact by definition)",
        example: ("pressure_of(10 m) > 0.98 bar", "yes"),
        arguments: 1,
        yields: |types| match types {
            [Type::Quantity(Kind::Length | Kind::Head)] => {
                Ok(Type::Quantity(Kind::PressureDifference))
            }
            _ => Err("a length or a head"),
        },
        value: |heights| {
            let [height] = heights else { return None };
            let weight = Interval::exact(Exact::ratio(980_665, 100)?);
            height.times(&weight)
        },
    },
    Function {
        name: "gap",
        says: "how far apart two values are, whichever is the greater",
        example: ("gap(7.2, 8.0) is 0.8", "yes"),
        arguments: 2,
        yields: |types| match types {
            [Type::Quantity(a), Type::Quantity(b)] if a == b => Ok(Type::Quantity(a.difference())),
            [Type::Date, Type::Date] | [Type::Moment, Type::Moment] => {
                Ok(Type::Quantity(Kind::Time))
            }
            _ => Err("two values of the same kind"),
        },
        value: |values| {
            let [a, b] = values else { return None };
            Some(a.minus(b)?.magnitude())
        },
    },
    Function {
        name: "at_25",
        says: "what a meter that does not correct for temperature would read of this water at 25 °C, from its \
               reading at a temperature of 0 to 60 °C: 2 % a kelvin (practice of meters, read)",
        example: ("at_25(420 ppm, 35 °C) is 350 ppm", "yes"),
        arguments: 2,
        yields: |types| match types {
            [
                Type::Quantity(kind @ (Kind::DissolvedSolids | Kind::Conductivity)),
                Type::Quantity(Kind::Temperature),
            ] => Ok(Type::Quantity(*kind)),
            _ => Err("a reading of dissolved solids or conductivity, and a temperature"),
        },
        value: |readings| {
            let [reading, kelvin] = readings else {
                return None;
            };
            let lawful = Interval::closed(Exact::ratio(27_315, 100)?, Exact::ratio(33_315, 100)?)?;
            if !lawful.encloses(kelvin) {
                return None;
            }
            // 1 + (t − 25)/50 = (t + 25)/50, with t in °C.
            let more = kelvin.minus(&Interval::exact(Exact::ratio(24_815, 100)?))?;
            let share = more.over(&Interval::exact(Exact::whole(50)))?;
            reading.over(&share)
        },
    },
    Function {
        name: "year_of",
        says: "the calendar year that a day lies in",
        example: ("year_of(2026-10-13) is 2026", "yes"),
        arguments: 1,
        yields: |types| match types {
            [Type::Date] => Ok(Type::Quantity(Kind::Year)),
            _ => Err("a day"),
        },
        value: |days| {
            let [day] = days else { return None };
            // An open end is taken with its own year: wider by a day at most, and never too narrow.
            let year = |end: End| match end.at() {
                Some(at) => year_of(at).map(End::Closed),
                None => Some(End::Unbounded),
            };
            Interval::new(year(day.low())?, year(day.high())?)
        },
    },
];

/// The year of the day that begins so many seconds after the first one.
fn year_of(seconds: Exact) -> Option<Exact> {
    let moment = DateTime::from_seconds(i64::try_from(seconds.floor().above()).ok()?)?;
    Some(Exact::whole(i64::from(moment.date().year())))
}

/// The first second of the day that an end lies in.
fn begun(end: End, day: Exact) -> Option<End> {
    Some(match end.at() {
        Some(at) => End::Closed(at.over(day)?.floor().times(day)?),
        None => End::Unbounded,
    })
}
