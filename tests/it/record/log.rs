//! A log that is not to be trusted: no hand-back rests on it.

use super::handed_back;
use crate::examples::packs;
use wetside_base::facts::{FactId, Facts};
use wetside_base::finding::{Stage, Verdict};
use wetside_base::source::Source;
use wetside_base::vocabulary::Vocabulary;
use wetside_edit::{Answer, Place, set};
use wetside_engine::check::{self, Ask, Packs, check};
use wetside_engine::run::fact_at;

/// What is done to the last reading, and what is written there.
const SPOILT: [(&str, &str, &str); 8] = [
    (
        "it rose and disagrees with the proof",
        "discharge_tds",
        "1900 ppm",
    ),
    ("a digit was lost", "discharge_tds", "9 ppm"),
    ("it was not written down", "discharge_tds", "unknown"),
    ("it lies before the others", "at", "2020-01-01T09:00"),
    ("it is of another day", "at", "2036-10-14T15:00"),
    ("nobody knows when", "at", "unknown"),
    ("it names no known part", "branch", "the neighbour"),
    ("nobody knows of what", "branch", "unknown"),
];

fn last_reading(facts: &Facts, vocabulary: &Vocabulary) -> Option<FactId> {
    let log = fact_at(vocabulary, facts, "flush_log")?;
    facts.elements(log).last()
}

fn spoilt(house: &Source, packs: &Packs, field: &str, value: &str) -> Option<Source> {
    let vocabulary = &packs.vocabulary;
    let (facts, _) = check::facts(house, vocabulary);
    let place = Place::of(&facts, vocabulary, last_reading(&facts, vocabulary)?).key(field);
    let answer = match value {
        "unknown" => Answer::Unknown(None),
        text => Answer::Text(text.to_string()),
    };
    let edited = set(house, vocabulary, &place, &answer).expect("it can be written");
    Some(edited.source)
}

#[test]
fn no_hand_back_rests_on_a_log_that_is_not_to_be_trusted() {
    let packs = packs();
    let mut passed = Vec::new();
    let mut tried = 0;
    for house in handed_back(packs) {
        for (what, field, value) in SPOILT {
            let Some(spoilt) = spoilt(&house, packs, field, value) else {
                continue;
            };
            tried += 1;
            // Of a house long in use as well: at its hand-back the log counted.
            let ask = Ask {
                stage: Some(Stage::HandBack),
                ..Ask::default()
            };
            if check(&spoilt, packs, &ask).verdict == Verdict::Clear {
                passed.push(format!("{}: {what}", house.name));
            }
        }
    }
    assert!(tried > 20, "{tried}");
    assert!(passed.is_empty(), "{passed:#?}");
}
