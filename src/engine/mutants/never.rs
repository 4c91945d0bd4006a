//! Mutants that change nothing, whatever the survey says.
//!
//! Contract: the facts that either rule reads are tried in every combination of what the two can tell
//! apart: each word that they name, all others together, each stretch between their limits and the
//! limits themselves. Where the outcomes agree in all of them no case can notice. Whatever cannot be
//! tried so is not said to be equal: lists inside a condition, figures, texts, facts held against each
//! other, and more combinations than a fixed count.

use super::{Bench, Of};
use crate::cases;
use crate::pack::Rule;
use crate::run::{Judged, fact_name, judge};
use std::ops::ControlFlow;
use wetside_base::facts::{Content, Fact, FactId, Facts, Value};
use wetside_base::finding::Outcome;
use wetside_base::source::Source;
use wetside_base::vocabulary::{Shape, Type, Vocabulary};
use wetside_lang::cells::cells_of;
use wetside_lang::eval::{Scene, Supposed};
use wetside_units::datetime::SECONDS_A_DAY;
use wetside_units::{Exact, Form, Interval, Quantity, UnitId, datetime, print};

/// The most combinations that are tried for one mutant.
const BUDGET: usize = 10_000;

/// Digits of a number that shows something.
const PRECISE: u32 = 9;

/// One combination of what two rules can tell apart.
pub(crate) struct Combination<'a, 'c> {
    pub facts: &'a [(FactId, &'c Supposed)],
    /// Whether each fact is known exactly, and not within a stretch, and so is all that is asked of the day.
    pub whole: bool,
    pub scene: Scene<'a>,
    pub one: &'a [Judged],
    pub other: &'a [Judged],
}

impl Combination<'_, '_> {
    /// The facts as a survey would write them, where that survey comes out as the combination does: a stretch is
    /// shown by a number within it, which needs the outcome to be the same in all of it.
    pub(crate) fn told(&self, vocabulary: &Vocabulary) -> Option<String> {
        let mut outcomes = self.one.iter().chain(self.other);
        if !self.whole && outcomes.any(|one| one.outcome == Outcome::Undecided) {
            return None;
        }
        let scene = self.scene;
        let fact = |(fact, cell): &(FactId, &Supposed)| {
            let field = vocabulary.field(scene.facts.fact(*fact).field);
            let value = match (cell, &field.shape) {
                (Supposed::Words(words), _) => vocabulary.word(words[0]).to_string(),
                (Supposed::Set { has, .. }, Shape::Fact(Type::Set(words))) if *has != 0 => {
                    let held = (0..).zip(words).filter(|(at, _)| has & (1 << at) != 0);
                    let held: Vec<&str> = held.map(|(_, word)| vocabulary.word(*word)).collect();
                    format!("[{}]", held.join(", "))
                }
                (Supposed::Range(range), Shape::Fact(Type::Quantity { kind, .. })) => {
                    let whole = kind.is_whole().then_some(1);
                    let point = Interval::exact(within(range, whole)?);
                    print::worked_out_to(*kind, &point, PRECISE)
                }
                (Supposed::Range(range), _) => {
                    let day = within(range, Some(SECONDS_A_DAY))?;
                    datetime::told(&Interval::exact(day), false)
                }
                _ => return None,
            };
            Some(format!("`{}: {value}`", fact_name(scene, *fact)))
        };
        let facts: Option<Vec<String>> = self.facts.iter().map(fact).collect();
        let mut facts = facts?;
        if scene.as_of != Interval::EVERYTHING {
            let day = Interval::exact(within(&scene.as_of, Some(SECONDS_A_DAY))?);
            facts.push(format!("`as_of: {}`", datetime::told(&day, false)));
        }
        Some(facts.join(", "))
    }
}

/// A number within a range, a multiple of a step where there is one.
fn within(range: &Interval, step: Option<i64>) -> Option<Exact> {
    let far = Exact::whole(step.unwrap_or(1).checked_mul(30)?);
    let between = || match (range.low().at(), range.high().at()) {
        (Some(low), None) => low.plus(far),
        (None, Some(high)) => high.minus(far),
        _ => range.middle(),
    };
    let point = range.single().or_else(between)?;
    let Some(step) = step.map(Exact::whole) else {
        return Some(point);
    };
    let below = point.over(step)?.floor();
    let mut near = [Some(below), below.plus(Exact::whole(1))]
        .into_iter()
        .flatten();
    near.find_map(|times| times.times(step).filter(|one| range.contains(*one)))
}

impl Bench<'_> {
    pub(super) fn never_differs(&self, mutant: &Rule) -> bool {
        self.differences(mutant) == Some(0)
    }

    /// In how many combinations the outcomes differ; nothing where not all can be tried.
    fn differences(&self, mutant: &Rule) -> Option<usize> {
        let when_empty = |rule: &Rule| rule.selection.as_ref().map(|one| one.when_empty);
        if when_empty(self.rule) != when_empty(mutant) {
            return None;
        }
        let mut differences = 0;
        let mut hidden = false;
        self.each_combination((self.pack, mutant), &mut |tried| {
            let mut all = tried.one.iter().chain(tried.other);
            // What a stretch leaves open may hide a difference within it.
            hidden |= !tried.whole && all.any(|judged| judged.outcome == Outcome::Undecided);
            differences += usize::from(tried.one != tried.other);
            if hidden {
                ControlFlow::Break(())
            } else {
                ControlFlow::Continue(())
            }
        })?;
        (!hidden).then_some(differences)
    }

    /// Tries every combination of what two rules can tell apart, until `visit` has enough; nothing where not
    /// all can be tried.
    pub(super) fn each_combination(
        &self,
        (pack, mutant): Of<'_>,
        visit: &mut dyn FnMut(Combination<'_, '_>) -> ControlFlow<()>,
    ) -> Option<()> {
        let each = |rule: &Rule| {
            let each = rule.selection.as_ref().map(|one| &one.each);
            each.map(|each| (each.list.field, each.paired))
        };
        // One thing is listed, which is of one list, and has none before it.
        if each(self.rule) != each(mutant) || each(mutant).is_some_and(|(_, paired)| paired) {
            return None;
        }
        let mut facts = self.nothing_known();
        let scene = self.scene(&facts, None);
        let cuts = [self.rule.cuts(), mutant.cuts()].concat();
        let mut cut = Vec::new();
        let mut combinations = 1_usize;
        for fact in self.read(mutant, &facts)? {
            let cells = cells_of(fact, scene, &cuts);
            combinations = combinations.checked_mul(cells.len())?;
            cut.push((fact, cells));
        }
        if combinations == 0 || combinations > BUDGET {
            return None;
        }
        let days = self.days(mutant);
        let known = days.is_some();
        let days = Interval::EVERYTHING.cells(&days.unwrap_or_default());
        combinations = combinations.checked_mul(days.len())?;
        if combinations > BUDGET {
            return None;
        }
        for combination in 0..combinations {
            let as_of = days[combination % days.len()];
            let (chosen, exact) = self.suppose(&mut facts, &cut, combination / days.len());
            let whole = known && exact;
            let scene = Scene {
                as_of,
                as_of_fact: None,
                ..self.scene(&facts, None)
            };
            let tried = Combination {
                facts: &chosen,
                whole,
                scene,
                one: &judge(self.rule, scene),
                other: &judge(mutant, scene.with(&pack.tables)),
            };
            if visit(tried).is_break() {
                break;
            }
        }
        Some(())
    }

    /// A survey of nothing, or of one thing that nothing is known of where the rule judges a list.
    fn nothing_known(&self) -> Facts {
        let selection = self.rule.selection.as_ref();
        let text = selection.map_or("{}".to_string(), |selection| {
            let list = self.vocabulary.field(selection.each.list.field);
            let held = "{count: 1, items: [{id: one}]}".to_string();
            let names = list.path.split('.').rev();
            names.fold(held, |held, name| format!("{{{name}: {held}}}"))
        });
        let source = Source::new("", text);
        let given = wetside_document::read(&source).root;
        cases::facts_of(&source, &given, self.vocabulary, &self.wanted()).0
    }

    /// One choice of a cell for each fact, by its number; whether all of them are known exactly.
    fn suppose<'c>(
        &self,
        facts: &mut Facts,
        cut: &'c [(FactId, Vec<Supposed>)],
        number: usize,
    ) -> (Vec<(FactId, &'c Supposed)>, bool) {
        let (mut rest, mut whole) = (number, true);
        let mut chosen = Vec::with_capacity(cut.len());
        for (fact, cells) in cut {
            let cell = &cells[rest % cells.len()];
            rest /= cells.len();
            whole &= !matches!(cell, Supposed::Range(range) if range.single().is_none());
            let content = self.content(facts.fact(*fact), cell);
            let fact_held = Fact {
                content,
                ..facts.fact(*fact).clone()
            };
            facts.set(*fact, fact_held);
            chosen.push((*fact, cell));
        }
        (chosen, whole)
    }

    /// The fixed days that either rule holds the day of judgement against; nothing where one asks it otherwise.
    fn days(&self, mutant: &Rule) -> Option<Vec<Exact>> {
        let mut days = Vec::new();
        let nodes = self.rule.guards().chain(mutant.guards());
        let mut nodes = nodes.chain([&self.rule.must.node, &mutant.must.node]);
        nodes.try_for_each(|node| node.note_days(&mut days))?;
        Some(days)
    }

    /// The facts that either rule reads; nothing where one of them is no plain fact of a survey.
    fn read(&self, mutant: &Rule, facts: &Facts) -> Option<Vec<FactId>> {
        let element = match &self.rule.selection {
            None => None,
            Some(selection) => {
                let list = selection.each.list.find(facts, |_| Facts::ROOT);
                Some(facts.elements(list).next()?)
            }
        };
        let mut read = Vec::new();
        let mut plain = true;
        let nodes = self.rule.guards().chain(mutant.guards());
        for node in nodes.chain([&self.rule.must.node, &mutant.must.node]) {
            node.visit_routes(&mut |route| {
                let start = match route.variable {
                    None => Some(Facts::ROOT),
                    Some(0) => element,
                    Some(_) => None,
                };
                let is_fact = matches!(self.vocabulary.field(route.field).shape, Shape::Fact(_));
                let start = start.filter(|_| is_fact);
                let fact = start.map(|start| route.find(facts, |_| start));
                match fact {
                    Some(fact) if !facts.is_worked_out(fact) => read.push(fact),
                    _ => plain = false,
                }
            });
        }
        read.sort_unstable();
        read.dedup();
        plain.then_some(read)
    }

    /// A fact that is known to lie in a cell.
    fn content(&self, fact: &Fact, cell: &Supposed) -> Content {
        Content::Known(match (cell, &self.vocabulary.field(fact.field).shape) {
            // No rule can tell the words of one cell apart.
            (Supposed::Words(words), _) => Value::Word(words[0]),
            (Supposed::Set { has, may }, _) => Value::Set {
                has: *has,
                may: *may,
            },
            (Supposed::Range(range), Shape::Fact(Type::Quantity { kind, .. })) => {
                Value::Quantity(Box::new(Quantity {
                    kind: *kind,
                    range: *range,
                    unit: UnitId::usual(*kind),
                    decimals: 0,
                    form: Form::Between,
                }))
            }
            (Supposed::Range(range), _) => Value::Time(Box::new(*range)),
        })
    }
}
