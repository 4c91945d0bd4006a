//! Keys: read back as written, held to their surveys, and proved where an exercise is written by hand.

use super::marking::{data, exercise};
use crate::examples::packs;
use wetside_base::source::Source;
use wetside_trainer::{by_hand, read_key, ready, write_key};

#[test]
fn a_key_is_read_back_as_it_was_written_and_shows_slips() {
    let key = exercise("marked").key;
    let written = write_key(&key);
    assert_eq!(read_key(&Source::new("key", written.clone())), Ok(key));
    assert!(read_key(&Source::new("key", written.replace('\n', "\r\n"))).is_ok());
    let slipped = Source::new("key", written.replace("line: 53", "line: 54"));
    let problems = read_key(&slipped).expect_err("it was changed");
    assert_eq!(
        (problems[0].kind, slipped.line_of(problems[0].span.start)),
        ("broken-seal", 2)
    );
    for junk in ["", "seal: x", "a: [", "faults: []"] {
        assert!(read_key(&Source::new("key", junk)).is_err());
    }
}

#[test]
fn survey_and_key_must_belong_together() {
    let (faulty, clean) = (exercise("marked"), exercise("clean"));
    let problem = ready(&clean.survey, &faulty.key, packs()).expect_err("another survey");
    assert_eq!(problem.kind, "other-survey");
    let mut key = faulty.key.clone();
    key.packs = vec!["another 2020".to_string()];
    assert_eq!(
        ready(&faulty.survey, &key, packs())
            .expect_err("another pack")
            .kind,
        "other-pack"
    );
    let mut key = faulty.key.clone();
    key.faults.pop();
    assert_eq!(
        ready(&faulty.survey, &key, packs())
            .expect_err("a fault too few")
            .kind,
        "stale-key"
    );
}

/// What goes wrong in an exercise written by hand, each at its line.
#[test]
fn hand_written_exercises_are_held_to_the_proof() {
    let (marked, clean) = (data("marked.yaml"), data("clean.yaml"));
    let told = |text: String| {
        let source = Source::new("marked", text);
        let problems = by_hand(&source, &clean, packs())
            .map(|_| ())
            .expect_err("it does not hold");
        problems
            .iter()
            .map(|problem| (source.line_of(problem.span.start), problem.kind))
            .collect::<Vec<_>>()
    };
    let without = |from: &str, to: &str| marked.text.replace(from, to);
    assert_eq!(
        told(without("   # finds: dump-hose-loose", "")),
        [(55, "not-expected")]
    );
    assert_eq!(
        told(without("finds: dump-hose-loose", "finds: dump-hose-rises")),
        [(55, "not-found"), (55, "not-expected")]
    );
    assert_eq!(
        told(without(
            "rust spots   # finds: rust-spots-on-a-radiator",
            "sound   # finds: rust-spots-on-a-radiator"
        )),
        [(252, "not-found")]
    );
    assert_eq!(
        told(without("finds: dump-hose-loose", "finds: dump-hose-lose")),
        [(55, "unknown-rule"), (55, "not-expected")]
    );
    assert_eq!(
        told(without("verdict: do not start", "verdict: clear")),
        [(3, "not-the-verdict")]
    );
    assert_eq!(told(without("loose", "lose"))[0].1, "faulty-text");
    let unclean = by_hand(&marked, &marked, packs()).expect_err("the base has faults");
    assert_eq!(unclean[0].kind, "base-not-clear");
}
