//! Quantities, intervals and dates against tables of `tests/units`.

use serde::Deserialize;
use serde::de::DeserializeOwned;
use std::collections::BTreeSet;
use wetside_units::table::{self, UNITS};
use wetside_units::{End, Exact, Interval, Kind, Quantity, QuantityFault, UnitId, print};

mod dates;
mod grid;
mod numbers;
mod properties;
mod truth;

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
    for (name, text, says, wrong, help) in
        data::<Vec<(String, String, String, String, String)>>("refused")
    {
        let fault = match Quantity::parse(&text, kind(&name)) {
            Ok(read) => panic!("{name} `{text}` was read as {read}"),
            Err(fault) => fault,
        };
        assert_eq!(fault.says, says, "{name} `{text}`: {fault:?}");
        assert_eq!(&text[fault.at.clone()], wrong, "{name} `{text}`: {fault:?}");
        assert!(fault.help.contains(&help), "{name} `{text}`: {fault:?}");
        check_manner(&fault);
    }
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
fn a_short_unit_is_not_guessed_from_another() {
    let fault = Quantity::parse("15 kX", Kind::Power).unwrap_err();
    assert_eq!(
        fault.help,
        "a power is written in `kW`, `W`, `MW` or `Btu/h`"
    );
}

#[test]
fn figures_are_shown_to_few_digits_and_ranges_outwards() {
    let flow = |low, high| Interval::closed(exact(low), exact(high)).unwrap();
    let per_minute = UnitId::usual(Kind::VolumeFlow);
    let shown = |range: &Interval| print::range_in(range, per_minute, 4);
    assert_eq!(shown(&flow("1/6000", "1/5000")), "10 to 12 L/min");
    assert_eq!(shown(&flow("1/7000", "1/5900")), "8.571 to 10.17 L/min");
    assert_eq!(
        shown(&flow("100001/600000000", "101711/600000000")),
        "10 to 10.18 L/min"
    );
    assert_eq!(shown(&Interval::exact(exact("1/7000"))), "8.571 L/min");
    assert_eq!(
        print::range_in(
            &Interval::exact(exact("323.15")),
            UnitId::usual(Kind::Temperature),
            4
        ),
        "50 °C"
    );
    assert_eq!(
        print::range_in(
            &Interval::exact(exact("200000")),
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

/// Two ends in base units, and how they are said.
const SAID: [(Kind, &str, &str, &str); 27] = [
    (Kind::Time, "600", "17100", "10 min to 4.8 h"),
    (Kind::Time, "3000", "19830", "50 min to 5.6 h"),
    (Kind::Time, "6060", "10080", "100 to 170 min"),
    (Kind::Time, "6060", "10800", "1.6 to 3 h"),
    (Kind::Time, "60", "180", "1 to 3 min"),
    (Kind::Time, "59", "180", "59 s to 3 min"),
    (Kind::Time, "59", "179", "59 to 180 s"),
    (Kind::Time, "90", "149", "90 to 150 s"),
    (Kind::Time, "300", "1200", "5 to 20 min"),
    (Kind::Time, "30", "36000", "30 s to 10 h"),
    (Kind::Time, "126000", "259100", "35 to 72 h"),
    (Kind::Time, "126000", "259200", "1.4 to 3 days"),
    (Kind::Time, "5740", "394000", "95 min to 4.6 days"),
    (Kind::Time, "0", "2570", "0 to 43 min"),
    (Kind::Time, "0", "75.5", "0 to 76 s"),
    (Kind::Time, "0", "0", "0 s"),
    (Kind::Time, "5400", "5400", "90 min"),
    (Kind::Time, "-600", "17100", "-10 min to 4.75 h"),
    (Kind::Time, "-17100", "600", "-4.75 h to 10 min"),
    (Kind::Time, "31556952", "94670857", "1 to 3.1 years"),
    (Kind::GaugePressure, "-939", "122000", "-0.01 to 1.22 bar"),
    (Kind::GaugePressure, "150", "200000", "0 to 2 bar"),
    (Kind::GaugePressure, "-33500", "75600", "-0.34 to 0.76 bar"),
    (Kind::GaugePressure, "-122000", "939", "-1.22 to 0.01 bar"),
    (Kind::GaugePressure, "939", "939", "0.00939 bar"),
    (Kind::Temperature, "278.404", "333.15", "5.2 to 60 °C"),
    (Kind::Velocity, "0.00443", "0.3", "0.0044 to 0.3 m/s"),
];

#[test]
fn worked_out_values_read_as_a_person_would_say_them() {
    for (kind, low, high, said) in SAID {
        let range = Interval::closed(exact(low), exact(high)).unwrap();
        assert_eq!(print::worked_out(kind, &range), said, "{low} to {high}");
    }
    let open = Interval::new(End::Open(exact("600")), End::Open(exact("17100"))).unwrap();
    assert_eq!(
        print::worked_out(Kind::Time, &open),
        "more than 10 min and less than 4.8 h"
    );
    let least = Interval::at_least(exact("17100"));
    assert_eq!(print::worked_out(Kind::Time, &least), "at least 4.75 h");
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
