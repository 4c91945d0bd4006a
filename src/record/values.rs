//! The values of a note: measures, days, and words of choices.

use crate::desk::{Desk, Slot};
use crate::words::{Line, parts};
use std::cmp::Reverse;
use wetside_base::vocabulary::{Type, WordId};
use wetside_units::{Date, Kind, Quantity};

/// A value, with what it may be a value of.
#[derive(Clone, Debug)]
pub(crate) struct Value {
    /// As it stands in the note.
    pub said: String,
    /// As it is written, by the places of the slots that it fits: only those whose usual unit it has, where
    /// there are such.
    pub fits: Vec<(usize, String)>,
}

/// The longest a measure is, in words: `between 8 and 16 L`.
const LONGEST: usize = 5;

/// Every value that fits one of the slots, taken out of the line.
pub(crate) fn take(desk: &Desk<'_>, line: &mut Line<'_>, slots: &[Slot]) -> Vec<Value> {
    let mut values = words(desk, line, slots);
    values.extend(measures(line, slots));
    values
}

pub(crate) fn measures(line: &mut Line<'_>, slots: &[Slot]) -> Vec<Value> {
    let mut found = Vec::new();
    for length in (1..=LONGEST.min(line.len())).rev() {
        for at in 0..=line.len() - length {
            let Some(said) = line.unused(at..at + length) else {
                continue;
            };
            if !said.contains(|c: char| c.is_ascii_digit()) {
                continue;
            }
            let fits = fitting(&said, slots);
            if !fits.is_empty() {
                line.take(at..at + length);
                found.push((at, Value { said, fits }));
            }
        }
    }
    found.sort_by_key(|(at, _)| *at);
    found.into_iter().map(|(_, value)| value).collect()
}

/// The slots that a measure fits, with its spelling there.
fn fitting(said: &str, slots: &[Slot]) -> Vec<(usize, String)> {
    let all = slots.iter().enumerate();
    let all: Vec<_> = all
        .filter_map(|(at, slot)| Some((at, measure(said, &slot.what)?)))
        .collect();
    let some_usual = all.iter().any(|(_, (_, usual))| *usual);
    let fits = all
        .into_iter()
        .filter(|(_, (_, usual))| *usual || !some_usual);
    fits.map(|(at, (written, _))| (at, written)).collect()
}

/// A measure in the spelling of the survey, and whether its unit is the usual one of the field.
fn measure(said: &str, what: &Type) -> Option<(String, bool)> {
    if matches!(what, Type::Date) {
        return Date::parse(said).ok().map(|_| (said.to_string(), true));
    }
    let Type::Quantity {
        kind, usual_unit, ..
    } = what
    else {
        return None;
    };
    let bare = matches!(
        kind,
        Kind::Number | Kind::Count | Kind::Acidity | Kind::Year
    );
    let quantity = Quantity::parse(said, *kind).ok()?;
    if bare {
        return Some((said.to_string(), true));
    }
    let written = quantity.to_string();
    let usual = written.ends_with(usual_unit.as_str());
    Some((written, usual))
}

fn words(desk: &Desk<'_>, line: &mut Line<'_>, slots: &[Slot]) -> Vec<Value> {
    let vocabulary = desk.vocabulary();
    let mut phrases: Vec<(&str, usize, WordId)> = Vec::new();
    for (at, slot) in slots.iter().enumerate() {
        if let Type::Choice(choices) = &slot.what {
            let own = choices.iter().map(|word| (vocabulary.word(*word), *word));
            let also = slot
                .also
                .iter()
                .map(|(theirs, ours)| (theirs.as_str(), *ours));
            phrases.extend(own.chain(also).map(|(phrase, word)| (phrase, at, word)));
        }
    }
    phrases.sort_by_key(|(phrase, at, _)| (Reverse(parts(phrase).len()), *phrase, *at));
    let mut values: Vec<Value> = Vec::new();
    let mut from = 0;
    while let Some((phrase, ..)) = phrases.get(from).copied() {
        let alike = phrases[from..]
            .iter()
            .take_while(|(other, ..)| *other == phrase);
        let alike: Vec<_> = alike.copied().collect();
        from += alike.len();
        if let Some(place) = line.find(phrase) {
            line.take(place);
            let written = |word| vocabulary.word(word).to_string();
            values.push(Value {
                said: phrase.to_string(),
                fits: alike
                    .into_iter()
                    .map(|(_, at, word)| (at, written(word)))
                    .collect(),
            });
        }
    }
    values
}
