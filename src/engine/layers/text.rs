//! The text of a rule with other values for some of its keys.
//!
//! Contract: each line stays where it is, so that what points into the file of the rule still points right.

use crate::pack::{ChangeFile, Wording};
use serde_json::{Map, Value};
use wetside_base::source::Source;

/// The keys that a change gives other values, each with its value as it is written. JSON is YAML on one line.
pub(super) fn values(rule: &Source, change: &ChangeFile) -> Vec<(&'static str, Value)> {
    let root = wetside_document::read(rule).root;
    let must = change.must.as_ref().map(|must| {
        let own = root.get("must").and_then(|entry| entry.value.as_text());
        format!(
            "({}) and ({})",
            own.unwrap_or_default().trim(),
            must.value.trim()
        )
    });
    let text = |text: &Option<wetside_document::Placed<String>>| {
        text.as_ref().map(|text| Value::from(text.value.trim_end()))
    };
    let remedy = change.remedy.as_ref().map(|remedy| match &remedy.value {
        Wording::Always(text) => Value::from(text.trim_end()),
        Wording::From(entries) => {
            let entries = entries.0.iter();
            let entries =
                entries.map(|(phase, text)| (phase.value.clone(), text.value.as_str().into()));
            Value::Object(entries.collect::<Map<String, Value>>())
        }
    });
    let all = [
        ("must", must.map(Value::from)),
        ("title", text(&change.title)),
        ("says", text(&change.says)),
        ("do", remedy),
        ("caution", text(&change.caution)),
    ];
    all.into_iter()
        .filter_map(|(key, value)| Some((key, value?)))
        .collect()
}

/// The text with these values.
pub(super) fn with(rule: &Source, values: &[(&str, Value)]) -> String {
    let root = wetside_document::read(rule).root;
    let mut text = rule.text.clone();
    // From the end on, so that what is still to be changed stays where it was.
    let mut placed: Vec<_> = values
        .iter()
        .map(|(key, value)| (root.get(key), format!("{key}: {value}")))
        .collect();
    placed.sort_by_key(|(entry, _)| std::cmp::Reverse(entry.map(|entry| entry.key.span.start)));
    for (entry, line) in placed {
        match entry {
            Some(entry) => {
                let range = entry.key.span.to(entry.value.span).range();
                let lines = text[range.clone()].matches('\n').count();
                text.replace_range(range, &(line + &"\n".repeat(lines)));
            }
            None => text = format!("{}\n{line}\n", text.trim_end()),
        }
    }
    text
}
