//! The words and numbers of the core schema of YAML 1.2 (revision 1.2.2, section 10.3;
//! the section from memory, the words held against a second reader in the tests).

use super::node::{Scalar, Style};
use serde_json::Number;

/// What a plain text is beside itself, in the core schema of YAML 1.2.
#[derive(Clone, Debug, PartialEq)]
pub enum CoreWord {
    Truth(bool),
    Number(Number),
}

/// The number or truth that a text is; nothing where it is text alone.
pub fn core_word(scalar: &Scalar) -> Option<CoreWord> {
    match scalar.text.as_str() {
        _ if scalar.style != Style::Plain => None,
        word if is_truth(word) => Some(CoreWord::Truth(word.eq_ignore_ascii_case("true"))),
        text => number(text).map(CoreWord::Number),
    }
}

/// The words of YAML's core schema for nothing.
pub(crate) fn is_null(text: &str) -> bool {
    matches!(text, "" | "~" | "null" | "Null" | "NULL")
}

/// The words of YAML's core schema for yes and no.
pub(crate) fn is_truth(text: &str) -> bool {
    matches!(text, "true" | "True" | "TRUE" | "false" | "False" | "FALSE")
}

/// The words of YAML's core schema for what is no number.
pub(crate) fn is_endless(text: &str) -> bool {
    let size = text.strip_prefix(['-', '+']).unwrap_or(text);
    matches!(size, ".inf" | ".Inf" | ".INF") || matches!(text, ".nan" | ".NaN" | ".NAN")
}

/// The number that a plain text is by that schema, unless it has leading zeros:
/// those are names more often than numbers, and a number would lose them.
fn number(text: &str) -> Option<Number> {
    if !text.starts_with(|c: char| matches!(c, '0'..='9' | '+' | '-' | '.')) {
        return None;
    }
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
