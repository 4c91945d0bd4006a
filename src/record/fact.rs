//! What is so of one thing or group: a word of a choice, a measure, or words of one's own.

use crate::answer::{Noted, Refused, first_understood};
use crate::desk::{Desk, Slot};
use crate::own;
use crate::put::written;
use crate::time::Said;
use crate::values::{self, Value};
use crate::words::{Line, parts};
use std::cmp::Reverse;
use std::collections::BTreeSet;
use std::ops::Range;
use wetside_base::facts::{FactId, Facts, fact_name};
use wetside_base::suggest;
use wetside_base::vocabulary::Type;

/// Fields with the facts that they are of.
type Leaves = [(FactId, Slot)];

/// What a note has named before its fields are looked for.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Scope {
    /// A thing, or a group of facts: a word of an answer is of it.
    Named,
    /// Nothing: a word of an answer is of a field that the note names, or that stands in one group with such a field.
    Nothing,
    /// Nothing, and the fields are those of things: each is named.
    NothingOfThings,
}

/// Words that are answers of many fields.
const YES_OR_NO: [&str; 2] = ["yes", "no"];

/// What the note says of facts; nothing where it gives no value.
pub(crate) fn read(
    desk: &Desk<'_>,
    mut line: Line<'_>,
    said: &Said<'_>,
) -> Option<Result<Noted, Refused>> {
    let whole = line.clone();
    let of_things = match desk.things(&mut line) {
        Ok(things) if things.is_empty() => None,
        Ok(things) => {
            let leaves = things.iter().flat_map(|thing| desk.leaves(*thing));
            of(desk, &line, leaves.collect(), said, Scope::Named)
        }
        Err(why) => Some(Err(why)),
    };
    let inside = groups(desk, &whole).into_iter();
    let inside =
        inside.map(|(line, group)| of(desk, &line, desk.leaves(group), said, Scope::Named));
    let inside = first_understood(inside);
    // The name of a thing or a group may be a word of an answer, such as a stage of the job.
    let anywhere = of(desk, &whole, desk.leaves(Facts::ROOT), said, Scope::Nothing);
    let of_the_only = of_the_only(desk, whole, said);
    first_understood([of_things, inside, anywhere, of_the_only])
}

/// What the note says by the names of fields alone, of things that are the only ones of their list. A name that other
/// things have too may mean them.
fn of_the_only(desk: &Desk<'_>, line: Line<'_>, said: &Said<'_>) -> Option<Result<Noted, Refused>> {
    let (only, others) = desk.only_ones();
    let of = |things: Vec<FactId>| things.into_iter().flat_map(|thing| desk.leaves(thing));
    let shared: BTreeSet<String> = of(others)
        .map(|(_, slot)| slot.name().to_string())
        .collect();
    let leaves = of(only).filter(|(_, slot)| !shared.contains(slot.name()));
    let leaves: Vec<_> = leaves.collect();
    let slots: Vec<Slot> = leaves.iter().map(|(_, slot)| slot.clone()).collect();
    let says_a_field = !named(&mut line.clone(), &slots).is_empty();
    let understood =
        says_a_field.then(|| self::of(desk, &line, leaves, said, Scope::NothingOfThings))?;
    understood.filter(Result::is_ok)
}

/// What the note says of some facts: first by the names of fields as far as they are longer than the words of answers
/// that stand in them, as in `through flow confirmed`; else by these words, as in `heat by machine`.
fn of(
    desk: &Desk<'_>,
    line: &Line<'_>,
    leaves: Vec<(FactId, Slot)>,
    said: &Said<'_>,
    scope: Scope,
) -> Option<Result<Noted, Refused>> {
    let slots: Vec<Slot> = leaves.iter().map(|(_, slot)| slot.clone()).collect();
    let ways = [true, false].map(|names_first| {
        let mut line = line.clone();
        let names = if names_first {
            let words = values::longest_words(desk, &line, &slots);
            let is_text = |slot: &&Slot| matches!(slot.what, Type::Text);
            let texts: Vec<&str> = slots.iter().filter(is_text).map(Slot::name).collect();
            named_where(&mut line, &slots, |name, place| {
                !texts.contains(&name) && place.clone().all(|at| words[at] <= place.len())
            })
        } else {
            Vec::new()
        };
        taken(desk, line, names, (&leaves, &slots), said, scope)
    });
    first_understood(ways)
}

/// What the note says with these names of fields taken from it.
fn taken(
    desk: &Desk<'_>,
    mut line: Line<'_>,
    names: Vec<String>,
    (leaves, slots): (&Leaves, &[Slot]),
    said: &Said<'_>,
    scope: Scope,
) -> Option<Result<Noted, Refused>> {
    let text = match own::take(desk, &mut line, slots, &names) {
        Ok(text) => text,
        Err(why) => return Some(Err(why)),
    };
    let mut values = values::take(desk, &mut line, slots, &names);
    let mut named = names;
    if let Some((name, text)) = text {
        values.extend(text);
        named.push(name);
    }
    if values.is_empty() {
        return None;
    }
    named.extend(self::named(&mut line, slots));
    named.sort_by_key(|name| (Reverse(parts(name).len()), name.clone()));
    line.drop(&desk.moves.spoken.filler);
    if !line.left().is_empty() {
        return Some(Err(desk.strange(&line)));
    }
    let chosen = values.iter().map(|value| {
        let at = field(desk, leaves, &named, value, scope)?;
        let written = value.fits.iter().find(|(fits, _)| *fits == at);
        Ok((at, written.map_or(String::new(), |(_, text)| text.clone())))
    });
    let chosen: Result<Vec<(usize, String)>, Refused> = chosen.collect();
    Some(chosen.and_then(|chosen| {
        stray(leaves, &named, &values, &chosen, scope)?;
        let is_of = |name: &String| {
            let mut of = chosen.iter().map(|(at, _)| &leaves[*at].1);
            of.any(|slot| slot.way.contains(name))
        };
        match named.iter().find(|name| !is_of(name)) {
            Some(other) => Err(without_value(desk, slots, other)),
            None => written(desk, leaves, &chosen, said),
        }
    }))
}

/// A word that would be an answer of a field which the note does not speak of, as `clean` is in `filter clean`.
fn stray(
    leaves: &Leaves,
    named: &[String],
    values: &[Value],
    chosen: &[(usize, String)],
    scope: Scope,
) -> Result<(), Refused> {
    let is_named = |slot: &Slot| slot.way.iter().any(|name| named.contains(name));
    let near = |slot: &Slot| {
        let mut others = chosen.iter().map(|(at, _)| &leaves[*at].1);
        others.any(|other| other.way.first() == slot.way.first() && is_named(other))
    };
    for (value, (at, _)) in values.iter().zip(chosen) {
        let slot = &leaves[*at].1;
        let of_field = named.iter().any(|name| name == slot.name());
        let is_bare = YES_OR_NO.contains(&value.said.as_str()) && !of_field;
        let is_stray = match scope {
            Scope::Named => false,
            Scope::Nothing => !is_named(slot) && !near(slot),
            Scope::NothingOfThings => !is_named(slot),
        };
        if is_bare || is_stray {
            let name = slot.name().replace('_', " ");
            return Err(Refused::new(
                format!("of what is `{}` said?", value.said),
                format!(
                    "say the name of its field too, as in `{name} {}`",
                    value.said
                ),
            ));
        }
    }
    Ok(())
}

/// The groups that a note names, each with the note without its name: the longest names first, then as they stand.
fn groups<'l>(desk: &Desk<'_>, line: &Line<'l>) -> Vec<(Line<'l>, FactId)> {
    let found = desk.groups().into_iter().filter_map(|(fact, way)| {
        let place = line.find(way.last()?)?;
        Some((
            Reverse(place.len()),
            place.start,
            Reverse(way.len()),
            fact.0,
            fact,
        ))
    });
    let found: BTreeSet<_> = found.collect();
    let found = found.into_iter().map(|(length, start, _, _, fact)| {
        let mut line = line.clone();
        line.take(start..start + length.0);
        (line, fact)
    });
    found.collect()
}

/// What is asked of a note that begins with a field and gives no value that it takes. The names of fields are taken
/// from the line: they are known.
pub(crate) fn named_alone(desk: &Desk<'_>, line: &mut Line<'_>) -> Option<Refused> {
    let leaves = desk.leaves(Facts::ROOT);
    let slots: Vec<Slot> = leaves.into_iter().map(|(_, slot)| slot).collect();
    let before = line.clone();
    let named = named(line, &slots);
    let begins = |name: &String| before.find(name).is_some_and(|place| place.start == 0);
    let is_one = |name: &String| slots.iter().filter(|slot| slot.name() == name).count() == 1;
    let only = named.iter().find(|name| begins(name) && is_one(name))?;
    Some(without_value(desk, &slots, only))
}

/// What is asked of a note that names a thing and one of its fields, and gives no value that it takes.
pub(crate) fn named_of(desk: &Desk<'_>, mut line: Line<'_>, thing: FactId) -> Option<Refused> {
    let leaves = desk.leaves(thing);
    let slots: Vec<Slot> = leaves.into_iter().map(|(_, slot)| slot).collect();
    let named = named(&mut line, &slots);
    line.drop(&desk.moves.spoken.filler);
    let is_one = |name: &&String| slots.iter().filter(|slot| slot.name() == **name).count() == 1;
    let only = named.iter().find(is_one)?;
    line.left()
        .is_empty()
        .then(|| without_value(desk, &slots, only))
}

/// A field that is named, with nothing said of it.
fn without_value(desk: &Desk<'_>, slots: &[Slot], name: &str) -> Refused {
    let mut of = slots.iter().filter(|slot| slot.name() == name);
    let takes = match of.next().map(|slot| &slot.what) {
        Some(Type::Choice(words) | Type::Set(words)) => {
            suggest::either(words.iter().map(|word| desk.vocabulary().word(*word)))
        }
        Some(Type::Quantity { usual_unit, .. }) if !usual_unit.is_empty() => {
            format!("a measure in `{usual_unit}`")
        }
        _ => "a value".to_string(),
    };
    let spoken = name.replace('_', " ");
    Refused::new(
        format!("what is said of `{spoken}`?"),
        format!("say {takes} with it, or leave the word out"),
    )
}

/// The names of fields, or of groups that hold them, which the note says.
fn named(line: &mut Line<'_>, slots: &[Slot]) -> Vec<String> {
    named_where(line, slots, |_, _| true)
}

/// The same, of those that stand at a place like this.
fn named_where(
    line: &mut Line<'_>,
    slots: &[Slot],
    may: impl Fn(&str, &Range<usize>) -> bool,
) -> Vec<String> {
    let names: BTreeSet<&String> = slots.iter().flat_map(|slot| &slot.way).collect();
    let mut names: Vec<&String> = names.into_iter().collect();
    names.sort_by_key(|name| (Reverse(parts(name).len()), *name));
    let mut said = Vec::new();
    for name in names {
        if let Some(place) = line.find(name).filter(|place| may(name, place)) {
            line.take(place);
            said.push(name.clone());
        }
    }
    said
}

/// The one field that a value is for.
fn field(
    desk: &Desk<'_>,
    leaves: &Leaves,
    named: &[String],
    value: &Value,
    scope: Scope,
) -> Result<usize, Refused> {
    let all: BTreeSet<usize> = value.fits.iter().map(|(at, _)| *at).collect();
    let mut fits: Vec<usize> = all.iter().copied().collect();
    for name in named {
        let of_name = fits.iter().copied();
        let of_name: Vec<usize> = of_name
            .filter(|at| leaves[*at].1.way.contains(name))
            .collect();
        if !of_name.is_empty() {
            fits = of_name;
        }
    }
    let is_asked = |at: &usize| named.iter().any(|name| leaves[*at].1.way.contains(name));
    if let ([only], Scope::Nothing) = (fits.as_slice(), scope) {
        fits.extend(longer_names(leaves, named, *only, &all));
    }
    match fits.as_slice() {
        [only] => match value.fits.iter().filter(|(at, _)| at == only).count() {
            1 => Ok(*only),
            _ => Err(several_words(value, *only)),
        },
        [] => Err(Refused::new(
            format!("of what is `{}` said?", value.said),
            "say the name of its field too",
        )),
        several => {
            let names: BTreeSet<String> = several
                .iter()
                .map(|at| fact_name(desk.facts, desk.vocabulary(), leaves[*at].0))
                .collect();
            let says = if names.len() > 6 && !several.iter().any(is_asked) {
                format!("of what is `{}` said?", value.said)
            } else {
                let names = names.iter().map(String::as_str);
                format!("which is `{}`: {}?", value.said, suggest::either(names))
            };
            Err(Refused::new(says, "say the name of its field too"))
        }
    }
}

/// Other fields that a value fits, whose names end in the one that is said: `static pressure` where somebody says
/// `pressure` and names no group.
fn longer_names(
    leaves: &Leaves,
    named: &[String],
    only: usize,
    all: &BTreeSet<usize>,
) -> Vec<usize> {
    let slot = &leaves[only].1;
    let (name, group) = (slot.name(), slot.way.first());
    let by_leaf_alone = named.iter().any(|said| said == name)
        && slot
            .way
            .iter()
            .all(|said| said == name || !named.contains(said))
        && group.is_some_and(|group| group != name);
    let ends_so = |at: &&usize| {
        let other = leaves[**at].1.name();
        other.len() > name.len() && parts(other).ends_with(&parts(name))
    };
    let others = all.iter().filter(ends_so).copied();
    others.filter(|_| by_leaf_alone).collect()
}

/// A word of the trade that means one of several words of a field.
fn several_words(value: &Value, at: usize) -> Refused {
    let words = value.fits.iter().filter(|(other, _)| *other == at);
    let words = suggest::either(words.map(|(_, word)| word.as_str()));
    Refused::new(
        format!("which is `{}`: {words}?", value.said),
        "say one of them",
    )
}
