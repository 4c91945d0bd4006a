//! Every shipped example comes to exactly what its own comments announce.

use std::fs;
use std::path::PathBuf;
use std::sync::OnceLock;
use wetside_base::finding::{Class, Verdict};
use wetside_base::source::Source;
use wetside_engine::check::{Ask, Packs, check};
use wetside_engine::expectations::{Expectation, Expectations, announced, found};
use wetside_report::{Style, text};

/// The built-in packs, loaded once for all tests.
pub(crate) fn packs() -> &'static Packs {
    static PACKS: OnceLock<Packs> = OnceLock::new();
    PACKS.get_or_init(wetside_rules::packs)
}

/// The example surveys by name.
pub(crate) fn examples() -> Vec<Source> {
    let folder = PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("examples");
    let entries = fs::read_dir(folder).expect("the examples are there");
    let mut paths: Vec<PathBuf> = entries
        .map(|entry| entry.expect("it can be listed").path())
        .collect();
    paths.retain(|path| path.extension().is_some_and(|ending| ending == "yaml"));
    paths.sort();
    let read = |path: &PathBuf| {
        let name = path
            .file_name()
            .expect("it is a file")
            .to_string_lossy()
            .into_owned();
        Source::new(name, fs::read_to_string(path).expect("it can be read"))
    };
    paths.iter().map(read).collect()
}

#[test]
fn examples_come_to_what_they_announce() {
    let mut differences = String::new();
    for source in examples() {
        let judgement = check(&source, packs(), &Ask::default());
        let (wanted, got) = (announced(&source), found(&source, &judgement));
        differences.push_str(&difference(&source.name, &wanted, &got));
    }
    assert!(differences.is_empty(), "\n{differences}");
}

/// What is announced and not found, and what is found unannounced.
fn difference(name: &str, wanted: &Expectations, got: &Expectations) -> String {
    let mut text = String::new();
    if wanted.verdict != got.verdict {
        text.push_str(&format!(
            "{name}: the verdict is {:?}, announced {:?}\n",
            got.verdict, wanted.verdict
        ));
    }
    let line = |expectation: &Expectation| {
        format!(
            "{name}:{}: {} {}\n",
            expectation.line,
            expectation.sort.word(),
            expectation.name
        )
    };
    for expectation in wanted
        .all
        .iter()
        .filter(|expectation| !got.all.contains(expectation))
    {
        text.push_str(&format!("announced, not found: {}", line(expectation)));
    }
    for expectation in got
        .all
        .iter()
        .filter(|expectation| !wanted.all.contains(expectation))
    {
        text.push_str(&format!("found, not announced: {}", line(expectation)));
    }
    text
}

/// The figures that tell one machine from another, each with the one that every example once had.
const MACHINE: [(&str, &str); 9] = [
    ("tank", "50 L"),
    ("freeboard", "10 L"),
    ("rated_flow", "99 L/min"),
    ("shut_off_pressure", "2 bar"),
    ("rated_temperature", "85 °C"),
    ("power", "2.8 kW"),
    ("hose_length", "8 m"),
    ("hose_rated_temperature", "90 °C"),
    ("hose_rated_pressure", "6 bar"),
];

/// An example teaches what to read off a plate, and not what one machine can do: each has a machine of its
/// own invention. By chance two machines may agree in a figure or two, and no more.
#[test]
fn every_example_has_a_machine_of_its_own_invention() {
    let mut machines = vec![(
        "the old one".to_string(),
        MACHINE.map(|(_, old)| figure(old)),
    )];
    for source in examples() {
        let root = wetside_document::read(&source).root;
        let machine = MACHINE.map(|(name, _)| {
            let found = root.pointer(&format!("/machine/{name}"));
            let text = found.and_then(|found| found.node.as_text());
            figure(text.unwrap_or_else(|| panic!("{}: no {name}", source.name)))
        });
        for (other, figures) in &machines {
            let pairs = machine.iter().zip(figures);
            let alike = pairs.filter(|(one, another)| one == another).count();
            assert!(alike <= 2, "{} and {other}: {alike} alike", source.name);
        }
        machines.push((source.name, machine));
    }
}

/// A figure as number and unit, so that `2 bar` and `2.0 bar` are one.
fn figure(text: &str) -> (f64, String) {
    let (number, unit) = text.split_once(' ').expect("a number and its unit");
    let number = number.parse().expect("a plain number");
    (number, unit.to_string())
}

#[test]
fn the_course_of_examples_has_clear_and_faulty_ones() {
    let judged: Vec<_> = examples()
        .iter()
        .map(|source| check(source, packs(), &Ask::default()))
        .collect();
    let clear = judged
        .iter()
        .filter(|judgement| judgement.verdict == Verdict::Clear);
    assert!(clear.clone().count() >= 3);
    assert!(
        clear.clone().all(|judgement| judgement.findings.is_empty()),
        "clear ones are silent"
    );
    assert!(judged.len() - clear.count() >= 6);
}

/// A line that no finding names cannot have caused it.
#[test]
fn every_finding_shows_lines_of_the_survey_and_of_the_pack() {
    for source in examples() {
        let judgement = check(&source, packs(), &Ask::default());
        for (finding, on) in judgement.outcomes() {
            assert!(
                !on.place_words.is_empty(),
                "{}: {}",
                source.name,
                finding.rule
            );
            assert!(
                finding
                    .pack_lines
                    .iter()
                    .all(|line| line.line > 0 && line.file.ends_with(".yaml"))
            );
            assert!(!finding.pack_lines.is_empty());
            assert!(finding.class == Class::Advisory || !on.remedy.is_empty());
        }
    }
}

#[test]
fn no_report_of_an_example_is_wider_than_a_telephone() {
    for source in examples() {
        // A name is never broken, so it is a short one here.
        let source = Source::new("house.yaml", source.text.as_str());
        let judged = [(source.clone(), check(&source, packs(), &Ask::default()))];
        let page = text::surveys(&judged, text::survey, &Style::wide(60));
        for line in page.lines() {
            assert!(line.chars().count() <= 60, "{line}");
        }
    }
}
