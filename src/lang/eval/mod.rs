//! A checked condition and the facts of one system to an answer.
//!
//! Contract: an answer is yes or no only where every completion of the open facts gives it. Nothing that
//! is evaluated has an effect, so the order of evaluation cannot be seen: where only the answer is wanted,
//! asking ends with the operand that decides it. The trail of a yes or a no holds the facts that decided
//! it, so that no other fact can turn it; the trail of an undecided answer holds the facts of the operands
//! that are undecided. Cost is bounded by the condition and
//! the lists; there are no loops, no clock and no chance.
//! This module must not know rules, packs or outcomes.

mod folds;
mod ranges;
mod truths;
mod words;

use super::names::Table;
use super::node::{Node, Route};
use smallvec::SmallVec;
use wetside_base::facts::{Content, FactId, Facts, Value, each_once};
use wetside_base::vocabulary::{FieldId, Shape, Type, Vocabulary, WordId};
use wetside_units::Interval;
use wetside_units::truth::Truth;

pub(super) use words::all_bits;
pub use words::words;

/// What conditions are judged against.
#[derive(Clone, Copy)]
pub struct Scene<'a> {
    pub vocabulary: &'a Vocabulary,
    pub tables: &'a [Table],
    pub facts: &'a Facts,
    /// The date of judgement, in seconds since 0001-01-01T00:00.
    pub as_of: Interval,
    /// The fact that the date of judgement was taken from, if it was.
    pub as_of_fact: Option<FactId>,
}

impl<'a> Scene<'a> {
    /// The same with the tables of a pack.
    #[must_use]
    pub fn with(self, tables: &'a [Table]) -> Scene<'a> {
        Scene { tables, ..self }
    }
}

/// Something supposed of an open fact, narrower than what is known of it.
#[derive(Clone, Debug, PartialEq)]
pub enum Supposed {
    Range(Interval),
    Words(Vec<WordId>),
    Set { has: u64, may: u64 },
}

struct Evaluator<'a> {
    scene: &'a Scene<'a>,
    /// The elements in scope: those of whoever asks, and then those of the lists around this place.
    given: &'a [FactId],
    bound: SmallVec<[FactId; 3]>,
    supposed: &'a [(FactId, Supposed)],
    /// The facts that the answer rests on, where they are wanted.
    trail: Option<Vec<FactId>>,
}

/// An answer with what it rests on.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Answer {
    pub truth: Truth,
    /// Facts in the order in which the condition reads them, each once.
    pub trail: Vec<FactId>,
}

/// Evaluates a condition; `variables` are the elements in scope.
pub fn truth<'a>(
    node: &'a Node,
    scene: &'a Scene<'a>,
    variables: &'a [FactId],
    supposed: &'a [(FactId, Supposed)],
) -> Truth {
    let mut evaluator = Evaluator {
        supposed,
        ..quiet(scene, variables)
    };
    evaluator.truth(node)
}

/// The same, with what the answer rests on.
pub fn answer<'a>(node: &'a Node, scene: &'a Scene<'a>, variables: &'a [FactId]) -> Answer {
    let mut evaluator = Evaluator {
        trail: Some(Vec::new()),
        ..quiet(scene, variables)
    };
    let truth = evaluator.truth(node);
    let trail = each_once(evaluator.trail.unwrap_or_default());
    Answer { truth, trail }
}

/// A quantity or date, for a figure in a message.
pub fn range<'a>(node: &'a Node, scene: &'a Scene<'a>, variables: &'a [FactId]) -> Interval {
    quiet(scene, variables).range(node)
}

fn quiet<'a>(scene: &'a Scene<'a>, variables: &'a [FactId]) -> Evaluator<'a> {
    Evaluator {
        scene,
        given: variables,
        bound: SmallVec::new(),
        supposed: &[],
        trail: None,
    }
}

/// The answers of several operands with the ends of their stretches of the trail, where one is kept.
struct Weighed {
    from: usize,
    parts: Vec<(Truth, usize)>,
}

impl<'a> Evaluator<'a> {
    fn note(&mut self, fact: FactId) {
        if let Some(trail) = &mut self.trail {
            trail.push(fact);
        }
    }

    /// Whether nothing that follows can matter, now that an answer is this.
    fn enough(&self, answer: Truth, deciding: Truth) -> bool {
        self.trail.is_none() && answer == deciding
    }

    fn weigh(&self) -> Weighed {
        Weighed {
            from: self.trail.as_ref().map_or(0, Vec::len),
            parts: Vec::new(),
        }
    }

    fn weighed(&self, weighed: &mut Weighed, truth: Truth) {
        if let Some(trail) = &self.trail {
            weighed.parts.push((truth, trail.len()));
        }
    }

    /// Keeps of the trail what the operands with the deciding answer read.
    fn decided(&mut self, weighed: &Weighed, truth: Truth) -> Truth {
        if let Some(trail) = &mut self.trail {
            let mut kept = weighed.from;
            let mut start = weighed.from;
            for (part, end) in &weighed.parts {
                if *part == truth {
                    trail.copy_within(start..*end, kept);
                    kept += end - start;
                }
                start = *end;
            }
            trail.truncate(kept);
        }
        truth
    }

    /// What an *if* comes to: both of its branches where its condition is undecided.
    fn branch<T>(
        &mut self,
        [condition, then, otherwise]: [&'a Node; 3],
        ask: impl Fn(&mut Self, &'a Node) -> T,
        join: impl Fn(T, T) -> T,
    ) -> T {
        match self.truth(condition) {
            Truth::Yes => ask(self, then),
            Truth::No => ask(self, otherwise),
            Truth::Undecided => {
                let then = ask(self, then);
                join(then, ask(self, otherwise))
            }
        }
    }

    /// Most facts stand in no list, and are found in one step where they are asked for.
    #[inline]
    fn find(&self, route: &Route) -> FactId {
        match route.variable {
            None => self.scene.facts.only(route.field),
            Some(_) => self.find_in_list(route),
        }
    }

    fn find_in_list(&self, route: &Route) -> FactId {
        let (given, bound) = (self.given, &self.bound);
        let element = |at: usize| {
            let given = given.get(at).copied();
            given.unwrap_or_else(|| bound[at - self.given.len()])
        };
        route.find(self.scene.facts, element)
    }

    fn supposed(&self, fact: FactId) -> Option<&'a Supposed> {
        let found = self.supposed.iter().find(|(supposed, _)| *supposed == fact);
        found.map(|(_, what)| what)
    }

    fn known(&self, fact: FactId) -> Option<&'a Value> {
        match &self.scene.facts.fact(fact).content {
            Content::Known(value) => Some(value),
            _ => None,
        }
    }

    fn field_type(&self, field: FieldId) -> Option<&'a Type> {
        match &self.scene.vocabulary.field(field).shape {
            Shape::Fact(what) => Some(what),
            _ => None,
        }
    }
}
