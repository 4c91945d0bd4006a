//! Types in words, and what to do about two that do not go together.

use crate::ast::Operation;
use crate::node::Type;
use wetside_base::vocabulary::{Vocabulary, WordId};
use wetside_units::Kind;

/// A type in words, for messages.
pub(super) fn described(yields: &Type) -> String {
    match yields {
        Type::Truth => "a condition".to_string(),
        Type::Quantity(kind) => kind.row().one.to_string(),
        Type::Date => "a date".to_string(),
        Type::Moment => "a day with a time of day".to_string(),
        Type::Word(words) if is_yes_or_no(words) => "a yes or no".to_string(),
        Type::Word(_) => "a choice of words".to_string(),
        Type::Set(_) => "a set of words".to_string(),
        Type::Text => "a text".to_string(),
        Type::Unreadable => "something unreadable".to_string(),
    }
}

pub(super) fn is_yes_or_no(words: &[WordId]) -> bool {
    words
        .iter()
        .all(|word| *word == Vocabulary::YES || *word == Vocabulary::NO)
}

/// What to do about two sides that do not go together.
pub(super) fn advice(a: &Type, b: &Type) -> String {
    match (a, b) {
        (Type::Quantity(a), Type::Quantity(b)) => advice_on_kinds(*a, *b),
        (Type::Set(_), _) | (_, Type::Set(_)) => {
            "ask a fact with several words with `includes`, as in `circuit.pipe_materials includes 'copper'`".to_string()
        }
        (Type::Date | Type::Moment, _) | (_, Type::Date | Type::Moment) => {
            "a day is written year, month, day, as in `2026-10-13`".to_string()
        }
        (Type::Truth, _) | (_, Type::Truth) => {
            "a condition stands by itself; join two of them with `and` or `or`".to_string()
        }
        _ => "a fact goes with a value of its own type".to_string(),
    }
}

/// What to do about two sides that no sign of arithmetic can join.
pub(super) fn advice_on_sign(operation: Operation, a: &Type, b: &Type) -> String {
    let point = [a, b].into_iter().find_map(|side| match side {
        Type::Quantity(kind) if kind.is_point() => Some(kind.row().one),
        _ => None,
    });
    let is_day = |side: &Type| matches!(side, Type::Date | Type::Moment);
    let help = match (operation, point) {
        (Operation::Plus, _) if is_day(b) => "write the date first, as in `as_of + 12 months`",
        _ if is_day(a) || is_day(b) => {
            "a date is moved by a length of time, or subtracted from another date"
        }
        (Operation::Plus | Operation::Minus, Some(point)) if a == b => {
            return format!(
                "{point} is a point on a scale: subtract two of them, or add a difference to one"
            );
        }
        (Operation::Plus | Operation::Minus, _) => return advice(a, b),
        (Operation::Times | Operation::Over, Some(point)) => {
            return format!(
                "{point} is a point on a scale and has no multiples; take the difference of two first"
            );
        }
        (Operation::Times | Operation::Over, None) => "there is no kind of quantity for the result",
    };
    help.to_string()
}

fn advice_on_kinds(a: Kind, b: Kind) -> String {
    use Kind::{
        AbsolutePressure, GaugePressure, Head, Length, PressureDifference, Temperature,
        TemperatureDifference,
    };
    let is_pressure = |kind| matches!(kind, GaugePressure | AbsolutePressure | PressureDifference);
    match (a, b) {
        (Temperature, TemperatureDifference) | (TemperatureDifference, Temperature) => {
            "a point on the scale is written in °C, a difference in K".to_string()
        }
        (GaugePressure, PressureDifference) | (PressureDifference, GaugePressure) => {
            "subtract two gauge pressures, or add the difference to one of them".to_string()
        }
        (GaugePressure, AbsolutePressure) | (AbsolutePressure, GaugePressure) => {
            "gauge pressure is counted from the air's, absolute pressure from a vacuum".to_string()
        }
        (Head | Length, other) | (other, Head | Length) if is_pressure(other) => {
            "keep to like with like; the pressure under a height of water is `pressure_of(…)`"
                .to_string()
        }
        _ => format!(
            "{} and {} are different things; keep to like with like",
            a.row().one,
            b.row().one
        ),
    }
}
