//! When something was done or read.
//!
//! Contract: a time comes from the note or from whoever calls, and never from elsewhere.

use crate::answer::Refused;
use crate::words::Line;
use wetside_units::{Date, DateTime};

/// The word that asks for the clock.
pub(crate) const NOW: &str = "now";

/// How a time is written.
pub(crate) const FORM: &str = "write it as 10:42, or with its day as 2026-10-13T10:42";

/// What stands beside the words of a note.
#[derive(Clone, Copy, Debug, Default)]
pub struct Beside<'a> {
    /// `10:42`, or with its day `2026-10-13T10:42`.
    pub at: Option<&'a str>,
    /// The time by the clock, where the person said `now`.
    pub clock: Option<DateTime>,
    /// Who did it.
    pub by: Option<&'a str>,
}

/// Who and when, and whether it takes the place of what is recorded.
#[derive(Clone, Copy)]
pub(crate) struct Said<'a> {
    pub time: Time,
    pub by: Option<&'a str>,
    /// That it does, with what is recorded where that was said too, and nothing otherwise.
    pub instead: Option<&'a str>,
}

/// A time as it was said.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Time {
    Unsaid,
    /// Seconds since the day began; which day is not said.
    OfDay(i64),
    Moment(DateTime),
}

/// The one time that a note or those beside it say.
pub(crate) fn take(line: &mut Line<'_>, beside: &Beside<'_>) -> Result<Time, Refused> {
    let mut times = Vec::new();
    // A day may stand before its time.
    for length in [2, 1] {
        for at in 0..=line.len().saturating_sub(length) {
            let words = line
                .unused(at..at + length)
                .filter(|words| !words.is_empty());
            if let Some(time) = words.and_then(|words| read(&words)) {
                line.take(at..at + length);
                times.push(time);
            }
        }
    }
    if let Some(place) = line.find(NOW) {
        line.take(place);
        let says = "`now` asks for the clock, which is not known here";
        let clock = beside
            .clock
            .ok_or_else(|| Refused::new(says, "say the time"))?;
        times.push(Time::Moment(clock));
    } else if let Some(clock) = beside.clock {
        times.push(Time::Moment(clock));
    }
    if let Some(at) = beside.at {
        let time = read(at.trim()).ok_or_else(|| {
            let says = format!("`{at}` is no time");
            Refused::new(says, FORM)
        })?;
        times.push(time);
    }
    match times.as_slice() {
        [] => Ok(Time::Unsaid),
        [time] => Ok(*time),
        _ => Err(Refused::new(
            "the note gives more than one time",
            "say one of them",
        )),
    }
}

/// Whether a word was meant for a time of day: it counts hours, and is none that is read here.
pub(crate) fn looks_like_one(word: &str) -> bool {
    let word = word.to_lowercase();
    let hours = word.trim_start_matches(|c: char| c.is_ascii_digit());
    let digits = word.len() - hours.len();
    let goes_on = hours.starts_with([':', 'h']) || hours == "am" || hours == "pm";
    (1..=2).contains(&digits) && goes_on
}

/// The time of day that a number may stand for, as it is written: `9.40` and `0940` for `09:40`.
pub(crate) fn without_colon(word: &str) -> Option<String> {
    let minute = word.len().checked_sub(2)?;
    let (hour, minute) = (word.get(..minute)?, word.get(minute..)?);
    let text = format!("{:0>2}:{minute}", hour.trim_end_matches('.'));
    read(&text).map(|_| text)
}

/// `10:42`, `2026-10-13T10:42` or `2026-10-13 10:42`
fn read(word: &str) -> Option<Time> {
    let with_day = word.replace(' ', "T").to_uppercase();
    if with_day.contains('T') {
        return DateTime::parse(&with_day).ok().map(Time::Moment);
    }
    let (hour, minute) = word.split_once(':')?;
    let is_number = |text: &str| text.bytes().all(|byte| byte.is_ascii_digit());
    if !is_number(hour) || !is_number(minute) || minute.len() != 2 || hour.is_empty() {
        return None;
    }
    let (hour, minute) = (hour.parse::<i64>().ok()?, minute.parse::<i64>().ok()?);
    (hour < 24 && minute < 60).then_some(Time::OfDay(hour * 3600 + minute * 60))
}

impl Time {
    /// The moment, where a time without its day is of this one.
    pub(crate) fn on(self, day: Option<Date>) -> Option<DateTime> {
        match self {
            Time::Unsaid => None,
            Time::Moment(moment) => Some(moment),
            Time::OfDay(seconds) => {
                DateTime::from_seconds(DateTime::from(day?).seconds() + seconds)
            }
        }
    }
}
