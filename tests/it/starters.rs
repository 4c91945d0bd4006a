//! The starter survey: it has the shape of a survey, and all its comments would have too.

use std::collections::BTreeSet;
use wetside_base::facts::{Content, Why};
use wetside_base::finding::Verdict;
use wetside_base::source::Source;
use wetside_base::vocabulary::{Shape, Tier, Type, Vocabulary};
use wetside_engine::check::{Ask, check};
use wetside_engine::interview::at_once;
use wetside_engine::schema;
use wetside_report::starter;

fn judged(text: String) -> wetside_base::finding::Judgement {
    check(
        &Source::new("starter.yaml", text),
        &wetside_rules::packs(),
        &Ask::default(),
    )
}

fn short(vocabulary: &Vocabulary) -> String {
    starter::survey(vocabulary, &at_once(crate::examples::packs()))
}

/// The starter with every comment sign taken away, and of a list written twice only the example.
fn opened(starter: &str) -> String {
    let kept = starter
        .lines()
        .filter(|line| !line.ends_with("{count: unknown, items: []}"));
    let kept = kept.filter(|line| !line.trim_start().starts_with("##"));
    // The explanations at the head stay what they are.
    let head = starter
        .lines()
        .take_while(|line| line.starts_with('#'))
        .count();
    let bare = kept
        .skip(head)
        .map(|line| line.strip_prefix("# ").unwrap_or(line));
    bare.map(|line| format!("{line}\n")).collect()
}

#[test]
fn a_starter_has_the_shape_of_a_survey_and_is_never_clear() {
    let vocabulary = schema::vocabulary();
    for text in [short(&vocabulary), starter::full(&vocabulary)] {
        let judgement = judged(text);
        assert_eq!(judgement.problems, []);
        assert_eq!(judgement.gaps, []);
        assert_eq!(judgement.verdict, Verdict::FindOut);
    }
}

#[test]
fn a_starter_with_all_its_comments_opened_has_the_shape_of_a_survey() {
    let vocabulary = schema::vocabulary();
    for text in [short(&vocabulary), starter::full(&vocabulary)] {
        let text = opened(&text);
        let mut problems = judged(text.clone()).problems;
        // The name in its list of confirmed answers is still to be filled in.
        problems.retain(|one| one.kind != "confirmed-in-vain");
        assert_eq!(problems, [], "{text}");
    }
}

#[test]
fn the_full_starter_names_every_field_and_the_short_one_every_minimum_fact() {
    let vocabulary = schema::vocabulary();
    let names = |text: &str| -> BTreeSet<String> {
        let lines = text
            .lines()
            .filter(|line| !line.trim_start().starts_with("##"));
        let keys = lines.filter_map(|line| line.split_once(':'));
        keys.map(|(key, _)| key.trim_matches(['#', ' ', '-']).to_string())
            .collect()
    };
    let (short, full) = (
        names(&short(&vocabulary)),
        names(&starter::full(&vocabulary)),
    );
    for (_, field) in vocabulary.fields().skip(1) {
        // What companies ask stands there once one asks it.
        if matches!(field.shape, Shape::Group { count: 0, .. }) {
            continue;
        }
        assert!(full.contains(&field.name), "{}", field.path);
        let minimum =
            field.tier == Some(Tier::Minimum) && !matches!(field.shape, Shape::Group { .. });
        assert!(!minimum || short.contains(&field.name), "{}", field.path);
    }
}

#[test]
fn lines_of_a_starter_can_be_read_without_scrolling_sideways() {
    for line in starter::full(&schema::vocabulary()).lines() {
        assert!(line.chars().count() <= 120, "{line}");
    }
}

#[test]
fn no_answer_of_a_starter_is_broken_over_two_lines() {
    let vocabulary = schema::vocabulary();
    let text = starter::full(&vocabulary);
    for (_, field) in vocabulary.fields() {
        let Shape::Fact(Type::Choice(words) | Type::Set(words)) = &field.shape else {
            continue;
        };
        for word in words.iter().map(|word| vocabulary.word(*word)) {
            let whole = text.lines().any(|line| line.contains(word));
            assert!(whole, "{}: {word}", field.path);
        }
    }
}

/// Whatever can be in the way at a first look stands in the starter: read by a rule that is due then, in the
/// survey or in a thing of a list, or behind a figure, as interviews with the examples find.
#[test]
fn a_starter_asks_all_that_can_stop_a_first_look() {
    let vocabulary = schema::vocabulary();
    let source = Source::new("starter.yaml", opened(&short(&vocabulary)));
    let (facts, _) = wetside_engine::check::facts(&source, &vocabulary);
    let there = facts
        .all()
        .filter(|(_, fact)| !matches!(fact.content, Content::Open(Why::NotRecorded)));
    let there: BTreeSet<&str> = there
        .map(|(_, fact)| vocabulary.field(fact.field).path.as_str())
        .collect();
    let packs = crate::examples::packs();
    let read = at_once(packs).into_iter().map(str::to_string);
    for path in read.chain(crate::interview::asked_at_first(packs)) {
        assert!(there.contains(path.as_str()), "{path}");
    }
}
