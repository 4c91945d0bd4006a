//! Dates and times against `tests/units/dates.yaml`.

use super::{check_manner, data};
use serde::Deserialize;
use wetside_units::datetime::SECONDS_A_DAY;
use wetside_units::{Date, DateTime};

#[derive(Deserialize)]
struct Dates {
    valid: Vec<String>,
    refused: Vec<(String, String, String, String)>,
    day_numbers: Vec<(String, i64)>,
    plus_months: Vec<(String, i32, String)>,
    moments: Vec<(String, String)>,
    not_moments: Vec<String>,
    seconds_between: Vec<(String, String, i64)>,
}

fn date(text: &str) -> Date {
    Date::parse(text).unwrap_or_else(|fault| panic!("{text}: {fault:?}"))
}

fn day_number(day: Date) -> i64 {
    DateTime::from(day).seconds() / SECONDS_A_DAY
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
    for (text, says, wrong, help) in &table.refused {
        let fault = Date::parse(text).expect_err(text);
        assert_eq!(
            (fault.says.as_str(), &text[fault.at.clone()]),
            (says.as_str(), wrong.as_str())
        );
        assert!(fault.help.contains(help), "{text}: {fault:?}");
        check_manner(&fault);
    }
    for (text, number) in table.day_numbers {
        assert_eq!(day_number(date(&text)), number, "{text}");
    }
    for (from, months, to) in table.plus_months {
        assert_eq!(
            date(&from).plus_months(months),
            date_or_none(&to),
            "{from} {months}"
        );
    }
}

#[test]
fn moments_are_read_and_compared() {
    let table: Dates = data("dates");
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
        let between = later.seconds() - earlier.seconds();
        assert_eq!(between, seconds, "{later} {earlier}");
        assert_eq!(DateTime::from_seconds(later.seconds()), Some(later));
    }
}

#[test]
fn every_day_of_eight_centuries_follows_the_one_before() {
    let mut day = Date::new(1599, 12, 31).unwrap();
    let mut number = day_number(day);
    while day.year() < 2400 {
        number += 1;
        let next = DateTime::from_seconds(number * SECONDS_A_DAY)
            .unwrap()
            .date();
        assert_eq!(day_number(next), number);
        let same_month = (next.year(), next.month()) == (day.year(), day.month());
        assert_eq!(next.day(), if same_month { day.day() + 1 } else { 1 });
        assert_eq!(
            Date::new(day.year(), day.month(), day.day() + 1).is_some(),
            same_month
        );
        day = next;
    }
}
