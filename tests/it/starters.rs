//! The starter survey: it has the shape of a survey, and all its comments would have too.

use std::collections::BTreeSet;
use wetside_base::finding::Verdict;
use wetside_base::source::Source;
use wetside_base::vocabulary::{Shape, Tier, Type};
use wetside_engine::check::{Ask, check};
use wetside_engine::schema;
use wetside_report::starter;

fn judged(text: String) -> wetside_base::finding::Judgement {
    check(
        &Source::new("starter.yaml", text),
        &wetside_rules::packs(),
        &Ask::default(),
    )
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
    for text in [starter::survey(&vocabulary), starter::full(&vocabulary)] {
        let judgement = judged(text);
        assert_eq!(judgement.problems, []);
        assert_eq!(judgement.gaps, []);
        assert_eq!(judgement.verdict, Verdict::FindOut);
    }
}

#[test]
fn a_starter_with_all_its_comments_opened_has_the_shape_of_a_survey() {
    let vocabulary = schema::vocabulary();
    for text in [starter::survey(&vocabulary), starter::full(&vocabulary)] {
        let text = opened(&text);
        let judgement = judged(text.clone());
        assert_eq!(judgement.problems, [], "{text}");
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
        names(&starter::survey(&vocabulary)),
        names(&starter::full(&vocabulary)),
    );
    for (_, field) in vocabulary.fields().skip(1) {
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
