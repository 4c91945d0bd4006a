//! The parser: each fault is told once, and nothing ends it.

use super::bench::{bench, under};
use super::data;
use proptest::prelude::*;
use proptest::sample::select;
use serde::Deserialize;
use std::time::{Duration, Instant};
use wetside_lang::check;
use wetside_lang::parse::{DEEPEST, MOST_LINKS, parse, parse_each};
use wetside_lang::token::MOST_TOKENS;

fn quiet(cases: u32) -> ProptestConfig {
    ProptestConfig {
        cases,
        failure_persistence: None,
        ..ProptestConfig::default()
    }
}

/// Words, signs and odd characters, so that random texts reach deep into the parser.
fn pieces() -> impl Strategy<Value = String> {
    let known = [
        "and",
        "or",
        "not",
        "is",
        "one",
        "of",
        "only",
        "includes",
        "between",
        "empty",
        "if",
        "then",
        "else",
        "for",
        "every",
        "some",
        "in",
        "where",
        "any",
        "at",
        "least",
        "greatest",
        "count",
        "sum",
        "otherwise",
        "limit",
        "as_of",
        "yes",
        "no",
        "(",
        ")",
        "[",
        "]",
        ",",
        ".",
        "<",
        "<=",
        "+",
        "-",
        "*",
        "/",
        "==",
        "!=",
        "≤",
        "‘",
        "’",
        "\"",
        "'",
        ":",
        "#",
        "3",
        "2.5",
        "3 mm",
        "2026-10-13",
        "2026-13-40",
        "x",
        "y",
        "a",
        "things",
        "t",
        "t.x",
        "things.x",
        "layout",
        "'one-pipe'",
        "metals",
        "grades",
        "pressure_of",
        "gap",
        "tested",
        "°",
        "é",
        "\u{0}",
        "\u{202e}",
        "🔥",
    ];
    let piece = prop_oneof![8 => select(known.to_vec()).prop_map(str::to_string), 1 => any::<char>().prop_map(String::from)];
    let space = select(&["", " ", " ", " ", "\n"][..]);
    prop::collection::vec((piece, space), 0..40).prop_map(|parts| {
        parts
            .into_iter()
            .map(|(piece, space)| piece + space)
            .collect()
    })
}

/// Whatever the text: a tree comes out, places lie in the text, and a fault has its problem.
fn hold_out(text: &str) {
    let (tree, problems) = parse(text);
    let mut all = problems.clone();
    let (checked, faults) = check::condition(&tree, bench().names(), &[]);
    if problems.is_empty() {
        assert!(
            !format!("{tree:?}").contains("Unreadable"),
            "silent: {text}"
        );
        let broken = format!("{:?}", checked.node).contains("Nothing");
        assert!(!broken || !faults.is_empty(), "silent: {text}");
    }
    all.extend(faults);
    let (each, _, more) = parse_each(text);
    all.extend(more);
    all.extend(check::each(&each, bench().names()).2);
    for problem in &all {
        assert!(
            text.get(problem.span.range()).is_some(),
            "{problem:?} in {text}"
        );
        assert!(
            !problem.says.is_empty() && !problem.help.is_empty(),
            "{problem:?}"
        );
        let full_stop = problem.says.ends_with('.') || problem.help.ends_with('.');
        assert!(!full_stop, "{problem:?}");
    }
}

proptest! {
    #![proptest_config(quiet(3_000))]

    #[test]
    fn no_text_ends_the_parser_or_the_checker(text in pieces()) {
        hold_out(&text);
    }

    #[test]
    fn nor_does_any_other_text(text in any::<String>()) {
        hold_out(&text);
    }
}

/// Whatever nests or chains is refused, quickly and without running out of stack.
#[test]
fn depth_and_length_are_bounded() {
    let many = 100_000;
    let openers = [
        "(",
        "[",
        "not ",
        "-",
        "(-",
        "x + ",
        "x * ",
        "x and ",
        "x is ",
        "grades[",
        "gap(",
        "least of (",
        "greatest of ",
        "sum of ",
        "count of ",
        "if ",
        "if a is yes then ",
        "for every t in things, if any, ",
        "for some t in things where ",
        "least of x for t in things otherwise ",
        "x is one of [",
        "metals includes ",
        "x is between ",
        "x.",
        "3 ",
        "'a' ",
        "as_of - (",
        "as_of - (as_of - ",
        "least of (least of (x, ",
        "limit.",
        "\"",
        "== ",
    ];
    for opener in openers {
        let started = Instant::now();
        for count in [30, DEEPEST, DEEPEST + 1, MOST_LINKS + 1, MOST_TOKENS, many] {
            let text = opener.repeat(count);
            hold_out(&text);
            let closed = format!("{text}x{}", ")".repeat(count));
            hold_out(&closed);
        }
        assert!(
            started.elapsed() < Duration::from_secs(5),
            "`{opener}` takes {:?}",
            started.elapsed()
        );
    }
    let says = |text: &str| {
        parse(text)
            .1
            .iter()
            .map(|problem| problem.says.clone())
            .collect::<Vec<_>>()
    };
    assert_eq!(
        says(&"(".repeat(60)),
        ["this condition is nested more than 48 deep"]
    );
    assert_eq!(
        says(&format!("{}x", "not ".repeat(97))),
        ["this condition has more than 96 arithmetic signs and `not`s"]
    );
    assert_eq!(
        says(&"x and ".repeat(2_000)),
        ["this condition has more than 2000 words and signs"]
    );
}

#[derive(Deserialize)]
struct Recovery {
    text: String,
    /// For each problem the text under it, and what is said.
    problems: Vec<(String, String)>,
}

#[test]
fn each_fault_is_told_once_at_its_place() {
    for row in data::<Vec<Recovery>>("recovery") {
        let (_, problems) = parse(&row.text);
        let found: Vec<(String, String)> = problems
            .iter()
            .map(|problem| (under(&row.text, problem), problem.says.clone()))
            .collect();
        assert_eq!(found, row.problems, "{}", row.text);
    }
}
