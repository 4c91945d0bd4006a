//! What hardly any system gives by a pack, and what of it a survey confirms.
//!
//! Contract: each row speaks once, of all its things together, but of what is confirmed apart. Only numbers keep
//! hazards open: a digit is lost or doubled, a word is chosen.

use super::{Contradiction, each_broken};
use crate::pack::Pack;
use crate::run::{fact_at, fact_name};
use std::collections::{BTreeMap, BTreeSet};
use wetside_base::facts::{FactId, Facts, each_once, one_line};
use wetside_base::finding::{Question, Unlikely};
use wetside_base::problem::Problem;
use wetside_base::source::Source;
use wetside_base::suggest;
use wetside_lang::eval::Scene;

/// What usually holds and here surely does not.
#[derive(Debug)]
pub(crate) struct Unusual {
    answers: Contradiction,
    /// Why it is so all the same, in the words of the survey.
    confirmed: Option<String>,
}

/// What of a survey usually is otherwise, in the order of the lines: what one row has against several things
/// together, but what is confirmed apart.
pub(crate) fn unusual(packs: &[Pack], scene: Scene<'_>) -> Vec<Unusual> {
    let confirmed = confirmed(scene);
    let mut all = Vec::new();
    let rows = packs
        .iter()
        .flat_map(|pack| pack.usual.iter().map(move |row| (pack, row)));
    for (pack, row) in rows {
        let scene = scene.with(&pack.tables);
        let mut alike: BTreeMap<Option<String>, Vec<FactId>> = BTreeMap::new();
        for facts in each_broken(row, &scene) {
            let reason = facts.iter().find_map(|fact| {
                let field = &scene.vocabulary.field(scene.facts.fact(*fact).field).path;
                let of_thing = confirmed.get(&fact_name(scene, *fact));
                of_thing.or_else(|| confirmed.get(field)).cloned()
            });
            alike.entry(reason).or_default().extend(facts);
        }
        all.extend(alike.into_iter().map(|(confirmed, facts)| Unusual {
            answers: Contradiction {
                says: row.says.clone(),
                facts: each_once(facts),
            },
            confirmed,
        }));
    }
    all.sort_by(|a, b| {
        let key = |one: &Unusual| scene.facts.fact(one.answers.facts[0]).span;
        (key(a), a.answers.reason()).cmp(&(key(b), b.answers.reason()))
    });
    all
}

impl Unusual {
    /// The same in words, with the hazards that wait for it.
    pub(crate) fn told(&self, scene: Scene<'_>, source: &Source, hazards: Vec<String>) -> Unlikely {
        Unlikely {
            fact: self.name(scene),
            says: self.answers.sentence(scene, source),
            span: scene.facts.fact(self.answers.facts[0]).span,
            confirmed: self.confirmed.clone(),
            hazards,
        }
    }

    /// The same as one question, where hazards wait for its answer.
    pub(crate) fn question(
        &self,
        scene: Scene<'_>,
        source: &Source,
        rules: Vec<String>,
    ) -> Question {
        Question {
            asks:
                "Is that right? Hardly any system has it so, and a digit is soon lost or doubled."
                    .to_string(),
            answers: format!(
                "{}; mend it, or write `confirmed {} because` and the reason as a note",
                self.answers.sentence(scene, source),
                self.name(scene)
            ),
            ..self.answers.question(scene, rules)
        }
    }

    /// What a survey confirms it by: the answer, the first of several, or the field that several things have it in.
    fn name(&self, scene: Scene<'_>) -> String {
        let field_of = |fact: &FactId| scene.facts.fact(*fact).field;
        let [first, others @ ..] = self.answers.facts.as_slice() else {
            return String::new();
        };
        let same = |fact: &FactId| field_of(fact) == field_of(first);
        if !others.is_empty() && others.iter().all(same) {
            return scene.vocabulary.field(field_of(first)).path.clone();
        }
        fact_name(scene, *first)
    }

    /// The numbers that pass no hazard.
    fn numbers(&self, facts: &Facts) -> impl Iterator<Item = FactId> {
        let all = self.answers.facts.iter().copied();
        all.filter(|fact| self.confirmed.is_none() && facts.quantity(*fact).is_some())
    }
}

/// The answers that pass no hazard, each with its place among the contradictions, or behind these among what is
/// unusual.
pub(crate) fn pass_no_hazard(
    doubted: &BTreeMap<FactId, usize>,
    contradictions: usize,
    unusual: &[Unusual],
    facts: &Facts,
) -> BTreeMap<FactId, usize> {
    let mut of = doubted.clone();
    for (at, one) in (contradictions..).zip(unusual) {
        for fact in one.numbers(facts) {
            of.entry(fact).or_insert(at);
        }
    }
    of
}

/// What the survey confirms, with the reasons: what is named in its list of that name.
fn confirmed(scene: Scene<'_>) -> BTreeMap<String, String> {
    let entries = confirmations(scene).into_iter();
    entries
        .filter_map(|[id, because]| Some((text(scene, id?)?, text(scene, because?)?)))
        .collect()
}

/// What is confirmed and stands nowhere: a slip in the name would go on asking without a word.
pub(crate) fn confirmed_in_vain(scene: Scene<'_>) -> Vec<Problem> {
    let entries = confirmations(scene);
    if entries.is_empty() {
        return Vec::new();
    }
    let facts = scene.facts.all().map(|(fact, _)| fact_name(scene, fact));
    let fields = scene
        .vocabulary
        .fields()
        .map(|(_, field)| field.path.clone());
    let names: BTreeSet<String> = facts.chain(fields).collect();
    let mut problems = Vec::new();
    for fact in entries.into_iter().filter_map(|[id, _]| id) {
        if let Some(name) = text(scene, fact).filter(|name| !names.contains(name)) {
            let says = format!("`{name}` is confirmed, and no answer goes by that name");
            let otherwise = "name the answer as the report names it";
            let help = suggest::help(&name, names.iter().map(String::as_str), otherwise);
            problems.push(Problem::new(
                "confirmed-in-vain",
                scene.facts.fact(fact).span,
                says,
                help,
            ));
        }
    }
    problems
}

/// Of each entry of that list the answer and the reason.
fn confirmations(scene: Scene<'_>) -> Vec<[Option<FactId>; 2]> {
    let list = fact_at(scene.vocabulary, scene.facts, "confirmed");
    let entries = list.into_iter().flat_map(|list| scene.facts.elements(list));
    let of = |entry, name| {
        let field = scene
            .vocabulary
            .child(scene.facts.fact(entry).field, name)?;
        Some(scene.facts.child(entry, scene.vocabulary.field(field).slot))
    };
    entries
        .map(|entry| ["id", "because"].map(|name| of(entry, name)))
        .collect()
}

fn text(scene: Scene<'_>, fact: FactId) -> Option<String> {
    scene.facts.text(fact).map(one_line)
}
