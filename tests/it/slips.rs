//! Slips in the shape of a survey, against the table `tests/slips/said.yaml`: one slip, one problem.

use serde::Deserialize;
use std::fs;
use wetside_base::source::Source;
use wetside_base::vocabulary::{Shape, Type};
use wetside_engine::check::{Ask, Packs, check};

#[derive(Deserialize)]
struct Slip {
    text: String,
    /// `line:column kind: what is said / what to do`, of each problem.
    said: Vec<String>,
    /// `line:column what is read as what`, of each word of the trade.
    #[serde(default)]
    read_as: Vec<String>,
}

#[test]
fn each_slip_is_told_once_and_in_the_words_of_its_place() {
    let table = fs::read_to_string("tests/slips/said.yaml").expect("the table can be read");
    let table: Vec<Slip> = serde_yaml::from_str(&table).expect("the table has its form");
    let packs = Packs::none();
    let mut wrong = String::new();
    for slip in &table {
        let source = Source::new("s.yaml".to_string(), slip.text.clone());
        let judgement = check(&source, &packs, &Ask::default());
        let said: Vec<String> = judgement
            .problems
            .iter()
            .map(|one| {
                let place = source.place(one.span.start);
                format!("{place} {}: {} / {}", one.kind, one.says, one.help)
            })
            .collect();
        let read_as: Vec<String> = judgement
            .read_as
            .iter()
            .map(|one| format!("{} {}", source.place(one.span.start), one.words))
            .collect();
        if said != slip.said || read_as != slip.read_as {
            let all = [said, read_as].concat();
            wrong.push_str(&format!("{}  {}\n", slip.text, all.join("\n  ")));
        }
    }
    assert!(wrong.is_empty(), "these came out otherwise:\n{wrong}");
}

/// What a word of the trade is read as is a word of the same question, and none of ours means two things.
#[test]
fn words_of_the_trade_stand_for_words_of_the_same_question() {
    let vocabulary = &Packs::none().vocabulary;
    let mut count = 0;
    for (_, field) in vocabulary.fields() {
        let Shape::Fact(Type::Choice(words)) = &field.shape else {
            assert!(field.also.is_empty(), "{}", field.path);
            continue;
        };
        for (other, ours) in &field.also {
            count += 1;
            assert!(words.contains(ours), "{}: {other}", field.path);
            let own = vocabulary.word_id(other);
            assert!(
                own.is_none_or(|own| !words.contains(&own)),
                "{}: {other}",
                field.path
            );
        }
    }
    assert!(count > 50, "{count}");
}
