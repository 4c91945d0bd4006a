//! A thing that was put back.

use crate::answer::{Noted, Refused};
use crate::desk::{Desk, list_of};
use crate::time::{Said, Time};
use crate::words::{Line, all_in, capital};
use crate::write::Pages;
use std::collections::BTreeSet;
use wetside_base::facts::{Content, FactId, Value};
use wetside_base::suggest;
use wetside_base::vocabulary::{FieldId, Shape, Type, WordId};
use wetside_edit::Place;
use wetside_engine::check;
use wetside_engine::moved::{self, Register, Thing};
use wetside_engine::pack::{Signed, Sort};
use wetside_engine::run;
use wetside_lang::eval::truth;
use wetside_lang::node::Route;
use wetside_units::truth::Truth;

/// How many things are named in a refusal.
const MOST_NAMED: usize = 8;

/// One thing of the register, by the places of its step and of itself.
type At = (usize, usize);

/// What the note says is back; nothing where it says no such thing.
pub(crate) fn read(
    desk: &Desk<'_>,
    mut line: Line<'_>,
    said: &Said<'_>,
) -> Option<Result<Noted, Refused>> {
    let things = match desk.things(&mut line) {
        Ok(things) => things,
        Err(why) => return Some(Err(why)),
    };
    let sort = sort(desk, &mut line).or_else(|| sort_by_kind(desk, &mut line, &things));
    let at_hand = desk.moves.sorts.iter().zip(&desk.register.steps);
    let at_hand = at_hand.enumerate().filter(|(at, (_, step))| {
        let has = |thing: &Thing| thing.element.is_some_and(|one| things.contains(&one));
        sort.as_ref()
            .map_or_else(|| step.things.iter().any(has), |(named, _)| named == at)
    });
    let own = at_hand.flat_map(|(_, (sort, _))| own_words(desk, sort));
    let phrases: Vec<String> = desk.moves.spoken.back.iter().cloned().chain(own).collect();
    line.take_longest(&phrases)?;
    Some(chosen(desk, line, things, sort).and_then(|(items, whole)| {
        let sort = whole.map(|at| desk.moves.sorts[at].name.as_str());
        written(desk, &items, sort, said)
    }))
}

/// The sort that a note names, and whether in the plural.
fn sort(desk: &Desk<'_>, line: &mut Line<'_>) -> Option<(usize, bool)> {
    let sorts = desk.moves.sorts.iter().enumerate();
    let found = sorts.filter_map(|(at, sort)| Some((line.find_alike(&sort.name)?, at)));
    let (place, at) = found.max_by_key(|(place, at)| (place.len(), std::cmp::Reverse(*at)))?;
    let plural = line.find(&desk.moves.sorts[at].name) == Some(place.clone());
    line.take(place);
    Some((at, plural))
}

/// The sort that a note names by what is fitted there, such as a lockshield among the return valves.
fn sort_by_kind(desk: &Desk<'_>, line: &mut Line<'_>, things: &[FactId]) -> Option<(usize, bool)> {
    let vocabulary = desk.vocabulary();
    let group = |field: FieldId| vocabulary.field(field).parent;
    let leaves = things.iter().flat_map(|thing| desk.leaves(*thing));
    let (place, at) = leaves.into_iter().find_map(|(fact, slot)| {
        let Content::Known(Value::Word(word)) = desk.facts.fact(fact).content else {
            return None;
        };
        let also = slot.also.iter().filter(|(_, ours)| *ours == word);
        let mut spoken = also
            .map(|(theirs, _)| theirs.as_str())
            .chain([vocabulary.word(word)]);
        let place = spoken.find_map(|word| line.find(word))?;
        let mut sorts = desk.moves.sorts.iter();
        let is_there = |sort: &Sort| {
            let restored = sort.restored.as_ref();
            restored.is_some_and(|route| group(route.field) == group(slot.field))
        };
        Some((place, sorts.position(is_there)?))
    })?;
    line.take(place);
    Some((at, false))
}

/// What is said of this sort alone: the pack's words, and the name of the field itself.
fn own_words(desk: &Desk<'_>, sort: &Sort) -> Vec<String> {
    let field = sort.restored.as_ref().map(|route| route.field);
    let name = field.map(|field| desk.vocabulary().field(field).name.replace('_', " "));
    sort.spoken.iter().cloned().chain(name).collect()
}

/// The things that are meant; and the sort, where all of it is.
fn chosen(
    desk: &Desk<'_>,
    mut line: Line<'_>,
    mut things: Vec<FactId>,
    sort: Option<(usize, bool)>,
) -> Result<(Vec<At>, Option<usize>), Refused> {
    let all = line.take_longest(&desk.moves.spoken.all).is_some();
    line.drop(&desk.moves.spoken.filler);
    let before = line.clone();
    if things.is_empty() {
        things = desk.by_words(&mut line)?;
    }
    if !line.left().is_empty() && !is_as_found(desk, &line.left().join(" "), &things, sort) {
        return Err(desk.strange(&line));
    }
    if sort.is_none() {
        guess_is_alone(desk, &things, &line.used_since(&before))?;
    }
    if things.is_empty() && sort.is_none() {
        return Err(Refused::new("what is back?", out(desk.register)));
    }
    let named = |(step, at): &At| {
        let thing = &desk.register.steps[*step].things[*at];
        let of_sort = sort.is_none_or(|(sort, _)| sort == *step);
        let of_name = thing.element.is_some_and(|one| things.contains(&one));
        of_sort && (things.is_empty() || of_name) && thing.is_back.is_some()
    };
    let named: Vec<At> = places(desk.register).filter(named).collect();
    if let (true, [thing, ..], Some((sort, _))) = (named.is_empty(), things.as_slice(), sort) {
        let sort = &desk.moves.sorts[sort].name;
        let says = format!("`{sort}` and `{}` are two things", desk.name(*thing));
        return Err(Refused::new(says, "write a note for each"));
    }
    let moved = named.iter().copied();
    let moved = moved.filter(|at| of(desk.register, *at).is_moved != Truth::No);
    let moved: Vec<At> = moved.collect();
    let still = moved
        .iter()
        .copied()
        .filter(|at| of(desk.register, *at).is_out());
    let still: Vec<At> = still.collect();
    let whole = sort.filter(|(_, plural)| things.is_empty() && (*plural || all));
    match (moved.as_slice(), still.as_slice()) {
        ([], _) => {
            let name = things.first().map(|thing| desk.name(*thing));
            let sort = sort.map(|(sort, _)| desk.moves.sorts[sort].name.clone());
            let name = name.or(sort).unwrap_or_default();
            let says = format!("by the survey `{name}` was not moved");
            Err(Refused::new(says, out(desk.register)))
        }
        ([one, ..], []) => {
            let thing = of(desk.register, *one);
            let line = desk.source.line_of(thing.span.start);
            let says = format!("`{}` is back already, by line {line}", thing.name);
            Err(Refused::new(says, out(desk.register)))
        }
        (_, [_]) => Ok((still, whole.map(|(sort, _)| sort))),
        _ if all || whole.is_some() => Ok((still, whole.map(|(sort, _)| sort))),
        _ => Err(which(desk, &still)),
    }
}

/// Whether this is how the one thing that is meant was found: to be back means as much.
fn is_as_found(
    desk: &Desk<'_>,
    said: &str,
    things: &[FactId],
    sort: Option<(usize, bool)>,
) -> bool {
    let said = said.to_lowercase();
    let said = said.strip_prefix("to ").unwrap_or(&said);
    let meant = places(desk.register).filter(|at| {
        let element = of(desk.register, *at).element;
        sort.is_none_or(|(sort, _)| sort == at.0)
            && element.is_some_and(|one| things.contains(&one))
    });
    let meant: Vec<At> = meant.collect();
    let [only] = meant.as_slice() else {
        return false;
    };
    let found = of(desk.register, *only).found.as_ref();
    let found = found.and_then(|found| found.value.as_deref());
    found.is_some_and(|found| {
        let found = found.to_lowercase();
        let rest = found.strip_prefix(said);
        rest.is_some_and(|rest| rest.is_empty() || rest.starts_with(' '))
    })
}

/// Whether the words by which things were guessed are not the name of another sort, of which something is out.
fn guess_is_alone(desk: &Desk<'_>, things: &[FactId], words: &[String]) -> Result<(), Refused> {
    let guessed = |thing: &Thing| thing.element.is_some_and(|one| things.contains(&one));
    let meant = |at: &At| {
        let thing = of(desk.register, *at);
        let sort = &desk.register.steps[at.0].sort;
        thing.is_out() && (guessed(thing) || all_in(words, sort))
    };
    let meant: Vec<At> = places(desk.register).filter(meant).collect();
    let others = meant.iter().any(|at| !guessed(of(desk.register, *at)));
    if others && !words.is_empty() {
        return Err(which(desk, &meant));
    }
    Ok(())
}

fn places(register: &Register) -> impl Iterator<Item = At> + '_ {
    let steps = register.steps.iter().enumerate();
    steps.flat_map(|(step, held)| (0..held.things.len()).map(move |at| (step, at)))
}

fn of(register: &Register, (step, at): At) -> &Thing {
    &register.steps[step].things[at]
}

fn which(desk: &Desk<'_>, still: &[At]) -> Refused {
    let full = |at: &At| full_name(desk.register, *at);
    let names: BTreeSet<String> = still.iter().map(full).collect();
    let names = names.iter().map(String::as_str);
    let says = format!("which is back: {}?", suggest::either(names));
    let all = desk.moves.spoken.all.last();
    let all = all.map_or(String::new(), |all| format!(", or say `{all}`"));
    Refused::new(says, format!("name one{all}"))
}

/// `hall (return valves)`, or the sort alone where it is one thing.
fn full_name(register: &Register, at: At) -> String {
    let (step, thing) = (&register.steps[at.0], of(register, at));
    if thing.name == step.sort {
        thing.name.clone()
    } else {
        format!("{} ({})", thing.name, step.sort)
    }
}

/// What is out, for whoever named something else.
fn out(register: &Register) -> String {
    let still = places(register).filter(|at| of(register, *at).is_out());
    let names: Vec<String> = still.map(|at| full_name(register, at)).collect();
    let more = names.len().saturating_sub(MOST_NAMED);
    match names.get(..MOST_NAMED).unwrap_or(&names) {
        [] => "by the survey nothing is out".to_string(),
        all if more == 0 => format!("still out: {}", all.join(", ")),
        some => format!("still out: {} and {more} more", some.join(", ")),
    }
}

fn written(
    desk: &Desk<'_>,
    items: &[At],
    whole: Option<&str>,
    said: &Said<'_>,
) -> Result<Noted, Refused> {
    let mut pages = Pages::new(desk);
    for at in items {
        let (thing, sort) = (of(desk.register, *at), &desk.moves.sorts[at.0]);
        let told = thing
            .restored
            .as_ref()
            .zip(thing.word_for_back(sort, desk.scene()));
        let (told, word) = told.ok_or_else(|| {
            let says = format!("no word says that `{}` is back", thing.name);
            Refused::new(says, "write it into the survey by hand")
        })?;
        let place = Place::of(desk.facts, desk.vocabulary(), told.fact);
        pages.set(&place, word)?;
    }
    let name = match (whole, items) {
        (Some(sort), _) => sort.to_string(),
        (None, [at, ..]) => sign_name(desk, *at),
        (None, []) => String::new(),
    };
    sign(desk, &mut pages, &name, said)?;
    Ok(Noted {
        says: vec![told(desk, &pages, items)],
        source: pages.source,
    })
}

/// The name that a line of the register has for a thing.
fn sign_name(desk: &Desk<'_>, at: At) -> String {
    let thing = of(desk.register, at);
    let element = thing.element.map(|element| desk.name(element));
    element.unwrap_or_else(|| desk.register.steps[at.0].sort.clone())
}

/// Who and when, as a line of its own; nothing where neither was said.
pub(crate) fn sign(
    desk: &Desk<'_>,
    pages: &mut Pages<'_>,
    name: &str,
    said: &Said<'_>,
) -> Result<(), Refused> {
    let moment = said.time.on(desk.day());
    if moment.is_none() && said.by.is_none() {
        return match said.time {
            Time::Unsaid => Ok(()),
            _ => Err(Refused::new(
                "of which day is that time?",
                "write it with its day, as 2026-10-13T10:42",
            )),
        };
    }
    let signed = desk.moves.signed.as_ref().ok_or_else(|| {
        Refused::new(
            "the pack names no list to sign in",
            "leave the time and the name out",
        )
    })?;
    let vocabulary = desk.vocabulary();
    let name_of = |route: &Route| vocabulary.field(route.field).name.as_str();
    let list = signed.selection.each.list.field;
    let act = act(desk, signed)?;
    let of = (name_of(&signed.of), name.to_string());
    let at = moment.zip(signed.at.as_ref());
    let at = at.map(|(moment, route)| (name_of(route), moment.to_string()));
    let by = said.by.zip(signed.by.as_ref());
    let by = by.map(|(by, route)| (name_of(route), by.to_string()));
    let pairs: Vec<(&str, String)> = at.into_iter().chain([act, of]).chain(by).collect();
    pages.append(list, &pairs)
}

/// The field that says what a line signs for, and the word with which it signs for things put back.
fn act<'a>(desk: &Desk<'a>, signed: &Signed) -> Result<(&'a str, String), Refused> {
    let vocabulary = desk.vocabulary();
    let list = signed.selection.each.list.field;
    let reads = signed.is_back.reads().fields;
    let read = reads.into_iter().map(|field| vocabulary.field(field));
    let mut choices = read.filter_map(|field| match &field.shape {
        Shape::Fact(Type::Choice(words)) => Some((field, words)),
        _ => None,
    });
    let found = choices.find_map(|(field, words)| {
        let signs = |word: &&WordId| {
            let mut trial = Pages::new(desk);
            let pair = [(field.name.as_str(), vocabulary.word(**word).to_string())];
            trial.append(list, &pair).is_ok() && last_signs(desk, &trial, list, signed)
        };
        let word = words.iter().find(signs)?;
        Some((field.name.as_str(), vocabulary.word(*word).to_string()))
    });
    found.ok_or_else(|| {
        let says = "the list to sign in cannot be written to";
        Refused::new(
            says,
            "write the line into it by hand, or leave time and name out",
        )
    })
}

/// Whether the last line of a list signs for things put back.
fn last_signs(desk: &Desk<'_>, pages: &Pages<'_>, list: FieldId, signed: &Signed) -> bool {
    let (facts, _) = check::facts(&pages.source, desk.vocabulary());
    let list = list_of(&facts, desk.vocabulary(), list);
    let scene = run::scene(desk.vocabulary(), &facts, None);
    let last = facts.elements(list).last();
    last.is_some_and(|line| truth(&signed.is_back.node, &scene, &[line], &[]) == Truth::Yes)
}

/// What is back, with its lines, and how much is.
fn told(desk: &Desk<'_>, pages: &Pages<'_>, items: &[At]) -> String {
    let (facts, _) = check::facts(&pages.source, desk.vocabulary());
    let after = moved::of(desk.pack, desk.vocabulary(), &facts, &pages.source);
    let mut names = Vec::new();
    for step in 0..after.steps.len() {
        let of_step: Vec<At> = items.iter().copied().filter(|at| at.0 == step).collect();
        let line = |at: &At| pages.source.line_of(of(&after, *at).span.start).to_string();
        let lines: Vec<String> = of_step.iter().map(line).collect();
        match of_step.as_slice() {
            [] => {}
            [one] => names.push(format!("{}, line {}", full_name(&after, *one), lines[0])),
            several => {
                let each = several.iter().map(|at| of(&after, *at).name.as_str());
                let each: Vec<&str> = each.collect();
                let (sort, lines) = (&after.steps[step].sort, lines.join(", "));
                names.push(format!("{sort} of {}, lines {lines}", each.join(", ")));
            }
        }
    }
    let pieces = items
        .iter()
        .all(|at| of(&after, *at).is_fitted == Truth::Yes);
    let tally = if pieces {
        after.temporary().out()
    } else {
        after.tally()
    };
    format!("Back: {}. {}.", names.join("; "), capital(&tally))
}
