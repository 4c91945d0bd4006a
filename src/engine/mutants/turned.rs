//! What a sign, a number or a quantifier could have been in its place.

use wetside_lang::ast::{Choices, Comparison, Expr, Fold, Form, Inclusion, Operation, WhenEmpty};
use wetside_units::Exact;

/// What a form could have been with another sign, word or quantifier in the same place.
pub(super) fn others(form: &Form) -> Vec<(String, Form)> {
    let named = |word: &str, form: Form| (format!("`{word}`"), form);
    let said = |words: &str, form: Form| vec![(words.to_string(), form)];
    match form.clone() {
        Form::Arithmetic(operation, a, b) => {
            let other = inverse(operation);
            vec![named(other.sign(), Form::Arithmetic(other, a, b))]
        }
        Form::Compare(comparison, a, b) => {
            let with = |other: &Comparison| {
                named(other.sign(), Form::Compare(*other, a.clone(), b.clone()))
            };
            turned(comparison).iter().map(with).collect()
        }
        Form::Includes(inclusion, set, words) => {
            let (other, word) = match inclusion {
                Inclusion::Only => (Inclusion::OneOf, "includes one of"),
                Inclusion::OneOf => (Inclusion::Only, "includes only"),
            };
            vec![named(word, Form::Includes(other, set, words))]
        }
        Form::Holds(set, word) if word_of(&word).is_some() => {
            let only = Form::Includes(Inclusion::Only, set, Choices::Written(vec![*word]));
            vec![named("includes only", only)]
        }
        Form::And(parts) => said("`or` in place of `and`", Form::Or(parts)),
        Form::Or(parts) => said("`and` in place of `or`", Form::And(parts)),
        Form::If(condition, a, Some(b)) => said(
            "the two branches exchanged",
            Form::If(condition, b, Some(a)),
        ),
        Form::Every(each, when_empty, body) => {
            let (other, word) = match when_empty {
                WhenEmpty::Acceptable => (WhenEmpty::Broken, "at least one"),
                WhenEmpty::Broken => (WhenEmpty::Acceptable, "if any"),
            };
            let every = Form::Every(each.clone(), other, body.clone());
            vec![
                named(word, every),
                named("for some", Form::Some(each, body)),
            ]
        }
        Form::Some(each, body) => {
            vec![named(
                "for every",
                Form::Every(each, WhenEmpty::Acceptable, body),
            )]
        }
        Form::Fold(fold, value, each, otherwise) => {
            let other = other_end(fold)
                .map(|end| named(end.word(), Form::Fold(end, value, each, otherwise)));
            other.into_iter().collect()
        }
        Form::Pick(fold, among) => {
            let other = other_end(fold).map(|end| named(end.word(), Form::Pick(end, among)));
            other.into_iter().collect()
        }
        _ => Vec::new(),
    }
}

/// The word that an expression is, if it is no more.
pub(super) fn word_of(expr: &Expr) -> Option<&str> {
    match &expr.form {
        Form::Words(word) => Some(word),
        _ => None,
    }
}

fn inverse(operation: Operation) -> Operation {
    match operation {
        Operation::Plus => Operation::Minus,
        Operation::Minus => Operation::Plus,
        Operation::Times => Operation::Over,
        Operation::Over => Operation::Times,
    }
}

pub(super) fn negated(expr: &Expr) -> Form {
    Form::Not(Box::new(expr.clone()))
}

/// The comparison that differs on the limit alone, and the opposite.
fn turned(comparison: Comparison) -> &'static [Comparison] {
    match comparison {
        Comparison::Less => &[Comparison::AtMost, Comparison::AtLeast],
        Comparison::AtMost => &[Comparison::Less, Comparison::More],
        Comparison::More => &[Comparison::AtLeast, Comparison::AtMost],
        Comparison::AtLeast => &[Comparison::More, Comparison::Less],
        Comparison::Is => &[Comparison::IsNot],
        Comparison::IsNot => &[Comparison::Is],
    }
}

fn other_end(fold: Fold) -> Option<Fold> {
    match fold {
        Fold::Least => Some(Fold::Greatest),
        Fold::Greatest => Some(Fold::Least),
        Fold::First => Some(Fold::Last),
        Fold::Last => Some(Fold::First),
        Fold::Sum => None,
    }
}

/// A number a hair lower and higher, and by half, with its unit: a hair is a hundredth, a whole one of
/// what comes in whole numbers, and of longer times the next day or month.
pub(super) fn moved(number: &str, unit: &str, whole: bool) -> Vec<(String, String)> {
    let (times, unit, whole) = match unit {
        "year" | "years" => (12, "months", true),
        "month" | "months" => (1, "months", true),
        "week" | "weeks" => (7, "days", true),
        "day" | "days" => (1, "days", true),
        other => (1, other, whole),
    };
    let number = Exact::parse(number).and_then(|number| number.times(Exact::from(times)));
    let Some(number) = number else {
        return Vec::new();
    };
    let share = |above: i64, below: i64| number.times(Exact::from(above))?.over(Exact::from(below));
    let hair = if whole && number.floor() == number {
        Some(Exact::ONE)
    } else if number.is_zero() {
        Exact::decimal(1, 2)
    } else {
        share(1, 100)
    };
    let hair = hair.unwrap_or(Exact::ONE);
    let all = [
        number.minus(hair),
        number.plus(hair),
        share(1, 2),
        share(3, 2),
    ];
    let all = all.into_iter().flatten().filter(|moved| *moved != number);
    all.map(|moved| (moved.to_decimal(0), unit.to_string()))
        .collect()
}
