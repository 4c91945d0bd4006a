//! A length of time as ISO 8601 writes it: `P7D`, `PT30M`, `P1Y2M`.
//!
//! Contract: whole numbers of years, months, weeks, days, hours, minutes and seconds, in this
//! order. Months, days and seconds are kept apart, since how long a month is depends on where in
//! the calendar it is counted.
//!
//! Source: ISO 8601-1:2019 (from memory); weeks beside other parts are of its second part.

use super::exact::Exact;
use super::fault::{FaultKind, QuantityFault};
use std::fmt;

pub(super) const SECONDS_A_DAY: u32 = 86_400;

/// A length of time as ISO 8601 writes it: `P7D`, `PT30M`, `P1Y2M`.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
pub struct Duration {
    /// Calendar months; a year is twelve.
    pub months: u32,
    /// Calendar days; a week is seven.
    pub days: u32,
    pub seconds: u32,
}

impl Duration {
    /// Reads `P1Y2M`, `P7D`, `P2W`, `PT30M`, `P1DT12H`: whole numbers, parts in this order.
    ///
    /// # Errors
    /// One fault with the place in the text.
    pub fn parse(text: &str) -> Result<Duration, QuantityFault> {
        read(text).ok_or_else(|| {
            QuantityFault::new(
                FaultKind::NotADuration,
                0..text.len(),
                format!("`{text}` is not a duration"),
                "write `P`, then whole numbers with `Y`, `M`, `W`, `D`, then perhaps `T` and `H`, \
                 `M`, `S`, such as `P7D` for seven days, `P1Y2M`, or `PT30M` for half an hour",
            )
        })
    }

    /// Its length in seconds, a day being 24 hours; `None` if it has months, whose lengths differ.
    pub fn exact_seconds(self) -> Option<Exact> {
        let days = i64::from(self.days) * i64::from(SECONDS_A_DAY);
        (self.months == 0).then(|| Exact::from(days + i64::from(self.seconds)))
    }
}

impl fmt::Display for Duration {
    /// As ISO 8601 writes it, in years, months, days, hours, minutes and seconds.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        if *self == Duration::default() {
            return f.write_str("P0D");
        }
        let dates = [
            (self.months / 12, 'Y'),
            (self.months % 12, 'M'),
            (self.days, 'D'),
        ];
        let clock = [
            (self.seconds / 3600, 'H'),
            (self.seconds / 60 % 60, 'M'),
            (self.seconds % 60, 'S'),
        ];
        f.write_str("P")?;
        for (number, letter) in dates.into_iter().filter(|part| part.0 > 0) {
            write!(f, "{number}{letter}")?;
        }
        if self.seconds > 0 {
            f.write_str("T")?;
        }
        for (number, letter) in clock.into_iter().filter(|part| part.0 > 0) {
            write!(f, "{number}{letter}")?;
        }
        Ok(())
    }
}

/// Each letter with the months, days and seconds that it stands for, in the order of writing.
const DATE_LETTERS: &[(u8, u32, u32, u32)] = &[
    (b'Y', 12, 0, 0),
    (b'M', 1, 0, 0),
    (b'W', 0, 7, 0),
    (b'D', 0, 1, 0),
];
const CLOCK_LETTERS: &[(u8, u32, u32, u32)] =
    &[(b'H', 0, 0, 3600), (b'M', 0, 0, 60), (b'S', 0, 0, 1)];

fn read(text: &str) -> Option<Duration> {
    let rest = text.strip_prefix('P')?;
    let (dates, clock) = match rest.split_once('T') {
        Some((dates, clock)) => (dates, Some(clock)),
        None => (rest, None),
    };
    let mut whole = Duration::default();
    let mut parts = add_parts(&mut whole, dates, DATE_LETTERS)?;
    if let Some(clock) = clock {
        // A `T` with nothing behind it is a slip, not half a duration.
        parts = add_parts(&mut whole, clock, CLOCK_LETTERS)?;
    }
    (parts > 0).then_some(whole)
}

/// Adds numbers with letters to the duration and counts them; `None` if one is not of the list,
/// out of order, or too large.
fn add_parts(whole: &mut Duration, text: &str, letters: &[(u8, u32, u32, u32)]) -> Option<usize> {
    let (mut from, mut number, mut parts) = (0, None, 0);
    for byte in text.bytes() {
        if byte.is_ascii_digit() {
            let digit = u32::from(byte - b'0');
            number = Some(
                number
                    .unwrap_or(0_u32)
                    .checked_mul(10)?
                    .checked_add(digit)?,
            );
            continue;
        }
        let place = from + letters[from..].iter().position(|letter| letter.0 == byte)?;
        let (_, months, days, seconds) = letters[place];
        let count = number.take()?;
        whole.months = whole.months.checked_add(count.checked_mul(months)?)?;
        whole.days = whole.days.checked_add(count.checked_mul(days)?)?;
        whole.seconds = whole.seconds.checked_add(count.checked_mul(seconds)?)?;
        from = place + 1;
        parts += 1;
    }
    number.is_none().then_some(parts)
}
