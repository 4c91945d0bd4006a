//! The tree as plain values, for a shape check that knows no places.

use serde_json::{Map, Number, Value as Json};

use super::node::{Node, Scalar, Style, Value};

/// The same values for a shape check, which knows no places.
///
/// Plain whole numbers and decimals (as the core schema of YAML 1.2 has them, those with leading
/// zeros excepted) are numbers, plain `true` and `false` are booleans, all else that was written
/// is a string. [`Value::Empty`] and [`Value::Broken`] become `null`: a problem was reported for
/// each already, so a caller ignores what a shape check says of these (see [`Node::is_faulty`]).
pub fn to_json(node: &Node) -> Json {
    match &node.value {
        Value::Scalar(scalar) => plain_word(scalar).unwrap_or_else(|| scalar.text.as_str().into()),
        Value::List(items) => items.iter().map(to_json).collect(),
        Value::Map(entries) => {
            let entries = entries.iter();
            let pairs = entries.map(|entry| (entry.key.text.clone(), to_json(&entry.value)));
            Json::Object(pairs.collect::<Map<_, _>>())
        }
        Value::Empty | Value::Broken => Json::Null,
    }
}

fn plain_word(scalar: &Scalar) -> Option<Json> {
    match scalar.text.as_str() {
        _ if scalar.style != Style::Plain => None,
        "true" | "True" | "TRUE" => Some(Json::Bool(true)),
        "false" | "False" | "FALSE" => Some(Json::Bool(false)),
        text => number(text).map(Json::Number),
    }
}

/// The number that a plain text is by YAML 1.2.2, section 10.3.2, unless it has leading zeros:
/// those are names more often than numbers, and a number would lose them.
fn number(text: &str) -> Option<Number> {
    let based = |digits: Option<&str>, base| {
        let digits = digits.filter(|digits| !digits.starts_with(['+', '-']))?;
        u64::from_str_radix(digits, base).ok().map(Number::from)
    };
    if let Some(number) = based(text.strip_prefix("0x"), 16) {
        return Some(number);
    }
    if let Some(number) = based(text.strip_prefix("0o"), 8) {
        return Some(number);
    }
    let unsigned = text.strip_prefix(['-', '+']).unwrap_or(text);
    let whole = unsigned.bytes().take_while(u8::is_ascii_digit).count();
    if whole == unsigned.len() && whole > 0 {
        if whole > 1 && unsigned.starts_with('0') {
            return None;
        }
        let positive = text.strip_prefix('+').unwrap_or(text);
        let exact = positive.parse::<u64>().map(Number::from);
        return exact
            .or_else(|_| positive.parse::<i64>().map(Number::from))
            .ok()
            .or_else(|| Number::from_f64(text.parse().ok()?));
    }
    is_decimal(unsigned, whole).then(|| Number::from_f64(text.parse().ok()?))?
}

/// `(\.[0-9]+|[0-9]+(\.[0-9]*)?)([eE][-+]?[0-9]+)?`, with its whole digits counted already.
fn is_decimal(text: &str, whole: usize) -> bool {
    let digits = |text: &str| text.bytes().take_while(u8::is_ascii_digit).count();
    let mut rest = &text[whole..];
    if let Some(after) = rest.strip_prefix('.') {
        let parts = digits(after);
        if whole + parts == 0 {
            return false;
        }
        rest = &after[parts..];
    } else if whole == 0 {
        return false;
    }
    let Some(power) = rest.strip_prefix(['e', 'E']) else {
        return rest.is_empty();
    };
    let power = power.strip_prefix(['-', '+']).unwrap_or(power);
    !power.is_empty() && digits(power) == power.len()
}
