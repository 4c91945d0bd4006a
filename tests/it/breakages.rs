//! One line of each example broken in ten ways: the right line is shown each time, and nothing else
//! is complained of. The messages stand in `tests/breakages`, to be read.

use crate::generate::{examples, judged};
use std::fmt::Write;
use wetside_base::problem::Problem;
use wetside_base::source::Source;

/// The line that is broken: the example, how the line begins, and what it holds. None is the first of
/// its block: where that is set in too far, it is the following lines that do not line up with it.
const LINES: [(&str, &str, Sort); 23] = [
    (
        "acid-on-aluminium",
        "  planned_temperature:",
        Sort::Quantity("310 ppm"),
    ),
    (
        "barn-on-its-first-water",
        "  cold_pressure:",
        Sort::Quantity("3 m"),
    ),
    ("bungalow-prepare-first", "  fill_route:", Sort::Word),
    (
        "cesspool-into-a-container",
        "  maximum_contact:",
        Sort::Quantity("3 bar"),
    ),
    (
        "chapel-one-pipe",
        "  smallest_bore:",
        Sort::Quantity("2 bar"),
    ),
    (
        "combination-microbore",
        "  relief_setting:",
        Sort::Quantity("10 m"),
    ),
    ("communal-flat-interface-unit", "  layout:", Sort::Word),
    (
        "cottage-slips-of-the-pen",
        "  built:",
        Sort::Quantity("30 mm"),
    ),
    ("farmhouse-hearth-cold", "  tester:", Sort::Word),
    ("farmhouse-stove", "  nation:", Sort::Word),
    (
        "flat-forgotten-lever",
        "      floor:",
        Sort::Quantity("3 m"),
    ),
    (
        "flat-with-the-networks-leave",
        "  vessel_size:",
        Sort::Quantity("8 kW"),
    ),
    ("gauge-that-rises", "  visible_leaks:", Sort::Word),
    ("grey-but-passing", "  freeboard:", Sort::Quantity("50 mm")),
    ("guest-house-double-check", "  backflow_device:", Sort::Word),
    (
        "handed-back-with-a-cap",
        "  rated_temperature:",
        Sort::Quantity("76 K"),
    ),
    ("heat-pump-underfloor", "  work_date:", Sort::Word),
    (
        "lodge-let-for-the-season",
        "  glycol:",
        Sort::Quantity("27 °C"),
    ),
    ("open-vented-gravity", "  layout:", Sort::Word),
    ("semi-too-many-unknowns", "  stage:", Sort::Word),
    (
        "terrace-without-small-cistern",
        "      condition:",
        Sort::Word,
    ),
    (
        "town-house-machine-upstairs",
        "  rated_flow:",
        Sort::Quantity("136 m/s"),
    ),
    (
        "village-hall-into-contract",
        "  recheck:",
        Sort::Quantity("4 bar"),
    ),
];

/// What the line holds.
#[derive(Clone, Copy)]
enum Sort {
    /// A choice, an answer or a day.
    Word,
    /// A quantity, with one of another kind to put in its place.
    Quantity(&'static str),
}

/// The ten ways, each with the lines that come in place of the one.
fn broken(line: &str, sort: Sort) -> Vec<(&'static str, String)> {
    let plain = line.split(" #").next().unwrap_or_default().trim_end();
    let (key, value) = plain.split_once(": ").unwrap_or((plain, ""));
    let number = value.split(' ').next().unwrap_or_default();
    let (indent, name) = key.split_at(key.len() - key.trim_start().len());
    let swapped = |word: &str| {
        let (first, rest) = word.split_at(1.min(word.len()));
        let (second, rest) = rest.split_at(1.min(rest.len()));
        format!("{second}{first}{rest}")
    };
    let mut ways = vec![
        (
            "a key misspelt",
            format!("{indent}{}: {value}", swapped(name)),
        ),
        ("the value left out", format!("{key}:")),
        ("`null` for the value", format!("{key}: null")),
        ("written twice", format!("{plain}\n{plain}")),
        ("set in by a tab", format!("\t{}", plain.trim_start())),
        ("a bracket not closed", format!("{key}: [{value}")),
        ("set in one too far", format!(" {plain}")),
        ("a programmer's word", format!("{key}: true")),
    ];
    match sort {
        Sort::Word => {
            ways.push(("the value misspelt", format!("{key}: {}", swapped(value))));
            ways.push(("a quantity for a word", format!("{key}: 15 mm")));
        }
        Sort::Quantity(other) => {
            ways.push(("another kind of quantity", format!("{key}: {other}")));
            let odd = if number == value {
                format!("{key}: {number}.5.1")
            } else {
                format!("{key}: {number}")
            };
            ways.push(("the unit left out, or a number that is none", odd));
        }
    }
    ways
}

/// What the problems of the broken text say, those of the unbroken one left out.
fn new_problems(text: &str, unbroken: &str) -> Vec<(usize, String)> {
    let read = |text: &str| (Source::new("survey.yaml", text), judged(text).problems);
    // The same problem in the same words of the text; its line may have moved by one.
    let mark = |source: &Source, problem: &Problem| {
        let line = source.line_span(source.line_of(problem.span.start));
        format!("{} {}", problem.kind, source.slice(line))
    };
    let (old_source, old) = read(unbroken);
    let known: Vec<String> = old
        .iter()
        .map(|problem| mark(&old_source, problem))
        .collect();
    let (source, problems) = read(text);
    let fresh = problems
        .iter()
        .filter(|problem| !known.contains(&mark(&source, problem)));
    let told = fresh.map(|problem| {
        let place = source.place(problem.span.start);
        let told = format!("{place} {}: {}", problem.kind, problem.says);
        (place.line, format!("{told}\n    {}", problem.help))
    });
    told.collect()
}

#[test]
fn a_broken_line_is_the_one_that_is_shown() {
    let mut wrong = Vec::new();
    for (name, start, sort) in LINES {
        let example = examples()
            .iter()
            .find(|example| example.name == name)
            .expect("the example is there");
        let lines: Vec<&str> = example.text.lines().collect();
        let at = lines
            .iter()
            .position(|line| line.starts_with(start))
            .expect("the line is there");
        let mut page = String::new();
        for (way, put) in broken(lines[at], sort) {
            let text = [&lines[..at], &[put.as_str()], &lines[at + 1..]]
                .concat()
                .join("\n")
                + "\n";
            let problems = new_problems(&text, &example.text);
            let expected = at + put.lines().count();
            // Without its key the stage is missing as well, and the survey is judged for the first.
            let follows = |(_, told): &(usize, String)| told.contains(" stage-missing: ");
            let first = problems.first().is_some_and(|(line, _)| *line == expected);
            if !first || !problems.iter().skip(1).all(follows) {
                wrong.push(format!(
                    "{name}, {way}: `{put}` on line {expected} gives {problems:?}"
                ));
            }
            writeln!(
                page,
                "{way}: `{}`",
                put.replace('\t', "→").replace('\n', "⏎")
            )
            .expect("a string takes everything");
            problems.iter().for_each(|(_, told)| {
                writeln!(page, "  {told}").expect("a string takes everything")
            });
        }
        insta::with_settings!({snapshot_path => "../breakages", prepend_module_to_snapshot => false, omit_expression => true}, {
            insta::assert_snapshot!(name, page);
        });
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn every_example_has_its_broken_line() {
    let named: Vec<&str> = LINES.iter().map(|(name, ..)| *name).collect();
    let there: Vec<&str> = examples()
        .iter()
        .map(|example| example.name.as_str())
        .collect();
    assert_eq!(named, there);
}
