//! The same document written another way: keys and things in another order, quantities in other
//! units.

use super::Chance;
use wetside_base::facts::{self, Content, Facts};
use wetside_base::source::Source;
use wetside_document::{Node, Value};
use wetside_units::{Exact, Form, Kind, Quantity, UnitId};

/// A tree as YAML, its maps and lists in an order of chance; as they are without one.
pub(crate) fn written(root: &Node, chance: &mut Option<Chance>) -> String {
    let mut text = String::new();
    write(root, 0, chance, &mut text);
    text
}

fn write(node: &Node, depth: usize, chance: &mut Option<Chance>, text: &mut String) {
    match &node.value {
        Value::Map(entries) if !entries.is_empty() => {
            for entry in in_order(entries, chance) {
                text.push_str(&format!("\n{}{}:", "  ".repeat(depth), entry.key.text));
                write(&entry.value, depth + 1, chance, text);
            }
        }
        Value::Map(_) => text.push_str(" {}"),
        Value::List(items) if items.iter().all(|item| item.as_scalar().is_some()) => {
            let words: Vec<String> = in_order(items, chance)
                .into_iter()
                .filter_map(Node::as_text)
                .map(scalar)
                .collect();
            text.push_str(&format!(" [{}]", words.join(", ")));
        }
        Value::List(items) => {
            // What is told in the order of the day stays so: the order is part of what it tells.
            let timed = |item: &Node| item.entries().iter().any(|entry| entry.key.text == "at");
            let items: Vec<&Node> = if items.iter().any(timed) {
                items.iter().collect()
            } else {
                in_order(items, chance)
            };
            for item in items {
                text.push_str(&format!("\n{}-", "  ".repeat(depth)));
                write(item, depth + 1, chance, text);
            }
        }
        Value::Scalar(value) => text.push_str(&format!(" {}", scalar(&value.text))),
        Value::Empty | Value::Broken => {}
    }
}

fn in_order<'a, T>(items: &'a [T], chance: &mut Option<Chance>) -> Vec<&'a T> {
    let mut items: Vec<&T> = items.iter().collect();
    if let Some(chance) = chance {
        chance.shuffle(&mut items);
    }
    items
}

/// A text plainly where that is safe, in quotes otherwise.
fn scalar(text: &str) -> String {
    let plain = |c: char| c.is_alphanumeric() || " ._/°²³%±()-".contains(c);
    let safe =
        text.starts_with(char::is_alphanumeric) && text.chars().all(plain) && !text.ends_with(' ');
    if safe {
        text.to_string()
    } else {
        format!(
            "\"{}\"",
            text.replace('\\', "\\\\")
                .replace('"', "\\\"")
                .replace('\n', "\\n")
        )
    }
}

/// The text with its exact quantities and ranges in other units of their kinds, and how many.
pub(crate) fn in_other_units(
    source: &Source,
    facts: &Facts,
    chance: &mut Chance,
) -> (String, usize) {
    let mut places = Vec::new();
    for (_, fact) in facts.all() {
        if let Content::Known(facts::Value::Quantity(quantity)) = &fact.content {
            let others: Vec<String> = UnitId::all()
                .filter_map(|unit| in_unit(quantity, unit))
                .collect();
            if !others.is_empty() {
                places.push((fact.span, others[chance.below(others.len())].clone()));
            }
        }
    }
    places.sort();
    let mut text = source.text.clone();
    for (span, new) in places.iter().rev() {
        text.replace_range(span.range(), new);
    }
    (text, places.len())
}

/// A quantity in another unit, if that has finite decimals and reads back as the same.
fn in_unit(quantity: &Quantity, unit: UnitId) -> Option<String> {
    let kind: Kind = quantity.kind;
    if unit == quantity.unit || !unit.serves(kind) {
        return None;
    }
    let shown = unit.range_from_base(&quantity.range)?;
    let number = |at: Option<Exact>| {
        let at = at?;
        at.decimals().map(|_| at.to_decimal(0))
    };
    let numbers = match quantity.form {
        Form::Exact => number(shown.single())?,
        Form::Between => format!(
            "{} to {}",
            number(shown.low().at())?,
            number(shown.high().at())?
        ),
        _ => return None,
    };
    let text = format!("{numbers} {}", unit.symbol());
    let again = Quantity::parse(&text, kind).ok()?;
    (again.range == quantity.range).then_some(text)
}
