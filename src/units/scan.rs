//! Reads one number at a place in a text.
//!
//! Contract: digits with a point, a plain fraction (`1/2`, `1 1/4`, as threads and valve turns are
//! spoken of), or the words *once* and *twice* before a frequency. Everything that people write
//! instead (a decimal comma, gaps between thousands, an exponent) is refused with the fix shown.

use super::exact::Exact;
use super::fault::{QuantityFault, quoted};
use super::kind::Kind;
use super::nought;
use super::table::UnitId;
use std::ops::Range;

/// More significant digits than any instrument gives; 18 of them still leave room for arithmetic.
const MOST_DIGITS: u32 = 18;

/// A number as it was written.
#[derive(Clone, Debug)]
pub(super) struct Number {
    pub value: Exact,
    pub decimals: u8,
    pub at: Range<usize>,
}

/// Reads the number that starts at byte `from` of the text.
pub(super) fn number(text: &str, from: usize, kind: Kind) -> Result<Number, QuantityFault> {
    let start = skip_spaces(text, from);
    if kind == Kind::Frequency
        && let Some(spoken) = spoken_number(text, start)
    {
        return Ok(spoken);
    }
    let mut at = start;
    if kind == Kind::Acidity && text[at..].starts_with("pH") {
        at = skip_spaces(text, at + 2);
    }
    let negative = ["-", "−"]
        .iter()
        .find(|sign| text[at..].starts_with(**sign));
    at += negative.map_or(0, |sign| sign.len());
    let mut read = Digits::default();
    let whole = at;
    at = read
        .whole_part(text, at)
        .ok_or_else(|| no_number(text, start, kind))?;
    nought::refuse_leading(text, whole..at)?;
    at = read.decimals_or_fraction(text, start, at)?;
    refuse_continuation(text, start, at)?;
    if read.significant > MOST_DIGITS {
        return Err(too_many_digits(text, start..at));
    }
    let value = read
        .value()
        .ok_or_else(|| too_many_digits(text, start..at))?;
    let value = if negative.is_some() {
        value.negated()
    } else {
        value
    };
    let decimals = match read.fraction {
        None => read.decimals,
        Some(_) => value.decimals().unwrap_or(0),
    };
    let decimals = u8::try_from(decimals).unwrap_or(u8::MAX);
    Ok(Number {
        value,
        decimals,
        at: start..at,
    })
}

/// The first byte from `from` on that is not white space.
pub(super) fn skip_spaces(text: &str, from: usize) -> usize {
    text.len() - text[from..].trim_start().len()
}

/// The digits of a number so far, `digits ÷ 10^decimals`, and the fraction behind them.
#[derive(Default)]
struct Digits {
    digits: i128,
    decimals: u32,
    significant: u32,
    fraction: Option<(u8, u8)>,
}

impl Digits {
    /// The value; `None` if it does not fit.
    fn value(&self) -> Option<Exact> {
        let whole = Exact::decimal(self.digits, self.decimals)?;
        match self.fraction {
            Some((above, below)) => whole.plus(Exact::ratio(above.into(), below.into())?),
            None => Some(whole),
        }
    }

    /// Takes a run of digits; the byte behind them, or `None` if there are none.
    fn whole_part(&mut self, text: &str, from: usize) -> Option<usize> {
        let bytes = text.as_bytes();
        let mut at = from;
        while let Some(byte) = bytes.get(at).filter(|byte| byte.is_ascii_digit()) {
            if self.digits > 0 || *byte != b'0' {
                self.significant = self.significant.saturating_add(1);
            }
            if self.significant <= MOST_DIGITS {
                self.digits = self.digits * 10 + i128::from(byte - b'0');
            }
            at += 1;
        }
        (at > from).then_some(at)
    }

    fn decimals_or_fraction(
        &mut self,
        text: &str,
        start: usize,
        from: usize,
    ) -> Result<usize, QuantityFault> {
        match text.as_bytes().get(from) {
            Some(b'.') if text.as_bytes().get(from + 1) != Some(&b'.') => {
                let end = self
                    .whole_part(text, from + 1)
                    .ok_or_else(|| point_at_end(text, start..from))?;
                self.decimals = u32::try_from(end - from - 1).unwrap_or(u32::MAX);
                Ok(end)
            }
            Some(b'/') => match fraction(&text[start..]) {
                Some((above, below, length)) if start + length > from => {
                    (self.digits, self.fraction) = (0, Some((above, below)));
                    Ok(start + length)
                }
                _ => Ok(from),
            },
            Some(b' ') => match fraction(&text[from + 1..]) {
                Some((above, below, length)) => {
                    self.fraction = Some((above, below));
                    Ok(from + 1 + length)
                }
                None => Ok(from),
            },
            _ => Ok(from),
        }
    }
}

/// Reads `1/2` to `63/64`: a part of one, halved some number of times. The parts and the length.
fn fraction(text: &str) -> Option<(u8, u8, usize)> {
    let bytes = text.as_bytes();
    let run = |from: usize| {
        let digits = bytes[from..]
            .iter()
            .take_while(|byte| byte.is_ascii_digit())
            .count();
        text[from..from + digits]
            .parse::<u8>()
            .ok()
            .map(|number| (number, from + digits))
    };
    let (above, slash) = run(0)?;
    if bytes.get(slash) != Some(&b'/') {
        return None;
    }
    let (below, end) = run(slash + 1)?;
    let proper = above > 0 && above < below && below.is_power_of_two() && below <= 64;
    proper.then_some((above, below, end))
}

fn spoken_number(text: &str, start: usize) -> Option<Number> {
    let (word, value) = [("once ", 1), ("twice ", 2)]
        .into_iter()
        .find(|word| text[start..].starts_with(word.0))?;
    Some(Number {
        value: Exact::from(value),
        decimals: 0,
        at: start..start + word.len() - 1,
    })
}

/// Refuses what would be read as the end of a number but is meant as more of it.
fn refuse_continuation(text: &str, start: usize, at: usize) -> Result<(), QuantityFault> {
    let rest = &text[at..];
    let digits_at = |skip: usize| rest.as_bytes().get(skip).is_some_and(u8::is_ascii_digit);
    let digit_run =
        |from: usize| from + rest[from..].bytes().take_while(u8::is_ascii_digit).count();
    let gap = rest
        .chars()
        .next()
        .filter(|c| c.is_whitespace() || *c == '_' || *c == '\'');
    match rest.as_bytes().first() {
        Some(b',') if digits_at(1) => Err(decimal_comma(text, start..at, at..at + digit_run(1))),
        Some(b'.') if digits_at(1) => Err(not_a_number(text, start..at + digit_run(1))),
        Some(b'/') if digits_at(1) => Err(odd_fraction(text, start..at + digit_run(1))),
        Some(b'e' | b'E')
            if digits_at(1)
                || digits_at(2) && matches!(rest.as_bytes().get(1), Some(b'-' | b'+')) =>
        {
            Err(exponent(text, start..at + digit_run(2)))
        }
        _ => match gap {
            Some(gap) if digits_at(gap.len_utf8()) => Err(digit_groups(
                text,
                start..at,
                at + digit_run(gap.len_utf8()),
            )),
            _ => Ok(()),
        },
    }
}

/// What people put before a number, and the words that are read.
#[rustfmt::skip]
const INSTEAD: &[(&str, &str)] = &[
    (">=", "at least"), ("≥", "at least"), ("=>", "at least"), ("minimum", "at least"), ("min", "at least"),
    ("<=", "at most"), ("≤", "at most"), ("=<", "at most"), ("maximum", "at most"), ("max", "at most"), ("up to", "at most"),
    ("pre-", "before"), ("pre", "before"), ("post-", "after"), ("post", "after"),
    (">", "more than"), ("over", "more than"), ("above", "more than"),
    ("<", "less than"), ("under", "less than"), ("below", "less than"),
    ("~", "about"), ("≈", "about"), ("approximately", "about"), ("approx", "about"), ("circa", "about"), ("c.", "about"),
    ("around", "about"), ("roughly", "about"), ("nearly", "about"), ("ca", "about"),
    ("about", "about"), ("at least", "at least"), ("at most", "at most"), ("more than", "more than"), ("less than", "less than"),
];

/// No digits where a number must start: says so, and what to write for the signs and words that
/// people put there.
fn no_number(text: &str, start: usize, kind: Kind) -> QuantityFault {
    let given = text[start..].trim_end();
    let at = start..start + given.len();
    let says = match given {
        "" => "a number is missing here".to_owned(),
        _ => format!("{} is not a number", quoted(given)),
    };
    QuantityFault::new(at, says, instead_of(given, kind))
}

fn instead_of(given: &str, kind: Kind) -> String {
    if let Some(help) = word_for_a_number(given, kind) {
        return help;
    }
    let behind = |before: &str| {
        let front = given.get(..before.len())?;
        let rest = given[before.len()..].trim_start_matches(['.', ':', ' ']);
        let number = rest.starts_with(|c: char| c.is_ascii_digit());
        (front.eq_ignore_ascii_case(before) && number).then_some(rest)
    };
    let of_years = |words: &str| matches!(words, "before" | "after");
    let fitting = INSTEAD
        .iter()
        .filter(|row| kind == Kind::Year || !of_years(row.1));
    let found = fitting
        .into_iter()
        .find_map(|row| Some((row.1, behind(row.0)?)));
    if let Some((words, rest)) = found {
        return format!("write `{words} {}`", clip(rest));
    }
    if let Some(rest) = behind("between").or_else(|| behind("from")) {
        return format!("write `{}`", clip(&rest.replace(" and ", " to ")));
    }
    if let Some(rest) = behind("+") {
        return format!("leave out the plus sign: `{}`", clip(rest));
    }
    if given.starts_with('.') {
        return format!("write a digit before the point: `0{}`", clip(given));
    }
    let number = if kind.is_bare() {
        "a bare number"
    } else {
        "a number with its unit"
    };
    format!(
        "write {number}, or `unknown`; ranges are written `4 to 6`, tolerances `5.2 ± 0.2`, and \
         `about`, `at least`, `at most`, `more than` or `less than` may stand in front"
    )
}

/// Words that say a number without writing one.
fn word_for_a_number(given: &str, kind: Kind) -> Option<String> {
    const NOTHING: [&str; 5] = ["none", "never", "nil", "no", "zero"];
    const OFTEN: [(&str, &str); 5] = [
        ("daily", "day"),
        ("weekly", "week"),
        ("monthly", "month"),
        ("yearly", "year"),
        ("annually", "year"),
    ];
    let is = |word: &str| given.eq_ignore_ascii_case(word);
    if NOTHING.into_iter().any(is) && kind != Kind::Year && kind != Kind::Acidity {
        let nothing = format!("0 {}", UnitId::likely(kind, Exact::from(0)).symbol());
        return Some(format!("write `{}`, or `unknown`", nothing.trim_end()));
    }
    let often = OFTEN
        .iter()
        .find(|row| kind == Kind::Frequency && is(row.0));
    often.map(|row| format!("write `1 per {}`", row.1))
}

fn clip(text: &str) -> String {
    text.chars().take(40).collect()
}

fn not_a_number(text: &str, at: Range<usize>) -> QuantityFault {
    let help = "write digits with at most one decimal point, such as `2.5`";
    QuantityFault::of(text, at, "is not a number", help)
}

fn point_at_end(text: &str, at: Range<usize>) -> QuantityFault {
    let given = &text[at.clone()];
    let help = format!("write `{given}` or `{given}.0`");
    let fault = QuantityFault::of(text, at, "has a point with no digits behind it", help);
    QuantityFault {
        at: fault.at.start..fault.at.end + 1,
        ..fault
    }
}

fn decimal_comma(text: &str, whole: Range<usize>, part: Range<usize>) -> QuantityFault {
    let (front, back) = (&text[whole.clone()], &text[part.start + 1..part.end]);
    let (is, help) = if back.len() == 3 && front.len() <= 3 && front != "0" {
        (
            "may be thousands or a decimal fraction",
            format!(
                "write `{front}{back}` if thousands were meant, or `{front}.{back}` with a decimal point"
            ),
        )
    } else {
        let help = format!("decimals are written with a point: `{front}.{back}`");
        ("has a comma in it", help)
    };
    QuantityFault::of(text, whole.start..part.end, is, help)
}

fn odd_fraction(text: &str, at: Range<usize>) -> QuantityFault {
    let help = "write a part of one in halves, quarters, eighths and so on, such as `3/4` or \
                `1 1/4`; write anything else as a decimal, and a range as `4 to 6`";
    QuantityFault::of(text, at, "is not a fraction that can be read here", help)
}

fn exponent(text: &str, at: Range<usize>) -> QuantityFault {
    let help = "write the number out, or choose a larger or smaller unit";
    QuantityFault::of(text, at, "has an exponent", help)
}

fn digit_groups(text: &str, front: Range<usize>, end: usize) -> QuantityFault {
    let at = front.start..end;
    let joined = text[at.clone()].replace(|c: char| !c.is_ascii_digit() && c != '.', "");
    let help = format!("write the digits together: `{joined}`");
    QuantityFault::of(text, at, "is a number with a gap in it", help)
}

fn too_many_digits(text: &str, at: Range<usize>) -> QuantityFault {
    let help = format!("write at most {MOST_DIGITS} digits, or choose a larger or smaller unit");
    QuantityFault::of(text, at, "has more digits than can be kept exactly", help)
}
