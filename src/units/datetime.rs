//! A day and a time of day, as ISO 8601 writes them: `2026-10-13T10:05`.
//!
//! Contract: to the second; a day has 86400 of them. A moment with a distance from UTC and one
//! without cannot be put in order, and the comparison says so rather than guess a time zone.
//!
//! Source: ISO 8601-1:2019 (from memory).

use super::date::{Date, fields};
use super::fault::QuantityFault;
use std::cmp::Ordering;
use std::fmt;

const SECONDS_A_DAY: u32 = 86_400;

/// A day and a time of day, to the second, with the distance from UTC if one was written.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct DateTime {
    date: Date,
    /// Seconds since the day began.
    second: u32,
    /// Minutes ahead of UTC; `None` for the local time of the place.
    ahead: Option<i16>,
}

impl DateTime {
    /// The moment `second` seconds into the day, `ahead` minutes ahead of UTC; `None` if the day
    /// has no such second or the distance is a day or more.
    fn new(date: Date, second: u32, ahead: Option<i16>) -> Option<DateTime> {
        let near = ahead.is_none_or(|minutes| minutes.unsigned_abs() < 24 * 60);
        (second < SECONDS_A_DAY && near).then_some(DateTime {
            date,
            second,
            ahead,
        })
    }

    /// Reads `2026-10-13T10:05`, with seconds `:30` and with `Z` or `+01:00` behind if wished.
    ///
    /// # Errors
    /// One fault with the place in the text.
    pub fn parse(text: &str) -> Result<DateTime, QuantityFault> {
        let Some((day, rest)) = text.split_once('T') else {
            return Err(no_time(text));
        };
        let date = Date::parse(day)?;
        let from = day.len() + 1;
        let (clock, ahead) = split_zone(rest).ok_or_else(|| not_a_time(text, from))?;
        let second = clock_seconds(clock).ok_or_else(|| not_a_time(text, from))?;
        DateTime::new(date, second, ahead).ok_or_else(|| not_a_time(text, from))
    }

    pub fn date(self) -> Date {
        self.date
    }

    /// Seconds from the other moment to this one, negative if this one is earlier. `None` if only
    /// one of the two says how far it is from UTC.
    pub fn seconds_since(self, other: DateTime) -> Option<i64> {
        if self.ahead.is_some() != other.ahead.is_some() {
            return None;
        }
        Some(self.seconds() - other.seconds())
    }

    /// The order in time of two moments; `None` if only one says how far it is from UTC.
    pub fn compare(self, other: DateTime) -> Option<Ordering> {
        self.seconds_since(other).map(|seconds| seconds.cmp(&0))
    }

    /// Seconds since 0001-01-01T00:00, of UTC if the distance from it is known.
    fn seconds(self) -> i64 {
        let days = i64::from(self.date.day_number());
        let ahead = i64::from(self.ahead.unwrap_or(0));
        days * i64::from(SECONDS_A_DAY) + i64::from(self.second) - ahead * 60
    }
}

impl fmt::Display for DateTime {
    /// As ISO 8601 writes it; seconds only when there are some.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let (hour, minute, second) = (self.second / 3600, self.second / 60 % 60, self.second % 60);
        write!(f, "{}T{hour:02}:{minute:02}", self.date)?;
        if second > 0 {
            write!(f, ":{second:02}")?;
        }
        match self.ahead {
            None => Ok(()),
            Some(0) => f.write_str("Z"),
            Some(minutes) => {
                let sign = if minutes < 0 { '-' } else { '+' };
                let size = minutes.unsigned_abs();
                write!(f, "{sign}{:02}:{:02}", size / 60, size % 60)
            }
        }
    }
}

/// `10:05` or `10:05:30` in seconds.
fn clock_seconds(text: &str) -> Option<u32> {
    let full = if text.len() == 5 {
        format!("{text}:00")
    } else {
        text.to_owned()
    };
    let [hour, minute, second] = fields(&full, [2, 2, 2], b':')?;
    let valid = hour < 24 && minute < 60 && second < 60;
    valid.then(|| u32::from(hour) * 3600 + u32::from(minute) * 60 + u32::from(second))
}

/// Takes `Z` or `+01:00` off the end.
fn split_zone(text: &str) -> Option<(&str, Option<i16>)> {
    if let Some(clock) = text.strip_suffix('Z') {
        return Some((clock, Some(0)));
    }
    let Some(at) = text.find(['+', '-']) else {
        return Some((text, None));
    };
    let (clock, zone) = text.split_at(at);
    if zone.len() != 6 {
        return None;
    }
    let minutes = i16::try_from(clock_seconds(zone.get(1..)?)? / 60).ok()?;
    Some((
        clock,
        Some(if zone.starts_with('-') {
            -minutes
        } else {
            minutes
        }),
    ))
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
        "write date, `T` and the time from 00:00 to 23:59, such as `2026-10-13T10:05`; seconds \
         (`10:05:30`) and the distance from UTC (`Z`, `+01:00`) may follow",
    )
}
