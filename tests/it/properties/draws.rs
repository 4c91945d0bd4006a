//! A range holds every house that it stands for, from the text of a survey to all that is told of it.
//!
//! Each example is written with ranges for its numbers, and then again and again with a number drawn out
//! of each: whatever is told of the drawn survey lies within what is told of the first. Other tests draw
//! the inputs of one formula and the numbers of one house; here the whole road is drawn at once, so
//! figures that rest on figures are too.

use super::figures::told;
use crate::generate::{Chance, Example, Read, examples, full, in_two, packs};
use serde_json::{Map, Value};
use wetside_base::facts::{Content, FactId, Facts, Value as Known};
use wetside_base::source::Source;
use wetside_base::vocabulary::{Shape, Type};
use wetside_units::{Exact, Form, Interval, Kind, Quantity};

/// How many surveys are drawn out of each example: ten thousand of all in the long run.
fn draws() -> usize {
    if full() { 625 } else { 4 }
}

/// The quantities of a survey, each with the place of its text.
fn quantities(read: &Read) -> Vec<(FactId, Quantity)> {
    let recorded = read
        .facts
        .all()
        .filter(|(id, _)| !read.facts.is_worked_out(*id));
    recorded
        .filter_map(|(id, fact)| match &fact.content {
            Content::Known(Known::Quantity(held)) => Some((id, **held)),
            _ => None,
        })
        .collect()
}

/// The text with some of its values written anew.
fn rewritten(source: &Source, facts: &Facts, new: Vec<(FactId, String)>) -> String {
    let mut places: Vec<_> = new
        .into_iter()
        .map(|(id, words)| (facts.fact(id).span, words))
        .collect();
    places.sort();
    let mut text = source.text.clone();
    for (span, words) in places.iter().rev() {
        text.replace_range(span.range(), words);
    }
    text
}

fn percent(of: Exact, share: i128) -> Option<Exact> {
    of.times(Exact::ratio(share, 100)?)
}

/// Whether it counts whole things; the storeys of a house are a bare number.
fn counts(kind: Kind) -> bool {
    kind.is_whole() || kind == Kind::Number
}

/// A range round an exact number, within what is possible for its field, in words.
fn widened(read: &Read, id: FactId, held: &Quantity, chance: &mut Chance) -> Option<String> {
    let own = held.written_range()?;
    let number = own
        .single()
        .filter(|_| held.form == Form::Exact && !counts(held.kind))?;
    let share = 1 + i128::try_from(chance.below(12)).ok()?;
    let by = match held.kind {
        // A share of a temperature or of a time of the calendar means nothing.
        Kind::Temperature | Kind::Acidity => Exact::ratio(share, 8)?,
        _ => percent(number.magnitude(), share)?,
    };
    let wide = Interval::closed(number.minus(by)?, number.plus(by)?)?;
    let field = packs().vocabulary.field(read.facts.fact(id).field);
    let Shape::Fact(Type::Quantity { possible, .. }) = &field.shape else {
        return None;
    };
    let wide = wide.intersect(&held.unit.range_from_base(possible)?)?;
    let (low, high) = wide.low().at().zip(wide.high().at())?;
    low.decimals().zip(high.decimals())?;
    let unit = held.unit.symbol();
    Some(format!(
        "{} to {} {unit}",
        low.to_decimal(0),
        high.to_decimal(0)
    ))
}

/// A number out of a range in words, its ends more often than chance would have it.
fn drawn(held: &Quantity, chance: &mut Chance) -> Option<String> {
    let own = held.written_range()?;
    let (low, high) = own.low().at().zip(own.high().at())?;
    if low == high {
        return None;
    }
    let steps = if counts(held.kind) { 1 } else { 1000 };
    let at = match chance.below(10) {
        0 | 1 => 0,
        2 | 3 => steps,
        _ => i128::try_from(chance.below(usize::try_from(steps).ok()? + 1)).ok()?,
    };
    let number = low.plus(high.minus(low)?.times(Exact::ratio(at, steps)?)?)?;
    number.decimals()?;
    Some(format!("{} {}", number.to_decimal(0), held.unit.symbol()))
}

/// Where what is told of one survey does not lie within what is told of another.
fn outside(at: &str, wide: &Value, one: &Value, wrong: &mut Vec<String>) {
    match (wide, one) {
        (Value::Object(whole), Value::Object(part)) => {
            if whole.get("kind").is_some_and(Value::is_string) && whole.contains_key("low") {
                let end = |value: &Value, key: &str, open: f64| value[key].as_f64().unwrap_or(open);
                let low = end(wide, "low", f64::NEG_INFINITY) <= end(one, "low", f64::NEG_INFINITY);
                let high = end(wide, "high", f64::INFINITY) >= end(one, "high", f64::INFINITY);
                if !(low && high) {
                    wrong.push(format!(
                        "{at}: {} is not in {}",
                        one["value"], wide["value"]
                    ));
                }
                return;
            }
            // What the return shows is told of two houses, and the total only of the stages that are known.
            let unknown = |plan: &Map<String, Value>| {
                let stages = plan.get("stages").and_then(Value::as_array);
                let stages = stages.into_iter().flatten();
                stages.filter(|stage| stage["cost"].is_null()).count()
            };
            let fewer = unknown(whole) != unknown(part);
            // What is likely moves with what is known; only what is sure holds.
            let told =
                |key: &str| !(["return", "likely"].contains(&key) || key == "total" && fewer);
            for (key, value) in whole.iter().filter(|(key, _)| told(key)) {
                let at = match whole.get("name").or_else(|| whole.get("id")) {
                    Some(name) => format!("{at} {name} {key}"),
                    None => format!("{at} {key}"),
                };
                outside(&at, value, part.get(key).unwrap_or(&Value::Null), wrong);
            }
        }
        (Value::Array(whole), Value::Array(part)) if whole.len() == part.len() => {
            // What has a name keeps it; where it stands, such as in the order of a plan, may change.
            let named = |one: &Value| one.get("name").or_else(|| one.get("id")).cloned();
            for (place, one) in whole.iter().enumerate() {
                let same = named(one).and_then(|name| {
                    let is_it = |other: &&Value| named(other).as_ref() == Some(&name);
                    part.iter().find(is_it)
                });
                outside(at, one, same.unwrap_or(&part[place]), wrong);
            }
        }
        _ => {}
    }
}

fn check(example: &Example) -> Vec<String> {
    let mut chance = Chance::new(20_261_125);
    let exact = Read::by(&example.text, &packs().vocabulary);
    if exact.problems > 0 {
        return Vec::new();
    }
    let wide: Vec<(FactId, String)> = quantities(&exact)
        .into_iter()
        .filter_map(|(id, held)| Some((id, widened(&exact, id, &held, &mut chance)?)))
        .collect();
    assert!(wide.len() > 20, "{}: only {}", example.name, wide.len());
    let text = rewritten(&exact.source, &exact.facts, wide);
    let wide = Read::by(&text, &packs().vocabulary);
    assert_eq!(wide.problems, 0, "{}:\n{text}", example.name);
    let whole = told(&text);
    let ranges = quantities(&wide);
    let mut wrong = Vec::new();
    for _ in 0..draws() {
        let one = ranges
            .iter()
            .filter_map(|(id, held)| Some((*id, drawn(held, &mut chance)?)))
            .collect();
        let one = rewritten(&wide.source, &wide.facts, one);
        outside(&example.name, &whole, &told(&one), &mut wrong);
    }
    wrong
}

#[test]
fn whatever_is_told_of_a_survey_holds_every_survey_drawn_from_it() {
    let wrong: Vec<String> = in_two(examples(), check).into_iter().flatten().collect();
    assert!(
        wrong.is_empty(),
        "{} times, as in\n{}",
        wrong.len(),
        wrong[..wrong.len().min(20)].join("\n")
    );
}
