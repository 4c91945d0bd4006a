//! Mutants: each rule with one small change of its conditions, and whether any of its cases notices.
//!
//! A case notices a change when its outcome is no longer the one that it asks for. A change that no
//! case notices is a slip that nobody would hear of. `change` makes the changes (`turned`: the other sign,
//! number or quantifier), `never` tells those that change nothing, and `near` looks around the rule's own
//! cases for one that would notice (`turn`: where a comparison turns; `tree`: the survey of a case).
//!
//! Contract: pure, and bounded by counts. What is said to change nothing was tried in every combination
//! of what the rule can tell apart. A proposed case shows what the rule gives today; whether that is
//! right is for the writer of the rule to judge. This module must not know how any of it is shown.

mod change;
mod idle;
mod near;
mod never;
mod shown;
mod tree;
mod turn;
mod turned;

use crate::cases::{self, Case};
use crate::figures::Wanted;
use crate::pack::{Pack, Rule, Selection};
use crate::run::judge;
use change::{Change, Ground};
pub(crate) use idle::IdlePart;
pub(crate) use never::Combination;
pub use shown::{Shown, Unshown, shown};
use std::collections::HashSet;
use std::ops::ControlFlow;
use std::sync::Mutex;
use std::thread;
use wetside_base::facts::Facts;
use wetside_base::source::Span;
use wetside_base::vocabulary::Vocabulary;
use wetside_document::Node;
use wetside_lang::ast::{Expr, Form};
use wetside_lang::check::{self, Variable};
use wetside_lang::eval::Scene;
use wetside_lang::names::Names;
use wetside_lang::node::Checked;
use wetside_lang::parse::{parse, parse_each};
use wetside_units::Date;

/// What came of the mutants of one rule.
pub struct Tried {
    /// How many there are, without those that change nothing.
    pub mutants: usize,
    pub missed: Vec<Missed>,
}

/// A mutant that no case notices.
pub struct Missed {
    /// The change in plain words, as the rest of "no case notices …".
    pub says: String,
    rule: Rule,
}

/// A case that would notice some of what is missed.
pub struct Proposal {
    /// A line to paste under `cases:`.
    pub line: String,
    /// Places among what is missed.
    pub notices: Vec<usize>,
}

/// The conditions of a rule by these keys.
const KEYS: [&str; 3] = ["for_each", "when", "must"];

/// A rule with what its cases are judged by.
#[derive(Clone, Copy)]
struct Bench<'a> {
    pack: &'a Pack,
    rule: &'a Rule,
    vocabulary: &'a Vocabulary,
}

/// The same for each of several things, on as many cores as there are, in the order of the things.
pub fn of_each<I: Sync, T: Send>(things: &[I], work: impl Fn(&I) -> T + Sync) -> Vec<T> {
    let (waiting, done) = (
        Mutex::new(things.iter().enumerate()),
        Mutex::new(Vec::new()),
    );
    let next = || waiting.lock().ok()?.next();
    let worker = || {
        while let Some((at, thing)) = next() {
            let came = work(thing);
            if let Ok(mut done) = done.lock() {
                done.push((at, came));
            }
        }
    };
    let cores = thread::available_parallelism().map_or(1, usize::from);
    let workers = cores.min(things.len());
    thread::scope(|scope| (0..workers).for_each(|_| drop(scope.spawn(worker))));
    let mut done = done.into_inner().unwrap_or_default();
    done.sort_by_key(|(at, _)| *at);
    done.into_iter().map(|(_, came)| came).collect()
}

/// One survey of a case, read.
struct Staged {
    case: Case,
    given: Node,
    facts: Facts,
}

/// Tries every mutant of a rule.
pub fn tried(pack: &Pack, rule: &Rule, vocabulary: &Vocabulary) -> Tried {
    let bench = Bench::of((pack, rule), vocabulary);
    let mutants = bench.mutants();
    let staged = bench.staged();
    let missed = |mutant: &Rule| {
        let mut cases = staged.iter();
        cases.all(|Staged { case, facts, .. }| {
            let scene = bench.scene(facts, case.as_of);
            cases::compared(case, &judge(mutant, scene), scene).is_none()
        })
    };
    let mut all = mutants.len();
    let missed = mutants.into_iter().filter(|(_, mutant)| missed(mutant));
    let missed = missed.filter(|(_, mutant)| {
        let never = bench.never_differs(mutant);
        all -= usize::from(never);
        !never
    });
    let missed = missed.map(|(says, rule)| Missed { says, rule }).collect();
    Tried {
        mutants: all,
        missed,
    }
}

/// A rule with the pack that has all that it names.
pub(crate) type Of<'a> = (&'a Pack, &'a Rule);

/// Tries every combination of what two rules can tell apart: see [`never`](mod@never).
pub(crate) fn each_combination(
    one: Of<'_>,
    other: Of<'_>,
    vocabulary: &Vocabulary,
    visit: &mut dyn FnMut(Combination<'_, '_>) -> ControlFlow<()>,
) -> Option<()> {
    Bench::of(one, vocabulary).each_combination(other, visit)
}

/// The parts of a rule's conditions that do nothing, and how many were tried: see [`idle`].
pub(crate) fn idle_parts(
    pack: &Pack,
    rule: &Rule,
    vocabulary: &Vocabulary,
) -> (Vec<IdlePart>, usize) {
    Bench::of((pack, rule), vocabulary).idle_parts()
}

/// Few cases that together notice all that a search finds a case for, the most telling first.
pub fn proposals(
    pack: &Pack,
    rule: &Rule,
    vocabulary: &Vocabulary,
    missed: &[Missed],
) -> Vec<Proposal> {
    Bench::of((pack, rule), vocabulary).near(missed)
}

impl<'a> Bench<'a> {
    fn of((pack, rule): Of<'a>, vocabulary: &'a Vocabulary) -> Bench<'a> {
        Bench {
            pack,
            rule,
            vocabulary,
        }
    }

    fn names(&self) -> Names<'a> {
        self.pack.names(self.vocabulary)
    }

    /// The surveys of the rule's cases.
    fn staged(&self) -> Vec<Staged> {
        let source = self.rule.source();
        let wanted = self.wanted();
        let staged = |case: Case| {
            let facts = |given: &Node| cases::facts_of(&source, given, self.vocabulary, &wanted).0;
            let all = case.given.iter().map(|given| (given.clone(), facts(given)));
            let all: Vec<_> = all.collect();
            all.into_iter().map(move |(given, facts)| Staged {
                case: case.clone(),
                given,
                facts,
            })
        };
        cases::of(self.rule).into_iter().flat_map(staged).collect()
    }

    fn wanted(&self) -> Wanted {
        let fields = self.rule.reads().fields.into_iter();
        Wanted::by(fields.map(|field| self.vocabulary.field(field).path.as_str()))
    }

    fn scene<'f>(&self, facts: &'f Facts, as_of: Option<Date>) -> Scene<'f>
    where
        'a: 'f,
    {
        cases::scene(self.pack, self.vocabulary, facts, as_of)
    }

    /// The conditions of the rule, by [`KEYS`].
    fn exprs(&self) -> [Option<Expr>; 3] {
        let root = wetside_document::read(&self.rule.source()).root;
        let [for_each, when, must] = texts(&root);
        [
            for_each.map(selection),
            when.map(|text| parse(text).0),
            must.map(|text| parse(text).0),
        ]
    }

    /// Every rule that differs by one change and means something else on the page.
    fn mutants(&self) -> Vec<Change<Rule>> {
        let names = self.names();
        let root = wetside_document::read(&self.rule.source()).root;
        let texts = texts(&root);
        let exprs = self.exprs();
        let selection = self.rule.selection.iter();
        let scope: Vec<Variable> = selection.map(|one| one.variable.clone()).collect();
        let mut all = Vec::new();
        for (at, (key, text)) in KEYS.iter().zip(texts).enumerate() {
            let (Some(expr), Some(text)) = (&exprs[at], text) else {
                continue;
            };
            let scope = if at == 0 { &[] } else { scope.as_slice() };
            let mut with = |says: String, changed: Option<Expr>| {
                let mut exprs = exprs.clone();
                exprs[at] = changed;
                all.push((format!("`{key}` {says}"), self.judging_by(&exprs, names)));
            };
            if *key == "when" {
                with("left out".to_string(), None);
            }
            for (says, changed) in (Ground { text, names }).changes(expr, scope) {
                with(says, Some(changed));
            }
        }
        let mut limits = self.rule.reads().limits;
        limits.sort_unstable();
        limits.dedup();
        for at in limits {
            for (says, limits) in (Ground { text: "", names }).limits(at) {
                let limits = &limits;
                all.push((says, self.judging_by(&exprs, Names { limits, ..names })));
            }
        }
        let mut seen = HashSet::from([judged_by(self.rule)]);
        let sound = all
            .into_iter()
            .filter_map(|(says, rule)| Some((says, rule?)));
        sound
            .filter(|(_, rule)| seen.insert(judged_by(rule)))
            .collect()
    }

    /// The rule with other conditions; nothing where they have a fault.
    fn judging_by(&self, exprs: &[Option<Expr>; 3], names: Names<'_>) -> Option<Rule> {
        let mut rule = self.rule.clone();
        let mut scope = Vec::new();
        if let Some(selection) = &mut rule.selection {
            let Form::Every(each, when_empty, _) = &exprs[0].as_ref()?.form else {
                return None;
            };
            let (head, cuts, problems) = check::each(each, names);
            let (each, variable) = head.filter(|_| problems.is_empty())?;
            scope.push(variable.clone());
            *selection = Selection {
                variable,
                each,
                when_empty: *when_empty,
                cuts,
            };
        }
        let checked = |expr: &Expr| -> Option<Checked> {
            let (checked, problems) = check::condition(expr, names, &scope);
            problems.is_empty().then_some(checked)
        };
        rule.when = match &exprs[1] {
            Some(expr) => Some(checked(expr)?),
            None => None,
        };
        rule.must = checked(exprs[2].as_ref()?)?;
        Some(rule)
    }
}

/// The conditions of a rule as they are written, by [`KEYS`].
fn texts(rule: &Node) -> [Option<&str>; 3] {
    KEYS.map(|key| rule.get(key).and_then(|entry| entry.value.as_text()))
}

/// A rule's selection in the manner of `for every`, without a body.
fn selection(text: &str) -> Expr {
    let (each, when_empty, _) = parse_each(text);
    let (span, form) = (Span::new(0, text.len()), Form::Unreadable);
    let form = Form::Every(each, when_empty, Box::new(Expr { span, form }));
    Expr { span, form }
}

/// All that a rule's outcomes hang on, in writing: two rules that agree in it are one.
fn judged_by(rule: &Rule) -> String {
    let selection = rule
        .selection
        .as_ref()
        .map(|selection| (&selection.each, selection.when_empty));
    let when = rule.when.as_ref().map(|when| &when.node);
    format!("{selection:?} {when:?} {:?}", rule.must.node)
}
