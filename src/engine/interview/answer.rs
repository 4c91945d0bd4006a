//! What somebody typed to lines of the survey.
//!
//! Contract: a number of the list of words, a word whatever its capitals, or whatever the reader takes; nothing
//! is guessed, and what is wrong the reader says in its own words, as it would of the file. Of several things
//! each gets a line of its own. What is given back is a text that reads without a new problem, or none.

use super::{Asks, Question, called, element_name, thing_of};
use crate::read;
use wetside_base::facts::{FactId, Facts};
use wetside_base::problem::Problem;
use wetside_base::source::{Source, Span};
use wetside_base::vocabulary::{FieldId, Shape, Type, Vocabulary, WordId};
use wetside_edit::{Answer, Place, append, set};
use wetside_units::Kind;

/// One line that is to be written.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Line {
    /// The thing of a list that it is about, as the survey calls it.
    pub thing: Option<String>,
    pub answer: Answer,
    place: Place,
    /// The field that a new thing of the list at that place begins with; nothing where none is new.
    key: String,
}

impl Line {
    pub(super) fn at(place: Place, thing: Option<String>, answer: Answer) -> Line {
        Line {
            thing,
            answer,
            place,
            key: String::new(),
        }
    }

    /// The same as a new thing of the list at its place.
    pub(super) fn beginning_with(self, key: &str) -> Line {
        let key = key.to_string();
        Line { key, ..self }
    }
}

/// The lines that an answer comes to. Of several things: one answer for all, and behind `except` or `;` the things
/// that differ, as in `panel radiator except hall: column radiator; den: unknown`.
///
/// # Errors
/// When it names a thing that was not asked about.
pub fn understood(
    facts: &Facts,
    vocabulary: &Vocabulary,
    question: &Question<'_>,
    typed: &str,
) -> Result<Vec<Line>, Problem> {
    let place = |fact: FactId| Place::of(facts, vocabulary, fact);
    match question.asks {
        Asks::Count => {
            let none = ["none", "no", "nil"].contains(&typed.to_lowercase().as_str());
            let typed = if none { "0" } else { typed };
            let answer = unknown(typed).unwrap_or_else(|| Answer::Text(typed.to_string()));
            let count = place(question.facts[0]).key("count");
            Ok(vec![Line::at(count, None, answer)])
        }
        Asks::Names(_) => {
            let names = typed.split([',', ';']).map(str::trim);
            let list = place(question.facts[0]);
            let key = question.key(vocabulary);
            let new = |name: &str| {
                let answer = Answer::Text(name.to_string());
                Line::at(list.clone(), Some(name.to_string()), answer).beginning_with(key)
            };
            Ok(names.filter(|name| !name.is_empty()).map(new).collect())
        }
        Asks::Value => {
            let (all, others) = exceptions(facts, vocabulary, question, typed)?;
            let of = |fact: &FactId| {
                let element = thing_of(facts, *fact).map(|(_, element)| element);
                let name = element.map(|element| called(facts, vocabulary, element));
                let other = others.iter().find(|(of, _)| of == fact);
                let typed = other.map_or(all, |(_, typed)| typed);
                let answer = answer(vocabulary, question.field, typed);
                Line::at(place(*fact), name, answer)
            };
            Ok(question.facts.iter().map(of).collect())
        }
    }
}

/// What was typed of all, and the facts that differ, each with what was typed of it.
type Differing<'t> = (&'t str, Vec<(FactId, &'t str)>);

fn exceptions<'t>(
    facts: &Facts,
    vocabulary: &Vocabulary,
    question: &Question<'_>,
    typed: &'t str,
) -> Result<Differing<'t>, Problem> {
    if question.facts.len() < 2 {
        return Ok((typed, Vec::new()));
    }
    let things = question.things(facts, vocabulary);
    let bare = question.elements(facts);
    let bare = bare.map(|element| element_name(facts, vocabulary, element));
    let bare: Vec<String> = bare.collect();
    // A name may hold a colon itself.
    let find = |part: &'t str| {
        part.match_indices(':').find_map(|(colon, _)| {
            let name = part[..colon].trim().to_lowercase();
            let is_it = |thing: &String| thing.to_lowercase() == name;
            let at = things.iter().position(is_it);
            let at = at.or_else(|| bare.iter().position(is_it))?;
            Some((question.facts[at], part[colon + 1..].trim()))
        })
    };
    // People leave the word out: `no; heat pump: yes`. What is no name there belongs to the answer.
    let Some((all, others)) = typed.split_once(" except ") else {
        let differing = typed.split_once(';').and_then(|(all, others)| {
            let others = others.split(';').map(|part| find(part.trim()));
            Some((all, others.collect::<Option<Vec<_>>>()?))
        });
        return Ok(differing.unwrap_or((typed, Vec::new())));
    };
    let others = others.split(';').map(|part| {
            find(part.trim()).ok_or_else(|| {
                let says = format!("`{}` names none of the things asked about", part.trim());
                let help = format!(
                    "write `except`, a name, a colon and its answer, with `;` between them; the names are {}",
                    things.join(", ")
                );
                Problem::new("no-such-thing", Span::default(), says, help)
            })
        });
    let others: Vec<(FactId, &str)> = others.collect::<Result<_, _>>()?;
    let is_twice = |at: usize| others[..at].iter().any(|(other, _)| *other == others[at].0);
    if let Some(at) = (0..others.len()).find(|at| is_twice(*at)) {
        let name = thing_asked(question, &things, others[at].0);
        let says = format!("`{name}` has two answers here");
        let help = "give each thing one";
        return Err(Problem::new("answered-twice", Span::default(), says, help));
    }
    Ok((all, others))
}

/// What a fact that is asked is called there.
fn thing_asked<'t>(question: &Question<'_>, things: &'t [String], fact: FactId) -> &'t str {
    let at = question.facts.iter().position(|one| *one == fact);
    at.and_then(|at| things.get(at)).map_or("", String::as_str)
}

/// `u` and `unknown` and how people say it, with the reason if there is one.
fn unknown(typed: &str) -> Option<Answer> {
    const SPOKEN: [&str; 7] = [
        "unknown",
        "not known",
        "not sure",
        "don't know",
        "don’t know",
        "dont know",
        "u",
    ];
    let rest = SPOKEN.into_iter().find_map(|word| {
        let (said, rest) = typed.split_at_checked(word.len())?;
        said.eq_ignore_ascii_case(word).then_some(rest)
    })?;
    if !rest.is_empty() && !rest.starts_with([' ', ':', ',']) {
        return None;
    }
    let why = rest.trim_start_matches([' ', ':', ',']).trim();
    Some(Answer::Unknown((!why.is_empty()).then(|| why.to_string())))
}

fn answer(vocabulary: &Vocabulary, field: FieldId, typed: &str) -> Answer {
    let typed = typed.trim();
    if let Some(unknown) = unknown(typed) {
        return unknown;
    }
    match &vocabulary.field(field).shape {
        Shape::Fact(Type::Choice(words)) => Answer::Text(word(vocabulary, words, typed)),
        Shape::Fact(Type::Set(words)) => {
            let inner = typed.trim_matches(['[', ']']);
            let own = words.iter().any(|word| vocabulary.word(*word) == "none");
            let none = inner.trim().is_empty() || (inner == "none" && !own);
            let parts = inner.split(',').map(str::trim).filter(|_| !none);
            Answer::Words(parts.map(|part| word(vocabulary, words, part)).collect())
        }
        Shape::Fact(Type::Quantity {
            kind, usual_unit, ..
        }) => Answer::Text(measure(*kind, usual_unit, typed)),
        _ => Answer::Text(typed.to_string()),
    }
}

/// A bare number has the unit that it was asked in.
fn measure(kind: Kind, usual_unit: &str, typed: &str) -> String {
    let bare = typed.starts_with(|c: char| c.is_ascii_digit())
        && typed.chars().all(|c| c.is_ascii_digit() || c == '.');
    if bare && !usual_unit.is_empty() && kind.name() != "year" {
        format!("{typed} {usual_unit}")
    } else {
        typed.to_string()
    }
}

/// The word that was meant: by its number, whatever its capitals, or `y` and `n`; else as it was typed. A
/// telephone ends a line with a full stop, and a list has numbers such as `2)`.
fn word(vocabulary: &Vocabulary, words: &[WordId], typed: &str) -> String {
    let typed = typed.trim_end_matches('.');
    let by_number = typed
        .trim_end_matches(')')
        .parse::<usize>()
        .ok()
        .and_then(|number| number.checked_sub(1));
    if let Some(word) = by_number.and_then(|at| words.get(at)) {
        return vocabulary.word(*word).to_string();
    }
    let typed = match typed {
        "y" | "Y" => "yes",
        "n" | "N" => "no",
        other => other,
    };
    let mut known = words.iter().map(|word| vocabulary.word(*word));
    let same = known.find(|word| word.to_lowercase() == typed.to_lowercase());
    same.unwrap_or(typed).to_string()
}

/// The survey with these lines.
///
/// # Errors
/// What the reader finds wrong with them, or what stands in the way of writing them.
pub fn written(
    source: &Source,
    vocabulary: &Vocabulary,
    lines: &[Line],
) -> Result<Source, Problem> {
    let mut edited = source.clone();
    for line in lines {
        let made = if line.key.is_empty() {
            set(&edited, vocabulary, &line.place, &line.answer)
        } else {
            append(
                &edited,
                vocabulary,
                &line.place,
                &[(line.key.as_str(), line.answer.clone())],
            )
        };
        edited = made?.source;
    }
    let problems =
        |source: &Source| read::survey(source, &wetside_document::read(source), vocabulary).1;
    let before = problems(source);
    let known = |problem: &Problem| before.iter().any(|other| other.says == problem.says);
    let new = problems(&edited).into_iter().find(|one| !known(one));
    new.map_or(Ok(edited), Err)
}
