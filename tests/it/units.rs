//! Quantities, intervals and dates against tables of `tests/units`.

use proptest::prelude::*;
use serde::Deserialize;
use serde::de::DeserializeOwned;
use std::collections::BTreeSet;
use wetside::truth::Truth;
use wetside::units::table::{self, UNITS};
use wetside::units::{Date, DateTime, Duration, End, Exact, FaultKind, Interval, Kind};
use wetside::units::{Quantity, QuantityFault, Rounding, UnitId, print};

/// Loads a table of `tests/units`.
fn data<T: DeserializeOwned>(name: &str) -> T {
    let path = format!("{}/tests/units/{name}.yaml", env!("CARGO_MANIFEST_DIR"));
    let text = std::fs::read_to_string(&path).unwrap_or_else(|error| panic!("{path}: {error}"));
    serde_yaml::from_str(&text).unwrap_or_else(|error| panic!("{path}: {error}"))
}

fn kind(name: &str) -> Kind {
    Kind::named(name).unwrap_or_else(|| panic!("no kind is named {name}"))
}

/// `3/200` or `0.015`.
fn exact(text: &str) -> Exact {
    let number = |text: &str| {
        let (whole, part) = text.split_once('.').unwrap_or((text, ""));
        let digits = format!("{whole}{part}").parse().unwrap();
        Exact::decimal(digits, u32::try_from(part.len()).unwrap()).unwrap()
    };
    match text.split_once('/') {
        Some((above, below)) => number(above).over(number(below)).unwrap(),
        None => number(text),
    }
}

/// `[4, 6)`, `(.., 2]`.
fn interval(text: &str) -> Interval {
    let (low, high) = text[1..text.len() - 1].split_once(", ").unwrap();
    let end = |text: &str, open: bool| match (text, open) {
        ("..", _) => End::Unbounded,
        (at, true) => End::Open(exact(at)),
        (at, false) => End::Closed(exact(at)),
    };
    Interval::new(
        end(low, text.starts_with('(')),
        end(high, text.ends_with(')')),
    )
    .unwrap()
}

fn fault_sorts() -> BTreeSet<&'static str> {
    FaultKind::ALL.iter().map(|sort| sort.name()).collect()
}

#[test]
fn every_unit_has_the_base_value_reckoned_apart() {
    let mut tested = BTreeSet::new();
    for (name, text, base) in data::<Vec<(String, String, String)>>("base") {
        let read =
            Quantity::parse(&text, kind(&name)).unwrap_or_else(|fault| panic!("{text}: {fault:?}"));
        assert_eq!(read.range, Interval::exact(exact(&base)), "{name} {text}");
        tested.insert((read.unit, read.kind));
    }
    for unit in UnitId::all() {
        for &kind in unit.row().kinds {
            assert!(
                tested.contains(&(unit, kind)),
                "no value tests `{}` of {kind}",
                unit.symbol()
            );
        }
    }
}

#[test]
fn the_table_of_units_is_sound() {
    assert!(UNITS.len() < 256);
    for unit in UnitId::all() {
        let row = unit.row();
        assert!(!row.kinds.is_empty() && !row.source.is_empty());
        assert!(
            row.factor.0 > 0 && row.factor.1 > 0 && row.offset.1 > 0,
            "{}",
            row.symbol
        );
        for spelling in row.spellings.iter().chain([&row.symbol]) {
            assert_eq!(
                *spelling,
                spelling.split_whitespace().collect::<Vec<_>>().join(" ")
            );
            assert!(
                table::meanings(spelling).any(|meaning| meaning == unit),
                "{spelling}"
            );
            for &kind in row.kinds {
                assert_eq!(
                    UnitId::spelt(spelling, kind),
                    Some(unit),
                    "`{spelling}` is double for {kind}"
                );
            }
        }
    }
    let sorted: Vec<_> = table::spellings().collect();
    assert!(sorted.is_sorted());
}

#[test]
fn the_table_of_kinds_is_sound() {
    let names: BTreeSet<_> = Kind::all().map(Kind::name).collect();
    assert_eq!(names.len(), Kind::all().count());
    for kind in Kind::all() {
        assert_eq!(
            kind.row().kind,
            kind,
            "the rows are in the order of the enum"
        );
        assert_eq!(Kind::named(kind.name()), Some(kind));
        assert!(UnitId::usual(kind).serves(kind), "{kind}");
        assert_eq!(
            kind.is_bare(),
            UnitId::usual(kind).symbol().is_empty(),
            "{kind}"
        );
        for (_, symbol) in kind.row().likely {
            assert!(
                UnitId::spelt(symbol, kind).is_some(),
                "`{symbol}` of {kind}"
            );
        }
        assert!(kind.row().likely.is_sorted_by_key(|likely| likely.0));
        let ten = kind
            .about(Exact::from(10))
            .expect("ten of anything can be rough");
        assert!(
            ten.contains(Exact::from(10)) && ten.single().is_none(),
            "{kind}"
        );
        assert_eq!(ten.middle(), Some(Exact::from(10)));
    }
}

#[test]
fn the_longest_unit_of_a_running_text_is_found() {
    let starts = [
        ("bar and more", "bar"),
        ("L/min", "L/min"),
        ("L per 100 L of water", "L per 100 L"),
        ("m²", "m²"),
        ("mm to 6 mm", "mm"),
        ("m of head)", "m of head"),
        ("°C", "°C"),
        ("times a month", "times a month"),
    ];
    for (text, unit) in starts {
        assert_eq!(table::unit_at_start(text), Some(unit.len()), "{text}");
    }
    for text in ["", "metal", "barely", " m", "m/fortnight", "5 m"] {
        assert_eq!(table::unit_at_start(text), None, "{text}");
    }
}

#[test]
fn what_people_write_is_read_and_printed() {
    for (name, text, range, printed) in data::<Vec<(String, String, String, String)>>("accepted") {
        let read =
            Quantity::parse(&text, kind(&name)).unwrap_or_else(|fault| panic!("{text}: {fault:?}"));
        assert_eq!(read.range, interval(&range), "{name} `{text}`");
        assert_eq!(read.to_string(), printed, "{name} `{text}`");
        let again = Quantity::parse(&printed, kind(&name)).unwrap();
        assert_eq!(
            (again.range, again.unit, again.form),
            (read.range, read.unit, read.form),
            "{text}"
        );
    }
}

#[test]
fn what_cannot_be_read_is_refused_with_the_fix() {
    let mut sorts = fault_sorts();
    for (name, text, sort, wrong, help) in
        data::<Vec<(String, String, String, String, String)>>("refused")
    {
        let fault = match Quantity::parse(&text, kind(&name)) {
            Ok(read) => panic!("{name} `{text}` was read as {read}"),
            Err(fault) => fault,
        };
        assert_eq!(fault.kind.name(), sort, "{name} `{text}`: {fault:?}");
        assert_eq!(&text[fault.at.clone()], wrong, "{name} `{text}`: {fault:?}");
        assert!(fault.help.contains(&help), "{name} `{text}`: {fault:?}");
        check_manner(&fault);
        sorts.remove(fault.kind.name());
    }
    let of_dates = ["not-a-date", "no-such-day", "not-a-time", "not-a-duration"];
    assert_eq!(sorts, of_dates.into_iter().collect(), "sorts without a row");
}

/// A message is a lower-case sentence without a full stop.
fn check_manner(fault: &QuantityFault) {
    for words in [&fault.says, &fault.help] {
        assert!(!words.is_empty() && !words.ends_with('.'), "{words}");
        assert!(
            !words.chars().next().is_some_and(char::is_uppercase),
            "{words}"
        );
        assert!(!words.contains("  "), "{words}");
    }
}

#[test]
fn another_kind_is_named_in_words() {
    let fault = Quantity::parse("2 bar", Kind::Length).unwrap_err();
    assert_eq!(
        fault.says,
        "`bar` measures gauge pressure, absolute pressure or pressure difference, and a length belongs here"
    );
}

#[test]
fn figures_are_shown_to_few_digits_and_ranges_outwards() {
    let flow = |low, high| Interval::closed(exact(low), exact(high)).unwrap();
    let per_minute = UnitId::usual(Kind::VolumeFlow);
    let shown = |range: &Interval| print::range_in(range, per_minute, 4);
    assert_eq!(shown(&flow("1/6000", "1/5000")), "10 to 12 L/min");
    assert_eq!(shown(&flow("1/7000", "1/5900")), "8.571 to 10.17 L/min");
    assert_eq!(shown(&Interval::exact(exact("1/7000"))), "8.571 L/min");
    assert_eq!(
        print::number_in(exact("323.15"), UnitId::usual(Kind::Temperature), 4),
        "50 °C"
    );
    assert_eq!(
        print::number_in(
            exact("200000"),
            UnitId::spelt("psi", Kind::GaugePressure).unwrap(),
            4
        ),
        "29.01 psi"
    );
    let half_open = Interval::new(End::Open(exact("4")), End::Closed(exact("6"))).unwrap();
    assert_eq!(
        print::range_in(&half_open, UnitId::usual(Kind::Length), 4),
        "more than 4 and at most 6 m"
    );
    assert_eq!(
        print::range_in(&Interval::EVERYTHING, UnitId::usual(Kind::Length), 4),
        "any number m"
    );
    assert_eq!(
        Quantity::computed(Kind::Velocity, Interval::exact(exact("1/3"))).to_string(),
        "0.3333 m/s"
    );
}

#[derive(Deserialize)]
struct Algebra {
    plus: Vec<(String, String, String)>,
    minus: Vec<(String, String, String)>,
    times: Vec<(String, String, String)>,
    over: Vec<(String, String, String)>,
}

#[test]
fn kinds_combine_as_the_table_says() {
    let table: Algebra = data("algebra");
    type Combine = fn(Kind, Kind) -> Option<Kind>;
    let parts: [(_, Combine); 4] = [
        (table.plus, Kind::plus),
        (table.minus, Kind::minus),
        (table.times, Kind::times),
        (table.over, Kind::over),
    ];
    for (rows, combine) in parts {
        for (a, b, result) in rows {
            let expected = (result != "none").then(|| kind(&result));
            assert_eq!(combine(kind(&a), kind(&b)), expected, "{a} and {b}");
        }
    }
}

#[test]
fn the_algebra_of_kinds_agrees_with_itself() {
    for a in Kind::all() {
        for b in Kind::all() {
            assert_eq!(a.plus(b), b.plus(a), "{a} + {b}");
            assert_eq!(a.times(b), b.times(a), "{a} × {b}");
            if let Some(sum) = a.plus(b).filter(|sum| sum.is_point()) {
                assert!(
                    sum.minus(if sum == a { b } else { a }) == Some(sum),
                    "{a} + {b}"
                );
            }
            if let Some(quotient) = a.over(b) {
                let back = quotient.times(b);
                let counted = [Kind::Count, Kind::Number, Kind::Share];
                assert!(
                    back == Some(a) || counted.contains(&a),
                    "{a} ÷ {b} = {quotient}, back {back:?}"
                );
            }
        }
    }
}

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

/// Sample points of the grid tests, in quarters.
const SAMPLES: std::ops::RangeInclusive<i64> = -20..=20;

/// Every interval with ends on five points: closed, open or without limit.
fn grid() -> Vec<Interval> {
    let ends = || {
        let points =
            (-2..=2).flat_map(|at| [End::Closed(Exact::from(at)), End::Open(Exact::from(at))]);
        points.chain([End::Unbounded])
    };
    ends()
        .flat_map(|low| ends().filter_map(move |high| Interval::new(low, high)))
        .collect()
}

fn quarter(number: i64) -> Exact {
    Exact::ratio(number.into(), 4).unwrap()
}

fn samples(interval: &Interval) -> Vec<i64> {
    SAMPLES
        .filter(|number| interval.contains(quarter(*number)))
        .collect()
}

/// Asks a question about every pair of samples: yes if all say so, no if none does.
fn enumerate(a: &[i64], b: &[i64], holds: impl Fn(i64, i64) -> bool) -> Truth {
    let mut answers = a
        .iter()
        .flat_map(|a| b.iter().map(move |b| (*a, *b)))
        .map(|(a, b)| holds(a, b));
    let first = answers
        .next()
        .expect("no interval of the grid is without a sample");
    if answers.any(|answer| answer != first) {
        Truth::Undecided
    } else {
        Truth::from(first)
    }
}

#[test]
fn relations_of_intervals_agree_with_enumeration() {
    let grid: Vec<_> = grid()
        .into_iter()
        .map(|interval| (interval, samples(&interval)))
        .collect();
    for (a, of_a) in &grid {
        for (b, of_b) in &grid {
            let brute = |holds: fn(i64, i64) -> bool| enumerate(of_a, of_b, holds);
            assert_eq!(a.less(b), brute(|a, b| a < b), "{a:?} < {b:?}");
            assert_eq!(a.not_more(b), brute(|a, b| a <= b), "{a:?} <= {b:?}");
            assert_eq!(a.more(b), brute(|a, b| a > b), "{a:?} > {b:?}");
            assert_eq!(a.not_less(b), brute(|a, b| a >= b), "{a:?} >= {b:?}");
            assert_eq!(a.same(b), brute(|a, b| a == b), "{a:?} = {b:?}");
            let inside = of_a.iter().filter(|number| of_b.contains(number)).count();
            let expected = match inside {
                0 => Truth::No,
                all if all == of_a.len() && reaches(b, a) => Truth::Yes,
                _ => Truth::Undecided,
            };
            assert_eq!(a.lies_in(b), expected, "{a:?} in {b:?}");
            check_sets(a, b, of_a, of_b);
        }
    }
}

/// Samples end somewhere; only an interval without a limit holds one without a limit.
fn reaches(outer: &Interval, inner: &Interval) -> bool {
    let low = inner.low() != End::Unbounded || outer.low() == End::Unbounded;
    low && (inner.high() != End::Unbounded || outer.high() == End::Unbounded)
}

fn check_sets(a: &Interval, b: &Interval, of_a: &[i64], of_b: &[i64]) {
    let common: Vec<_> = of_a
        .iter()
        .copied()
        .filter(|number| of_b.contains(number))
        .collect();
    assert_eq!(
        a.intersect(b).map_or(Vec::new(), |both| samples(&both)),
        common
    );
    let hull = a.hull(b);
    let low = of_a[0].min(of_b[0]);
    let high = of_a[of_a.len() - 1].max(of_b[of_b.len() - 1]);
    assert_eq!(
        samples(&hull),
        (low..=high).collect::<Vec<_>>(),
        "{a:?} or {b:?}"
    );
    assert!(hull.encloses(a) && hull.encloses(b));
    let pairs = || of_a.iter().flat_map(|a| of_b.iter().map(move |b| (*a, *b)));
    let least: BTreeSet<_> = pairs().map(|(a, b)| a.min(b)).collect();
    assert_eq!(samples(&a.lesser(b)), least.into_iter().collect::<Vec<_>>());
    let most: BTreeSet<_> = pairs().map(|(a, b)| a.max(b)).collect();
    assert_eq!(samples(&a.greater(b)), most.into_iter().collect::<Vec<_>>());
}

#[test]
fn arithmetic_of_intervals_agrees_with_enumeration() {
    type Ranges = fn(&Interval, &Interval) -> Option<Interval>;
    type Numbers = fn(Exact, Exact) -> Option<Exact>;
    let operations: [(&str, Ranges, Numbers); 4] = [
        ("+", Interval::plus, Exact::plus),
        ("-", Interval::minus, Exact::minus),
        ("×", Interval::times, Exact::times),
        ("÷", Interval::over, Exact::over),
    ];
    let grid: Vec<_> = grid()
        .into_iter()
        .map(|interval| (interval, samples(&interval)))
        .collect();
    for (name, whole, single) in operations {
        for (a, of_a) in grid.iter().step_by(3) {
            for (b, of_b) in &grid {
                let Some(result) = whole(a, b) else {
                    assert!(name == "÷" && b.contains(Exact::ZERO));
                    continue;
                };
                let (mut low, mut high) = (None::<Exact>, None::<Exact>);
                for x in of_a.iter().step_by(2).chain(of_a.last()) {
                    for y in of_b {
                        let value = single(quarter(*x), quarter(*y)).unwrap();
                        assert!(
                            result.contains(value),
                            "{a:?} {name} {b:?}: {result:?} lacks {value}"
                        );
                        low = Some(low.map_or(value, |low| low.min(value)));
                        high = Some(high.map_or(value, |high| high.max(value)));
                    }
                }
                check_end(
                    result.low(),
                    low.unwrap(),
                    &format!("{a:?} {name} {b:?} from below"),
                );
                check_end(
                    result.high(),
                    high.unwrap(),
                    &format!("{a:?} {name} {b:?} from above"),
                );
            }
        }
    }
}

/// A closed end is reached by a sample; an open one is not, but samples come near it.
fn check_end(end: End, nearest: Exact, what: &str) {
    match end {
        End::Closed(at) => assert_eq!(at, nearest, "{what}"),
        End::Open(at) => {
            assert_ne!(at, nearest, "{what}");
            let far = at.minus(nearest).unwrap().magnitude();
            assert!(far <= Exact::from(3), "{what}: {at} is {far} off");
        }
        End::Unbounded => assert!(nearest.magnitude() >= Exact::from(2), "{what}: {nearest}"),
    }
}

#[test]
fn cells_cover_an_interval_once() {
    let limits = [quarter(4), quarter(-6), quarter(4), quarter(0)];
    for interval in grid() {
        let cells = interval.cells(&limits);
        for number in samples(&interval) {
            let holding = cells
                .iter()
                .filter(|cell| cell.contains(quarter(number)))
                .count();
            assert_eq!(holding, 1, "{interval:?} at {number}");
        }
        assert!(cells.iter().all(|cell| interval.encloses(cell)));
        assert!(
            cells
                .windows(2)
                .all(|pair| pair[0].less(&pair[1]) == Truth::Yes)
        );
    }
}

#[test]
fn arithmetic_that_does_not_fit_says_so() {
    let huge = Exact::ratio(i128::MAX, 1).unwrap();
    let tiny = Exact::ratio(1, i128::MAX).unwrap();
    assert_eq!(huge.plus(Exact::ONE), None);
    assert_eq!(huge.negated().minus(Exact::ONE), None);
    assert_eq!(huge.times(Exact::from(2)), None);
    assert_eq!(huge.over(tiny), None);
    assert_eq!(tiny.times(tiny), None);
    assert_eq!(Exact::ONE.over(Exact::ZERO), None);
    assert_eq!(Exact::ratio(1, 0), None);
    assert_eq!(Exact::ratio(i128::MIN, 3), None);
    assert_eq!(Exact::ratio(3, i128::MIN), None);
    assert_eq!(Exact::ratio(-6, -4), Exact::ratio(3, 2));
    assert_eq!(huge.times(tiny), Some(Exact::ONE));
    assert!(
        tiny < huge
            && huge.negated() < tiny
            && Exact::ratio(i128::MAX - 1, i128::MAX).unwrap() < Exact::ONE
    );
    let [a, b] = [(i128::MAX - 1, i128::MAX), (i128::MAX - 3, i128::MAX - 2)];
    assert!(
        Exact::ratio(a.0, a.1) > Exact::ratio(b.0, b.1),
        "the order holds where products overflow"
    );
    assert_eq!(Interval::exact(huge).plus(&Interval::exact(huge)), None);
    assert_eq!(Interval::exact(huge).times(&Interval::at_least(huge)), None);
}

#[test]
fn rounding_keeps_its_direction() {
    let round = |text: &str, digits, rounding| exact(text).rounded(digits, rounding).to_string();
    let table = [
        ("1/3", 4, "0.3333", "0.3333", "0.3334"),
        ("-1/3", 4, "-0.3333", "-0.3334", "-0.3333"),
        ("2/3", 4, "0.6667", "0.6666", "0.6667"),
        ("12345", 4, "12340", "12340", "12350"),
        ("12355", 4, "12360", "12350", "12360"),
        ("123450001/10000", 4, "12350", "12340", "12350"),
        ("0.00099995", 4, "0.001", "0.0009999", "0.001"),
        ("9999.5", 4, "10000", "9999", "10000"),
        ("0", 4, "0", "0", "0"),
        ("0.25", 1, "0.2", "0.2", "0.3"),
        ("0.35", 1, "0.4", "0.3", "0.4"),
        ("5", 9, "5", "5", "5"),
    ];
    for (text, digits, nearest, down, up) in table {
        assert_eq!(round(text, digits, Rounding::Nearest), nearest, "{text}");
        assert_eq!(round(text, digits, Rounding::Down), down, "{text}");
        assert_eq!(round(text, digits, Rounding::Up), up, "{text}");
    }
    assert_eq!(exact("1/3").to_string(), "0.333333333333");
    assert_eq!(exact("2.5").to_decimal(3), "2.500");
    for odd in [f64::NAN, f64::INFINITY, f64::NEG_INFINITY, 1e300] {
        assert_eq!(Exact::from_f64(odd, 4, Rounding::Nearest), None);
    }
    let small = |value, rounding| Exact::from_f64(value, 4, rounding).unwrap();
    for tiny in [1e-300, f64::MIN_POSITIVE, 5e-324, 1e-23] {
        assert_eq!(small(tiny, Rounding::Nearest), Exact::ZERO);
        assert_eq!(small(tiny, Rounding::Down), Exact::ZERO);
        assert!(small(tiny, Rounding::Up).to_f64() >= tiny);
        assert!(small(-tiny, Rounding::Down).to_f64() <= -tiny);
    }
    for zero in [0.0, -0.0] {
        assert_eq!(small(zero, Rounding::Up), Exact::ZERO);
    }
}

fn any_exact() -> impl Strategy<Value = Exact> {
    let large = (any::<i128>(), any::<i128>());
    let small = (-1000_i128..1000, 1_i128..1000);
    prop_oneof![large, small]
        .prop_filter_map("a ratio", |(above, below)| Exact::ratio(above, below))
}

fn decimal_text() -> impl Strategy<Value = String> {
    (any::<bool>(), 0_u64..1_000_000_000, 0_usize..7).prop_map(|(negative, digits, decimals)| {
        let digits = format!("{digits:0>width$}", width = decimals + 1);
        let (whole, part) = digits.split_at(digits.len() - decimals);
        let point = if part.is_empty() { "" } else { "." };
        format!("{}{whole}{point}{part}", if negative { "-" } else { "" })
    })
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::with_cases(2000) })]

    #[test]
    fn decimals_become_the_nearest_double(text in decimal_text()) {
        let read = Exact::parse(&text).unwrap();
        prop_assert_eq!(read.to_f64(), text.parse::<f64>().unwrap());
        let places = text.split_once('.').map_or(0, |parts| parts.1.len());
        let zero = if read.is_zero() { text.trim_start_matches('-') } else { &text };
        let canonical = match zero.trim_start_matches('-').trim_start_matches('0') {
            rest if rest.is_empty() || rest.starts_with('.') => format!("0{rest}"),
            rest => rest.to_owned(),
        };
        let sign = if zero.starts_with('-') { "-" } else { "" };
        prop_assert_eq!(read.to_decimal(u32::try_from(places).unwrap()), format!("{sign}{canonical}"));
    }

    #[test]
    fn doubles_round_as_the_language_prints_them(value in -1e15_f64..1e15, scale in 0..18, digits in 1_usize..16) {
        let value = value / 10_f64.powi(scale);
        let rounded = Exact::from_f64(value, u32::try_from(digits).unwrap(), Rounding::Nearest).unwrap();
        let printed = format!("{:.*e}", digits - 1, value);
        prop_assert_eq!(rounded.to_f64(), printed.parse::<f64>().unwrap(), "{} {}", value, printed);
        let down = Exact::from_f64(value, 4, Rounding::Down).unwrap();
        let up = Exact::from_f64(value, 4, Rounding::Up).unwrap();
        prop_assert!(down.to_f64() <= value && value <= up.to_f64());
    }

    #[test]
    fn exact_arithmetic_keeps_its_laws(a in any_exact(), b in any_exact(), digits in 1_u32..31) {
        prop_assert_eq!(a.plus(b), b.plus(a));
        prop_assert_eq!(a.times(b), b.times(a));
        if let Some(sum) = a.plus(b) {
            prop_assert!(sum.minus(b).is_none_or(|back| back == a));
            prop_assert_eq!(sum > a, !b.is_negative() && !b.is_zero());
        }
        if let Some(quotient) = a.over(b) {
            prop_assert!(quotient.times(b).is_none_or(|back| back == a));
        }
        prop_assert_eq!(a.cmp(&b), b.cmp(&a).reverse());
        prop_assert!(a.floor() <= a && a <= a.ceil());
        prop_assert!(a.rounded(digits, Rounding::Down) <= a || a.rounded(digits, Rounding::Down) == a);
        prop_assert!(a.rounded(digits, Rounding::Up) >= a);
        prop_assert!(a.to_f64().is_finite());
        let shown = (a.to_string(), format!("{a:?}"));
        prop_assert!(!shown.0.is_empty() && !shown.1.is_empty());
    }

    #[test]
    fn what_is_printed_is_read_back(
        first in decimal_text(),
        second in decimal_text(),
        form in 0..7,
        row in 0..UNITS.len(),
        of in any::<prop::sample::Index>(),
    ) {
        let unit = UnitId::all().nth(row).unwrap();
        let kind = *of.get(unit.row().kinds);
        let unit = unit.symbol();
        let text = match form {
            0 => format!("{first} {unit}"),
            1 => format!("{first} to {second} {unit}"),
            2 => format!("{first} ± {second} {unit}"),
            3 => format!("about {first} {unit}"),
            4 => format!("at least {first} {unit}"),
            5 => format!("less than {first} {unit}"),
            _ => format!("{first} {unit} ± 5 %"),
        };
        if let Ok(read) = Quantity::parse(&text, kind) {
            let printed = read.to_string();
            let again = Quantity::parse(&printed, kind).map_err(|fault| TestCaseError::fail(format!("{text} {printed} {fault:?}")))?;
            prop_assert_eq!(again.range, read.range, "{} {}", text, printed);
            prop_assert_eq!((again.unit, again.form), (read.unit, read.form), "{}", printed);
            prop_assert_eq!(again.to_string(), printed);
        }
    }

    #[test]
    fn no_text_causes_a_panic(
        text in "(about |at least |pH |once )?[0-9.,/±+ \u{a0}'_eE−–-]{0,9}( ?(mm|m|bar|L per|%|to|µS/cm|x|é|°|/)){0,3}[0-9.±\\PC]{0,5}",
        of in any::<prop::sample::Index>(),
    ) {
        let kinds: Vec<_> = Kind::all().collect();
        let kind = *of.get(&kinds);
        match Quantity::parse(&text, kind) {
            Ok(read) => prop_assert!(!read.to_string().is_empty()),
            Err(fault) => {
                prop_assert!(text.get(fault.at.clone()).is_some(), "{:?}", fault);
                prop_assert!(!fault.says.is_empty() && !fault.help.is_empty());
            }
        }
        let _ = table::unit_at_start(&text);
        for fault in [Date::parse(&text).err(), DateTime::parse(&text).err(), Duration::parse(&text).err()] {
            prop_assert!(fault.is_none_or(|fault| text.get(fault.at).is_some()));
        }
    }
}
