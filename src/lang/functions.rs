//! The functions of the rule language: one table of name, meaning, kinds, example and code.
//!
//! Contract: the checker, the evaluator and the reference page read the same row, so that a function
//! is added in one place. A function is inclusion-isotonic: a narrower argument never gives a wider
//! result.

use wetside_units::{Exact, Interval, Kind};

pub struct Function {
    pub name: &'static str,
    /// What it gives, for people.
    pub says: &'static str,
    /// One use with its value, run as a test.
    pub example: (&'static str, &'static str),
    pub arguments: usize,
    /// The kind of the result for these kinds of arguments, or what was expected instead.
    pub kind: fn(&[Kind]) -> Result<Kind, &'static str>,
    /// Base units in, base units out; nothing where a number does not fit.
    pub value: fn(&[Interval]) -> Option<Interval>,
}

pub const FUNCTIONS: &[Function] = &[
    Function {
        name: "pressure_of",
        says: "the pressure under a column of cold water of this height, at 1,000 kg/m³ and \
               standard gravity, 9.80665 m/s² (exact by definition)",
        example: ("pressure_of(10 m) > 0.98 bar", "yes"),
        arguments: 1,
        kind: |kinds| match kinds {
            [Kind::Length | Kind::Head] => Ok(Kind::PressureDifference),
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
        kind: |kinds| match kinds {
            [a, b] if a == b => Ok(a.difference()),
            _ => Err("two values of the same kind"),
        },
        value: |values| {
            let [a, b] = values else { return None };
            Some(a.minus(b)?.magnitude())
        },
    },
];
