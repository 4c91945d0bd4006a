//! What would narrow the figures most: facts to measure or to record, and ways round to shut.
//!
//! Contract: for people. Each thing that the survey knows as a range alone, or supposes, is put at its middle by
//! itself, each way round is shut, and the figures are worked out again: what narrows them most is told, with
//! what it would bring. What has no field of the survey is not asked for. Nothing here goes into a rule.

use super::derive::derive_of_survey;
use super::house::read::{self, Reading};
use super::survey;
use super::view::View;
use super::wanted::Wanted;
use super::words::worked_out;
use std::collections::BTreeSet;
use wetside_base::facts::{Content, FactId, Facts, Value, fact_name};
use wetside_base::vocabulary::{Shape, Type};
use wetside_house::{Branch, House, Range, branch};
use wetside_units::{Kind, Quantity};

/// A thing to settle, and which figures it narrows.
#[derive(Clone, Debug, PartialEq)]
pub struct Advice {
    pub settle: Settle,
    pub brings: Vec<Brings>,
}

#[derive(Clone, Debug, PartialEq)]
pub enum Settle {
    /// A field of the survey, and what it says now, if anything.
    Fact { name: String, now: Option<String> },
    /// Two fields that are read at the same time.
    Read(String, String),
    /// A way round the branches.
    Shut(String),
}

/// A figure, and its greatest over its least, as it is and as it would be.
#[derive(Clone, Debug, PartialEq)]
pub struct Brings {
    pub figure: Narrowed,
    pub now: f64,
    pub then: f64,
}

#[derive(Clone, Debug, PartialEq)]
pub enum Narrowed {
    /// The flow of a branch with all others shut, by its id.
    Branch(String),
    /// A figure of the survey, by its name.
    Figure(&'static str),
}

/// Figures that a day is planned by.
const MATTER: [&str; 4] = ["flush_volume", "rinse_time", "heat_up_time", "time_on_site"];
/// What narrows a figure by less than this factor is not worth a walk.
const WORTH: f64 = 1.1;
/// So many things are told for each figure.
const OF_EACH: usize = 2;
/// In a house of more emitters than this only what they share is tried.
const MOST_TRIED: usize = 25;

/// What would narrow the figures, that which brings most first.
pub(super) fn advice(
    view: &View<'_>,
    reading: &Reading,
    house: &House,
    branches: &[Branch],
) -> Vec<Advice> {
    let now = Now {
        view,
        reading,
        house,
        branches,
    };
    let facts = now.candidates().into_iter().map(|id| now.settled(id));
    let shut = house.shorts.iter().map(|short| now.shut(&short.id));
    let mut all: Vec<Advice> = facts.chain(shut).collect();
    all.retain(|one| !one.brings.is_empty());
    all.sort_by(|one, other| other.worth().total_cmp(&one.worth()));
    // The best of all, and of each figure and the slowest branch the best.
    let mut kept: BTreeSet<usize> = (0..all.len().min(OF_EACH)).collect();
    let slowest = branches
        .iter()
        .min_by(|one, other| one.speed.low.total_cmp(&other.speed.low));
    let slowest = slowest.map(|slowest| Narrowed::Branch(slowest.id.clone()));
    for figure in slowest.into_iter().chain(MATTER.map(Narrowed::Figure)) {
        let gain = |at: usize| all[at].gain(&figure);
        let mut by: Vec<usize> = (0..all.len()).filter(|at| gain(*at) > 0.0).collect();
        by.sort_by(|one, other| gain(*other).total_cmp(&gain(*one)));
        kept.extend(by.into_iter().take(OF_EACH));
    }
    let all = all.into_iter().enumerate();
    all.filter(|(at, _)| kept.contains(at))
        .map(|(_, one)| one)
        .collect()
}

impl Brings {
    /// The logarithm of the factor by which it is narrowed.
    pub fn gain(&self) -> f64 {
        // A range from nothing counts as very wide.
        const WIDEST: f64 = 1000.0;
        (self.now.min(WIDEST) / self.then.min(WIDEST)).ln()
    }
}

impl Advice {
    fn worth(&self) -> f64 {
        self.brings.iter().map(Brings::gain).sum()
    }

    fn gain(&self, figure: &Narrowed) -> f64 {
        let of = self.brings.iter().filter(|brings| brings.figure == *figure);
        of.map(Brings::gain).sum()
    }
}

struct Now<'a> {
    view: &'a View<'a>,
    reading: &'a Reading,
    house: &'a House,
    branches: &'a [Branch],
}

impl Now<'_> {
    /// The quantities behind the branches and the figures that are known as ranges alone.
    fn candidates(&self) -> BTreeSet<FactId> {
        let facts = self.view.facts;
        let few = self.house.emitters.len() <= MOST_TRIED;
        let wide = self.reading.wide.iter().map(|(id, _)| *id);
        let wide = wide.filter(|id| few || self.owner(*id).is_none());
        let mut found: BTreeSet<FactId> = wide.collect();
        for id in facts.with_inputs(MATTER.map(|name| self.view.figure(name))) {
            let held = facts.quantity(id);
            let wide = held.is_some_and(|held| !Range::of(&held.range).is_point());
            if wide && !facts.is_worked_out(id) && (few || self.owner(id).is_none()) {
                found.insert(id);
            }
        }
        found
    }

    /// The emitter that a fact is of.
    fn owner(&self, id: FactId) -> Option<usize> {
        let mut own = self.reading.own.iter();
        own.position(|facts| facts.contains(&id))
    }

    /// What a fact would bring that is known exactly.
    fn settled(&self, id: FactId) -> Advice {
        let name = |id| fact_name(self.view.facts, self.view.vocabulary, id);
        let settle = if self.is_read(id) {
            let beside = self.view.at(Facts::ROOT, survey::MEASURED_PRESSURE);
            Settle::Read(name(id), name(beside))
        } else {
            Settle::Fact {
                name: name(id),
                now: self.told(id),
            }
        };
        let brings = self.exactly(id).map(|mut then| {
            let house = read::house(&self.view.of(&then), true, None).house;
            let wide = self.reading.wide.iter().any(|(wide, _)| *wide == id);
            let house = house.ok().filter(|_| wide);
            let mut brings =
                house.map_or(Vec::new(), |house| self.of_branches(&house, self.owner(id)));
            derive_of_survey(&mut then, self.view.vocabulary, &Wanted::everything());
            let figures = MATTER.into_iter();
            brings.extend(figures.filter_map(|name| self.of_figure(&then, name)));
            brings
        });
        Advice {
            settle,
            brings: brings.unwrap_or_default(),
        }
    }

    /// The facts with one of them at the middle of what is known of it.
    fn exactly(&self, id: FactId) -> Option<Facts> {
        let facts = self.view.facts;
        let field = facts.fact(id).field;
        let Shape::Fact(Type::Quantity { kind, .. }) = &self.view.vocabulary.field(field).shape
        else {
            return None;
        };
        let mut wide = self.reading.wide.iter();
        let range = match wide.find(|(wide, _)| *wide == id) {
            Some((_, range)) => *range,
            None => self.view.range(id).ok()?,
        };
        let known = |facts: &Facts, id: FactId, kind: Kind, value: f64| {
            let middle = Range::point(value).to_interval(kind)?;
            let middle = Quantity::computed(kind, middle);
            Some(facts.with(id, Content::Known(Value::Quantity(Box::new(middle)))))
        };
        let then = known(facts, id, *kind, range.middle())?;
        if !self.is_read(id) {
            return Some(then);
        }
        let beside = self.view.at(Facts::ROOT, survey::MEASURED_PRESSURE);
        let made = self.house.machine.likely_pressure(range.middle());
        known(&then, beside, Kind::GaugePressure, made)
    }

    /// Whether it is the flow read on the machine, which tells something with the pressure read beside it.
    fn is_read(&self, id: FactId) -> bool {
        id == self.view.at(Facts::ROOT, survey::MEASURED_FLOW)
    }

    /// What is known of a fact, in the usual unit, whatever the survey wrote.
    fn told(&self, id: FactId) -> Option<String> {
        let held = self.view.facts.quantity(id)?;
        Some(worked_out(held.kind, &held.range))
    }

    fn shut(&self, id: &str) -> Advice {
        let mut then = self.house.clone();
        then.shorts.retain(|short| short.id != id);
        Advice {
            settle: Settle::Shut(id.to_string()),
            brings: self.of_branches(&then, None),
        }
    }

    fn of_branches(&self, then: &House, own: Option<usize>) -> Vec<Brings> {
        let all = self.branches.iter().enumerate();
        let all = all.filter(|(at, _)| own.is_none_or(|own| own == *at));
        all.filter_map(|(at, now)| {
            let then = branch(then, at).ok()?;
            let figure = Narrowed::Branch(now.id.clone());
            narrowed(figure, now.flow, then.flow)
        })
        .collect()
    }

    fn of_figure(&self, then: &Facts, name: &'static str) -> Option<Brings> {
        let id = self.view.figure(name);
        let now = self.view.range(id).ok()?;
        let then = self.view.of(then).range(id).ok()?;
        narrowed(Narrowed::Figure(name), now, then)
    }
}

/// What is narrowed by enough to be worth it.
fn narrowed(figure: Narrowed, now: Range, then: Range) -> Option<Brings> {
    let fold = |range: Range| {
        if range.low > 0.0 {
            range.high / range.low
        } else {
            f64::INFINITY
        }
    };
    let brings = Brings {
        figure,
        now: fold(now),
        then: fold(then),
    };
    (brings.now.is_finite() || brings.then.is_finite())
        .then_some(brings)
        .filter(|brings| brings.gain() >= WORTH.ln())
}
