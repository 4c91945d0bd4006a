//! Answers into the texts of surveys: what changes, and that nothing else does.
//!
//! The table is `tests/edits/changes.yaml`. Beside it every field of every example is given another value,
//! with either line end, with a byte order mark and without a last line break.

use serde::Deserialize;
use std::collections::BTreeMap;
use wetside_base::facts::{Content, FactId, Facts, Value, Why};
use wetside_base::source::Source;
use wetside_base::vocabulary::{Shape, Type, Vocabulary};
use wetside_edit::{Answer, Edited, Place, Step, append, remove, set};
use wetside_engine::{read, schema};

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Change {
    name: String,
    before: String,
    set: Option<BTreeMap<String, String>>,
    append: Option<BTreeMap<String, serde_yaml::Mapping>>,
    remove: Option<String>,
    after: Option<String>,
    refused: Option<String>,
}

fn place(dotted: &str) -> Place {
    let steps = dotted.split('.').map(|step| match step.parse() {
        Ok(thing) => Step::Thing(thing),
        Err(_) => Step::Key(step.to_string()),
    });
    Place {
        steps: steps.collect(),
    }
}

fn text(value: &serde_yaml::Value) -> String {
    let text = serde_yaml::to_string(value).expect("it can be written");
    text.trim().trim_matches('\'').to_string()
}

#[test]
fn each_change_of_the_table_gives_its_text() {
    let vocabulary = schema::vocabulary();
    let table = std::fs::read_to_string("tests/edits/changes.yaml").expect("it is there");
    let table: Vec<Change> = serde_yaml::from_str(&table).expect("the table has its form");
    let mut wrong = String::new();
    for change in table {
        let source = Source::new("survey", change.before.as_str());
        let made = if let Some((at, value)) = change.set.iter().flatten().next() {
            set(
                &source,
                &vocabulary,
                &place(at),
                &Answer::Text(value.clone()),
            )
        } else if let Some((at, thing)) = change.append.iter().flatten().next() {
            let pairs: Vec<(String, Answer)> = thing
                .iter()
                .map(|(key, value)| (text(key), Answer::Text(text(value))))
                .collect();
            let pairs: Vec<(&str, Answer)> = pairs
                .iter()
                .map(|(key, answer)| (key.as_str(), answer.clone()))
                .collect();
            append(&source, &vocabulary, &place(at), &pairs)
        } else {
            let at = change.remove.as_deref().expect("a change");
            remove(&source, &vocabulary, &place(at))
        };
        let right = match (&made, &change.after, &change.refused) {
            (Ok(edited), Some(after), None) => edited.source.text == *after,
            (Err(problem), None, Some(line)) => problem.help.contains(&format!("`{line}`")),
            _ => false,
        };
        if !right {
            let made = made
                .map(|edited| edited.source.text)
                .map_err(|one| one.help);
            wrong.push_str(&format!("{}: {made:?}\n", change.name));
        }
    }
    assert!(wrong.is_empty(), "\n{wrong}");
}

fn facts(source: &Source, vocabulary: &Vocabulary) -> (Facts, usize) {
    let reading = wetside_document::read(source);
    let (facts, problems) = read::survey(source, &reading, vocabulary);
    (facts, problems.len())
}

/// What is known of each fact, without its place.
fn contents(facts: &Facts) -> Vec<String> {
    let told = |content: &Content| match content {
        Content::Group { .. } => "group".to_string(),
        other => format!("{other:?}"),
    };
    facts.all().map(|(_, fact)| told(&fact.content)).collect()
}

/// The answers that this fact does not have: every other word of a choice, and one of each other sort.
fn others(source: &Source, facts: &Facts, vocabulary: &Vocabulary, fact: FactId) -> Vec<Answer> {
    let held = facts.fact(fact);
    let field = vocabulary.field(held.field);
    let word = |id| vocabulary.word(id).to_string();
    let known = match &held.content {
        Content::Known(known) => Some(known),
        Content::Open(why) if *why != Why::Malformed => None,
        _ => return Vec::new(),
    };
    let Shape::Fact(kind) = &field.shape else {
        return Vec::new();
    };
    // The name of a thing stays, and the edition of the form has one word.
    let fixed = matches!(kind, Type::Choice(words) if words.len() < 2);
    if field.name == "id" || fixed {
        return Vec::new();
    }
    let mut all = match (kind, known) {
        (Type::Choice(words), known) => {
            let is_it = |word| matches!(known, Some(Value::Word(known)) if *known == word);
            let other = words.iter().copied().filter(|word| !is_it(*word));
            other.map(|other| Answer::Text(word(other))).collect()
        }
        (Type::Set(words), None) => {
            let some = words.iter().take(2).copied().map(word).collect();
            let none = (!vocabulary.is_never_empty(held.field)).then(Vec::new);
            [Some(some), none]
                .into_iter()
                .flatten()
                .map(Answer::Words)
                .collect()
        }
        (Type::Date, None) => vec![Answer::Text("2026-03-02".to_string())],
        (Type::DateTime, None) => vec![Answer::Text("2026-03-02T10:05".to_string())],
        (Type::Text, _) => vec![Answer::Text(
            "- \"so\": it, [is] #1\n\u{85}\u{2028}".to_string(),
        )],
        (Type::Quantity { .. }, Some(_)) => {
            let plain = source.slice(held.span);
            let exact = plain.starts_with(|c: char| c.is_ascii_digit())
                && !plain.contains(" to ")
                && !plain.contains('±');
            let rough = exact.then(|| Answer::Text(format!("at least {plain}")));
            rough.into_iter().collect()
        }
        _ => Vec::new(),
    };
    all.push(Answer::Unknown(Some(
        "dark, in there: no light".to_string(),
    )));
    all
}

/// The text in one of four garments.
fn dressed(text: &str, garment: usize) -> String {
    match garment % 4 {
        1 => text.replace('\n', "\r\n"),
        2 => format!("\u{feff}{text}"),
        3 => text.trim_end().to_string(),
        _ => text.to_string(),
    }
}

#[test]
fn whatever_is_answered_nothing_else_changes() {
    let vocabulary = schema::vocabulary();
    let part = crate::generate::part();
    let full = part.is_some();
    let starters = [
        wetside_report::starter::survey(
            &vocabulary,
            &wetside_engine::interview::at_once(crate::examples::packs()),
        ),
        wetside_report::starter::full(&vocabulary),
    ];
    let examples = crate::examples::examples()
        .into_iter()
        .map(|source| source.text);
    let mut done = 0;
    for (at, text) in examples.chain(starters).enumerate() {
        let source = Source::new("survey", dressed(&text, at));
        let (before, problems) = facts(&source, &vocabulary);
        let known = contents(&before);
        let (from, stride) = part.unwrap_or((at % 29, 29));
        for (fact, _) in before.all().skip(from).step_by(stride) {
            let place = Place::of(&before, &vocabulary, fact);
            let held = before.fact(fact);
            let answers = others(&source, &before, &vocabulary, fact);
            let which = done % answers.len().max(1);
            for answer in answers
                .iter()
                .skip(if full { 0 } else { which })
                .take(if full { usize::MAX } else { 1 })
            {
                let edited = set(&source, &vocabulary, &place, answer);
                let Edited {
                    source: new,
                    splice,
                } = edited.unwrap_or_else(|one| panic!("{}", one.help));
                let (range, added) = (splice.at.range(), splice.text.len());
                assert!(new.text[..range.start] == source.text[..range.start]);
                assert!(new.text[range.start + added..] == source.text[range.end..]);
                let (after, now) = facts(&new, &vocabulary);
                assert!(now <= problems, "{place:?}");
                let changed = contents(&after);
                for (at, (old, new)) in known.iter().zip(&changed).enumerate() {
                    assert_eq!(old != new, at == fact.0 as usize, "{place:?} {old} {new}");
                }
                assert_eq!(known.len(), changed.len());
                // What stood there, set again, gives the bytes that were there.
                let plain = source.slice(held.span);
                let in_quotes = plain.starts_with(['"', '\'', '{', '[', '|']);
                if matches!(held.content, Content::Known(_)) && !in_quotes {
                    let back = set(&new, &vocabulary, &place, &Answer::Text(plain.to_string()));
                    let back = back.unwrap_or_else(|one| panic!("{}", one.help));
                    assert!(back.source.text == source.text, "{place:?} {plain}");
                }
                done += 1;
            }
        }
    }
    assert!(done > 200, "{done} changes");
}
