//! Dates, times and durations against `tests/units/dates.yaml`.

use super::{check_manner, data};
use serde::Deserialize;
use wetside_units::{Date, DateTime, Duration, FaultKind};

#[derive(Deserialize)]
struct Dates {
    valid: Vec<String>,
    refused: Vec<(String, String, String, String)>,
    day_numbers: Vec<(String, i32)>,
    plus_days: Vec<(String, i32, String)>,
    plus_months: Vec<(String, i32, String)>,
    durations: Vec<(String, u32, u32, u32, String)>,
    not_durations: Vec<String>,
    after: Vec<(String, String, String)>,
    moments: Vec<(String, String)>,
    not_moments: Vec<String>,
    seconds_between: Vec<(String, String, serde_yaml::Value)>,
    whole_months: Vec<(String, String, serde_yaml::Value)>,
}

fn date(text: &str) -> Date {
    Date::parse(text).unwrap_or_else(|fault| panic!("{text}: {fault:?}"))
}

fn date_or_none(text: &str) -> Option<Date> {
    (text != "none").then(|| date(text))
}

#[test]
fn dates_keep_to_the_calendar() {
    let table: Dates = data("dates");
    for text in &table.valid {
        assert_eq!(date(text).to_string(), *text);
    }
    for (text, sort, wrong, help) in &table.refused {
        let fault = Date::parse(text).expect_err(text);
        assert_eq!(
            (fault.kind.name(), &text[fault.at.clone()]),
            (sort.as_str(), wrong.as_str())
        );
        assert!(fault.help.contains(help), "{text}: {fault:?}");
        check_manner(&fault);
    }
    for (text, number) in table.day_numbers {
        assert_eq!(date(&text).day_number(), number, "{text}");
    }
    for (from, days, to) in table.plus_days {
        assert_eq!(
            date(&from).plus_days(days),
            date_or_none(&to),
            "{from} {days}"
        );
    }
    for (from, months, to) in table.plus_months {
        assert_eq!(
            date(&from).plus_months(months),
            date_or_none(&to),
            "{from} {months}"
        );
    }
    for (later, earlier, months) in table.whole_months {
        let months = months
            .as_u64()
            .and_then(|months| u32::try_from(months).ok());
        assert_eq!(
            date(&later).whole_months_since(date(&earlier)),
            months,
            "{later} {earlier}"
        );
    }
}

#[test]
fn durations_and_moments_are_read_and_added() {
    let table: Dates = data("dates");
    for (text, months, days, seconds, printed) in table.durations {
        let read = Duration::parse(&text).unwrap();
        assert_eq!(
            read,
            Duration {
                months,
                days,
                seconds
            },
            "{text}"
        );
        assert_eq!(read.to_string(), printed);
        assert_eq!(Duration::parse(&printed), Ok(read));
    }
    for text in table.not_durations {
        let fault = Duration::parse(&text).expect_err(&text);
        assert_eq!(fault.kind, FaultKind::NotADuration);
        check_manner(&fault);
    }
    for (from, duration, to) in table.after {
        let duration = Duration::parse(&duration).unwrap();
        assert_eq!(
            date(&from).plus(duration),
            date_or_none(&to),
            "{from} {duration}"
        );
    }
    for (text, printed) in table.moments {
        let read = DateTime::parse(&text).unwrap_or_else(|fault| panic!("{text}: {fault:?}"));
        assert_eq!(read.to_string(), printed);
        assert_eq!(DateTime::parse(&printed), Ok(read));
    }
    for text in table.not_moments {
        check_manner(&DateTime::parse(&text).expect_err(&text));
    }
    for (later, earlier, seconds) in table.seconds_between {
        let (later, earlier) = (
            DateTime::parse(&later).unwrap(),
            DateTime::parse(&earlier).unwrap(),
        );
        assert_eq!(
            later.seconds_since(earlier),
            seconds.as_i64(),
            "{later} {earlier}"
        );
    }
}

#[test]
fn every_day_of_eight_centuries_follows_the_one_before() {
    let mut day = Date::new(1599, 12, 31).unwrap();
    let mut number = day.day_number();
    while day.year() < 2400 {
        let next = day.plus_days(1).unwrap();
        number += 1;
        assert_eq!(next.day_number(), number);
        let same_month = (next.year(), next.month()) == (day.year(), day.month());
        assert_eq!(next.day(), if same_month { day.day() + 1 } else { 1 });
        assert_eq!(
            Date::new(day.year(), day.month(), day.day() + 1).is_some(),
            same_month
        );
        day = next;
    }
}
