//! The rule language once more, as slowly and plainly as possible: a condition over one completely
//! known system. Nothing here is shared with the program but the tree of the condition.

use super::bench::WET;
use std::collections::BTreeMap;
use wetside_lang::ast::{
    Choices, Comparison, Each, Expr, Fold, Form, Inclusion, Name, Operation, WhenEmpty,
};

/// What is the case in one completely known system.
pub(super) type World = BTreeMap<String, Value>;

#[derive(Clone, Debug, PartialEq)]
pub(super) enum Value {
    Truth(bool),
    Number(f64),
    Word(String),
    Set(Vec<String>),
    List(Vec<World>),
}

/// Answers a condition; `scope` holds the elements that list expressions named.
pub(super) fn holds(expr: &Expr, world: &World, scope: &BTreeMap<String, World>) -> bool {
    match value(expr, world, scope) {
        Value::Truth(answer) => answer,
        other => panic!("{other:?} is no answer"),
    }
}

fn number(expr: &Expr, world: &World, scope: &BTreeMap<String, World>) -> f64 {
    match value(expr, world, scope) {
        Value::Number(number) => number,
        other => panic!("{other:?} is no number"),
    }
}

fn found(path: &[Name], world: &World, scope: &BTreeMap<String, World>) -> Value {
    match scope.get(&path[0].text) {
        Some(element) => element[&path[1].text].clone(),
        None => world[&path[0].text].clone(),
    }
}

fn value(expr: &Expr, world: &World, scope: &BTreeMap<String, World>) -> Value {
    let truth = |expr: &Expr| holds(expr, world, scope);
    let of = |expr: &Expr| value(expr, world, scope);
    match &expr.form {
        Form::Measure { number, .. } => Value::Number(number.parse().unwrap()),
        Form::Words(word) => Value::Word(word.clone()),
        Form::Path(path) => found(path, world, scope),
        Form::Negate(inner) => Value::Number(-number(inner, world, scope)),
        Form::Arithmetic(operation, a, b) => {
            let (a, b) = (number(a, world, scope), number(b, world, scope));
            Value::Number(match operation {
                Operation::Plus => a + b,
                Operation::Minus => a - b,
                Operation::Times => a * b,
                Operation::Over => a / b,
            })
        }
        Form::Compare(comparison, a, b) => Value::Truth(compared(*comparison, &of(a), &of(b))),
        Form::Between(middle, low, high) => {
            let middle = number(middle, world, scope);
            Value::Truth(
                number(low, world, scope) <= middle && middle <= number(high, world, scope),
            )
        }
        Form::OneOf(word, options) => Value::Truth(choices(options).contains(&of(word))),
        Form::Includes(inclusion, set, options) => {
            let Value::Set(words) = of(set) else {
                panic!("a set was expected")
            };
            let options = choices(options);
            let named = |word: &String| options.contains(&Value::Word(word.clone()));
            Value::Truth(match inclusion {
                Inclusion::OneOf => words.iter().any(named),
                Inclusion::Only => words.iter().all(named),
            })
        }
        Form::Holds(set, word) => match (of(set), of(word)) {
            (Value::Set(words), Value::Word(word)) => Value::Truth(words.contains(&word)),
            other => panic!("{other:?}: a set and a word were expected"),
        },
        Form::Empty(set) => Value::Truth(of(set) == Value::Set(Vec::new())),
        Form::Not(inner) => Value::Truth(!truth(inner)),
        Form::And(parts) => Value::Truth(parts.iter().all(truth)),
        Form::Or(parts) => Value::Truth(parts.iter().any(truth)),
        Form::If(condition, a, Some(b)) => of(if truth(condition) { a } else { b }),
        Form::If(condition, a, None) => Value::Truth(!truth(condition) || truth(a)),
        Form::Pick(fold, among) => {
            picked(*fold, among.iter().map(|expr| number(expr, world, scope))).unwrap()
        }
        Form::Call(_, arguments) => {
            let gap = number(&arguments[0], world, scope) - number(&arguments[1], world, scope);
            Value::Number(gap.abs())
        }
        _ => listed(expr, world, scope),
    }
}

/// The words that are asked for; of the lists of the bench there is one.
fn choices(options: &Choices) -> Vec<Value> {
    match options {
        Choices::Named(_) => WET.map(|word| Value::Word(word.to_string())).to_vec(),
        Choices::Written(options) => {
            let word = |option: &Expr| match &option.form {
                Form::Words(word) => Value::Word(word.clone()),
                other => panic!("{other:?} is no word"),
            };
            options.iter().map(word).collect()
        }
    }
}

fn compared(comparison: Comparison, a: &Value, b: &Value) -> bool {
    let sizes = match (a, b) {
        (Value::Number(a), Value::Number(b)) => a.partial_cmp(b),
        _ => None,
    };
    match comparison {
        Comparison::Is => a == b,
        Comparison::IsNot => a != b,
        Comparison::Less => sizes.unwrap().is_lt(),
        Comparison::AtMost => sizes.unwrap().is_le(),
        Comparison::More => sizes.unwrap().is_gt(),
        Comparison::AtLeast => sizes.unwrap().is_ge(),
    }
}

fn picked(fold: Fold, mut numbers: impl Iterator<Item = f64>) -> Option<Value> {
    let best = match fold {
        Fold::Sum => Some(numbers.sum()),
        Fold::Least => numbers.reduce(f64::min),
        Fold::Greatest => numbers.reduce(f64::max),
        Fold::First => numbers.next(),
        Fold::Last => numbers.last(),
    };
    best.map(Value::Number)
}

/// The scopes of the elements that a list expression means.
fn meant(
    each: &Each,
    world: &World,
    scope: &BTreeMap<String, World>,
) -> Vec<BTreeMap<String, World>> {
    let Value::List(elements) = found(&each.list, world, scope) else {
        panic!("a list was expected")
    };
    let before = [None]
        .into_iter()
        .chain(elements.clone().into_iter().map(Some));
    let inner = elements
        .into_iter()
        .zip(before)
        .filter_map(|(element, before)| {
            let mut inner = scope.clone();
            if let Some(variable) = &each.variable {
                inner.insert(variable.text.clone(), element);
            }
            if let Some(after) = &each.after {
                inner.insert(after.text.clone(), before?);
            }
            Some(inner)
        });
    inner
        .filter(|inner| {
            each.filter
                .as_ref()
                .is_none_or(|filter| holds(filter, world, inner))
        })
        .collect()
}

fn listed(expr: &Expr, world: &World, scope: &BTreeMap<String, World>) -> Value {
    match &expr.form {
        Form::Every(each, when_empty, body) => {
            let meant = meant(each, world, scope);
            let enough = *when_empty == WhenEmpty::Acceptable || !meant.is_empty();
            Value::Truth(enough && meant.iter().all(|inner| holds(body, world, inner)))
        }
        Form::Some(each, body) => Value::Truth(
            meant(each, world, scope)
                .iter()
                .any(|inner| holds(body, world, inner)),
        ),
        #[expect(clippy::cast_precision_loss, reason = "lists here have a few elements")]
        Form::Count(each) => Value::Number(meant(each, world, scope).len() as f64),
        Form::Fold(fold, of, each, otherwise) => {
            let meant = meant(each, world, scope);
            let numbers = meant.iter().map(|inner| number(of, world, inner));
            picked(*fold, numbers)
                .or_else(|| {
                    otherwise
                        .as_ref()
                        .map(|otherwise| value(otherwise, world, scope))
                })
                .unwrap()
        }
        other => panic!("{other:?} is not for this evaluator"),
    }
}
