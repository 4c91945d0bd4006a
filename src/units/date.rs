//! Calendar dates, times of day and durations, as ISO 8601 writes them.
//!
//! Contract: dates are of the proleptic Gregorian calendar, years 0001 to 9999. Nothing here
//! reads a clock. Day numbers and the conversion of a number back to a date follow from the
//! calendar's cycle of 400 years of 146097 days.
//! Source: ISO 8601-1:2019 (from memory).

use super::fault::{FaultKind, QuantityFault};
use std::fmt;

/// A day of the calendar.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Date {
    year: u16,
    month: u8,
    day: u8,
}

/// A day and a time of day, to the second, with the distance from UTC if one was written.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct DateTime {
    date: Date,
    /// Seconds since the day began.
    second: u32,
    /// Minutes ahead of UTC; `None` for the local time of the place.
    ahead: Option<i16>,
}

/// A length of time as ISO 8601 writes it: `P7D`, `PT30M`, `P1Y2M`. Months and days are kept
/// apart from seconds, since their lengths depend on where in the calendar they are counted.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
pub struct Duration {
    /// Calendar months; a year is twelve.
    pub months: u32,
    /// Calendar days; a week is seven.
    pub days: u32,
    pub seconds: u32,
}
