//! What an outcome rests on: its lines, its causes, and what would settle it.
//!
//! Contract: a finding names every fact that its outcome rests on, so that editing any other line
//! cannot change it. A fact is a cause where more knowledge of it could change the answer. A figure
//! brings everything that it was worked out from: those are the lines to look at, and those that are
//! open are what keeps it open.

use super::phrase::{describe, element_name, fact_name, fact_value, fill};
use super::{Judged, On, Waiting, list_guard, tried};
use crate::pack::{LimitEntry, Pack, Rule, Words};
use wetside_base::facts::{Content, EachOnce, FactId, Facts, Told, Value, Why, each_once};
use wetside_base::finding::{Cause, CauseKind, Finding, Outcome};
use wetside_base::problem::Label;
use wetside_base::source::Source;
use wetside_lang::cells::cells_of;
use wetside_lang::eval::{Answer, Noting, Scene, answer};
use wetside_lang::node::Route;
use wetside_units::truth::Truth;

/// The facts that an outcome rests on.
struct Grounds {
    /// All of them, the demand's first.
    facts: Vec<FactId>,
    /// Those that keep it open.
    open: Vec<FactId>,
    /// What the conditions themselves read and found open: recorded facts and figures.
    read: Vec<FactId>,
}

fn grounds(rule: &Rule, scene: Scene<'_>, judged: &Judged) -> Grounds {
    if let On::List(list) = judged.on {
        return list_grounds(rule, scene, list);
    }
    let variables: Vec<FactId> = judged.element.into_iter().collect();
    let ask = |node| answer(node, scene, &variables, &[], Noting::Grounds);
    let demand = ask(&rule.must.node);
    let guards: Vec<_> = rule.guards().map(ask).collect();
    let mut read = demand.trail.clone();
    read.extend(guards.iter().flat_map(|guard| guard.trail.iter().copied()));
    let open = open_in(guards.iter().chain([&demand]), scene);
    Grounds::behind(scene.facts, &read, &open)
}

/// What the list itself makes of the rule rests on its extent, on which of the elements are meant,
/// and on the guard.
fn list_grounds(rule: &Rule, scene: Scene<'_>, list: FactId) -> Grounds {
    let filter = rule
        .selection
        .as_ref()
        .and_then(|selection| selection.each.filter.as_deref());
    let complete = !is_open(scene.facts, list);
    let ask = |node, element| answer(node, scene, &[element], &[], Noting::Grounds);
    let elements = scene.facts.elements(list).filter(|_| complete);
    let mut asked: Vec<_> = elements
        .filter_map(|element| filter.map(|filter| ask(filter, element)))
        .collect();
    asked.extend(list_guard(rule).map(|when| ask(when, list)));
    let of_conditions = asked.iter().flat_map(|answer| answer.trail.iter().copied());
    let read: Vec<FactId> = [list].into_iter().chain(of_conditions).collect();
    let mut open: Vec<FactId> = [list].into_iter().filter(|_| !complete).collect();
    open.extend(open_in(asked.iter(), scene));
    Grounds::behind(scene.facts, &read, &open)
}

/// The facts that keep the undecided ones of some answers open.
fn open_in<'a>(answers: impl Iterator<Item = &'a Answer>, scene: Scene<'_>) -> Vec<FactId> {
    let undecided = answers.filter(|answer| answer.truth == Truth::Undecided);
    let read = undecided.flat_map(|answer| answer.trail.iter().copied());
    read.filter(|fact| is_open(scene.facts, *fact)).collect()
}

impl Grounds {
    /// Everything behind the facts that were read, and behind those of them that are open.
    fn behind(facts: &Facts, read: &[FactId], open: &[FactId]) -> Grounds {
        let open = each_once(open.iter().copied());
        let behind: Vec<FactId> = open
            .iter()
            .flat_map(|fact| open_behind(facts, *fact))
            .collect();
        Grounds {
            facts: with_inputs(facts, &each_once(read.iter().copied())),
            open: each_once(behind),
            read: open,
        }
    }
}

/// The facts, each followed by everything that it was worked out from.
fn with_inputs(facts: &Facts, of: &[FactId]) -> Vec<FactId> {
    fn add(facts: &Facts, id: FactId, all: &mut EachOnce) {
        if all.push(id) {
            for input in facts.inputs(id) {
                add(facts, *input, all);
            }
        }
    }
    let mut all = EachOnce::default();
    for id in of {
        add(facts, *id, &mut all);
    }
    all.into_vec()
}

/// What keeps an open fact open: itself, or of a figure the recorded facts behind it that are open.
/// A figure whose inputs are all exact is its own cause.
fn open_behind(facts: &Facts, id: FactId) -> Vec<FactId> {
    let behind: Vec<FactId> = with_inputs(facts, &[id])
        .into_iter()
        .filter(|input| !facts.is_worked_out(*input) && is_open(facts, *input))
        .collect();
    if behind.is_empty() { vec![id] } else { behind }
}

/// Whether more could be known of a fact.
fn is_open(facts: &Facts, id: FactId) -> bool {
    match &facts.fact(id).content {
        Content::Open(_) => true,
        Content::Known(Value::Quantity(quantity)) => quantity.range.single().is_none(),
        Content::Known(Value::Date(days)) => days.single().is_none(),
        Content::Known(Value::Set { has, may }) => has != may,
        Content::Known(Value::Word(_) | Value::Text(_)) | Content::Group { .. } => false,
        Content::List { listed, extent, .. } => !extent.is_complete(*listed),
    }
}

/// A broken or undecided outcome with its words and lines.
pub(super) fn finding(
    pack: &Pack,
    rule: &Rule,
    scene: Scene<'_>,
    source: &Source,
    judged: &Judged,
) -> Finding {
    let grounds = grounds(rule, scene, judged);
    let words = &rule.words;
    let variables: Vec<FactId> = judged.element.into_iter().collect();
    let undecided = judged.outcome == Outcome::Undecided;
    let causes: Vec<Cause> = match undecided {
        true => grounds
            .open
            .iter()
            .map(|fact| cause(scene, source, *fact, &grounds.read))
            .collect(),
        false => Vec::new(),
    };
    let first = first_fact(rule, scene, judged, &grounds);
    let place = first.map_or(source.line_span(1), |fact| scene.facts.fact(fact).span);
    let label = |fact: FactId| Label {
        span: scene.facts.fact(fact).span,
        words: describe(scene, source, fact),
    };
    let others = grounds.facts.iter().filter(|fact| Some(**fact) != first);
    let element = judged.element.map(|element| element_name(scene, element));
    Finding {
        rule: rule.id.clone(),
        pack: pack.name.clone(),
        pack_lines: pack.lines_behind(rule),
        title: words.title.clone(),
        class: rule.class,
        stage: rule.stage,
        outcome: judged.outcome,
        element,
        says: says(words, &pack.limits, scene, source, judged, &causes),
        remedy: fill(&words.remedy, &pack.limits, scene, source, &variables),
        because: words.because.clone(),
        source: words.citation.clone(),
        caution: words.caution.clone(),
        place,
        place_words: first.map_or(String::new(), |fact| describe(scene, source, fact)),
        lines: others.map(|fact| label(*fact)).collect(),
        causes,
    }
}

fn says(
    words: &Words,
    limits: &[LimitEntry],
    scene: Scene<'_>,
    source: &Source,
    judged: &Judged,
    causes: &[Cause],
) -> String {
    let variables: Vec<FactId> = judged.element.into_iter().collect();
    match (judged.outcome, judged.on) {
        (Outcome::Broken, On::Conditions) => fill(&words.says, limits, scene, source, &variables),
        (Outcome::Broken, On::List(list)) => {
            format!(
                "`{}` lists none of the things that this rule asks for",
                fact_name(scene, list)
            )
        }
        _ if causes.is_empty() => {
            "cannot be told: the arithmetic of this rule has no result here".to_string()
        }
        _ => {
            let causes: Vec<String> = causes.iter().map(Cause::words).collect();
            format!("cannot be told: {}", causes.join("; "))
        }
    }
}

/// The fact whose line is shown first: of an undecided outcome always one that keeps it open.
fn first_fact(rule: &Rule, scene: Scene<'_>, judged: &Judged, grounds: &Grounds) -> Option<FactId> {
    let pointed = rule
        .point_at
        .as_ref()
        .and_then(|route| pointed(scene, route, judged.element));
    let undecided = judged.outcome == Outcome::Undecided;
    match undecided && !grounds.open.is_empty() {
        true => pointed
            .filter(|fact| grounds.open.contains(fact))
            .or(grounds.open.first().copied()),
        false => match judged.on {
            On::List(list) => Some(list),
            On::Conditions => {
                let within =
                    pointed.and_then(|list| first_within(scene.facts, list, &grounds.facts));
                within.or(pointed).or(grounds.facts.first().copied())
            }
        },
    }
}

/// Of a list that a rule points at, the line of the element that broke it; nothing where the list as a
/// whole did, by what it lacks.
fn first_within(facts: &Facts, list: FactId, grounds: &[FactId]) -> Option<FactId> {
    let inside = |fact: &&FactId| {
        let mut at = **fact;
        while at != Facts::ROOT {
            at = facts.fact(at).parent;
            if at == list {
                return true;
            }
        }
        false
    };
    match facts.fact(list).content {
        Content::List { .. } if !grounds.contains(&list) => grounds.iter().find(inside).copied(),
        _ => None,
    }
}

fn pointed(scene: Scene<'_>, route: &Route, element: Option<FactId>) -> Option<FactId> {
    let start = match route.variable {
        Some(_) => element?,
        None => Facts::ROOT,
    };
    Some(
        route
            .slots
            .iter()
            .fold(start, |fact, slot| scene.facts.child(fact, *slot)),
    )
}

fn cause(scene: Scene<'_>, source: &Source, id: FactId, read: &[FactId]) -> Cause {
    let fact = scene.facts.fact(id);
    let why = match &fact.content {
        Content::Open(Why::NotRecorded) => CauseKind::NotRecorded,
        Content::Open(Why::Unknown(reason)) => CauseKind::Unknown(reason.clone()),
        Content::Open(Why::Malformed) => CauseKind::Malformed,
        Content::Open(Why::NotWorkedOut(reason)) => CauseKind::NotWorkedOut(reason.clone()),
        Content::List { extent, .. } => match extent.told {
            Told::NotRecorded => CauseKind::NotRecorded,
            Told::Unknown => CauseKind::Unknown(None),
            Told::Malformed => CauseKind::Malformed,
            Told::Count | Told::NotStated => CauseKind::ListOpen,
        },
        Content::Known(_) | Content::Group { .. } => {
            let written = fact_value(scene, source, id);
            // A reading that no condition read stands behind a figure that one did.
            let figure = read.iter().find(|figure| {
                !read.contains(&id) && with_inputs(scene.facts, &[**figure]).contains(&id)
            });
            match figure {
                Some(figure) => CauseKind::RangeBehind {
                    written,
                    figure: fact_name(scene, *figure),
                },
                None => CauseKind::Range(written),
            }
        }
    };
    Cause {
        fact: fact_name(scene, id),
        why,
        span: fact.span,
    }
}

/// A fact to ask for, and the waiting rules that it may settle.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Asked {
    pub fact: FactId,
    /// Places among the waiting rules.
    pub settles: Vec<usize>,
}

/// The fewest facts whose answers could settle every waiting rule.
///
/// For each rule it is tried which single fact could settle it with some answer; a rule that no
/// single answer settles needs all that keep it open. Then the fact that serves most rules is taken,
/// then the next, until every rule is served. Ties go to the earlier line.
pub fn questions(packs: &[Pack], waiting: &[Waiting], scene: Scene<'_>) -> Vec<Asked> {
    let wants: Vec<Vec<FactId>> = waiting
        .iter()
        .map(|waiting| {
            let pack = &packs[waiting.pack];
            let scene = Scene {
                tables: &pack.tables,
                ..scene
            };
            wanted(&pack.rules[waiting.rule], scene, &waiting.judged)
        })
        .collect();
    let mut open: Vec<usize> = (0..wants.len())
        .filter(|at| !wants[*at].is_empty())
        .collect();
    let mut questions = Vec::new();
    while !open.is_empty() {
        let mut offers: Vec<FactId> = open
            .iter()
            .flat_map(|at| wants[*at].iter().copied())
            .collect();
        offers.sort();
        offers.dedup();
        let serves = |fact: &FactId| open.iter().filter(|at| wants[**at].contains(fact)).count();
        let place = |fact: &FactId| std::cmp::Reverse((scene.facts.fact(*fact).span, *fact));
        let Some(best) = offers
            .into_iter()
            .max_by_key(|fact| (serves(fact), place(fact)))
        else {
            break;
        };
        let (settled, rest): (Vec<usize>, Vec<usize>) =
            open.iter().partition(|at| wants[**at].contains(&best));
        questions.push(Asked {
            fact: best,
            settles: settled,
        });
        open = rest;
    }
    questions
}

/// The facts one of which could settle the rule; all that keep it open where no single one could.
fn wanted(rule: &Rule, scene: Scene<'_>, judged: &Judged) -> Vec<FactId> {
    let Grounds { open, read, .. } = grounds(rule, scene, judged);
    if let On::List(_) = judged.on {
        return open;
    }
    let variables: Vec<FactId> = judged.element.into_iter().collect();
    let settles = |fact: &&FactId| {
        let cells = cells_of(**fact, scene, &rule.cuts());
        cells.into_iter().any(|cell| {
            let outcome = tried(rule, scene, &variables, &[(**fact, cell)]);
            matches!(outcome, Outcome::Met | Outcome::NotApplicable)
        })
    };
    let single = read.iter().filter(settles);
    let single: Vec<FactId> = single
        .flat_map(|fact| open_behind(scene.facts, *fact))
        .collect();
    let single = each_once(single);
    if single.is_empty() { open } else { single }
}
