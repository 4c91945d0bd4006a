//! The fewest facts whose answers could settle every rule that is undecided.
//!
//! For each rule it is tried which single fact could settle it with some answer; a rule that no single
//! answer settles needs all that keep it open. Then the fact that serves most rules is taken, then the
//! next, until every rule is served. Ties go to the earlier line.
//!
//! Contract: asked of what is told in full, so the work grows with the report and not with the lists.
//! Where so much is open that trying would cost more than [`MOST_READINGS`], no single fact is tried:
//! it is hardly ever one of hundreds that settles a rule.

use super::grounds::{Grounds, behind_open};
use super::judge::{Judged, On, tried};
use super::phrase::fact_name;
use crate::pack::Rule;
use std::cmp::Reverse;
use std::collections::{BTreeMap, BTreeSet, BinaryHeap};
use wetside_base::facts::FactId;
use wetside_base::finding::{Outcome, Question};
use wetside_lang::cells::cells_of;
use wetside_lang::eval::Scene;

/// The most facts to read in trying what could settle one outcome.
const MOST_READINGS: usize = 20_000;
/// The most facts of one outcome that are asked for.
const MOST_WANTED: usize = 200;
/// The most questions that are told.
const MOST_QUESTIONS: usize = 100;

/// An undecided outcome that is told.
pub struct Waiting<'a> {
    pub(super) rule: &'a Rule,
    /// With the tables of the rule's pack.
    pub(super) scene: Scene<'a>,
    pub(super) judged: Judged,
    pub(super) grounds: Grounds,
}

/// The questions, those that serve most first, and how many there are beside those told.
pub fn questions(waiting: &[Waiting<'_>], scene: Scene<'_>) -> (Vec<Question>, usize) {
    let wants: Vec<Vec<FactId>> = waiting.iter().map(Waiting::wants).collect();
    let mut asked = fewest(&wants, scene).into_iter();
    let told = asked.by_ref().take(MOST_QUESTIONS);
    let question = |(fact, settles): (FactId, Vec<usize>)| {
        let rules = settles.iter().map(|at| waiting[*at].rule.id.as_str());
        let rules: BTreeSet<&str> = rules.collect();
        let held = scene.facts.fact(fact);
        Question {
            fact: fact_name(scene, fact),
            asks: scene.vocabulary.field(held.field).says.clone(),
            answers: scene.vocabulary.answers(held.field),
            span: held.span,
            rules: rules.into_iter().map(str::to_string).collect(),
        }
    };
    (told.map(question).collect(), asked.len())
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

impl Waiting<'_> {
    /// Whether it keeps the work from starting.
    pub(crate) fn blocks(&self) -> bool {
        self.rule.class != wetside_base::finding::Class::Advisory
    }

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

    fn settled_by(&self, fact: FactId) -> bool {
        let variables: Vec<FactId> = self.judged.element.into_iter().collect();
        let cells = cells_of(fact, self.scene, &self.rule.cuts());
        cells.into_iter().any(|cell| {
            let outcome = tried(self.rule, self.scene, &variables, &[(fact, cell)]);
            matches!(outcome, Outcome::Met | Outcome::NotApplicable)
        })
    }
}
