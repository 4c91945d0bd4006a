//! One rule and the facts to its outcomes: on the system, on each element of its list, on the list itself.

use crate::pack::Rule;
use wetside_base::facts::{FactId, Facts};
use wetside_base::finding::Outcome;
use wetside_lang::ast::WhenEmpty;
use wetside_lang::cells::cells;
use wetside_lang::eval::{Scene, Supposed, truth};
use wetside_lang::node::Node;
use wetside_lang::readings::readings;
use wetside_units::truth::Truth;

/// The outcome of one rule on one element, or on the survey as a whole.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Judged {
    /// The element; nothing for the survey as a whole, or for elements that are not listed.
    pub element: Option<FactId>,
    pub outcome: Outcome,
    pub on: On,
}

/// What an outcome speaks of.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum On {
    /// The conditions of the rule, on the survey or on an element.
    Conditions,
    /// The rule's list: elements that are not listed, or a list with nothing in it.
    List(FactId),
}

/// Every outcome of one rule, in the order of the list that it selects from.
pub fn judge(rule: &Rule, scene: Scene<'_>) -> Vec<Judged> {
    let mut all = Vec::new();
    judge_each(rule, &scene, &mut |judged| all.push(judged));
    all
}

/// The same, one after another.
pub(super) fn judge_each(rule: &Rule, scene: &Scene<'_>, take: &mut impl FnMut(Judged)) {
    let on_conditions = |element, outcome| Judged {
        element,
        outcome,
        on: On::Conditions,
    };
    let Some(selection) = &rule.selection else {
        return take(on_conditions(None, outcome(rule, scene, &[])));
    };
    let list = selection.each.list.find(scene.facts, |_| Facts::ROOT);
    for element in selection.each.elements(scene.facts, list) {
        take(on_conditions(
            Some(element),
            outcome(rule, scene, &[element]),
        ));
    }
    judge_list(rule, scene, list).into_iter().for_each(take);
}

/// What the list itself makes of the rule: elements that may exist unlisted, or none at all.
fn judge_list(rule: &Rule, scene: &Scene<'_>, list: FactId) -> Option<Judged> {
    let selection = rule.selection.as_ref()?;
    let listed = u32::try_from(scene.facts.elements(list).count()).unwrap_or(u32::MAX);
    let complete = scene
        .facts
        .extent(list)
        .is_some_and(|extent| extent.is_complete(listed));
    let meant = |element: FactId| match &selection.each.filter {
        Some(filter) => truth(filter, scene, &[element], &[]),
        None => Truth::Yes,
    };
    let elements = selection.each.elements(scene.facts, list);
    let outcome = match (complete, selection.when_empty) {
        (false, _) => Outcome::Undecided,
        (true, WhenEmpty::Acceptable) => return None,
        (true, WhenEmpty::Broken) => match Truth::some(elements.map(meant)) {
            Truth::Yes => return None,
            Truth::No => Outcome::Broken,
            Truth::Undecided => Outcome::Undecided,
        },
    };
    let guard = list_guard(rule).map(|when| truth(when, scene, &[list], &[]));
    let outcome = match guard.unwrap_or(Truth::Yes) {
        Truth::No => return None,
        Truth::Yes => outcome,
        Truth::Undecided => Outcome::Undecided,
    };
    Some(Judged {
        element: None,
        outcome,
        on: On::List(list),
    })
}

/// A guard that does not speak of the element: it settles the rule for the unlisted ones as well.
/// It is asked with the list itself in the element's place, where nothing looks at it.
pub(super) fn list_guard(rule: &Rule) -> Option<&Node> {
    let when = rule.when.as_ref().map(|when| &when.node);
    when.filter(|when| !mentions_element(when))
}

/// The outcome of the rule's conditions on one element or on the whole survey.
fn outcome(rule: &Rule, scene: &Scene<'_>, variables: &[FactId]) -> Outcome {
    let (when, plain) = asked(rule, scene, variables, &[]);
    // A demand that is met hides a guard that could be shown to be shut; if it were not, a rule
    // that did not apply could come to be met as more is learnt.
    if plain != Outcome::Undecided && when.is_decided() {
        return plain;
    }
    let readings = readings(rule.guards().chain([&rule.must.node]), *scene, variables);
    match cells(&readings, *scene, &rule.cuts()) {
        Some(cut) => {
            Outcome::certain(Trials::new(&cut).map(|cell| tried(rule, scene, variables, &cell)))
        }
        None => plain,
    }
}

/// The outcome when something is supposed of the open facts.
pub(super) fn tried(
    rule: &Rule,
    scene: &Scene<'_>,
    variables: &[FactId],
    supposed: &[(FactId, Supposed)],
) -> Outcome {
    asked(rule, scene, variables, supposed).1
}

/// Whether the rule applies, and the outcome.
fn asked(
    rule: &Rule,
    scene: &Scene<'_>,
    variables: &[FactId],
    supposed: &[(FactId, Supposed)],
) -> (Truth, Outcome) {
    let ask = |node| truth(node, scene, variables, supposed);
    let when = Truth::every(rule.guards().map(ask));
    match when {
        Truth::No => (when, Outcome::NotApplicable),
        _ => (when, Outcome::of(when, ask(&rule.must.node))),
    }
}

/// Every combination of one cell for each fact.
struct Trials<'a> {
    cut: &'a [(FactId, Vec<Supposed>)],
    next: Option<Vec<usize>>,
}

impl<'a> Trials<'a> {
    fn new(cut: &'a [(FactId, Vec<Supposed>)]) -> Trials<'a> {
        Trials {
            cut,
            next: Some(vec![0; cut.len()]),
        }
    }
}

impl Iterator for Trials<'_> {
    type Item = Vec<(FactId, Supposed)>;

    fn next(&mut self) -> Option<Self::Item> {
        let at = self.next.take()?;
        let trial = self
            .cut
            .iter()
            .zip(&at)
            .map(|((fact, cells), at)| (*fact, cells[*at].clone()));
        let trial = trial.collect();
        let mut following = at;
        for (place, (_, cells)) in following.iter_mut().zip(self.cut) {
            *place += 1;
            if *place < cells.len() {
                self.next = Some(following);
                break;
            }
            *place = 0;
        }
        Some(trial)
    }
}

fn mentions_element(node: &Node) -> bool {
    let mut found = false;
    node.visit_routes(&mut |route| found |= route.variable == Some(0));
    found
}
