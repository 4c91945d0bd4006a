//! The fewest facts whose answers could settle every rule that is undecided.
//!
//! For each rule it is tried which single fact could settle it with some answer, well or ill; a rule that no
//! single answer settles needs all that keep it open. Then the fact that serves most rules is taken, then the
//! next, until every rule is served. Ties go to the earlier line.
//!
//! The same trials say how much an interview gains by a fact: the share of what it can be in which the rule is
//! decided. Behind a figure that is estimated, since working figures out for every cell would cost too much.
//!
//! Contract: asked of what is told in full, so the work grows with the report and not with the lists.
//! Where so much is open that trying would cost more than [`MOST_READINGS`], no single fact is tried:
//! it is hardly ever one of hundreds that settles a rule.

use super::grounds::{Grounds, Keeps, behind_open, grounds};
use super::judge::{Judged, On, judge_each, tried};
use super::phrase::{fact_name, of_thing};
use crate::pack::{Pack, Rule};
use std::cmp::Reverse;
use std::collections::{BTreeMap, BTreeSet, BinaryHeap};
use wetside_base::facts::{Content, FactId, Facts, Value, each_once};
use wetside_base::finding::{Class, Outcome, Question, Stage};
use wetside_lang::cells::cells_of;
use wetside_lang::eval::{Scene, Supposed};

/// The most facts to read in trying what could settle one outcome.
const MOST_READINGS: usize = 20_000;
/// The most facts of one outcome that are asked for.
const MOST_WANTED: usize = 200;
/// The most questions that are told.
const MOST_QUESTIONS: usize = 100;

/// An undecided outcome that is told.
pub struct Waiting<'p, 's> {
    pub(crate) rule: &'p Rule,
    /// With the tables of the rule's pack.
    pub(super) scene: Scene<'s>,
    pub(super) judged: Judged,
    pub(super) grounds: Grounds,
}

/// What certainty that an answer decides an outcome counts.
pub(crate) const SURE: u32 = 1_000;
/// The share for a fact behind a figure, which those behind it have between them, and for the extent of a list.
const BEHIND_A_FIGURE: u32 = SURE / 4;
const EXTENT: u32 = SURE / 2;

/// The outcomes of rules due at a stage that wait for something and are in the way.
pub(crate) fn waiting<'p: 's, 's>(
    packs: &'p [Pack],
    scene: Scene<'s>,
    stage: Stage,
) -> Vec<Waiting<'p, 's>> {
    let mut all = Vec::new();
    for pack in packs {
        let scene = Scene {
            tables: &pack.tables,
            ..scene
        };
        let due = pack.rules.iter().filter(|rule| rule.stage <= stage);
        for rule in due.filter(|rule| rule.class_at(stage) != Class::Advisory) {
            judge_each(rule, &scene, &mut |judged| {
                if judged.outcome == Outcome::Undecided {
                    let grounds = grounds(rule, scene, &judged);
                    all.push(Waiting {
                        rule,
                        scene,
                        judged,
                        grounds,
                    });
                }
            });
        }
    }
    all
}

/// The questions, those that serve most first, and how many there are beside those told.
pub fn questions(waiting: &[Waiting<'_, '_>], scene: Scene<'_>) -> (Vec<Question>, usize) {
    let wants = waiting.iter().map(|waiting| {
        let wants = waiting.wants().into_iter();
        each_once(wants.map(|fact| recorded(scene.facts, fact)))
    });
    let wants: Vec<Vec<FactId>> = wants.collect();
    let mut asked = fewest(&wants, scene).into_iter();
    let told = asked.by_ref().take(MOST_QUESTIONS);
    let question = |(fact, settles): (FactId, Vec<usize>)| {
        let rules = settles.iter().map(|at| waiting[*at].rule.id.as_str());
        let rules: BTreeSet<&str> = rules.collect();
        let held = scene.facts.fact(fact);
        let answers = scene.vocabulary.answers(held.field);
        Question {
            fact: fact_name(scene, fact),
            of: of_thing(scene, fact),
            asks: scene.vocabulary.field(held.field).says.clone(),
            // What is known is to be read once more, or more firmly.
            answers: match &held.content {
                Content::Known(Value::Quantity(now)) => {
                    format!("{answers}; `{now}` is recorded, read it again")
                }
                _ => answers,
            },
            span: held.span,
            rules: rules.into_iter().map(str::to_string).collect(),
        }
    };
    (told.map(question).collect(), asked.len())
}

/// A recorded fact; of a figure that all that is behind it leaves open, since what it needs beside that is usual
/// and not known, the fact that places it first, to be read anew: nobody can answer a figure.
fn recorded(facts: &Facts, fact: FactId) -> FactId {
    fn first(facts: &Facts, fact: FactId) -> Option<FactId> {
        if !facts.is_worked_out(fact) {
            return matches!(facts.fact(fact).content, Content::Known(Value::Quantity(_)))
                .then_some(fact);
        }
        facts
            .inputs(fact)
            .iter()
            .find_map(|input| first(facts, *input))
    }
    if facts.is_worked_out(fact) {
        first(facts, fact).unwrap_or(fact)
    } else {
        fact
    }
}

/// Facts that together serve every list of `wants`, each with the places of those that it serves.
fn fewest(wants: &[Vec<FactId>], scene: Scene<'_>) -> Vec<(FactId, Vec<usize>)> {
    let mut serves: BTreeMap<FactId, Vec<usize>> = BTreeMap::new();
    for (at, wanted) in wants.iter().enumerate() {
        for fact in wanted {
            serves.entry(*fact).or_default().push(at);
        }
    }
    let place = |fact: FactId| Reverse((scene.facts.fact(fact).span, fact));
    let mut offers: BinaryHeap<_> = serves
        .iter()
        .map(|(fact, served)| (served.len(), place(*fact)))
        .collect();
    let mut open = vec![true; wants.len()];
    let mut taken = Vec::new();
    while let Some((count, at)) = offers.pop() {
        let Reverse((_, fact)) = at;
        let mut settled = serves.remove(&fact).unwrap_or_default();
        settled.retain(|at| open[*at]);
        // Others may have been served since this one was weighed.
        if settled.len() < count {
            if !settled.is_empty() {
                offers.push((settled.len(), at));
                serves.insert(fact, settled);
            }
            continue;
        }
        settled.iter().for_each(|at| open[*at] = false);
        taken.push((fact, settled));
    }
    taken
}

impl Waiting<'_, '_> {
    /// The facts one of which could settle the rule; those that keep it open where no single one could.
    fn wants(&self) -> Vec<FactId> {
        let Grounds {
            open, read, asked, ..
        } = &self.grounds;
        let all = || {
            open.iter()
                .map(|keeps| keeps.fact)
                .take(MOST_WANTED)
                .collect()
        };
        if matches!(self.judged.on, On::List(_)) || read.len() * asked > MOST_READINGS {
            return all();
        }
        let single = read.iter().copied().filter(|fact| self.settled_by(*fact));
        let single = behind_open(self.scene.facts, &single.collect::<Vec<_>>());
        if single.is_empty() {
            return all();
        }
        single.iter().map(|keeps| keeps.fact).collect()
    }

    /// The recorded facts that keep it open, each with the share of its answers that would decide it.
    pub(crate) fn weights(&self) -> Vec<(FactId, u32)> {
        let facts = self.scene.facts;
        let open = self.grounds.open.iter();
        let open = open.filter(|keeps| !facts.is_worked_out(keeps.fact));
        let weight = |keeps: &Keeps| match keeps.figure {
            Some(figure) => {
                let beside = self.grounds.open.iter();
                let beside = beside.filter(|other| other.figure == Some(figure)).count();
                BEHIND_A_FIGURE / u32::try_from(beside.max(1)).unwrap_or(u32::MAX)
            }
            None => self.share(keeps.fact),
        };
        open.map(|keeps| (keeps.fact, weight(keeps))).collect()
    }

    /// The share of what a fact can be in which the outcome is decided.
    fn share(&self, fact: FactId) -> u32 {
        if let Content::List { .. } = self.scene.facts.fact(fact).content {
            return EXTENT;
        }
        if matches!(self.judged.on, On::List(_))
            || self.grounds.read.len() * self.grounds.asked > MOST_READINGS
        {
            return 0;
        }
        let cells = cells_of(fact, self.scene, &self.rule.cuts());
        let all = u32::try_from(cells.len()).unwrap_or(u32::MAX);
        let decide = cells
            .into_iter()
            .filter(|cell| self.decided_by(fact, cell.clone()));
        let decide = u32::try_from(decide.count()).unwrap_or(u32::MAX);
        (SURE * decide).checked_div(all).unwrap_or(0)
    }

    fn settled_by(&self, fact: FactId) -> bool {
        let cells = cells_of(fact, self.scene, &self.rule.cuts());
        cells.into_iter().any(|cell| self.decided_by(fact, cell))
    }

    fn decided_by(&self, fact: FactId, cell: Supposed) -> bool {
        self.outcome_if(fact, cell) != Outcome::Undecided
    }

    /// What becomes of it when something is supposed of a fact.
    pub(crate) fn outcome_if(&self, fact: FactId, cell: Supposed) -> Outcome {
        if matches!(self.judged.on, On::List(_)) {
            return Outcome::Undecided;
        }
        let variables: Vec<FactId> = self.judged.element.into_iter().collect();
        tried(self.rule, &self.scene, &variables, &[(fact, cell)])
    }
}
