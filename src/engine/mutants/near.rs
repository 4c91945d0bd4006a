//! Cases that would notice a mutant, looked for around the rule's own.
//!
//! Contract: one fact of a case is changed at a time: to each word of its field, to where a comparison
//! turns, and to a hair on either side of that; a list gets one thing more, or none. The same rule and
//! cases give the same proposals. A rule is not searched further than a fixed count of surveys.

use super::tree::{
    Steps, any_of, at, flow, inline, items, list_of, longer, put, scalar, word_list,
};
use super::{Bench, Missed, Proposal, Staged};
use crate::cases::{self, ANY_OF, Case, worst};
use crate::run::{Judged, element_name, judge};
use std::collections::HashSet;
use wetside_base::facts::Facts;
use wetside_base::finding::Outcome;
use wetside_base::source::Source;
use wetside_base::vocabulary::{FieldId, Shape, Type, Vocabulary, WordId};
use wetside_document::Node;
use wetside_lang::eval::Scene;
use wetside_units::Date;

/// The most surveys that are read for one rule.
const BUDGET: usize = 3_000;

/// A survey near a case: the case, perhaps with a thing more in a list, with one value changed.
struct Neighbour {
    base: Node,
    steps: Steps,
    value: Node,
}

/// Neighbours of one case that differ in the same value, have one outcome, and notice something.
struct Found {
    case: Case,
    base: Node,
    steps: Steps,
    values: Vec<Node>,
    then: String,
    notices: Vec<usize>,
}

impl Bench<'_> {
    pub(super) fn near(&self, missed: &[Missed]) -> Vec<Proposal> {
        let mut all: Vec<Found> = Vec::new();
        let mut seen = HashSet::new();
        let cases = if missed.is_empty() {
            Vec::new()
        } else {
            self.staged()
        };
        for staged in cases {
            for Neighbour { base, steps, value } in self.neighbours(&staged) {
                let mut given = base.clone();
                put(&mut given, &steps, value.clone());
                if seen.len() < BUDGET && seen.insert(flow(&given)) {
                    let noticed = self.noticed(&given, staged.case.as_of, missed);
                    all.extend(noticed.map(|(then, notices)| Found {
                        case: staged.case.clone(),
                        base,
                        steps,
                        values: vec![value],
                        then,
                        notices,
                    }));
                }
            }
        }
        let mut taken: HashSet<String> = (cases::of(self.rule).into_iter())
            .map(|case| case.name)
            .collect();
        let proposal = |found: Found| Proposal {
            line: found.line(&mut taken),
            notices: found.notices,
        };
        few(all).into_iter().map(proposal).collect()
    }

    pub(super) fn facts(&self, given: &Node) -> Option<Facts> {
        // The reader looks at the text too, so the changed survey gets one.
        let source = Source::new("", flow(given));
        let given = wetside_document::read(&source).root;
        let (facts, problems) = cases::facts_of(&source, &given, self.vocabulary, &self.wanted());
        problems.is_empty().then_some(facts)
    }

    /// What the rule gives for a survey, and which of what is missed give something else.
    fn noticed(
        &self,
        given: &Node,
        as_of: Option<Date>,
        missed: &[Missed],
    ) -> Option<(String, Vec<usize>)> {
        let facts = self.facts(given)?;
        let scene = self.scene(&facts, as_of);
        let own = judge(self.rule, scene);
        let others = missed.iter().map(|missed| judge(&missed.rule, scene));
        let others: Vec<_> = others.collect();
        let those = |differs: &dyn Fn(&[Judged]) -> bool| -> Vec<usize> {
            let all = others.iter().enumerate();
            let all = all.filter(|(_, other)| differs(other));
            all.map(|(at, _)| at).collect()
        };
        let of_whole = those(&|other| worst(other) != worst(&own));
        let of_each = those(&|other| {
            worst(other) != worst(&own) || by_name(other, scene) != by_name(&own, scene)
        });
        if of_each.is_empty() {
            return None;
        }
        if of_whole.len() == of_each.len() {
            return Some((worst(&own).to_string(), of_whole));
        }
        let each = by_name(&own, scene).into_iter();
        let each = each.map(|(name, outcome)| format!("{}: {outcome}", inline(&name)));
        Some((
            format!("{{{}}}", each.collect::<Vec<_>>().join(", ")),
            of_each,
        ))
    }

    fn neighbours(&self, staged: &Staged) -> Vec<Neighbour> {
        let given = &staged.given;
        let fields = self.recorded(staged);
        let mut lists: Vec<FieldId> = fields
            .iter()
            .flat_map(|field| self.lists_above(*field))
            .collect();
        lists.dedup();
        let mut all = Vec::new();
        let mut bases = vec![given.clone()];
        for steps in lists.iter().flat_map(|list| self.ways(*list, given)) {
            for value in [longer(given, &steps), Some(list_of(Vec::new(), given))]
                .into_iter()
                .flatten()
            {
                let mut longer = given.clone();
                put(&mut longer, &steps, value.clone());
                bases.push(longer);
                all.push(Neighbour {
                    base: given.clone(),
                    steps: steps.clone(),
                    value,
                });
            }
        }
        for base in bases {
            for field in &fields {
                for steps in self.ways(*field, &base) {
                    let values = self
                        .values(*field, &steps, &base, staged.case.as_of)
                        .into_iter();
                    all.extend(values.map(|value| Neighbour {
                        base: base.clone(),
                        steps: steps.clone(),
                        value,
                    }));
                }
            }
        }
        all
    }

    /// The fields that a survey records and the rule's outcomes come from.
    fn recorded(&self, Staged { case, facts, .. }: &Staged) -> Vec<FieldId> {
        let read = self.rule.reads().fields;
        let own = facts.all().filter(|(_, fact)| read.contains(&fact.field));
        let behind = facts.with_inputs(own.map(|(id, _)| id)).into_iter();
        let mut fields: Vec<FieldId> = behind.map(|id| facts.fact(id).field).collect();
        fields.extend(read);
        let scene = self.scene(facts, case.as_of);
        fields.extend(scene.as_of_fact.map(|fact| facts.fact(fact).field));
        fields.sort_unstable();
        fields.dedup();
        let figures = format!("{}.", Vocabulary::FIGURES);
        fields.retain(|field| {
            let field = self.vocabulary.field(*field);
            matches!(field.shape, Shape::Fact(_))
                && !field.path.starts_with(&figures)
                && field.name != "id"
        });
        fields
    }

    /// The fields from the survey down to this one.
    fn line(&self, field: FieldId) -> Vec<FieldId> {
        let mut line = vec![field];
        while let Some(parent) = self.vocabulary.field(line[line.len() - 1]).parent {
            line.push(parent);
        }
        line.pop();
        line.reverse();
        line
    }

    fn lists_above(&self, field: FieldId) -> Vec<FieldId> {
        let line = self.line(field).into_iter();
        line.filter(|field| matches!(self.vocabulary.field(*field).shape, Shape::List { .. }))
            .collect()
    }

    /// Every way to a field in a survey, one through each thing that is listed.
    fn ways(&self, field: FieldId, given: &Node) -> Vec<Steps> {
        let mut ways = vec![Steps::new()];
        for field in self.line(field) {
            let field = self.vocabulary.field(field);
            let of_list = field.parent.is_some_and(|parent| {
                matches!(self.vocabulary.field(parent).shape, Shape::List { .. })
            });
            let is_element = of_list && !matches!(field.shape, Shape::List { .. });
            ways = ways
                .into_iter()
                .flat_map(|way| {
                    if !is_element {
                        return vec![[way, vec![field.name.clone()]].concat()];
                    }
                    let listed = at(given, &way).map_or(0, |list| items(list).len());
                    let inside = at(given, &way).is_some_and(|list| list.get("items").is_some());
                    let inside: &[String] = if inside { &["items".to_string()] } else { &[] };
                    (0..listed)
                        .map(|item| [way.as_slice(), inside, &[item.to_string()]].concat())
                        .collect()
                })
                .collect();
        }
        ways
    }

    /// What a field may be changed to.
    fn values(
        &self,
        field: FieldId,
        steps: &Steps,
        given: &Node,
        as_of: Option<Date>,
    ) -> Vec<Node> {
        let word = |word: &WordId| scalar(self.vocabulary.word(*word), given);
        match &self.vocabulary.field(field).shape {
            Shape::Fact(Type::Choice(words)) => words.iter().map(word).collect(),
            Shape::Fact(Type::Set(words)) => {
                let held = at(given, steps).map_or(&[][..], Node::items);
                let change = |id: &WordId| {
                    let word = word(id);
                    let mut set = held.to_vec();
                    set.retain(|held| held.as_text() != word.as_text());
                    if set.len() == held.len() {
                        set.push(word.clone());
                    }
                    [set, vec![word]].map(|set| word_list(set, given))
                };
                words.iter().flat_map(change).collect()
            }
            _ => {
                let around = self.turns(field, steps, given, as_of).into_iter();
                around.map(|text| scalar(&text, given)).collect()
            }
        }
    }
}

/// The outcome of each thing that has a name.
fn by_name(judged: &[Judged], scene: Scene<'_>) -> Vec<(String, Outcome)> {
    let named = judged.iter().filter_map(|judged| {
        Some((
            element_name(scene, judged.element?).to_string(),
            judged.outcome,
        ))
    });
    named.collect()
}

impl Found {
    /// The line to paste, its name a first draft that no other case has.
    fn line(&self, taken: &mut HashSet<String>) -> String {
        let value = match self.values.as_slice() {
            [only] => only.clone(),
            several => any_of(ANY_OF, several),
        };
        let mut given = self.base.clone();
        put(&mut given, &self.steps, value);
        let of = self
            .steps
            .last()
            .map_or(String::new(), |step| step.replace('_', " "));
        let mut name = match self.values.as_slice() {
            [only] if only.as_text().is_some() => {
                format!("{}, but {of} {}", self.case.name, flow(only))
            }
            _ => format!("{}, but another {of}", self.case.name),
        };
        if taken.contains(&name) {
            name = format!("{name}, and so {}", self.then);
        }
        while !taken.insert(name.clone()) {
            name += ", again";
        }
        let as_of = self
            .case
            .as_of
            .map_or(String::new(), |day| format!(", as_of: {day}"));
        format!(
            "  - {{name: {}, given: {}{as_of}, then: {}}}",
            inline(&name),
            flow(&given),
            self.then
        )
    }
}

/// As few as notice all that any of them notices, the most telling first; those alike joined to one.
fn few(mut all: Vec<Found>) -> Vec<Found> {
    let mut chosen: Vec<Found> = Vec::new();
    loop {
        all.retain(|found| !found.notices.is_empty());
        let most = all
            .iter()
            .enumerate()
            .rev()
            .max_by_key(|(_, found)| found.notices.len());
        let Some((at, _)) = most else {
            return chosen;
        };
        let best = all.remove(at);
        for other in &mut all {
            other.notices.retain(|at| !best.notices.contains(at));
        }
        let alike = |found: &&mut Found| {
            (&found.case.name, &found.steps, &found.then)
                == (&best.case.name, &best.steps, &best.then)
                && found.base == best.base
        };
        match chosen.iter_mut().find(alike) {
            Some(found) => {
                found.values.extend(best.values);
                found.notices.extend(best.notices);
            }
            None => chosen.push(best),
        }
    }
}
