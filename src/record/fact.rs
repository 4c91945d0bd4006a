//! What is so of one thing or group: a word of a choice, a measure, or words of one's own.

use crate::answer::{Noted, Refused, first_understood};
use crate::back;
use crate::desk::{Desk, Slot};
use crate::time::{Said, Time};
use crate::values::{self, Value};
use crate::words::{Line, parts};
use crate::write::Pages;
use std::cmp::Reverse;
use std::collections::{BTreeMap, BTreeSet};
use wetside_base::facts::{self, Content, FactId, Facts, fact_name};
use wetside_base::finding::Stage;
use wetside_base::suggest;
use wetside_base::vocabulary::{Shape, Type};
use wetside_edit::{Answer, Place};
use wetside_engine::check;
use wetside_engine::run::{self, fact_value};

/// Fields with the facts that they are of.
type Leaves = [(FactId, Slot)];

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
            of(desk, line, leaves.collect(), said)
        }
        Err(why) => Some(Err(why)),
    };
    let mut line = whole.clone();
    let inside = group(desk, &mut line);
    let inside = inside.and_then(|group| of(desk, line, desk.leaves(group), said));
    // The name of a thing or a group may be a word of an answer, such as a stage of the job.
    let anywhere = of(desk, whole.clone(), desk.leaves(Facts::ROOT), said);
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
    let understood = says_a_field.then(|| self::of(desk, line, leaves, said))?;
    understood.filter(Result::is_ok)
}

/// What the note says of some facts.
fn of(
    desk: &Desk<'_>,
    mut line: Line<'_>,
    leaves: Vec<(FactId, Slot)>,
    said: &Said<'_>,
) -> Option<Result<Noted, Refused>> {
    let slots: Vec<Slot> = leaves.iter().map(|(_, slot)| slot.clone()).collect();
    let text = own_words(desk, &mut line, &slots);
    let mut values = values::take(desk, &mut line, &slots);
    values.extend(text);
    if values.is_empty() {
        return None;
    }
    let named = named(&mut line, &slots);
    line.drop(&desk.moves.spoken.filler);
    if !line.left().is_empty() {
        return Some(Err(desk.strange(&line)));
    }
    let chosen = values.iter().map(|value| {
        let at = field(desk, &leaves, &named, value)?;
        let written = value.fits.iter().find(|(fits, _)| *fits == at);
        Ok((at, written.map_or(String::new(), |(_, text)| text.clone())))
    });
    let chosen: Result<Vec<(usize, String)>, Refused> = chosen.collect();
    Some(chosen.and_then(|chosen| {
        let is_of = |name: &String| {
            let mut of = chosen.iter().map(|(at, _)| &leaves[*at].1);
            of.any(|slot| slot.way.contains(name))
        };
        match named.iter().find(|name| !is_of(name)) {
            Some(other) => Err(without_value(desk, &slots, other)),
            None => written(desk, &leaves, &chosen, said),
        }
    }))
}

/// The group that a note names.
fn group(desk: &Desk<'_>, line: &mut Line<'_>) -> Option<FactId> {
    let groups = desk.groups().into_iter();
    let found = groups.filter_map(|(fact, way)| {
        let name = way.last()?;
        Some((line.find(name)?, Reverse(way.len()), fact))
    });
    let found = found.max_by_key(|(place, depth, fact)| (place.len(), *depth, Reverse(fact.0)));
    found.map(|(place, _, fact)| {
        line.take(place);
        fact
    })
}

/// Words of one's own behind the name of a field that takes them.
fn own_words(desk: &Desk<'_>, line: &mut Line<'_>, slots: &[Slot]) -> Option<Value> {
    let texts = slots.iter().filter(|slot| matches!(slot.what, Type::Text));
    let names: BTreeSet<&str> = texts.map(Slot::name).collect();
    let found = names.into_iter().find_map(|name| {
        let place = line.find(name)?;
        // `left as found` is a word of its own.
        let mut trial = line.clone();
        values::take(desk, &mut trial, slots);
        trial.unused(place.clone()).map(|_| (name, place))
    });
    let (name, place) = found?;
    line.take(place.clone());
    let text = line.take_rest(place.end).to_string();
    let fits = slots.iter().enumerate();
    let fits = fits.filter(|(_, slot)| matches!(slot.what, Type::Text) && slot.name() == name);
    (!text.is_empty()).then(|| Value {
        fits: fits.map(|(at, _)| (at, text.clone())).collect(),
        said: text,
    })
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
    let names: BTreeSet<&String> = slots.iter().flat_map(|slot| &slot.way).collect();
    let mut names: Vec<&String> = names.into_iter().collect();
    names.sort_by_key(|name| (Reverse(parts(name).len()), *name));
    let mut said = Vec::new();
    for name in names {
        if let Some(place) = line.find(name) {
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
) -> Result<usize, Refused> {
    let mut fits: Vec<usize> = value.fits.iter().map(|(at, _)| *at).collect();
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
    match fits.as_slice() {
        [only] => Ok(*only),
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

fn written(
    desk: &Desk<'_>,
    leaves: &Leaves,
    chosen: &[(usize, String)],
    said: &Said<'_>,
) -> Result<Noted, Refused> {
    let restored: Vec<FactId> = desk
        .register
        .things()
        .filter_map(|thing| Some(thing.restored.as_ref()?.fact))
        .collect();
    let all_restored = chosen
        .iter()
        .all(|(at, _)| restored.contains(&leaves[*at].0));
    let signs = said.time != Time::Unsaid || said.by.is_some();
    if signs && !all_restored {
        let says = "that note has no place for a time or a name";
        return Err(Refused::new(says, "leave them out"));
    }
    let mut pages = Pages::new(desk);
    let mut seen = BTreeSet::new();
    let mut sets: BTreeMap<FactId, Vec<&str>> = BTreeMap::new();
    for (at, text) in chosen {
        let (fact, slot) = &leaves[*at];
        let fact = *fact;
        if matches!(slot.what, Type::Set(_)) {
            sets.entry(fact).or_default().push(text);
            continue;
        }
        if !seen.insert(fact) {
            let name = fact_name(desk.facts, desk.vocabulary(), fact);
            let says = format!("the note gives two values for `{name}`");
            return Err(Refused::new(says, "write a note for each value"));
        }
        if !restored.contains(&fact) {
            refuse_another(desk, fact, text, said)?;
        }
        pages.set(&Place::of(desk.facts, desk.vocabulary(), fact), text)?;
    }
    for (fact, words) in sets {
        let all = with_members(desk, fact, &words, said)?;
        let place = Place::of(desk.facts, desk.vocabulary(), fact);
        pages.put(&place, &Answer::Words(all))?;
        seen.insert(fact);
    }
    let thing = desk.register.things().find(|thing| {
        let told = thing.restored.as_ref();
        told.is_some_and(|told| seen.contains(&told.fact))
    });
    if let Some(thing) = thing.filter(|_| signs) {
        let name = thing
            .element
            .map_or_else(|| thing.name.clone(), |one| desk.name(one));
        back::sign(desk, &mut pages, &name, said)?;
    }
    Ok(Noted {
        says: told(desk, &pages, &seen, said),
        source: pages.source,
    })
}

/// The words of a set that is recorded, with those that the note adds; these alone where they take its place.
fn with_members(
    desk: &Desk<'_>,
    fact: FactId,
    words: &[&str],
    said: &Said<'_>,
) -> Result<Vec<String>, Refused> {
    let held = desk.facts.fact(fact);
    let Shape::Fact(Type::Set(known)) = &desk.vocabulary().field(held.field).shape else {
        return Ok(Vec::new());
    };
    let recorded = match held.content {
        Content::Known(facts::Value::Set { has, .. }) => Some(has),
        _ => None,
    };
    if recorded.is_some() && said.instead.is_some() {
        refuse_another(desk, fact, &format!("[{}]", words.join(", ")), said)?;
    }
    let known: Vec<&str> = known
        .iter()
        .map(|word| desk.vocabulary().word(*word))
        .collect();
    let there = recorded.filter(|_| said.instead.is_none()).unwrap_or(0);
    let named = (0..).zip(&known).filter(|(_, word)| words.contains(word));
    let all = named.fold(there, |all, (at, _)| all | 1 << at);
    if recorded == Some(all) {
        let name = fact_name(desk.facts, desk.vocabulary(), fact);
        let line = desk.source.line_of(held.span.start);
        let says = format!("`{name}` names that already, on line {line}");
        return Err(Refused::new(says, "nothing is to be written"));
    }
    let all = (0..).zip(known).filter(|(at, _)| all & (1 << at) != 0);
    Ok(all.map(|(_, word)| word.to_string()).collect())
}

/// What was recorded is a record: another value takes its place only where the note says so. The stage of the job goes
/// on, and back only so.
pub(crate) fn refuse_another(
    desk: &Desk<'_>,
    fact: FactId,
    text: &str,
    said: &Said<'_>,
) -> Result<(), Refused> {
    if let Content::Open(_) = desk.facts.fact(fact).content {
        return Ok(());
    }
    let there = fact_value(desk.scene(), desk.source, fact);
    let line = desk.source.line_of(desk.facts.fact(fact).span.start);
    let name = fact_name(desk.facts, desk.vocabulary(), fact);
    if there == text {
        let says = format!("`{name}` is `{there}` already, by line {line}");
        return Err(Refused::new(says, "nothing is to be written"));
    }
    if let Some(was) = said.instead {
        if was.is_empty() || parts(was) == parts(&there) {
            return Ok(());
        }
        let says = format!("`{name}` is recorded as `{there}` on line {line}, and not as `{was}`");
        return Err(Refused::new(
            says,
            "say `instead` alone, or what is recorded behind `instead of`",
        ));
    }
    if run::fact_at(desk.vocabulary(), desk.facts, run::STAGE) == Some(fact) {
        if Stage::named(&there) < Stage::named(text) {
            return Ok(());
        }
        let says = format!("the job has got to the stage `{there}` by line {line}");
        return Err(Refused::new(says, with_instead(text)));
    }
    let says = format!("`{name}` is recorded as `{there}` on line {line}");
    Err(Refused::new(says, with_instead(text)))
}

fn with_instead(text: &str) -> String {
    format!("to make it `{text}`, say the same with `instead` behind it")
}

/// What is recorded now, and in place of what where the note says that it takes a place.
pub(crate) fn told(
    desk: &Desk<'_>,
    pages: &Pages<'_>,
    written: &BTreeSet<FactId>,
    said: &Said<'_>,
) -> Vec<String> {
    let (facts, _) = check::facts(&pages.source, desk.vocabulary());
    let one = |fact: &FactId| {
        let scene = run::scene(desk.vocabulary(), &facts, None);
        let name = fact_name(&facts, desk.vocabulary(), *fact);
        let value = fact_value(scene, &pages.source, *fact);
        let line = pages.source.line_of(facts.fact(*fact).span.start);
        let told = format!("{name}: {value} (line {line})");
        let was_open = matches!(desk.facts.fact(*fact).content, Content::Open(_));
        if said.instead.is_none() || was_open {
            return told;
        }
        let was = fact_value(desk.scene(), desk.source, *fact);
        format!("{told}, in place of `{was}`")
    };
    written.iter().map(one).collect()
}
