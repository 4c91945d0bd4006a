//! Types in words, and what to do about two that do not go together.

use super::Checker;
use crate::lang::node::Type;
use crate::units::Kind;
use crate::vocabulary::{Vocabulary, WordId};

impl Checker<'_> {
    /// A type in words, for messages.
    pub(super) fn described(&self, yields: &Type) -> String {
        match yields {
            Type::Truth => "a condition".to_string(),
            Type::Quantity(kind) => kind.row().one.to_string(),
            Type::Date => "a date".to_string(),
            Type::Word(words) if is_yes_or_no(words) => "a yes or no".to_string(),
            Type::Word(_) => "a choice of words".to_string(),
            Type::Set(_) => "a set of words".to_string(),
            Type::Text => "a text".to_string(),
            Type::Unreadable => "something unreadable".to_string(),
        }
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
        (Type::Date, _) | (_, Type::Date) => {
            "a day is written year, month, day, as in `2026-10-13`".to_string()
        }
        (Type::Truth, _) | (_, Type::Truth) => {
            "a condition stands by itself; join two of them with `and` or `or`".to_string()
        }
        _ => "compare a fact with a value of its own type".to_string(),
    }
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
            "a height of water becomes a pressure difference with `pressure_of(…)`".to_string()
        }
        _ if a == b => format!("two of the kind {} do not go together like this", a.name()),
        _ => format!(
            "{} and {} are different things; compare like with like",
            a.row().one,
            b.row().one
        ),
    }
}
