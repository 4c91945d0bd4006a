//! What an outcome rests on: every fact behind it, and those that keep it open.
//!
//! Contract: the grounds of an outcome name every fact that it rests on, so that editing any other
//! line cannot change it. A fact keeps an outcome open where more knowledge of it could change the
//! answer. A figure brings everything that it was worked out from: those are the lines to look at, and
//! those that are open are what keeps it open. The work is that of asking the conditions once more and
//! of walking once through what lies behind their facts. This module must not know words or findings.

use super::judge::{Judged, On, list_guard};
use crate::pack::Rule;
use wetside_base::facts::{ByFact, Content, EachOnce, FactId, Facts, Value, each_once};
use wetside_lang::eval::{Answer, Scene, answer};
use wetside_units::truth::Truth;

/// The facts that an outcome rests on.
pub(super) struct Grounds {
    /// All of them, the demand's first.
    pub facts: Vec<FactId>,
    /// Those that keep it open.
    pub open: Vec<Keeps>,
    /// What the conditions themselves read and found open: recorded facts and figures.
    pub read: Vec<FactId>,
    /// How many facts the conditions read.
    pub asked: usize,
}

/// A fact that keeps an outcome open.
#[derive(Clone, Copy)]
pub(super) struct Keeps {
    pub fact: FactId,
    /// The figure that it stands behind, where no condition reads the fact itself.
    pub figure: Option<FactId>,
}

pub(super) fn grounds(rule: &Rule, scene: Scene<'_>, judged: &Judged) -> Grounds {
    if let On::List(list) = judged.on {
        return list_grounds(rule, scene, list);
    }
    let variables: Vec<FactId> = judged.element.into_iter().collect();
    let ask = |node| answer(node, &scene, &variables);
    let demand = ask(&rule.must.node);
    let guards: Vec<_> = rule.guards().map(ask).collect();
    let open = open_in(guards.iter().chain([&demand]), scene);
    let of_guards = guards.iter().flat_map(|guard| guard.trail.iter().copied());
    let read = demand.trail.iter().copied().chain(of_guards);
    Grounds::behind(scene.facts, read, open)
}

/// What the list itself makes of the rule rests on its extent, on which of the elements are meant,
/// and on the guard.
fn list_grounds(rule: &Rule, scene: Scene<'_>, list: FactId) -> Grounds {
    let each = rule.selection.as_ref().map(|selection| &selection.each);
    let complete = !is_open(scene.facts, list);
    let ask = |node, element| answer(node, &scene, &[element]);
    let filtered = each.and_then(|each| Some((each, each.filter.as_deref()?)));
    let filtered = filtered.into_iter().filter(|_| complete);
    let mut asked: Vec<_> = filtered
        .flat_map(|(each, filter)| {
            each.elements(scene.facts, list)
                .map(move |element| ask(filter, element))
        })
        .collect();
    asked.extend(list_guard(rule).map(|when| ask(when, list)));
    let mut open: Vec<FactId> = [list].into_iter().filter(|_| !complete).collect();
    open.extend(open_in(asked.iter(), scene));
    let of_conditions = asked.iter().flat_map(|answer| answer.trail.iter().copied());
    let read = [list].into_iter().chain(of_conditions);
    Grounds::behind(scene.facts, read, open)
}

/// The facts that keep the undecided ones of some answers open.
fn open_in<'a>(answers: impl Iterator<Item = &'a Answer>, scene: Scene<'_>) -> Vec<FactId> {
    let undecided = answers.filter(|answer| answer.truth == Truth::Undecided);
    let read = undecided.flat_map(|answer| answer.trail.iter().copied());
    read.filter(|fact| is_open(scene.facts, *fact)).collect()
}

impl Grounds {
    /// Everything behind the facts that were read, and behind those of them that are open.
    fn behind(
        facts: &Facts,
        read: impl Iterator<Item = FactId>,
        open: impl IntoIterator<Item = FactId>,
    ) -> Grounds {
        let read = each_once(read);
        let mut all = EachOnce::default();
        for fact in &read {
            add_with_inputs(facts, *fact, &mut all);
        }
        let open_read = each_once(open);
        Grounds {
            facts: all.into_iter().collect(),
            open: behind_open(facts, &open_read),
            read: open_read,
            asked: read.len(),
        }
    }
}

/// A fact, followed by everything that it was worked out from.
fn add_with_inputs(facts: &Facts, id: FactId, all: &mut EachOnce) {
    if all.insert(id) {
        for input in facts.inputs(id) {
            add_with_inputs(facts, *input, all);
        }
    }
}

/// What keeps open facts open: themselves, or of a figure the recorded facts behind it that are open.
/// A figure whose inputs are all exact is its own cause.
pub(super) fn behind_open(facts: &Facts, open: &[FactId]) -> Vec<Keeps> {
    let mut walk = Walk {
        facts,
        seen: EachOnce::default(),
        rests_on_open: ByFact::default(),
        found: Vec::new(),
    };
    for fact in open {
        walk.visit(*fact, *fact);
        if facts.is_worked_out(*fact) && !walk.rests_on_open(*fact) {
            walk.found.push(Keeps {
                fact: *fact,
                figure: None,
            });
        }
    }
    let read: EachOnce = open.iter().copied().collect();
    for keeps in &mut walk.found {
        keeps.figure = keeps.figure.filter(|_| !read.contains(&keeps.fact));
    }
    walk.found
}

/// A walk through what open figures were worked out from, which passes through each fact once.
struct Walk<'a> {
    facts: &'a Facts,
    seen: EachOnce,
    rests_on_open: ByFact<bool>,
    found: Vec<Keeps>,
}

impl Walk<'_> {
    fn visit(&mut self, id: FactId, from: FactId) {
        if !self.seen.insert(id) {
            return;
        }
        if !self.facts.is_worked_out(id) && is_open(self.facts, id) {
            self.found.push(Keeps {
                fact: id,
                figure: (id != from).then_some(from),
            });
        }
        let facts = self.facts;
        for input in facts.inputs(id) {
            self.visit(*input, from);
        }
    }

    fn rests_on_open(&mut self, id: FactId) -> bool {
        let facts = self.facts;
        if !facts.is_worked_out(id) {
            return is_open(facts, id);
        }
        if let Some(known) = self.rests_on_open.get(&id) {
            return *known;
        }
        let inputs = facts.inputs(id);
        let rests = inputs.iter().any(|input| self.rests_on_open(*input));
        self.rests_on_open.insert(id, rests);
        rests
    }
}

/// Whether more could be known of a fact.
pub(crate) fn is_open(facts: &Facts, id: FactId) -> bool {
    match &facts.fact(id).content {
        Content::Open(_) => true,
        Content::Known(Value::Quantity(quantity)) => quantity.range.single().is_none(),
        Content::Known(Value::Time(time)) => time.single().is_none(),
        Content::Known(Value::Set { has, may }) => has != may,
        Content::Known(Value::Word(_) | Value::Text(_)) | Content::Group { .. } => false,
        Content::List { listed, extent, .. } => !extent.is_complete(*listed),
    }
}
