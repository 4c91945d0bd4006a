//! Answers of a survey that contradict each other.
//!
//! Two things make a contradiction: a row of the agreements that surely does not hold, and an answer to what is
//! surely not asked. Both are told once, as a problem of the file at every line that has part in it, and their
//! answers are in doubt: see [`crate::run::Doubt`].
//!
//! A pack tells in the same manner what usually holds. Where that surely does not, the answers are worth another
//! look, and until the survey confirms them their numbers pass no hazard: a digit may be lost or doubled.
//!
//! Contract: only a sure no speaks. Where a fact is open, where ranges touch or a list may hold more, nothing
//! is said. A survey without a contradiction pays for one look at each row and no more. This module must not
//! know what rules make of it.

mod unusual;

pub(crate) use unusual::{Unusual, confirmed_in_vain, pass_no_hazard, unusual};

use crate::gaps::Gates;
use crate::pack::Agreement;
use crate::run::{describe, fact_name};
use std::cmp::Reverse;
use std::collections::BTreeMap;
use wetside_base::facts::{Content, FactId, Facts, Told, Value, Why, each_once};
use wetside_base::finding::Question;
use wetside_base::problem::Problem;
use wetside_base::source::Source;
use wetside_base::vocabulary::{FieldId, Shape, Vocabulary};
use wetside_lang::eval::{Scene, answer, truth};
use wetside_units::Exact;
use wetside_units::truth::Truth;

/// How many answers are named in the sentence of a problem, and in a question.
const NAMED: usize = 3;

/// Answers that cannot all be right.
#[derive(Debug)]
pub struct Contradiction {
    /// Why, as the end of a sentence.
    says: String,
    /// The answers, never none: those to name first come first.
    facts: Vec<FactId>,
}

/// Every contradiction of a survey, in the order of its lines.
pub(crate) fn contradictions(
    agreed: &[Agreement],
    gates: &Gates,
    scene: Scene<'_>,
) -> Vec<Contradiction> {
    let rows = agreed.iter().filter_map(|row| broken(row, &scene));
    let mut all: Vec<Contradiction> = rows.chain(unasked(gates, scene)).collect();
    all.sort_by_key(|one| scene.facts.fact(one.facts[0]).span);
    all
}

/// The contradiction that each doubted answer belongs to.
pub fn doubted(all: &[Contradiction]) -> BTreeMap<FactId, usize> {
    let mut of = BTreeMap::new();
    for (at, one) in all.iter().enumerate() {
        one.facts.iter().for_each(|fact| {
            of.entry(*fact).or_insert(at);
        });
    }
    of
}

/// Opens what is in doubt: of a list, whether it holds more than it names.
pub fn open(facts: &mut Facts, doubted: impl Iterator<Item = FactId>) {
    for id in doubted {
        let mut fact = facts.fact(id).clone();
        match &mut fact.content {
            Content::List { listed, extent, .. } => {
                extent.least = *listed;
                (extent.most, extent.told) = (None, Told::Unknown);
            }
            content @ Content::Known(_) => *content = Content::Open(Why::Unknown(None)),
            Content::Open(_) | Content::Group { .. } => {}
        }
        facts.set(id, fact);
    }
}

/// What a row has against the survey, on all elements together.
fn broken(row: &Agreement, scene: &Scene<'_>) -> Option<Contradiction> {
    let behind: Vec<FactId> = each_broken(row, scene).flatten().collect();
    let mut times: BTreeMap<FactId, usize> = BTreeMap::new();
    for fact in &behind {
        *times.entry(*fact).or_default() += 1;
    }
    // What contradicts most of the others is the likeliest to be wrong, and is named first.
    let mut facts = each_once(behind);
    facts.sort_by_key(|fact| Reverse(times[fact]));
    (!facts.is_empty()).then(|| Contradiction {
        says: row.says.clone(),
        facts,
    })
}

/// The answers behind a row that surely does not hold, of each element apart.
pub(crate) fn each_broken(row: &Agreement, scene: &Scene<'_>) -> impl Iterator<Item = Vec<FactId>> {
    let list = row.selection.iter();
    let list = list.flat_map(move |one| {
        let list = one.each.list.find(scene.facts, |_| Facts::ROOT);
        one.each.elements(scene.facts, list)
    });
    let alone = row.selection.is_none().then(Vec::new);
    let elements = alone.into_iter().chain(list.map(|element| vec![element]));
    let behind = elements.map(move |elements| decided(row, scene, &elements));
    behind.filter(|behind| !behind.is_empty())
}

/// The answers behind a row that surely does not hold of these elements.
fn decided(row: &Agreement, scene: &Scene<'_>, elements: &[FactId]) -> Vec<FactId> {
    let ask = |node| truth(node, scene, elements, &[]);
    if !row.guards().all(|guard| ask(guard) == Truth::Yes) || ask(&row.must.node) != Truth::No {
        return Vec::new();
    }
    let mut behind = Vec::new();
    for node in [&row.must.node].into_iter().chain(row.guards()) {
        let trail = answer(node, scene, elements).trail;
        trail
            .iter()
            .for_each(|fact| recorded(scene.facts, *fact, &mut behind));
    }
    let in_doubt = |fact: &FactId| {
        let field = scene.facts.fact(*fact).field;
        let mut doubts = row.doubts.iter();
        row.doubts.is_empty() || doubts.any(|path| scene.vocabulary.is_within(field, path))
    };
    behind.retain(in_doubt);
    behind
}

/// A fact of the survey itself, or of a figure those that it was worked out from.
fn recorded(facts: &Facts, fact: FactId, behind: &mut Vec<FactId>) {
    if !facts.is_worked_out(fact) {
        behind.push(fact);
    }
    let inputs = facts.inputs(fact).iter();
    inputs.for_each(|input| recorded(facts, *input, behind));
}

/// Answers to what is surely not asked: those that one gate shuts out together.
fn unasked(gates: &Gates, scene: Scene<'_>) -> Vec<Contradiction> {
    let mut by_gate: BTreeMap<&str, Vec<FactId>> = BTreeMap::new();
    for (field, gate) in gates.each() {
        if scene.vocabulary.field(field).true_anyway {
            continue;
        }
        let mut answers = Vec::new();
        if let Some(fact) = fact_of(scene, field) {
            tells(scene, fact, &mut answers);
        }
        if answers.is_empty() {
            continue;
        }
        let shut = answer(gate, &scene, &[]);
        if shut.truth == Truth::No {
            let asked_when = scene.vocabulary.field(field).asked_when.as_deref();
            let together = by_gate.entry(asked_when.unwrap_or_default());
            together.or_insert(shut.trail).extend(answers);
        }
    }
    let contradiction = |(gate, facts)| Contradiction {
        says: format!("what is asked only where `{gate}` was answered all the same"),
        facts,
    };
    by_gate.into_iter().map(contradiction).collect()
}

/// The fact of a field that stands in no list.
fn fact_of(scene: Scene<'_>, field: FieldId) -> Option<FactId> {
    let held = scene.vocabulary.field(field);
    let Some(parent) = held.parent else {
        return Some(Facts::ROOT);
    };
    let is_group = matches!(scene.vocabulary.field(parent).shape, Shape::Group { .. });
    let group = is_group.then(|| fact_of(scene, parent))?;
    Some(scene.facts.child(group?, held.slot))
}

/// The answers at a fact or below it that tell of something: a measure, a day, or a word other than none. People
/// tick yes for *does not apply*, and nought tells of nothing.
fn tells(scene: Scene<'_>, id: FactId, answers: &mut Vec<FactId>) {
    let field = scene.facts.fact(id).field;
    let tells_of_something = match &scene.facts.fact(id).content {
        Content::Group { .. } => {
            let slots = 0..scene.vocabulary.children(field).count();
            let slots = slots.filter_map(|slot| u16::try_from(slot).ok());
            slots.for_each(|slot| tells(scene, scene.facts.child(id, slot), answers));
            false
        }
        Content::Known(Value::Quantity(quantity)) => !quantity.range.contains(Exact::ZERO),
        Content::Known(Value::Word(word)) => {
            let text = scene.vocabulary.word(*word);
            let answered = [Vocabulary::YES, Vocabulary::NO].contains(word);
            !answered && text != "none" && !text.starts_with("not ")
        }
        Content::Known(Value::Set { has, .. }) => *has != 0,
        Content::Known(Value::Time(_)) => true,
        Content::Known(Value::Text(_)) | Content::Open(_) | Content::List { .. } => false,
    };
    if tells_of_something {
        answers.push(id);
    }
}

impl Contradiction {
    /// Why the answers cannot all be right, whatever they are.
    pub fn reason(&self) -> &str {
        &self.says
    }

    /// The contradiction as a problem of the file; `waiting` is how many rules are undecided through it.
    pub fn problem(&self, scene: Scene<'_>, source: &Source, waiting: usize) -> Problem {
        let described = |fact: &FactId| describe(scene, source, *fact);
        let says = self.sentence(scene, source);
        let help = match self.facts.len() {
            1 => "look at this line and mend it; until then it passes nothing",
            2 => "look at both lines and mend the wrong one; until then neither passes anything",
            _ => {
                "look at these lines and mend what is wrong; until then none of them passes anything"
            }
        };
        let waits = match waiting {
            0 => String::new(),
            1 => ", and 1 rule waits for it".to_string(),
            rules => format!(", and {rules} rules wait for it"),
        };
        let place = |fact: FactId| scene.facts.fact(fact).span;
        let problem = Problem::new(
            "contradiction",
            place(self.facts[0]),
            says,
            help.to_string() + &waits,
        );
        let others = self.facts[1..].iter();
        others.fold(problem, |problem, fact| {
            problem.with(place(*fact), described(fact))
        })
    }

    /// The same as one question; `rules` are those that wait for its answer.
    pub fn question(&self, scene: Scene<'_>, rules: Vec<String>) -> Question {
        let names = self.facts.iter().take(NAMED);
        let names: Vec<String> = names.map(|fact| fact_name(scene, *fact)).collect();
        Question {
            fact: self.row(&names),
            of: None,
            asks: format!(
                "Which of these answers is wrong? The reason to ask: {}.",
                self.says
            ),
            answers: String::new(),
            span: scene.facts.fact(self.facts[0]).span,
            rules,
        }
    }

    /// The answers with their values, and why they cannot all be right.
    fn sentence(&self, scene: Scene<'_>, source: &Source) -> String {
        let named = self.facts.iter().take(NAMED);
        let named: Vec<String> = named.map(|fact| describe(scene, source, *fact)).collect();
        format!("{}: {}", self.row(&named), self.says)
    }

    /// Some of the answers in a row, and how many there are beside them.
    fn row(&self, named: &[String]) -> String {
        let more = self.facts.len() - named.len();
        match named {
            [only] => only.clone(),
            [before @ .., last] if more == 0 => format!("{} and {last}", before.join(", ")),
            all => format!("{} and {more} more", all.join(", ")),
        }
    }
}
