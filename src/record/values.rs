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
/// Names that were taken from it are known beside.
pub(crate) fn take(
    desk: &Desk<'_>,
    line: &mut Line<'_>,
    slots: &[Slot],
    taken: &[String],
) -> Vec<Value> {
    let mut values = words(desk, line, slots, taken);
    values.extend(measures(line, slots, taken));
    values
}

/// How long the longest word of an answer is that holds each word of the line; nought where none does.
pub(crate) fn longest_words(desk: &Desk<'_>, line: &Line<'_>, slots: &[Slot]) -> Vec<usize> {
    let mut longest = vec![0; line.len()];
    for (phrase, ..) in phrases(desk, line, slots, &[]) {
        if let Some(place) = line.find(&phrase) {
            for at in place.clone() {
                longest[at] = longest[at].max(place.len());
            }
        }
    }
    longest
}

fn measures(line: &mut Line<'_>, slots: &[Slot], taken: &[String]) -> Vec<Value> {
    let mut found = Vec::new();
    for length in (1..=LONGEST.min(line.len())).rev() {
        for at in 0..=line.len() - length {
            let Some(said) = line.unused(at..at + length) else {
                continue;
            };
            if !said.contains(|c: char| c.is_ascii_digit()) {
                continue;
            }
            let fits = fitting(line, &said, slots, taken);
            if !fits.is_empty() {
                line.take(at..at + length);
                found.push((at, Value { said, fits }));
            }
        }
    }
    found.sort_by_key(|(at, _)| *at);
    found.into_iter().map(|(_, value)| value).collect()
}

/// The slots that a measure fits, with its spelling there. A number without a unit is of a field that the note
/// names, since it may be anything.
fn fitting(line: &Line<'_>, said: &str, slots: &[Slot], taken: &[String]) -> Vec<(usize, String)> {
    let all = slots.iter().enumerate();
    let told = |slot: &Slot| !is_bare(&slot.what) || is_named(line, slot, taken);
    let all: Vec<_> = all
        .filter(|(_, slot)| told(slot))
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
    let quantity = Quantity::parse(said, *kind).ok()?;
    if is_bare(what) {
        return Some((said.to_string(), true));
    }
    let written = quantity.to_string();
    let usual = written.ends_with(usual_unit.as_str());
    Some((written, usual))
}

/// Whether it is written without a unit.
fn is_bare(what: &Type) -> bool {
    matches!(
        what,
        Type::Quantity {
            kind: Kind::Number | Kind::Count | Kind::Acidity | Kind::Year,
            ..
        }
    )
}

/// Whether the note names a field, or did before its name was taken from it.
fn is_named(line: &Line<'_>, slot: &Slot, taken: &[String]) -> bool {
    taken.iter().any(|name| name == slot.name()) || line.find(slot.name()).is_some()
}

/// The words of answers, each with the slot and the word that it is of; the longest first.
fn phrases(
    desk: &Desk<'_>,
    line: &Line<'_>,
    slots: &[Slot],
    taken: &[String],
) -> Vec<(String, usize, WordId)> {
    let vocabulary = desk.vocabulary();
    let mut phrases: Vec<(String, usize, WordId)> = Vec::new();
    for (at, slot) in slots.iter().enumerate() {
        // Words of a set are of a field that the note names, since they are words of others too.
        let choices = match &slot.what {
            Type::Choice(choices) => Some(choices),
            Type::Set(words) if is_named(line, slot, taken) => Some(words),
            _ => None,
        };
        if let Some(choices) = choices {
            let own = choices.iter().map(|word| (vocabulary.word(*word), *word));
            let also = slot
                .also
                .iter()
                .map(|(theirs, ours)| (theirs.as_str(), *ours));
            for (phrase, word) in own.chain(also) {
                // People say `make safe` for `make-safe`.
                let spoken = phrase.replace('-', " ");
                let spoken = (spoken != phrase).then_some(spoken);
                let phrases_of = spoken.into_iter().chain([phrase.to_string()]);
                phrases.extend(phrases_of.map(|phrase| (phrase, at, word)));
            }
        }
    }
    phrases.sort_by_key(|(phrase, at, word)| {
        (Reverse(parts(phrase).len()), phrase.clone(), *at, word.0)
    });
    phrases.dedup();
    phrases
}

fn words(desk: &Desk<'_>, line: &mut Line<'_>, slots: &[Slot], taken: &[String]) -> Vec<Value> {
    let vocabulary = desk.vocabulary();
    let phrases = phrases(desk, line, slots, taken);
    let mut values: Vec<Value> = Vec::new();
    let mut from = 0;
    while let Some((phrase, ..)) = phrases.get(from) {
        let alike = phrases[from..]
            .iter()
            .take_while(|(other, ..)| other == phrase);
        let alike: Vec<_> = alike.collect();
        from += alike.len();
        // The edition of a survey is a number, and nobody speaks of it.
        let is_number = phrase.chars().all(|c| c.is_ascii_digit());
        if let Some(place) = line.find(phrase).filter(|_| !is_number) {
            line.take(place);
            let written = |word| vocabulary.word(word).to_string();
            values.push(Value {
                said: phrase.to_string(),
                fits: alike
                    .into_iter()
                    .map(|(_, at, word)| (*at, written(*word)))
                    .collect(),
            });
        }
    }
    values
}
