//! A day and a time of day, as ISO 8601 writes them: `2026-10-13T10:05`.
//!
//! Contract: to the second; a day has 86400 of them. The time is that of the clock on the wall of the
//! house: a distance from UTC is refused, since no two moments of one job need it to be put in order.
//!
//! Source: ISO 8601-1:2019 (from memory).

use super::date::{Date, fields};
use super::fault::QuantityFault;
use super::interval::{End, Interval};
use std::fmt;

/// The seconds of a day.
pub const SECONDS_A_DAY: i64 = 86_400;

/// A day and a time of day, to the second.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct DateTime {
    date: Date,
    /// Seconds since the day began.
    second: i64,
}

impl DateTime {
    /// Reads `2026-10-13T10:05`, with seconds `:30` if wished.
    ///
    /// # Errors
    /// One fault with the place in the text.
    pub fn parse(text: &str) -> Result<DateTime, QuantityFault> {
        let Some((day, clock)) = text.split_once('T') else {
            return Err(no_time(text));
        };
        let date = Date::parse(day)?;
        let second = clock_seconds(clock).ok_or_else(|| not_a_time(text, day.len() + 1))?;
        Ok(DateTime { date, second })
    }

    pub fn date(self) -> Date {
        self.date
    }

    /// Seconds since 0001-01-01T00:00.
    pub fn seconds(self) -> i64 {
        i64::from(self.date.day_number()) * SECONDS_A_DAY + self.second
    }

    /// The moment so many seconds after 0001-01-01T00:00; `None` outside the years 1 to 9999.
    pub fn from_seconds(seconds: i64) -> Option<DateTime> {
        let day = i32::try_from(seconds.div_euclid(SECONDS_A_DAY)).ok()?;
        Some(DateTime {
            date: Date::from_day_number(day)?,
            second: seconds.rem_euclid(SECONDS_A_DAY),
        })
    }

    /// The same time of day so many calendar months later.
    pub fn plus_months(self, months: i32) -> Option<DateTime> {
        let date = self.date.plus_months(months)?;
        Some(DateTime { date, ..self })
    }
}

impl From<Date> for DateTime {
    /// The moment at which the day begins.
    fn from(date: Date) -> DateTime {
        DateTime { date, second: 0 }
    }
}

impl fmt::Display for DateTime {
    /// As ISO 8601 writes it; seconds only when there are some.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let (hour, minute, second) = (self.second / 3600, self.second / 60 % 60, self.second % 60);
        write!(f, "{}T{hour:02}:{minute:02}", self.date)?;
        match second {
            0 => Ok(()),
            _ => write!(f, ":{second:02}"),
        }
    }
}

/// A day or moment in seconds, or the span that is known, in words; the time of day where it is asked for.
pub fn told(time: &Interval, with_clock: bool) -> String {
    let one = |end: End| {
        let seconds = i64::try_from(end.at()?.floor().above()).ok()?;
        let moment = DateTime::from_seconds(seconds)?;
        Some(if with_clock {
            moment.to_string()
        } else {
            moment.date.to_string()
        })
    };
    match (one(time.low()), one(time.high())) {
        (Some(a), Some(b)) if a == b => a,
        (Some(a), Some(b)) => format!("{a} to {b}"),
        _ => "unknown".to_string(),
    }
}

/// `10:05` or `10:05:30` in seconds.
fn clock_seconds(text: &str) -> Option<i64> {
    let full = if text.len() == 5 {
        format!("{text}:00")
    } else {
        text.to_owned()
    };
    let [hour, minute, second] = fields(&full, [2, 2, 2], b':')?;
    let valid = hour < 24 && minute < 60 && second < 60;
    valid.then(|| i64::from(hour) * 3600 + i64::from(minute) * 60 + i64::from(second))
}

fn no_time(text: &str) -> QuantityFault {
    let at = text.len()..text.len();
    if Date::parse(text).is_ok() {
        return QuantityFault::new(
            at,
            format!("`{text}` has no time of day"),
            format!("write the time behind the date with a `T` between, such as `{text}T10:05`"),
        );
    }
    not_a_time(text, 0)
}

fn not_a_time(text: &str, from: usize) -> QuantityFault {
    QuantityFault::new(
        from..text.len(),
        format!("`{text}` is not a date with a time of day"),
        "write date, `T` and the time by the clock of the house, from 00:00 to 23:59, such as \
         `2026-10-13T10:05`; seconds (`10:05:30`) may follow",
    )
}
