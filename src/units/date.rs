//! A day of the calendar, as ISO 8601 writes it: `2026-10-13`.
//!
//! Contract: dates are of the proleptic Gregorian calendar, years 0001 to 9999. Nothing here reads
//! a clock. Adding months keeps the day of the month, or takes the last day of a shorter month.
//!
//! Source: ISO 8601-1:2019 (from memory).

use super::fault::QuantityFault;
use std::fmt;

/// A day of the calendar.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Date {
    year: u16,
    month: u8,
    day: u8,
}

impl Date {
    /// `None` if the calendar has no such day, or the year is not one of 1 to 9999.
    pub fn new(year: u16, month: u8, day: u8) -> Option<Date> {
        let known = (1..=9999).contains(&year) && (1..=12).contains(&month);
        (known && day >= 1 && day <= days_in_month(year, month)).then_some(Date {
            year,
            month,
            day,
        })
    }

    /// Reads `2026-10-13`.
    ///
    /// # Errors
    /// One fault with the place in the text.
    pub fn parse(text: &str) -> Result<Date, QuantityFault> {
        let Some([year, month, day]) = fields(text, [4, 2, 2], b'-') else {
            return Err(not_a_date(text));
        };
        let date = u8::try_from(month).ok().zip(u8::try_from(day).ok());
        date.and_then(|(month, day)| Date::new(year, month, day))
            .ok_or_else(|| no_such_day(text, year, month))
    }

    pub fn year(self) -> u16 {
        self.year
    }

    /// 1 to 12.
    pub fn month(self) -> u8 {
        self.month
    }

    /// 1 to 31.
    pub fn day(self) -> u8 {
        self.day
    }

    /// Days since 0001-01-01, which is day 0.
    pub(crate) fn day_number(self) -> i32 {
        let year = i32::from(self.year) - 1;
        let leaps = year / 4 - year / 100 + year / 400;
        let before: i32 = (1..self.month)
            .map(|m| i32::from(days_in_month(self.year, m)))
            .sum();
        year * 365 + leaps + before + i32::from(self.day) - 1
    }

    /// The day with that number; `None` outside the years 1 to 9999.
    pub(crate) fn from_day_number(number: i32) -> Option<Date> {
        if number < 0 {
            return None;
        }
        // The mean year is a little short of 366 days, so this guess is never too late.
        let mut year = u16::try_from(number / 366 + 1).ok()?;
        while year < 9999 && Date::new(year + 1, 1, 1)?.day_number() <= number {
            year += 1;
        }
        let mut left = number - Date::new(year, 1, 1)?.day_number();
        for month in 1..=12 {
            let length = i32::from(days_in_month(year, month));
            if left < length {
                return Date::new(year, month, u8::try_from(left + 1).ok()?);
            }
            left -= length;
        }
        None
    }

    /// The date so many months later, or earlier if negative: the same day of the month, or the
    /// last day of a shorter month.
    pub fn plus_months(self, months: i32) -> Option<Date> {
        let count = i32::from(self.year) * 12 + i32::from(self.month) - 1;
        let count = count.checked_add(months)?;
        let year = u16::try_from(count.div_euclid(12)).ok()?;
        let month = u8::try_from(count.rem_euclid(12) + 1).ok()?;
        if !(1..=9999).contains(&year) {
            return None;
        }
        Date::new(year, month, self.day.min(days_in_month(year, month)))
    }
}

/// How many days the month has; the year matters for February only.
fn days_in_month(year: u16, month: u8) -> u8 {
    match month {
        2 if is_leap(year) => 29,
        2 => 28,
        4 | 6 | 9 | 11 => 30,
        _ => 31,
    }
}

/// Whether the year has a 29 February.
fn is_leap(year: u16) -> bool {
    year.is_multiple_of(4) && !year.is_multiple_of(100) || year.is_multiple_of(400)
}

impl fmt::Display for Date {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{:04}-{:02}-{:02}", self.year, self.month, self.day)
    }
}

/// Numbers of exactly these widths with the mark between them.
pub(super) fn fields(text: &str, widths: [usize; 3], mark: u8) -> Option<[u16; 3]> {
    let bytes = text.as_bytes();
    if bytes.len() != widths.iter().sum::<usize>() + 2 {
        return None;
    }
    let mut numbers = [0; 3];
    let mut from = 0;
    for (number, width) in numbers.iter_mut().zip(widths) {
        if from > 0 {
            if bytes[from] != mark {
                return None;
            }
            from += 1;
        }
        *number = digits(&bytes[from..from + width])?;
        from += width;
    }
    Some(numbers)
}

fn digits(bytes: &[u8]) -> Option<u16> {
    bytes.iter().try_fold(0_u16, |number, byte| {
        let digit = byte.is_ascii_digit().then(|| u16::from(byte - b'0'))?;
        number.checked_mul(10)?.checked_add(digit)
    })
}

fn not_a_date(text: &str) -> QuantityFault {
    let says = match text.trim() {
        "" => "a date is missing here".to_owned(),
        given => format!("`{given}` is not a date"),
    };
    QuantityFault::new(
        0..text.len(),
        says,
        "write year, month and day with four, two and two digits, such as `2026-10-13` for \
         13 October 2026",
    )
}

fn no_such_day(text: &str, year: u16, month: u16) -> QuantityFault {
    const NAMES: [&str; 12] = [
        "January",
        "February",
        "March",
        "April",
        "May",
        "June",
        "July",
        "August",
        "September",
        "October",
        "November",
        "December",
    ];
    let month = u8::try_from(month).unwrap_or(0);
    let (at, help) = match NAMES.get(usize::from(month.wrapping_sub(1))) {
        _ if year == 0 => (0..4, "years are written from 0001 to 9999".to_owned()),
        None => (
            5..7,
            "months are numbered from 01 to 12; the order is year, month, day".to_owned(),
        ),
        Some(name) => {
            let days = days_in_month(year, month);
            (8..10, format!("the days of {name} {year} are 01 to {days}"))
        }
    };
    let says = format!("`{text}` is not a day of the calendar");
    QuantityFault::new(at, says, help)
}
