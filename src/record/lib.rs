//! One short line of a person at work, understood and written into the survey, or refused with a question.
//!
//! A note is one of four: a reading, which adds a line to a list; a thing that was put back; what is so of
//! one thing or group; or that an unlikely answer is right. The names of things, the words of choices, the units and what the pack says of speaking
//! are all that it is understood by.
//!
//! Contract: pure. Every word of a note is understood, or nothing is written and the refusal says which words
//! are not, or what they may mean. What was recorded is written over only where the note says so. The survey that comes back
//! differs in what the note says and is one that the reader takes; where the survey contradicts itself with it, that
//! is said. The clock is never read here: whoever calls
//! says the time. This module must not know files.

mod answer;
mod back;
mod confirmed;
mod desk;
mod fact;
mod own;
mod progress;
mod put;
mod reading;
mod strange;
mod time;
pub mod undo;
mod values;
mod words;
mod write;

pub use answer::{Noted, Refused};
pub use progress::{LastRead, Read, read};
pub use time::Beside;

use desk::Desk;
use time::Said;
use wetside_base::problem::Problem;
use wetside_base::source::Source;
use wetside_engine::check::{self, Packs};
use wetside_engine::moved;
use words::Line;

/// The word with which a note takes the place of what is recorded.
const INSTEAD: &str = "instead";
/// The word before the name of who did it.
const BY: &str = "by";

/// Whether a note asks for the time of the clock.
pub fn says_now(note: &str) -> bool {
    Line::new(note).find(time::NOW).is_some()
}

/// Writes a note into a survey.
pub fn note(
    source: &Source,
    packs: &Packs,
    note: &str,
    beside: &Beside<'_>,
) -> Result<Noted, Refused> {
    let known = packs
        .packs
        .iter()
        .find_map(|pack| Some((pack, pack.moved.as_ref()?)));
    let (pack, moves) = known.ok_or_else(|| {
        let says = "none of the packs says what is moved and how people speak of it";
        Refused::new(says, "a pack says it in its file `moved.yaml`")
    })?;
    let (facts, problems) = check::facts(source, &packs.vocabulary);
    let register = moved::of(pack, &packs.vocabulary, &facts, source);
    let desk = Desk {
        source,
        packs,
        pack,
        moves,
        facts: &facts,
        register: &register,
    };
    if note.trim_end().ends_with('?') {
        let help = "write it without the question mark once it is so";
        return Err(Refused::new("is that a question?", help));
    }
    if let Some(noted) = confirmed::read(&desk, note) {
        return noted;
    }
    let mut line = Line::new(note);
    let time = time::take(&mut line, beside)?;
    if line.left().is_empty() {
        let says = "the note says nothing";
        let help = "write a reading, a thing that was put back, or what is so of a thing";
        return Err(Refused::new(says, help));
    }
    let spoken = Said {
        time,
        by: beside.by.map(str::trim).filter(|by| !by.is_empty()),
        instead: None,
    };
    let ways = ways(&line, spoken);
    let ways = ways
        .iter()
        .map(|(line, said)| Some(understood(&desk, line, said)));
    let noted = answer::first_understood(ways).expect("it can be taken as it stands")?;
    let mut after = check::facts(&noted.source, &packs.vocabulary).1;
    let known = |one: &Problem| problems.iter().any(|other| other.says == one.says);
    after.retain(|problem| !known(problem));
    match after.into_iter().next() {
        Some(problem) => Err(problem.into()),
        None => Ok(told_what_cannot_be(source, packs, noted)),
    }
}

/// A note, with what it contradicts said behind it.
fn told_what_cannot_be(source: &Source, packs: &Packs, mut noted: Noted) -> Noted {
    let new = check::contradicted(source, &noted.source, packs);
    noted.says.extend(new.into_iter().map(|one| {
        let help = words::capital(&one.help);
        format!("That cannot be so: {}. {help}.", one.says)
    }));
    noted
}

/// The ways to take a note: as it stands, and with a name or a correction at its end. These words may also be part of
/// what is said, as in `heat by machine`.
fn ways<'l>(line: &Line<'l>, said: Said<'l>) -> Vec<(Line<'l>, Said<'l>)> {
    let mut ways = vec![(line.clone(), said)];
    let (mut line, mut said) = (line.clone(), said);
    if let Some(was) = line.take_end(INSTEAD) {
        // Then it is no word of a text.
        if was.is_empty() || was.starts_with("of ") {
            ways.clear();
        }
        let was = was.strip_prefix("of ").unwrap_or(was);
        said.instead = Some(was.trim());
        ways.push((line.clone(), said));
    }
    if let Some(by) = line
        .take_name(BY)
        .filter(|by| said.by.is_none() && !by.is_empty())
    {
        said.by = Some(by);
        ways.push((line, said));
    }
    ways
}

fn understood(desk: &Desk<'_>, line: &Line<'_>, said: &Said<'_>) -> Result<Noted, Refused> {
    let reading = reading::read(desk, line.clone(), said);
    let as_fact = fact::read(desk, line.clone(), said);
    let back = back::read(desk, line.clone(), said);
    let first = answer::first_understood([reading, as_fact, back]);
    first.unwrap_or_else(|| Err(nothing_said(desk, line)))
}

/// A note without a value, and without a word that a thing is back.
fn nothing_said(desk: &Desk<'_>, line: &Line<'_>) -> Refused {
    let mut rest = line.clone();
    let things = desk.things(&mut rest).unwrap_or_default();
    let of = things.first().copied();
    if let Some(why) = of.and_then(|thing| fact::named_of(desk, rest.clone(), thing)) {
        return why;
    }
    let alone = things
        .is_empty()
        .then(|| fact::named_alone(desk, &mut rest));
    match (things.first(), alone.flatten()) {
        (Some(thing), _) if rest.left().is_empty() => {
            let says = format!("what is said of `{}`?", desk.name(*thing));
            let help =
                "say a measure with its unit, a word that its field takes, or that it is back";
            Refused::new(says, help)
        }
        (None, Some(why)) => why,
        _ => desk.strange(&rest),
    }
}
