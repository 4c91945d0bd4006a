//! Every shipped example comes to exactly what its own comments announce.

use crate::generate::Read;
use std::collections::BTreeSet;
use std::fs;
use std::path::PathBuf;
use std::sync::OnceLock;
use wetside_base::facts::Content;
use wetside_base::finding::{Class, Stage, Verdict};
use wetside_base::source::Source;
use wetside_base::vocabulary::{Field, FieldId, Shape};
use wetside_engine::check::{Ask, Packs, check};
use wetside_engine::expectations::{Expectation, Expectations, announced, found};
use wetside_report::{Style, text};

/// The built-in packs, loaded once for all tests.
pub(crate) fn packs() -> &'static Packs {
    static PACKS: OnceLock<Packs> = OnceLock::new();
    PACKS.get_or_init(wetside_rules::packs)
}

/// The head of the built-in pack for a pack of fewer rules, without the names of those that it locks.
pub(crate) fn unlocked(head: &str) -> String {
    let mut within = false;
    let kept = head.lines().filter(|line| {
        within = *line == "locked:" || within && line.starts_with("  - ");
        !within
    });
    kept.map(|line| format!("{line}\n")).collect()
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

/// Nobody can answer a figure: where one stays open, a fact behind it is asked for.
#[test]
fn no_question_asks_for_a_figure() {
    for source in examples() {
        for stage in [Stage::Flush, Stage::HandBack] {
            let ask = Ask {
                stage: Some(stage),
                ..Ask::default()
            };
            let judgement = check(&source, packs(), &ask);
            for question in judgement.questions {
                assert!(
                    !question.fact.starts_with("figure."),
                    "{}: {}",
                    source.name,
                    question.fact
                );
            }
        }
    }
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

/// A communal flat and a hall are sound too, though no code of single dwellings was written for them.
const OUTSIDE_THE_CODE: &str = "premises-outside-the-domestic-code";

#[test]
fn there_is_a_clear_example_of_every_stage_and_it_is_silent() {
    let judged: Vec<_> = examples()
        .iter()
        .map(|source| check(source, packs(), &Ask::default()))
        .collect();
    let clear: Vec<_> = judged
        .iter()
        .filter(|judgement| judgement.verdict == Verdict::Clear)
        .collect();
    let stages: BTreeSet<Stage> = clear.iter().map(|judgement| judgement.stage).collect();
    assert_eq!(stages, BTreeSet::from(Stage::ALL));
    let told = clear.iter().flat_map(|judgement| &judgement.findings);
    let loud: Vec<&str> = told
        .map(|finding| finding.rule.as_str())
        .filter(|rule| *rule != OUTSIDE_THE_CODE)
        .collect();
    assert!(loud.is_empty(), "clear ones are silent: {loud:?}");
    assert!(judged.len() - clear.len() >= 6);
}

/// Whoever looks for how a field is written finds it. A note is in people's own words.
#[test]
fn every_field_of_the_form_is_answered_in_some_example() {
    let vocabulary = &packs().vocabulary;
    let read: Vec<Read> = examples()
        .iter()
        .map(|source| Read::by(&source.text, vocabulary))
        .collect();
    let known = read.iter().flat_map(|read| read.facts.all());
    let answered: BTreeSet<FieldId> = known
        .filter(|(_, fact)| matches!(fact.content, Content::Known(_)))
        .map(|(_, fact)| fact.field)
        .collect();
    let asked = |(id, field): &(FieldId, &Field)| {
        let own_words = matches!(field.name.as_str(), "note" | "notes");
        let figure = field.path.starts_with("figure.");
        matches!(field.shape, Shape::Fact(_)) && !own_words && !figure && !answered.contains(id)
    };
    let unanswered: Vec<&str> = vocabulary
        .fields()
        .filter(asked)
        .map(|(_, field)| field.path.as_str())
        .collect();
    assert!(unanswered.is_empty(), "{}", unanswered.join("\n"));
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
