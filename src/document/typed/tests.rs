//! Structs that are filled from documents, and documents that do not fit them.

use super::*;
use serde::Deserialize;
use wetside_base::source::Source;

#[derive(Debug, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
struct Visit<'d> {
    #[serde(borrow)]
    house: Placed<&'d str>,
    day: Day,
    rooms: Option<u32>,
    #[serde(borrow, default)]
    readings: Entries<Placed<&'d str>>,
    #[serde(borrow, default)]
    people: Vec<Person<'d>>,
}

#[derive(Debug, PartialEq, Deserialize)]
#[serde(rename_all = "lowercase")]
enum Day {
    Monday,
    Tuesday,
}

#[derive(Debug, PartialEq, Deserialize)]
struct Person<'d> {
    name: &'d str,
}

fn misfit(text: &str) -> (String, &'static str, String) {
    let source = Source::new("visit", text);
    let reading = crate::read(&source);
    let problem = typed::<Visit>(&reading.root).expect_err("it does not fit");
    (
        source.slice(problem.span).to_string(),
        problem.kind,
        problem.help,
    )
}

#[test]
fn values_come_with_their_places_and_texts_as_written() {
    let text = "house: 'no'\nday: monday\nrooms: 3\nreadings: {top: 1.50 bar, low: yes}\npeople:\n  - name: 007\n";
    let source = Source::new("visit", text);
    let reading = crate::read(&source);
    let visit: Visit = typed(&reading.root).expect("it fits");
    assert_eq!(visit.house.value, "no");
    assert_eq!(source.slice(visit.house.span), "'no'");
    assert_eq!(visit.house.key.map(|key| source.slice(key)), Some("house"));
    assert_eq!((visit.day, visit.rooms), (Day::Monday, Some(3)));
    let readings: Vec<_> = visit
        .readings
        .0
        .iter()
        .map(|(key, value)| (key.value.as_str(), value.value))
        .collect();
    assert_eq!(readings, [("top", "1.50 bar"), ("low", "yes")]);
    assert_eq!(source.slice(visit.readings.0[1].0.span), "low");
    assert_eq!(visit.people, [Person { name: "007" }]);
}

#[test]
fn what_does_not_fit_is_told_at_its_place() {
    let rows = [
        (
            "house: [a]\nday: monday\n",
            "house",
            "value-expected",
            "write words or a quantity with its unit",
        ),
        (
            "house: a\nday: mondy\n",
            "mondy",
            "not-a-choice",
            "did you mean `monday`?",
        ),
        (
            "house: a\nday: monday\nroom: 1\n",
            "room",
            "unknown-key",
            "did you mean `rooms`?",
        ),
        (
            "house: a\nday: monday\nrooms: 1.5\n",
            "1.5",
            "value-expected",
            "write a whole number",
        ),
        ("house: a\n", "house", "key-missing", "add a line `day:`"),
        (
            "house: a\nday: monday\npeople: {name: x}\n",
            "people",
            "value-expected",
            "write a list",
        ),
        (
            "house: a\nday: monday\npeople:\n  - nam: x\n",
            "nam",
            "key-missing",
            "add a line `name:`",
        ),
        (
            "house: a\nday: monday\nreadings: 3\n",
            "3",
            "value-expected",
            "write facts with their names",
        ),
    ];
    for (text, place, kind, help) in rows {
        assert_eq!(
            misfit(text),
            (place.to_string(), kind, help.to_string()),
            "{text}"
        );
    }
}

#[test]
fn a_value_that_could_not_be_read_is_nothing() {
    let source = Source::new("visit", "house: a\nday: monday\nrooms:\n");
    let reading = crate::read(&source);
    assert_eq!(reading.problems.len(), 1);
    let visit: Visit = typed(&reading.root).expect("the rest fits");
    assert_eq!(visit.rooms, None);
}
