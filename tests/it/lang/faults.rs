//! What is wrong with a condition, found before any survey is read.

use super::bench::{bench, under};
use super::data;
use serde::Deserialize;

#[derive(Deserialize)]
struct Row {
    ask: String,
    kind: String,
    /// The text under the problem.
    at: String,
    says: String,
    help: String,
}

#[test]
fn every_bad_condition_is_refused_at_its_words() {
    let rows: Vec<Row> = data("refused");
    assert!(rows.len() >= 60, "{} rows", rows.len());
    let mut wrong = String::new();
    for row in &rows {
        let problems = bench().problems(&row.ask);
        let found: Vec<String> = problems
            .iter()
            .map(|p| {
                format!(
                    "- ask: \"{}\"\n  kind: {}\n  at: \"{}\"\n  says: \"{}\"\n  help: \"{}\"\n",
                    row.ask,
                    p.kind,
                    under(&row.ask, p),
                    p.says,
                    p.help
                )
            })
            .collect();
        let expected = format!(
            "- ask: \"{}\"\n  kind: {}\n  at: \"{}\"\n  says: \"{}\"\n  help: \"{}\"\n",
            row.ask, row.kind, row.at, row.says, row.help
        );
        if found != [expected] {
            wrong.push_str(&found.concat());
            if found.len() != 1 {
                wrong.push_str(&format!("# {} problems\n", found.len()));
            }
        }
    }
    assert!(wrong.is_empty(), "these came out otherwise:\n{wrong}");
}

/// Two faults that do not follow from each other are both told.
#[test]
fn one_fault_does_not_hide_another() {
    let says = |ask: &str| {
        bench()
            .problems(ask)
            .into_iter()
            .map(|p| p.says)
            .collect::<Vec<_>>()
    };
    assert_eq!(
        says("xx > 3 and layout is 'one-pip' and bore > 3"),
        [
            "the survey has no `xx`",
            "`one-pip` is not one of the words of this fact",
            "`3` has no unit, beside a length"
        ]
    );
    assert_eq!(
        says("layout is one of [] and xx > 3"),
        [
            "there is no choice in these brackets",
            "the survey has no `xx`"
        ]
    );
    assert_eq!(says("xx > 3 and layout is one of []").len(), 2);
    assert_eq!(says("layout is one of ['a1', 'b1']").len(), 2);
    assert_eq!(says("if xx is 3 then yy is 3 else zz is 3").len(), 3);
    assert_eq!(
        says("for every t in things where t.q is 1, if any, t.r is 2").len(),
        2
    );
}
