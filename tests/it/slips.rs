//! Slips in the shape of a survey, against the table `tests/slips/said.yaml`: one slip, one problem.

use serde::Deserialize;
use std::fs;
use wetside_base::source::Source;
use wetside_engine::check::{Ask, Packs, check};

#[derive(Deserialize)]
struct Slip {
    text: String,
    /// `line:column kind: what is said / what to do`, of each problem.
    said: Vec<String>,
}

#[test]
fn each_slip_is_told_once_and_in_the_words_of_its_place() {
    let table = fs::read_to_string("tests/slips/said.yaml").expect("the table can be read");
    let table: Vec<Slip> = serde_yaml::from_str(&table).expect("the table has its form");
    let packs = Packs::none();
    let mut wrong = String::new();
    for slip in &table {
        let source = Source::new("s.yaml".to_string(), slip.text.clone());
        let problems = check(&source, &packs, &Ask::default()).problems;
        let said: Vec<String> = problems
            .iter()
            .map(|one| {
                let place = source.place(one.span.start);
                format!("{place} {}: {} / {}", one.kind, one.says, one.help)
            })
            .collect();
        if said != slip.said {
            wrong.push_str(&format!("{}  {}\n", slip.text, said.join("\n  ")));
        }
    }
    assert!(wrong.is_empty(), "these came out otherwise:\n{wrong}");
}
