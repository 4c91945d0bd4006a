//! The outcomes of one rule that are worth telling, as one finding with its words and lines.
//!
//! Contract: words are made for what is told, and for nothing else. A rule that has something against
//! every element of a long list is told of the first [`IN_FULL`] of them, and names the next; lines and
//! reasons are told up to a number for the whole finding. All the rest is counted, so that a report
//! grows neither with the square of a survey nor past what anybody reads.

use super::grounds::{Grounds, Keeps, grounds};
use super::judge::{Judged, On};
use super::phrase::{describe, element_name, fact_name, fact_value, fill};
use super::questions::Waiting;
use super::scene::fact_at;
use crate::pack::{Cited, Pack, Rule};
use std::cell::RefCell;
use wetside_base::facts::{ByFact, Content, FactId, Facts, Told, Value, Why};
use wetside_base::finding::{self, Cause, CauseKind, Citation, Finding, Outcome, Stage};
use wetside_base::problem::Label;
use wetside_base::source::Source;
use wetside_lang::eval::Scene;
use wetside_lang::node::Route;
use wetside_units::truth::Truth;
use wetside_units::{Interval, datetime};

/// The most outcomes of one rule that are told in full, and whose grounds are looked for.
const IN_FULL: usize = 32;
/// The most further elements that are named.
const BY_NAME: usize = 1_000;
/// The most reasons that one sentence names; all of them stand beside it.
const IN_A_SENTENCE: usize = 4;
/// The most lines, and the most reasons, that one finding tells.
const MOST_LINES: usize = 100;

/// The facts that were described, in words: most stand behind many findings.
pub(super) type Described = RefCell<ByFact<String>>;

/// What is needed to put a fact of the survey into words.
#[derive(Clone, Copy)]
pub(super) struct Teller<'a, 'p> {
    pub pack: &'a Pack,
    pub scene: Scene<'a>,
    pub source: &'a Source,
    pub stage: Stage,
    /// The phases that the job may be in, as places among those of the pack.
    pub phases: &'p [usize],
    pub described: &'p Described,
}

impl<'a> Teller<'a, '_> {
    /// The finding of a rule on all elements that it judged alike, and what those that are undecided
    /// wait for. Which of many are told goes by their names, so that the order of the list cannot be
    /// seen.
    pub(super) fn finding(
        self,
        rule: &'a Rule,
        mut alike: Vec<Judged>,
    ) -> (Finding, Vec<Waiting<'a, 'a>>) {
        let name = |judged: &Judged| judged.element.map(|one| element_name(self.scene, one));
        alike.sort_by_cached_key(name);
        let (in_full, rest) = alike.split_at(alike.len().min(IN_FULL));
        let (named, more) = rest.split_at(rest.len().min(BY_NAME));
        let mut room = Room::default();
        let mut waiting = Vec::new();
        let mut on = Vec::with_capacity(in_full.len());
        for judged in in_full {
            let grounds = grounds(rule, self.scene, judged);
            on.push(self.on(rule, judged, &grounds, &mut room));
            if judged.outcome == Outcome::Undecided {
                waiting.push(Waiting {
                    rule,
                    scene: self.scene,
                    judged: judged.clone(),
                    grounds,
                });
            }
        }
        on.sort_by(|a, b| (a.place, &a.element).cmp(&(b.place, &b.element)));
        let words = &rule.words;
        let finding = Finding {
            rule: rule.id.clone(),
            pack: rule.pack.clone(),
            pack_lines: self.pack.lines_behind(rule),
            title: words.title.clone(),
            class: rule.class_at(self.stage),
            stage: rule.stage,
            outcome: alike[0].outcome,
            because: words.because.clone(),
            source: self.cited(&words.cited),
            caution: words.caution.clone(),
            on,
            also_on: named.iter().filter_map(name).collect(),
            more: more.len(),
            explained_by: None,
            after: Vec::new(),
            departure: None,
        };
        (finding, waiting)
    }

    /// The text that holds where the house stands, on the day of judgement.
    fn cited(self, cited: &Cited) -> Citation {
        let Scene {
            vocabulary, facts, ..
        } = self.scene;
        let word_of = |path: &str| {
            let fact = fact_at(vocabulary, facts, path)?;
            match &facts.fact(fact).content {
                Content::Known(Value::Word(word)) => Some(vocabulary.word(*word)),
                _ => None,
            }
        };
        cited.of(&self.pack.laws, word_of, self.scene.as_of)
    }

    fn on(self, rule: &Rule, judged: &Judged, grounds: &Grounds, room: &mut Room) -> finding::On {
        let scene = self.scene;
        let open: &[Keeps] = if judged.outcome == Outcome::Undecided {
            &grounds.open
        } else {
            &[]
        };
        let told = &open[..room.take_causes(open.len())];
        let causes: Vec<Cause> = told.iter().map(|keeps| self.cause(*keeps)).collect();
        let more_causes = open.len() - causes.len();
        let first = first_fact(rule, scene, judged, grounds);
        let others: Vec<FactId> = grounds
            .facts
            .iter()
            .copied()
            .filter(|fact| Some(*fact) != first)
            .collect();
        let lines = &others[..room.take_lines(others.len())];
        let label = |fact: &FactId| Label {
            span: scene.facts.fact(*fact).span,
            words: self.described(*fact),
        };
        let variables: Vec<FactId> = judged.element.into_iter().collect();
        finding::On {
            element: judged.element.map(|element| element_name(scene, element)),
            says: self.says(rule, judged, &causes, more_causes),
            remedy: self.remedy(rule, &variables),
            place: first.map_or(self.source.line_span(1), |fact| scene.facts.fact(fact).span),
            place_words: first.map_or(String::new(), |fact| self.described(fact)),
            lines: lines.iter().map(label).collect(),
            more_lines: others.len() - lines.len(),
            causes,
            more_causes,
        }
    }

    fn described(self, fact: FactId) -> String {
        let mut described = self.described.borrow_mut();
        let words = described.entry(fact);
        let words = words.or_insert_with(|| describe(self.scene, self.source, fact));
        words.clone()
    }

    /// What to do in the phase that the job is in; where that is open, what to do in each.
    pub(super) fn remedy(self, rule: &Rule, variables: &[FactId]) -> String {
        let filled = |text| fill(text, &self.pack.limits, self.scene, self.source, variables);
        let mut told: Vec<(usize, usize)> = Vec::new();
        let texts = &rule.words.remedy;
        for phase in self.phases {
            let at = texts
                .iter()
                .rposition(|(from, _)| from <= phase)
                .unwrap_or(0);
            if told.iter().all(|(_, other)| *other != at) {
                told.push((*phase, at));
            }
        }
        match told.as_slice() {
            [] => String::new(),
            [(_, at)] => filled(&texts[*at].1),
            several => {
                let each = several.iter().map(|(phase, at)| {
                    let when = &self.pack.phases[*phase].says;
                    format!("{when}: {}", filled(&texts[*at].1))
                });
                each.collect::<Vec<_>>().join(" – ")
            }
        }
    }

    fn says(self, rule: &Rule, judged: &Judged, causes: &[Cause], more: usize) -> String {
        let scene = self.scene;
        match (judged.outcome, judged.on) {
            (Outcome::Broken, On::Conditions) => {
                let words = &rule.words;
                let variables: Vec<FactId> = judged.element.into_iter().collect();
                fill(
                    &words.says,
                    &self.pack.limits,
                    scene,
                    self.source,
                    &variables,
                )
            }
            (Outcome::Broken, On::List(list)) => format!(
                "`{}` lists none of the things that this rule asks for",
                fact_name(scene, list)
            ),
            _ => {
                let named = causes.iter().take(IN_A_SENTENCE);
                let mut reasons: Vec<String> = named.map(Cause::words).collect();
                let more = more + causes.len() - reasons.len();
                if more > 0 {
                    reasons.push(format!("{more} more facts are open"));
                }
                reasons.extend(self.without_value(rule));
                if reasons.is_empty() {
                    reasons.push("the arithmetic of this rule has no result here".to_string());
                }
                format!("cannot be told: {}", reasons.join("; "))
            }
        }
    }

    /// The limits of a rule that have no value yet on the day of judgement.
    fn without_value(self, rule: &Rule) -> Vec<String> {
        let mut limits = rule.reads().limits;
        limits.sort_unstable();
        limits.dedup();
        let told = limits.into_iter().filter_map(|at| {
            let limit = &self.pack.limits[at].limit;
            let first = Interval::exact(limit.from.first()?.day);
            let before = self.scene.as_of.less(&first) == Truth::Yes;
            let first = datetime::told(&first, false);
            before.then(|| format!("`limit.{}` has no value before {first}", limit.name))
        });
        told.collect()
    }

    fn cause(self, keeps: Keeps) -> Cause {
        let scene = self.scene;
        let fact = scene.facts.fact(keeps.fact);
        let why = match &fact.content {
            Content::Open(Why::NotRecorded) => CauseKind::NotRecorded,
            Content::Open(Why::Unknown(reason)) => CauseKind::Unknown(reason.clone()),
            Content::Open(Why::Malformed) => CauseKind::Malformed,
            Content::Open(Why::NotWorkedOut(reason, _)) => CauseKind::NotWorkedOut(reason.clone()),
            Content::List { extent, .. } => match extent.told {
                Told::NotRecorded => CauseKind::NotRecorded,
                Told::Unknown => CauseKind::Unknown(None),
                Told::Malformed => CauseKind::Malformed,
                Told::Count | Told::NotStated => CauseKind::ListOpen,
            },
            Content::Known(_) | Content::Group { .. } => {
                let written = fact_value(scene, self.source, keeps.fact);
                match keeps.figure {
                    Some(figure) => CauseKind::RangeBehind {
                        written,
                        figure: fact_name(scene, figure),
                    },
                    None => CauseKind::Range(written),
                }
            }
        };
        Cause {
            fact: fact_name(scene, keeps.fact),
            why,
            span: fact.span,
        }
    }
}

/// How many lines and reasons a finding may still tell.
struct Room {
    lines: usize,
    causes: usize,
}

impl Default for Room {
    fn default() -> Room {
        Room {
            lines: MOST_LINES,
            causes: MOST_LINES,
        }
    }
}

impl Room {
    fn take_lines(&mut self, wanted: usize) -> usize {
        let taken = wanted.min(self.lines);
        self.lines -= taken;
        taken
    }

    fn take_causes(&mut self, wanted: usize) -> usize {
        let taken = wanted.min(self.causes);
        self.causes -= taken;
        taken
    }
}

/// The fact whose line is shown first: of an undecided outcome always one that keeps it open.
fn first_fact(rule: &Rule, scene: Scene<'_>, judged: &Judged, grounds: &Grounds) -> Option<FactId> {
    let pointed = rule
        .point_at
        .as_ref()
        .and_then(|route| pointed(scene, route, judged.element));
    if judged.outcome == Outcome::Undecided && !grounds.open.is_empty() {
        let keeps = |fact: &FactId| grounds.open.iter().any(|keeps| keeps.fact == *fact);
        let first = grounds.open.first().map(|keeps| keeps.fact);
        return pointed.filter(keeps).or(first);
    }
    match judged.on {
        On::List(list) => Some(list),
        On::Conditions => {
            let within = pointed.and_then(|list| first_within(scene.facts, list, &grounds.facts));
            within.or(pointed).or(grounds.facts.first().copied())
        }
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
    let element = if route.variable.is_some() {
        element?
    } else {
        Facts::ROOT
    };
    Some(route.find(scene.facts, |_| element))
}
