//! Numbers as a survey writes them, moved by steps of their last digit; and days.
//!
//! Contract: exact, on whole numbers; the unit and its spacing stay as they are.

use wetside_units::DateTime;
use wetside_units::datetime::SECONDS_A_DAY;

/// A number at the beginning of a value, with what follows it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Leading<'t> {
    /// The number without its point.
    digits: i64,
    pub decimals: u32,
    /// Space and unit.
    pub rest: &'t str,
}

/// The plain number that a value begins with: `1.20 bar`, `7.4`, `43 °C`.
///
/// Nothing for ranges, dates, words, and bare whole numbers, which count things.
pub(crate) fn leading(text: &str) -> Option<Leading<'_>> {
    let end = text
        .find(|c: char| !(c.is_ascii_digit() || c == '.' || c == '-'))
        .unwrap_or(text.len());
    let (number, rest) = text.split_at(end);
    let unit = rest.trim_start();
    let (whole, fraction) = number.split_once('.').unwrap_or((number, ""));
    let simple =
        !unit.contains(char::is_whitespace) && !unit.starts_with(|c: char| c.is_ascii_digit());
    let measured = !unit.is_empty() || !fraction.is_empty();
    if !simple
        || !measured
        || number.len() > 12
        || number.matches('-').count() > usize::from(number.starts_with('-'))
    {
        return None;
    }
    Some(Leading {
        digits: format!("{whole}{fraction}").parse().ok()?,
        decimals: u32::try_from(fraction.len()).ok()?,
        rest,
    })
}

impl Leading<'_> {
    /// Whether it has the digits that numbers of a survey have: a decimal, or as many as stand there now.
    pub(crate) fn no_finer_than(&self, old: Option<&Leading<'_>>) -> bool {
        self.decimals <= old.map_or(1, |old| old.decimals.max(1))
    }
}

/// The value moved half a step of its last digit down and up.
pub(crate) fn half_a_step(text: &str) -> Vec<String> {
    let Some(number) = leading(text) else {
        return Vec::new();
    };
    let moved = |by: i64| written(number.digits * 10 + by, number.decimals + 1, number.rest);
    vec![moved(-5), moved(5)]
}

/// The value moved by whole steps of its last digit; nothing if it is no plain number.
pub(crate) fn moved(text: &str, steps: i64) -> Option<String> {
    let number = leading(text)?;
    let digits = number.digits + steps;
    // A number that loses its sign or a digit would look different.
    let same_length = digits.to_string().len() == number.digits.to_string().len();
    same_length.then(|| written(digits, number.decimals, number.rest))
}

/// So many hundredths of the value, as round as it was; nothing if it is no plain number.
pub(crate) fn times(text: &str, hundredths: i64) -> Option<String> {
    let number = leading(text)?;
    let round = |grain: &i64| number.digits % grain == 0 && number.digits.abs() >= 5 * grain;
    let grains = if number.decimals == 0 {
        &[50, 10, 5][..]
    } else {
        &[]
    };
    let grain = grains.iter().copied().find(round).unwrap_or(1);
    let digits = number.digits.checked_mul(hundredths)?;
    let grains = (digits + 50 * grain).div_euclid(100 * grain);
    Some(written(grains * grain, number.decimals, number.rest))
}

/// How many steps are a twentieth of the number, one at least.
pub(crate) fn small_steps(text: &str) -> Option<i64> {
    Some((leading(text)?.digits.abs() / 20).max(1))
}

/// The day so many days after another, as a survey writes it.
pub(crate) fn days_later(day: &str, days: i64) -> Option<String> {
    let noon = DateTime::parse(&format!("{day}T12:00")).ok()?;
    let other = DateTime::from_seconds(noon.seconds() + days * SECONDS_A_DAY)?;
    Some(other.date().to_string())
}

fn written(digits: i64, decimals: u32, rest: &str) -> String {
    let sign = if digits < 0 { "-" } else { "" };
    let digits = digits.unsigned_abs().to_string();
    let places = decimals as usize;
    let padded = format!("{digits:0>width$}", width = places + 1);
    let (whole, fraction) = padded.split_at(padded.len() - places);
    let point = if fraction.is_empty() { "" } else { "." };
    format!("{sign}{whole}{point}{fraction}{rest}")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn steps_keep_the_form() {
        assert_eq!(half_a_step("1.20 bar"), ["1.195 bar", "1.205 bar"]);
        assert_eq!(half_a_step("43 °C"), ["42.5 °C", "43.5 °C"]);
        assert_eq!(half_a_step("0.0 bar"), ["-0.05 bar", "0.05 bar"]);
        assert_eq!(moved("0.95 bar", 1).as_deref(), Some("0.96 bar"));
        assert_eq!(moved("9 L/min", 1), None);
        assert_eq!(times("960 L", 113).as_deref(), Some("1080 L"));
        assert_eq!(times("14 L/min", 90).as_deref(), Some("13 L/min"));
        assert_eq!(times("1.2 L", 120).as_deref(), Some("1.4 L"));
        for other in [
            "2026-10-14",
            "4 to 6 m",
            "9",
            "locked open",
            "5.2 m ± 0.2 m",
            "1 L per 100 L",
            "",
        ] {
            assert_eq!(leading(other), None, "{other}");
        }
    }
}
