//! A reading: a line that is added to the list of readings.

use crate::answer::{Noted, Refused};
use crate::desk::{Desk, Slot};
use crate::progress;
use crate::put;
use crate::time::{Said, Time};
use crate::values::{self, Value};
use crate::words::Line;
use crate::write::Pages;
use std::collections::{BTreeMap, BTreeSet};
use wetside_base::facts::{Content, FactId};
use wetside_base::vocabulary::{Shape, Type};
use wetside_edit::Place;
use wetside_engine::pack::Readings;

/// What was read; nothing where the note has no measure that belongs there, or names no part.
pub(crate) fn read(
    desk: &Desk<'_>,
    mut line: Line<'_>,
    said: &Said<'_>,
) -> Option<Result<Noted, Refused>> {
    let reading = desk.moves.spoken.reading.as_ref()?;
    let Shape::List { element } = desk.vocabulary().field(reading.list).shape else {
        return None;
    };
    let slots = desk.slots(element);
    let things = desk.things(&mut line);
    let remark = remark(&mut line, reading, &slots);
    let values = values::take(desk, &mut line, &slots, &[]);
    let has_value = values.iter().any(|value| {
        let mut fits = value.fits.iter();
        fits.any(|(at, _)| slots[*at].field == reading.value)
    });
    if !has_value {
        return None;
    }
    let noted = things.and_then(|things| {
        let name = part(desk, &mut line, reading, &things)?;
        line.drop(&desk.moves.spoken.filler);
        if !line.left().is_empty() {
            return Err(desk.strange(&line));
        }
        let mut fields = assigned(&values, &slots)?;
        fields.extend(remark);
        if said.instead.is_some() {
            return corrected(desk, reading, &slots, (&name, fields), said);
        }
        let moment = moment(desk, said)?;
        written(desk, reading, &slots, (name, moment), fields)
    });
    Some(noted)
}

/// Words that were seen beside the measures, behind the name of their field.
fn remark(line: &mut Line<'_>, reading: &Readings, slots: &[Slot]) -> Option<(usize, String)> {
    let texts = slots.iter().enumerate();
    let mut texts =
        texts.filter(|(_, slot)| matches!(slot.what, Type::Text) && slot.field != reading.of);
    texts.find_map(|(at, slot)| {
        let place = line.find(slot.name())?;
        line.take(place.clone());
        let rest = line.take_rest(place.end);
        (!rest.is_empty()).then(|| (at, rest.to_string()))
    })
}

/// The name of the part that was read: of a thing, of several together, or one that was read before.
fn part(
    desk: &Desk<'_>,
    line: &mut Line<'_>,
    reading: &Readings,
    things: &[FactId],
) -> Result<String, Refused> {
    if let Some(thing) = things.first() {
        return Ok(desk.name(*thing));
    }
    let before = desk.lines().filter_map(|line| {
        let of = desk.of_line(line, reading.of);
        desk.facts.text(of).map(str::to_string)
    });
    let known = reading.together.iter().chain(&reading.others).cloned();
    let known: Vec<String> = known.chain(before).collect();
    if let Some(name) = line.take_longest(&known) {
        return Ok(name.to_string());
    }
    line.drop(&desk.moves.spoken.filler);
    if let Some(thing) = desk.by_words(line)?.first() {
        return guessed(desk, reading, *thing);
    }
    if !line.left().is_empty() {
        return Err(desk.strange(line));
    }
    let help = format!(
        "name the part that was read, or `{}`",
        reading.together.first().map_or("all", String::as_str)
    );
    Err(Refused::new("what was read?", help))
}

/// The name of a thing that was guessed by its words, where it is of the list of the parts that are read one by one.
fn guessed(desk: &Desk<'_>, reading: &Readings, thing: FactId) -> Result<String, Refused> {
    let name = desk.name(thing);
    let list = desk.facts.fact(desk.facts.fact(thing).parent).field;
    if list == reading.branches.each.list.field {
        return Ok(name);
    }
    let says = format!("is `{name}` what was read?");
    Err(Refused::new(says, "write its whole name"))
}

/// Each value with its field.
fn assigned(values: &[Value], slots: &[Slot]) -> Result<Vec<(usize, String)>, Refused> {
    let mut fields: BTreeMap<usize, String> = BTreeMap::new();
    for value in values {
        let [(at, written)] = value.fits.as_slice() else {
            let says = format!("`{}` may be one of several values of a reading", value.said);
            return Err(Refused::new(says, "give it its own unit"));
        };
        if let Some(other) = fields.insert(*at, written.clone()) {
            let name = slots[*at].name().replace('_', " ");
            let says = format!("`{other}` and `{written}` are two values for the {name}");
            return Err(Refused::new(says, "write a note for each reading"));
        }
    }
    Ok(fields.into_iter().collect())
}

/// When it was read.
fn moment(desk: &Desk<'_>, said: &Said<'_>) -> Result<wetside_units::DateTime, Refused> {
    if said.by.is_some() {
        let says = "a reading has no place for a name";
        return Err(Refused::new(says, "leave the name out"));
    }
    if said.time == Time::Unsaid {
        let says = "when was it read?";
        let help = "say the time, as in 10:42, or `now` to take it from the clock";
        return Err(Refused::new(says, help));
    }
    let moment = said.time.on(desk.day()).ok_or_else(|| {
        let help = "write it with its day, as 2026-10-13 10:42";
        Refused::new("of which day is that time?", help)
    })?;
    let last = desk
        .lines()
        .filter_map(|line| Some((desk.moment(line)?, line)));
    let last = last.max();
    match last {
        Some((seconds, _)) if moment.seconds() < seconds => {
            let before = wetside_units::DateTime::from_seconds(seconds);
            let before = before.map_or(String::new(), |before| before.to_string());
            let says = format!("{moment} lies before the last reading, {before}");
            let help = "write a time of another day with its day, as 2026-10-14 00:10; a reading that was left out goes \
                        into the file by hand";
            Err(Refused::new(says, help))
        }
        _ => Ok(moment),
    }
}

/// The last reading of a part, or that of the time that is said, with other values.
fn corrected(
    desk: &Desk<'_>,
    reading: &Readings,
    slots: &[Slot],
    (name, fields): (&str, Vec<(usize, String)>),
    said: &Said<'_>,
) -> Result<Noted, Refused> {
    let moment = said.time.on(desk.day()).map(|moment| moment.seconds());
    let is_meant = |line: &FactId| {
        let is_of = desk.facts.text(desk.of_line(*line, reading.of)) == Some(name);
        is_of && moment.is_none_or(|moment| desk.moment(*line) == Some(moment))
    };
    let line = desk.lines().filter(is_meant).last().ok_or_else(|| {
        let then = if moment.is_some() {
            " at that time"
        } else {
            ""
        };
        let says = format!("no reading of `{name}` is written{then}");
        Refused::new(says, "leave `instead` out to add one")
    })?;
    let mut pages = Pages::new(desk);
    let mut written = BTreeSet::new();
    for (at, text) in fields {
        let fact = desk.of_line(line, slots[at].field);
        if slots[at].field == reading.value {
            put::refuse_another(desk, fact, &text, said)?;
        }
        pages.set(&Place::of(desk.facts, desk.vocabulary(), fact), &text)?;
        written.insert(fact);
    }
    Ok(Noted {
        says: put::told(desk, &pages, &written, said),
        source: pages.source,
    })
}

/// The reading that says the same already: a note sent twice.
fn twin(desk: &Desk<'_>, pairs: &[(&str, String)]) -> Option<FactId> {
    let vocabulary = desk.vocabulary();
    let says = |line: FactId, name: &str| {
        let field = vocabulary.child(desk.facts.fact(line).field, name)?;
        let fact = desk.of_line(line, field);
        let known = matches!(desk.facts.fact(fact).content, Content::Known(_));
        known.then(|| desk.source.slice(desk.facts.fact(fact).span))
    };
    desk.lines().find(|line| {
        let same = |(name, text): &(&str, String)| says(*line, name) == Some(text.as_str());
        pairs.iter().all(same)
    })
}

/// The reading of the same part at the same moment, and with what else is said of it but its measures.
fn at_once(desk: &Desk<'_>, reading: &Readings, pairs: &[(&str, String)]) -> Option<FactId> {
    let vocabulary = desk.vocabulary();
    let Shape::List { element } = vocabulary.field(reading.list).shape else {
        return None;
    };
    let is_word = |name: &str| {
        let field = vocabulary.child(element, name);
        field.is_some_and(|field| {
            let shape = &vocabulary.field(field).shape;
            field == reading.at
                || field == reading.of
                || matches!(shape, Shape::Fact(Type::Choice(_)))
        })
    };
    let words: Vec<(&str, String)> = pairs
        .iter()
        .filter(|(name, _)| is_word(name))
        .cloned()
        .collect();
    twin(desk, &words)
}

fn written(
    desk: &Desk<'_>,
    reading: &Readings,
    slots: &[Slot],
    (name, moment): (String, wetside_units::DateTime),
    fields: Vec<(usize, String)>,
) -> Result<Noted, Refused> {
    let slot_of = |field| slots.iter().position(|slot| slot.field == field);
    let mut line: BTreeMap<usize, String> = fields.into_iter().collect();
    line.extend(slot_of(reading.at).map(|at| (at, moment.to_string())));
    line.extend(slot_of(reading.of).map(|at| (at, name)));
    let pairs: Vec<(&str, String)> = line
        .into_iter()
        .map(|(at, text)| (slots[at].name(), text))
        .collect();
    if let Some(twin) = twin(desk, &pairs) {
        let line = desk.source.line_of(desk.facts.fact(twin).span.start);
        let says = format!("that reading is written already, on line {line}");
        return Err(Refused::new(says, "nothing is to be written"));
    }
    if let Some(other) = at_once(desk, reading, &pairs) {
        let line = desk.source.line_of(desk.facts.fact(other).span.start);
        let says = format!("another reading of that moment is written on line {line}");
        let help = "say the same with `instead` behind it, or the time of this one";
        return Err(Refused::new(says, help));
    }
    let mut pages = Pages::new(desk);
    pages.append(reading.list, &pairs)?;
    Ok(Noted {
        says: progress::told(desk, reading, &pages.source),
        source: pages.source,
    })
}
