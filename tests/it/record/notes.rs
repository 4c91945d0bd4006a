//! Notes: what each writes or why it is refused, and that none ever harms a survey.
//!
//! The table is `tests/notes/*.yaml`: notes on one survey, one after another, each with the lines of the text
//! that go and come, and what is said back.

use crate::examples::{examples, packs};
use proptest::prelude::*;
use proptest::sample::select;
use serde::Deserialize;
use std::fs;
use wetside_base::source::Source;
use wetside_engine::check::{self, Packs};
use wetside_record::undo::History;
use wetside_record::{Beside, Noted, Refused, note};
use wetside_units::DateTime;

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Day {
    survey: String,
    /// A line that the survey lacks here.
    without: Option<String>,
    notes: Vec<Row>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Row {
    note: String,
    at: Option<String>,
    by: Option<String>,
    clock: Option<String>,
    /// The lines that go, with `-`, and those that come, with `+`.
    #[serde(default)]
    writes: Vec<String>,
    #[serde(default)]
    says: Vec<String>,
    /// What is wrong, and what to do.
    refused: Option<String>,
}

fn survey(name: &str) -> Source {
    let path = format!("{}/examples/{name}", env!("CARGO_MANIFEST_DIR"));
    Source::new(name, fs::read_to_string(path).expect("it is there"))
}

/// The lines that go, and then those that come.
fn changed(before: &str, after: &str) -> Vec<String> {
    let times = |text: &str, line: &str| text.lines().filter(|other| *other == line).count();
    let mut gone: Vec<String> = Vec::new();
    for line in before.lines() {
        let told = gone.iter().filter(|other| other[1..] == *line).count();
        if times(before, line) > times(after, line) + told {
            gone.push(format!("-{line}"));
        }
    }
    let mut come: Vec<String> = Vec::new();
    for line in after.lines().rev() {
        let told = come.iter().filter(|other| other[1..] == *line).count();
        if times(after, line) > times(before, line) + told {
            come.push(format!("+{line}"));
        }
    }
    come.reverse();
    gone.extend(come);
    gone
}

fn written(source: &Source, packs: &Packs, row: &Row) -> Result<Noted, Refused> {
    let beside = Beside {
        at: row.at.as_deref(),
        clock: row
            .clock
            .as_deref()
            .map(|time| DateTime::parse(time).expect("a time")),
        by: row.by.as_deref(),
    };
    note(source, packs, &row.note, &beside)
}

#[test]
fn each_note_of_the_tables_writes_what_it_should_or_is_refused() {
    let packs = packs();
    let folder = format!("{}/tests/notes", env!("CARGO_MANIFEST_DIR"));
    let mut files: Vec<_> = fs::read_dir(folder)
        .expect("it is there")
        .map(|one| one.expect("listed").path())
        .collect();
    files.sort();
    let mut wrong = String::new();
    let mut rows = 0;
    for file in files {
        let text = fs::read_to_string(&file).expect("it can be read");
        let day: Day = serde_yaml::from_str(&text).expect("the table has its form");
        let mut source = survey(&day.survey);
        if let Some(line) = &day.without {
            let left = source.text.lines().filter(|other| other.trim() != line);
            let left: Vec<&str> = left.collect();
            assert!(left.len() < source.line_count(), "{line}");
            source = Source::new(source.name, left.join("\n") + "\n");
        }
        for row in day.notes {
            rows += 1;
            let (writes, says, refused) = match written(&source, packs, &row) {
                Ok(noted) => {
                    let writes = changed(&source.text, &noted.source.text);
                    source = noted.source;
                    (writes, noted.says, None)
                }
                Err(why) => {
                    let told = format!("{} {}", why.says, why.help);
                    (Vec::new(), Vec::new(), Some(told))
                }
            };
            if (&writes, &says, &refused) != (&row.writes, &row.says, &row.refused) {
                let place = file.display();
                wrong += &format!(
                    "{place}: {}\n{writes:#?}\n{says:#?}\n{refused:?}\n",
                    row.note
                );
            }
        }
    }
    assert!(wrong.is_empty(), "{wrong}");
    assert!(rows > 40, "{rows}");
}

/// Words of all sorts that notes are made of.
const WORDS: [&str; 48] = [
    "front bedroom",
    "back bedroom",
    "hall",
    "kitchen",
    "lounge",
    "bedroom",
    "check valve",
    "bypass",
    "pump",
    "vent and feed",
    "boiler",
    "store check",
    "heating valve",
    "flow valve",
    "return valves",
    "supplies",
    "bond",
    "all open",
    "whole loop",
    "420 ppm",
    "1,2 ppm",
    "34000000 ppm",
    "-3 C",
    "1390",
    "done",
    "38 C",
    "61 °C",
    "12 bar",
    "9 L/min",
    "10:42",
    "16:05",
    "25:00",
    "now",
    "restored",
    "back in",
    "off",
    "renewed",
    "left out",
    "not yet",
    "forward",
    "reverse",
    "both",
    "found",
    "note: \"#: {[",
    "é\u{202e}",
    "clear",
    "proof",
    "yes",
];

fn notes() -> impl Strategy<Value = Vec<String>> {
    let one = prop::collection::vec(select(&WORDS[..]), 1..5).prop_map(|words| words.join(" "));
    // Such as are mostly understood.
    let reading = (
        select(&["hall", "kitchen", "all open", "front bedroom"][..]),
        60..3000_u32,
        5..60_u32,
        9..19_u32,
    );
    let reading =
        reading.prop_map(|(of, tds, warmth, hour)| format!("{of} {tds} ppm {warmth} C {hour}:15"));
    let back = select(
        &[
            "return valves restored",
            "hall both back",
            "pump back in",
            "vent and feed open again",
            "flow valves back",
        ][..],
    );
    let back = back.prop_map(str::to_string);
    prop::collection::vec(prop_oneof![2 => one, 1 => reading, 1 => back], 1..6)
}

proptest! {
    #![proptest_config(ProptestConfig {
        cases: if std::env::var_os("WETSIDE_FULL").is_some() { 1000 } else { 24 },
        ..ProptestConfig::default()
    })]

    #[test]
    fn no_note_makes_a_survey_worse_and_each_can_be_taken_back(
        at in 0..64_usize,
        notes in notes(),
        crlf in any::<bool>(),
        order_mark in any::<bool>(),
    ) {
        let packs = packs();
        let all = examples();
        let survey = &all[at % all.len()];
        let mut text = survey.text.clone();
        if crlf {
            text = text.replace('\n', "\r\n");
        }
        if order_mark {
            text.insert(0, '\u{feff}');
        }
        let first = Source::new("survey", text);
        let mut now = first.clone();
        let mut history = History::default();
        let mut texts = Vec::new();
        let problems = |source: &Source| check::facts(source, &packs.vocabulary).1.len();
        for line in &notes {
            let clock = DateTime::parse("2026-10-13T12:00").ok();
            let beside = Beside { clock: clock.filter(|_| wetside_record::says_now(line)), ..Beside::default() };
            if let Ok(noted) = note(&now, packs, line, &beside) {
                prop_assert!(problems(&noted.source) <= problems(&now), "{line}");
                prop_assert!(!noted.says.is_empty());
                // A line goes only where another with its key comes: all others stay as they were.
                let key = |line: &str| line[1..].trim_start_matches([' ', '#', '-', '\u{feff}']).split(':').next().unwrap_or_default().to_string();
                let changed = changed(&now.text, &noted.source.text);
                let (gone, come): (Vec<&String>, Vec<&String>) = changed.iter().partition(|line| line.starts_with('-'));
                let come: Vec<String> = come.into_iter().map(|line| key(line)).collect();
                for line in gone {
                    prop_assert!(come.contains(&key(line)), "{line}");
                }
                history.push(line, &now.text, &noted.source.text);
                texts.push(now.text.clone());
                now = noted.source;
            }
        }
        let edited = format!("{} ", now.text);
        prop_assert!(history.clone().pop(&edited).is_none());
        let kept = serde_json::to_string(&history).expect("it can be written");
        let mut history: History = serde_json::from_str(&kept).expect("it can be read");
        let mut text = now.text;
        while let Some(before) = texts.pop() {
            let (back, _) = history.pop(&text).expect("each note can be taken back");
            prop_assert_eq!(&back, &before);
            text = back;
        }
        prop_assert_eq!(text, first.text);
    }
}
