//! Values into the fields that they are of, where nothing else is recorded.

use crate::answer::{Noted, Refused};
use crate::back;
use crate::desk::{Desk, Slot};
use crate::time::{Said, Time};
use crate::words::parts;
use crate::write::Pages;
use std::collections::{BTreeMap, BTreeSet};
use wetside_base::facts::{self, Content, FactId, fact_name};
use wetside_base::finding::Stage;
use wetside_base::vocabulary::{Shape, Type};
use wetside_edit::{Answer, Place};
use wetside_engine::check;
use wetside_engine::run::{self, fact_value};
use wetside_units::truth::Truth;

/// A survey with these values in their fields.
pub(crate) fn written(
    desk: &Desk<'_>,
    leaves: &[(FactId, Slot)],
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
        if !restored.contains(&fact) || is_back(desk, fact) {
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

/// Whether the thing that a field says to be back is so by the survey.
fn is_back(desk: &Desk<'_>, restored: FactId) -> bool {
    let mut things = desk.register.things();
    things.any(|thing| {
        let of_it = thing
            .restored
            .as_ref()
            .is_some_and(|told| told.fact == restored);
        of_it && thing.is_back == Some(Truth::Yes)
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
        let field = desk.vocabulary().field(desk.facts.fact(fact).field);
        let is_text = matches!(field.shape, Shape::Fact(Type::Text));
        return match said.instead {
            Some(was) if is_text || !was.is_empty() => {
                let name = fact_name(desk.facts, desk.vocabulary(), fact);
                let says = format!("nothing is recorded of `{name}`");
                Err(Refused::new(says, "leave `instead` out"))
            }
            _ => Ok(()),
        };
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
