//! The cases of a rule: those that show nothing beside others, and what they give that nobody reads.

use crate::cases::ANY_OF;
use crate::digest;
use crate::pack::Rule;
use wetside_base::problem::Problem;
use wetside_base::vocabulary::Vocabulary;
use wetside_document::{Node, Value};
use wetside_units::Date;

pub(super) fn of(rule: &Rule, vocabulary: &Vocabulary) -> Vec<Problem> {
    let source = rule.source();
    let root = wetside_document::read(&source).root;
    let cases = root
        .get("cases")
        .map_or(&[][..], |cases| cases.value.items());
    let mut told = twins(cases);
    let reads = rule.reads();
    let mut paths = reads
        .fields
        .iter()
        .map(|field| &vocabulary.field(*field).path);
    let day = cases.iter().find_map(|case| case.get("as_of"));
    let reckons = paths.any(|path| path.starts_with(Vocabulary::FIGURES));
    let is_one = |text: &str| Date::parse(text).is_ok();
    let day = day.filter(|day| day.value.as_text().is_some_and(is_one));
    if let Some(day) = day.filter(|_| !reads.as_of && !reckons) {
        let says = "this rule does not ask for the day of judgement";
        let help = "take `as_of` out, or let the rule read it";
        told.push(Problem::new("not-read", day.key.span, says, help));
    }
    told
}

/// Cases of one name, cases that ask the same, and values that are given twice in one.
fn twins(cases: &[Node]) -> Vec<Problem> {
    let name = |case: &Node| {
        case.get("name")
            .and_then(|entry| Some(entry.value.as_text()?.to_string()))
    };
    let mut told = Vec::new();
    for (at, case) in cases.iter().enumerate() {
        let asks = |case: &Node| digest::of_node(case, &["name", "then"]);
        if let Some(twin) = cases[..at].iter().find(|other| asks(other) == asks(case)) {
            let says = format!(
                "the case `{}` asks the same",
                name(twin).unwrap_or_default()
            );
            let help = "take one of the two out, or let it show something else";
            told.push(Problem::new("equal-cases", case.span, says, help));
        } else if cases[..at].iter().any(|other| name(other) == name(case)) {
            let says = "another case has this name";
            let help = "let each name say what its case shows";
            told.push(Problem::new("name-twice", case.span, says, help));
        }
        told.extend(value_twice(case));
    }
    told
}

fn value_twice(node: &Node) -> Option<Problem> {
    match &node.value {
        Value::Map(entries) => entries.iter().find_map(|entry| {
            let values = entry.value.items();
            let again = values.iter().enumerate().find(|(at, value)| {
                entry.key.text == ANY_OF
                    && values[..*at].iter().any(|other| other.value == value.value)
            });
            let again = again.map(|(_, value)| {
                let help = "give each value once";
                Problem::new(
                    "said-twice",
                    value.span,
                    "this value was given already",
                    help,
                )
            });
            again.or_else(|| value_twice(&entry.value))
        }),
        Value::List(items) => items.iter().find_map(value_twice),
        _ => None,
    }
}
