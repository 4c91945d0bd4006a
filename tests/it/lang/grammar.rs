//! The parser: what is printed parses back, each fault is told once, and nothing ends it.

use super::bench::{bench, under};
use super::data;
use proptest::prelude::*;
use proptest::sample::select;
use serde::Deserialize;
use std::time::{Duration, Instant};
use wetside_base::source::Span;
use wetside_lang::ast::{
    Comparison, Each, Expr, Fold, Form, Inclusion, Name, Operation, WhenEmpty,
};
use wetside_lang::check;
use wetside_lang::parse::{DEEPEST, MOST_LINKS, parse, parse_each};
use wetside_lang::print::print;
use wetside_lang::token::MOST_TOKENS;

fn expr(form: Form) -> Expr {
    Expr {
        span: Span::default(),
        form,
    }
}

fn boxed(expr: Expr) -> Box<Expr> {
    Box::new(expr)
}

fn name() -> impl Strategy<Value = Name> {
    let names = ["circuit", "radiator", "kind", "x", "a_b", "t1", "_"];
    select(names.to_vec()).prop_map(|text| Name {
        text: text.to_string(),
        span: Span::default(),
    })
}

fn path() -> impl Strategy<Value = Vec<Name>> {
    prop::collection::vec(name(), 1..4)
}

fn leaf() -> impl Strategy<Value = Expr> {
    let units = [
        "mm",
        "°C",
        "L/min",
        "L per 100 L",
        "per month",
        "%",
        "bar(g)",
        "stone",
    ];
    let unit = prop::option::of(select(units.to_vec()).prop_map(|text| Name {
        text: text.to_string(),
        span: Span::default(),
    }));
    let measure = (select(&["3", "2.5", "0.001"][..]), unit).prop_map(|(number, unit)| {
        let number = number.to_string();
        Form::Measure { number, unit }
    });
    let words = select(&["yes", "no", "open vented", "", "and"][..])
        .prop_map(|words| Form::Words(words.to_string()));
    let date =
        select(&["2026-10-13", "2024-02-29"][..]).prop_map(|date| Form::Date(date.to_string()));
    let form = prop_oneof![
        3 => measure,
        2 => words,
        1 => date,
        1 => Just(Form::AsOf),
        1 => name().prop_map(Form::Limit),
        4 => path().prop_map(Form::Path),
    ];
    form.prop_map(expr)
}

fn each(inner: &BoxedStrategy<Expr>) -> impl Strategy<Value = Each> + use<> {
    let filter = prop::option::of(inner.clone().prop_map(boxed));
    (name(), path(), filter).prop_map(|(variable, list, filter)| Each {
        variable: Some(variable),
        list,
        filter,
    })
}

fn many(inner: &BoxedStrategy<Expr>, from: usize) -> impl Strategy<Value = Vec<Expr>> + use<> {
    prop::collection::vec(inner.clone(), from..4)
}

/// Any form over any others, sensible or not: binding is the parser's business, sense the checker's.
fn form(inner: &BoxedStrategy<Expr>) -> BoxedStrategy<Form> {
    let i = || inner.clone().prop_map(boxed);
    let operation = select(
        &[
            Operation::Plus,
            Operation::Minus,
            Operation::Times,
            Operation::Over,
        ][..],
    );
    let signs = [
        Comparison::Less,
        Comparison::AtMost,
        Comparison::More,
        Comparison::AtLeast,
        Comparison::Is,
        Comparison::IsNot,
    ];
    let extreme = || select(&[Fold::Least, Fold::Greatest][..]);
    let inclusion = select(&[Inclusion::OneOf, Inclusion::Only][..]);
    let when_empty = select(&[WhenEmpty::Acceptable, WhenEmpty::Broken][..]);
    let bare_count = path().prop_map(|list| Each {
        variable: None,
        list,
        filter: None,
    });
    let values = prop_oneof![
        i().prop_map(Form::Negate),
        (operation, i(), i()).prop_map(|(sign, a, b)| Form::Arithmetic(sign, a, b)),
        (name(), i(), name()).prop_map(|(table, row, column)| Form::Cell { table, row, column }),
        (extreme(), many(inner, 2)).prop_map(|(fold, among)| Form::Pick(fold, among)),
        (name(), many(inner, 1)).prop_map(|(name, arguments)| Form::Call(name, arguments)),
        (i(), i(), i()).prop_map(|(c, a, b)| Form::If(c, a, b)),
    ];
    let truths = prop_oneof![
        (select(signs.to_vec()), i(), i()).prop_map(|(sign, a, b)| Form::Compare(sign, a, b)),
        (i(), i(), i()).prop_map(|(value, low, high)| Form::Between(value, low, high)),
        (i(), many(inner, 0)).prop_map(|(value, options)| Form::OneOf(value, options)),
        (inclusion, i(), many(inner, 0))
            .prop_map(|(inclusion, set, options)| Form::Includes(inclusion, set, options)),
        i().prop_map(Form::Empty),
        i().prop_map(Form::Not),
        many(inner, 2).prop_map(Form::And),
        many(inner, 2).prop_map(Form::Or),
    ];
    let lists = prop_oneof![
        (each(inner), when_empty, i()).prop_map(|(each, when, body)| Form::Every(each, when, body)),
        (each(inner), i()).prop_map(|(each, body)| Form::Some(each, body)),
        each(inner).prop_map(Form::Count),
        bare_count.prop_map(Form::Count),
        (i(), each(inner)).prop_map(|(value, each)| Form::Fold(Fold::Sum, value, each, None)),
        (extreme(), i(), each(inner), i()).prop_map(|(fold, value, each, other)| Form::Fold(
            fold,
            value,
            each,
            Some(other)
        )),
    ];
    prop_oneof![2 => values, 3 => truths, 2 => lists].boxed()
}

fn tree() -> impl Strategy<Value = Expr> {
    leaf().prop_recursive(5, 24, 4, |inner| form(&inner.boxed()).prop_map(expr))
}

/// A tree in full, without its places.
fn shape(expr: &Expr) -> String {
    let full = format!("{expr:?}");
    let mut parts = full.split("Span {");
    let mut bare = parts.next().unwrap_or_default().to_string();
    for part in parts {
        bare.push_str(part.split_once('}').map_or("", |(_, rest)| rest));
    }
    bare
}

fn quiet(cases: u32) -> ProptestConfig {
    ProptestConfig {
        cases,
        failure_persistence: None,
        ..ProptestConfig::default()
    }
}

proptest! {
    #![proptest_config(quiet(1_500))]

    #[test]
    fn what_is_printed_parses_back_to_the_same_tree(tree in tree()) {
        let text = print(&tree);
        let (read, problems) = parse(&text);
        prop_assert_eq!(&problems, &[], "{}", text);
        prop_assert_eq!(shape(&read), shape(&tree), "{}", text);
        prop_assert_eq!(print(&read), text);
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
        assert!(!shape(&tree).contains("Unreadable"), "silent: {text}");
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
