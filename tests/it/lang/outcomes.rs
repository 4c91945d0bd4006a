//! From condition to outcome, and from outcome to verdict.

use super::bench::truth;
use super::data;
use serde::Deserialize;
use wetside_base::finding::{Class, Outcome, Verdict};

#[derive(Deserialize)]
struct Tables {
    /// when, must, outcome
    outcome: Vec<[String; 3]>,
    /// Outcomes of which any one may hold, and the one that is certain.
    certain: Vec<(Vec<String>, String)>,
    /// Outcomes of elements, and the one that counts for the whole.
    worst: Vec<(Vec<String>, String)>,
    /// class, outcome, verdict
    verdict: Vec<[String; 3]>,
}

fn outcome(words: &str) -> Outcome {
    Outcome::named(words).unwrap_or_else(|| panic!("`{words}` is no outcome"))
}

#[test]
fn outcomes_and_verdicts_keep_to_their_tables() {
    let tables: Tables = data("outcomes");
    assert_eq!((tables.outcome.len(), tables.verdict.len()), (9, 12));
    for [when, must, expected] in &tables.outcome {
        let found = Outcome::of(truth(when), truth(must));
        assert_eq!(found, outcome(expected), "when {when}, must {must}");
    }
    for (among, expected) in &tables.certain {
        let found = Outcome::certain(among.iter().map(|words| outcome(words)));
        assert_eq!(found, outcome(expected), "{among:?}");
        let turned = Outcome::certain(among.iter().rev().map(|words| outcome(words)));
        assert_eq!(turned, found, "{among:?} in another order");
    }
    for (among, expected) in &tables.worst {
        assert_eq!(
            Outcome::worst(among.iter().map(|words| outcome(words))),
            outcome(expected),
            "{among:?}"
        );
    }
    for [class, words, expected] in &tables.verdict {
        let found = Verdict::of(Class::named(class).unwrap(), outcome(words));
        assert_eq!(found, Verdict::named(expected).unwrap(), "{class} {words}");
    }
}

/// Every set of up to three outcomes that may hold: certain only if nothing else may.
#[test]
fn a_certain_outcome_is_never_contradicted() {
    for a in Outcome::ALL {
        for b in Outcome::ALL {
            for c in Outcome::ALL {
                let among = [a, b, c];
                let sure = Outcome::certain(among.into_iter());
                match sure {
                    Outcome::Broken | Outcome::NotApplicable => assert_eq!(among, [sure; 3]),
                    Outcome::Met => assert!(
                        among
                            .iter()
                            .all(|one| matches!(one, Outcome::Met | Outcome::NotApplicable))
                    ),
                    Outcome::Undecided => {}
                }
            }
        }
    }
}
