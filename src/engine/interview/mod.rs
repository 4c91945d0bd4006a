//! What to ask next.
//!
//! One function, [`interview()`]: the facts so far, the packs and the stage give the questions that are due, the
//! next one first. Nothing is remembered between calls but what the one who asks hands in again, so going back,
//! changing the file and going on tomorrow need nothing of their own.
//!
//! A fact is asked where a rule that is due and in the way waits for it, or a minimum fact is missing. First come
//! the few that settle most; the rest in the order in which one walks through the house. How much an answer
//! settles only ranks the questions: it never drops one.
//!
//! Contract: pure. No question stands behind a gate that is not surely open, nor was it asked before in the same
//! session. Answering all of them, and those that then come up, leaves nothing open that an answer could decide.
//! This module must not know words of the survey beside the stage, and must not print.

mod answer;
mod effects;
mod live;
mod taken;

pub use answer::{Line, understood, written};
pub use effects::{Effect, effects};
pub use taken::{Taken, taken};

use crate::check::{Ask, Packs, recorded_stage};
use crate::pack::Rule;
use crate::run::{STAGE, SURE, fact_at, scene};
use live::Live;
use std::cmp::Reverse;
use std::collections::{BTreeMap, BTreeSet};
use wetside_base::facts::{Content, FactId, Facts, Value, element_name, one_line, thing_of};
use wetside_base::finding::{Class, Stage};
use wetside_base::vocabulary::{FieldId, Shape, Vocabulary};
use wetside_units::datetime;

/// What must be gained by a question for it to be asked before all others.
const OPENER: u32 = 10 * SURE;

/// What the one who asks remembers.
#[derive(Clone, Debug, Default)]
pub struct Session {
    /// The facts that were asked, by name.
    pub asked: BTreeSet<String>,
    /// Where the last question stood.
    pub after: Option<Walk>,
}

/// Where a question stands on the way through the house: place, part of the survey, field, thing.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Walk {
    place: u16,
    area: FieldId,
    field: FieldId,
    thing: u32,
}

impl Walk {
    /// Whether both are asked without walking on.
    pub fn is_beside(&self, other: &Walk) -> bool {
        (self.place, self.area) == (other.place, other.area)
    }
}

/// What a question asks.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Asks {
    /// The value of a fact, or of the same field of several things of a list.
    Value,
    /// How many things a list has.
    Count,
    /// The names of so many things that are not listed.
    Names(u32),
}

/// One question, perhaps for several things that are alike.
#[derive(Clone, Debug)]
pub struct Question<'p> {
    pub asks: Asks,
    /// The open facts, in the order of their list; of a list the list itself.
    pub facts: Vec<FactId>,
    /// What people call it.
    pub name: String,
    pub field: FieldId,
    pub walk: Walk,
    /// The rules that wait for it, hazards first.
    pub rules: Vec<&'p Rule>,
    gain: u32,
}

impl Question<'_> {
    /// The same of each of its things by itself.
    pub fn apart(&self, facts: &Facts, vocabulary: &Vocabulary) -> Vec<Self> {
        let alone = |fact: &FactId| Question {
            facts: vec![*fact],
            name: asked_as(facts, vocabulary, *fact, self.asks),
            ..self.clone()
        };
        self.facts.iter().map(alone).collect()
    }

    /// What the things of a list are told apart by: their `id`, or in a log the first of their fields.
    pub fn key<'v>(&self, vocabulary: &'v Vocabulary) -> &'v str {
        vocabulary
            .key_of(self.field)
            .map_or("", |key| &vocabulary.field(key).name)
    }

    /// The names of its facts, to be remembered once it was asked.
    pub fn names(&self, facts: &Facts, vocabulary: &Vocabulary) -> Vec<String> {
        let asks = self.asks;
        let name = |fact: &FactId| asked_as(facts, vocabulary, *fact, asks);
        self.facts.iter().map(name).collect()
    }

    /// For each of its things the fields by which it is told from the others, with their values.
    pub fn told_apart(&self, facts: &Facts, vocabulary: &Vocabulary) -> Vec<Vec<(String, String)>> {
        let elements = self.elements(facts);
        let told = elements.map(|element| told_apart(facts, vocabulary, element));
        told.collect()
    }

    /// The names of its things where it is asked of several, as the survey calls them.
    pub fn things(&self, facts: &Facts, vocabulary: &Vocabulary) -> Vec<String> {
        let elements = self.elements(facts);
        let called = elements.map(|element| called(facts, vocabulary, element));
        called.collect()
    }

    fn elements(&self, facts: &Facts) -> impl Iterator<Item = FactId> {
        let things = self.facts.iter().filter_map(|fact| thing_of(facts, *fact));
        things.map(|(_, element)| element)
    }
}

/// The questions that are due, the next one first. Without a known stage the stage is the only one.
pub fn interview<'p>(
    recorded: &Facts,
    packs: &'p Packs,
    ask: &Ask,
    session: &Session,
) -> Vec<Question<'p>> {
    let vocabulary = &packs.vocabulary;
    let Some(stage) = stage(recorded, packs, ask) else {
        let stage = fact_at(vocabulary, recorded, STAGE).into_iter();
        let questions = stage.map(|fact| question(recorded, vocabulary, &[fact], Asks::Value));
        return questions
            .filter(|question| !session.asked.contains(&question.name))
            .collect();
    };
    let facts = packs.with_figures(recorded);
    let live = live::of(packs, scene(vocabulary, &facts, ask.as_of), stage);
    let mut questions = grouped(&facts, vocabulary, live, session);
    found_before_set(&mut questions, packs);
    in_order(&mut questions, session.after);
    questions
}

/// The paths of the recorded fields that can be in the way at a first look, since a rule that is due then reads
/// them: in the survey, or in the things of a list.
pub fn at_once(packs: &Packs) -> BTreeSet<&str> {
    let vocabulary = &packs.vocabulary;
    let rules = packs.packs.iter().flat_map(|pack| &pack.rules);
    let first = Stage::ALL.into_iter().min();
    let rules = rules.filter(|rule| Some(rule.stage) == first && rule.class != Class::Advisory);
    let fields = rules.flat_map(|rule| rule.reads().fields);
    let paths = fields.filter(|field| matches!(vocabulary.field(*field).shape, Shape::Fact(_)));
    let paths = paths.map(|field| vocabulary.field(field).path.as_str());
    let figures = format!("{}.", Vocabulary::FIGURES);
    paths.filter(|path| !path.starts_with(&figures)).collect()
}

/// A question once more, by the names that it was asked under; without them it is gone from the survey.
pub fn again<'p>(facts: &Facts, packs: &'p Packs, names: &[String]) -> Option<Question<'p>> {
    let vocabulary = &packs.vocabulary;
    let recorded = facts.all().map(|(fact, _)| fact);
    let of: Vec<FactId> = recorded
        .filter(|fact| {
            let names_of = [asks(facts, *fact), Asks::Count];
            let mut named = names_of
                .map(|asks| asked_as(facts, vocabulary, *fact, asks))
                .into_iter();
            !matches!(facts.fact(*fact).content, Content::Group { .. })
                && named.any(|name| names.contains(&name))
        })
        .collect();
    let first = of.first()?;
    let asks = match facts.fact(*first).content {
        Content::List { .. } => Asks::Count,
        _ => Asks::Value,
    };
    Some(question(facts, vocabulary, &of, asks))
}

/// The stage to ask for.
fn stage(facts: &Facts, packs: &Packs, ask: &Ask) -> Option<Stage> {
    ask.stage
        .or_else(|| recorded_stage(scene(&packs.vocabulary, facts, ask.as_of)))
}

/// One question for each fact, and one for all things of a list that lack the same.
fn grouped<'p>(
    facts: &Facts,
    vocabulary: &Vocabulary,
    live: Live<'p>,
    session: &Session,
) -> Vec<Question<'p>> {
    let mut groups: BTreeMap<(FactId, FieldId), Vec<FactId>> = BTreeMap::new();
    for fact in live.keys() {
        let asks = asks(facts, *fact);
        let name = asked_as(facts, vocabulary, *fact, asks);
        if !session.asked.contains(&name) {
            let list = thing_of(facts, *fact).map_or(*fact, |(list, _)| list);
            let field = facts.fact(*fact).field;
            groups.entry((list, field)).or_default().push(*fact);
        }
    }
    let of_group = |(_, of): (_, Vec<FactId>)| {
        let mut question = question(facts, vocabulary, &of, asks(facts, of[0]));
        for one in of.iter().filter_map(|fact| live.get(fact)) {
            question.gain += one.gain;
            for rule in &one.rules {
                if !question.rules.iter().any(|known| known.id == rule.id) {
                    question.rules.push(rule);
                }
            }
        }
        let rules = &mut question.rules;
        rules.sort_by_key(|rule| (rule.class, rule.stage, &rule.id));
        question
    };
    groups.into_iter().map(of_group).collect()
}

fn question<'p>(facts: &Facts, vocabulary: &Vocabulary, of: &[FactId], asks: Asks) -> Question<'p> {
    let first = of[0];
    let field = facts.fact(first).field;
    let name = match of {
        [only] => asked_as(facts, vocabulary, *only, asks),
        _ => vocabulary.field(field).path.clone(),
    };
    Question {
        asks,
        facts: of.to_vec(),
        name,
        field,
        walk: walk(facts, vocabulary, first),
        rules: Vec::new(),
        gain: 0,
    }
}

fn asks(facts: &Facts, fact: FactId) -> Asks {
    let Content::List { listed, extent, .. } = &facts.fact(fact).content else {
        return Asks::Value;
    };
    if extent.most == Some(extent.least) && *listed < extent.least {
        Asks::Names(extent.least - listed)
    } else {
        Asks::Count
    }
}

/// The name of a fact; how many things a list has and what they are called are two questions.
fn asked_as(facts: &Facts, vocabulary: &Vocabulary, fact: FactId, asks: Asks) -> String {
    let name = wetside_base::facts::fact_name(facts, vocabulary, fact);
    match asks {
        Asks::Names(_) => format!("{name}: names"),
        Asks::Count => format!("{name}: count"),
        Asks::Value => name,
    }
}

/// What a thing of a list is told from the others by, as fields with their values: its `id`, or the first that it
/// says, such as when and where something was read.
fn told_apart(facts: &Facts, vocabulary: &Vocabulary, element: FactId) -> Vec<(String, String)> {
    let field = facts.fact(element).field;
    let said = |child: FieldId| {
        let child = vocabulary.field(child);
        let says = match &facts.fact(facts.child(element, child.slot)).content {
            Content::Known(Value::Time(time)) => datetime::told(time, true),
            Content::Known(Value::Text(text)) => one_line(text),
            _ => return None,
        };
        Some((child.name.clone(), says))
    };
    match vocabulary.child(field, "id") {
        Some(id) => said(id).into_iter().collect(),
        None => vocabulary
            .children(field)
            .filter_map(said)
            .take(2)
            .collect(),
    }
}

/// A thing of a list as people are asked about it.
fn called(facts: &Facts, vocabulary: &Vocabulary, element: FactId) -> String {
    let name = element_name(facts, vocabulary, element);
    let says = told_apart(facts, vocabulary, element);
    let says: Vec<&str> = says.iter().map(|(_, says)| says.as_str()).collect();
    match says.as_slice() {
        [] => name,
        [only] if *only == name => name,
        says => format!("{name} ({})", says.join(" ")),
    }
}

fn walk(facts: &Facts, vocabulary: &Vocabulary, fact: FactId) -> Walk {
    let field = facts.fact(fact).field;
    let mut area = field;
    while let Some(above) = vocabulary.field(area).parent
        && above != Vocabulary::ROOT
    {
        area = above;
    }
    Walk {
        place: vocabulary.field(field).place.unwrap_or(u16::MAX),
        area,
        field,
        thing: thing_of(facts, fact).map_or(0, |(list, element)| {
            let first = facts.elements(list).next();
            first.map_or(0, |first| element.0 - first.0)
        }),
    }
}

/// How a thing stood is asked no later than how it is set: once it is moved nobody knows any more.
fn found_before_set(questions: &mut [Question<'_>], packs: &Packs) {
    let moves = packs.packs.iter().filter_map(|pack| pack.moved.as_ref());
    for sort in moves.flat_map(|moves| &moves.sorts) {
        let (Some(found), Some(set)) = (&sort.found, &sort.set) else {
            continue;
        };
        let set = questions.iter().find(|one| one.field == set.field);
        let set = set.map(|one| one.gain);
        let found = questions.iter_mut().find(|one| one.field == found.field);
        if let (Some(found), Some(set)) = (found, set) {
            found.gain = found.gain.max(set);
        }
    }
}

/// What settles most first; then onward from where one stands, and round.
fn in_order(questions: &mut [Question<'_>], after: Option<Walk>) {
    questions.sort_by_key(|question| {
        let opens = question.gain >= OPENER;
        let gain = if opens { question.gain } else { 0 };
        let behind = after.is_some_and(|after| question.walk <= after);
        (!opens, Reverse(gain), behind && !opens, question.walk)
    });
}
