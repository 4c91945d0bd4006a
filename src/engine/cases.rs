//! The cases inside the rules: small surveys, and the outcome that the rule must give for each.
//!
//! Contract: every case is run through the same reader, facts and judgement as a survey. A case that
//! gives another outcome, a fragment that is no part of a survey, and a rule without a case for each
//! outcome it can have are problems at the lines of the rule's own file. That a rule has no cases at
//! all is a matter of its shape, and whoever loads the pack says it.

pub mod usual;
pub mod whole;

use crate::figures::{self, Wanted};
use crate::pack::{CaseFile, Pack, PackProblem, Rule, RuleFile, own};
use crate::read;
use crate::run::{Judged, element_name, fact_name, is_open, judge, scene_of_case};
use crate::schema;
use std::sync::Arc;
use wetside_base::facts::{FactId, Facts};
use wetside_base::finding::Outcome;
use wetside_base::problem::Problem;
use wetside_base::source::{Source, Span};
use wetside_base::vocabulary::Vocabulary;
use wetside_document::{Entry, Node, Reading, Value};
use wetside_lang::eval::{Scene, answer};
use wetside_schemas::Which;
use wetside_units::Date;

/// What came of running the cases of a pack.
#[derive(Debug, Default)]
pub struct CaseRun {
    pub rules: usize,
    pub cases: usize,
    pub passed: usize,
    /// Cases that came out otherwise, and rules that lack a case.
    pub problems: Vec<PackProblem>,
}

/// A case as written.
#[derive(Clone, Debug)]
pub struct Case {
    pub name: String,
    /// A survey for each of the values that the case is written with.
    pub(crate) given: Vec<Node>,
    pub(crate) as_of: Option<Date>,
    pub then: Expected,
    /// The place of its outcome.
    span: Span,
}

impl Case {
    pub(crate) fn shows(&self, outcome: Outcome) -> bool {
        match &self.then {
            Expected::Whole(expected) => *expected == outcome,
            Expected::Elements(elements) => elements.iter().any(|(_, one)| *one == outcome),
        }
    }
}

/// The outcome that a case asks for.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Expected {
    /// Of the rule as a whole: of its elements the worst.
    Whole(Outcome),
    /// Of elements by their ids.
    Elements(Vec<(String, Outcome)>),
}

/// The cases of one file.
#[derive(Debug, Default)]
struct Cases {
    /// Those that could be read, in the order of the file.
    read: Vec<Case>,
    written: usize,
    /// Where their heading stands.
    heading: Option<Span>,
    problems: Vec<Problem>,
}

/// Runs the cases of every rule that the pack of a name wrote.
pub fn run(pack: &Pack, name: &str, vocabulary: &Vocabulary) -> CaseRun {
    let mut done = CaseRun::default();
    // What a layer changed is no longer what the cases of the rule show.
    let own = |rule: &&Rule| rule.pack == name && rule.changes.iter().all(|one| one.pack == name);
    for rule in pack.rules.iter().filter(own) {
        done.rules += 1;
        let source = Arc::new(rule.source());
        let cases = read_cases(&source);
        let mut problems = cases.problems;
        done.cases += cases.read.len();
        for case in &cases.read {
            match run_case(pack, rule, &source, case, vocabulary) {
                Ok(()) => done.passed += 1,
                Err(wrong) => problems.extend(wrong),
            }
        }
        // Of a case that could not be read, and of a rule that has none, a problem speaks already.
        if cases.written > 0 && cases.read.len() >= cases.written {
            let place = cases.heading.unwrap_or(rule.must_span);
            problems.extend(missing_outcomes(rule, &cases.read, place));
        }
        done.problems.extend(PackProblem::each(&source, problems));
    }
    done
}

/// The cases of a rule, in the order of its file.
pub fn of(rule: &Rule) -> Vec<Case> {
    read_cases(&rule.source()).read
}

fn read_cases(source: &Source) -> Cases {
    let root = wetside_document::read(source).root;
    let file = wetside_document::typed::<RuleFile>(&root);
    let mut cases = Cases::default();
    if let Some(written) = file.ok().and_then(|file| file.cases) {
        cases.heading = written.key;
        cases.written = written.value.len();
        let read = written.value.iter();
        cases.read = read
            .filter_map(|case| read_case(case, &root, &mut cases.problems))
            .collect();
    }
    cases
}

pub(crate) fn read_case(file: &CaseFile, root: &Node, problems: &mut Vec<Problem>) -> Option<Case> {
    let mut as_of = None;
    if let Some(day) = &file.as_of {
        match Date::parse(&day.value) {
            Ok(date) => as_of = Some(date),
            Err(fault) => {
                problems.push(Problem::new("not-a-date", day.span, fault.says, fault.help));
                return None;
            }
        }
    }
    let then = root.at(file.then.as_ref()?.span)?;
    let expected = match &then.value {
        Value::Scalar(word) => Expected::Whole(Outcome::named(&word.text)?),
        Value::Map(elements) => {
            let outcomes = elements.iter().map(|Entry { key, value }| {
                let outcome = Outcome::named(value.as_text()?)?;
                Some((key.text.to_string(), outcome))
            });
            Expected::Elements(outcomes.collect::<Option<_>>()?)
        }
        _ => return None,
    };
    Some(Case {
        name: own(&file.name),
        given: each_of(root.at(file.given.as_ref()?.span)?),
        as_of,
        then: expected,
        span: then.span,
    })
}

pub(crate) fn run_case(
    pack: &Pack,
    rule: &Rule,
    source: &Source,
    case: &Case,
    vocabulary: &Vocabulary,
) -> Result<(), Vec<Problem>> {
    case.given.iter().try_for_each(|given| {
        let reading = reading(given);
        let (facts, mut problems) = facts_of(source, given, vocabulary, &Wanted::everything());
        let more = schema::check::beside(Which::Fragment, source, &reading, &problems);
        problems.extend(more);
        if !problems.is_empty() {
            return Err(problems);
        }
        let scene = scene(pack, vocabulary, &facts, case.as_of);
        let judged = judge(rule, scene);
        let Some(mut wrong) = compared(case, &judged, scene) else {
            return Ok(());
        };
        let open = open(rule, &judged, scene);
        if !open.is_empty() {
            wrong.help += &format!("; open is {}", open.join(", "));
        }
        Err(vec![wrong])
    })
}

/// What leaves a rule undecided, by the names that a case writes.
fn open(rule: &Rule, judged: &[Judged], scene: Scene<'_>) -> Vec<String> {
    let undecided = judged
        .iter()
        .filter(|one| one.outcome == Outcome::Undecided);
    let read = undecided.flat_map(|one| {
        let element: Vec<FactId> = one.element.into_iter().collect();
        let nodes = rule.guards().chain([&rule.must.node]);
        let read = nodes.flat_map(move |node| answer(node, &scene, &element).trail);
        read.collect::<Vec<_>>()
    });
    let open = read.filter(|fact| is_open(scene.facts, *fact));
    let mut names: Vec<String> = open
        .map(|fact| {
            if scene.as_of_fact == Some(fact) {
                "the day of judgement, which a case gives as `as_of`".to_string()
            } else {
                format!("`{}`", fact_name(scene, fact))
            }
        })
        .collect();
    names.sort();
    names.dedup();
    names
}

/// What a case of a pack is judged against.
pub(crate) fn scene<'a>(
    pack: &'a Pack,
    vocabulary: &'a Vocabulary,
    facts: &'a Facts,
    as_of: Option<Date>,
) -> Scene<'a> {
    scene_of_case(vocabulary, facts, as_of).with(&pack.tables)
}

/// The outcome of a rule as a whole.
pub(crate) fn worst(judged: &[Judged]) -> Outcome {
    Outcome::worst(judged.iter().map(|judged| judged.outcome))
}

/// The outcomes of two rules, each in its pack, on the cases of a third: the worst of each, by the case's name.
/// A rule that is not there gives nothing.
pub(crate) fn outcomes_on<'a>(
    of: &'a Rule,
    rules: [Option<(&'a Pack, &'a Rule)>; 2],
    vocabulary: &'a Vocabulary,
) -> impl Iterator<Item = (String, [Option<Outcome>; 2])> {
    let source = of.source();
    read_cases(&source).read.into_iter().flat_map(move |case| {
        let tried = |given: &Node| {
            let (facts, _) = facts_of(&source, given, vocabulary, &Wanted::everything());
            rules.map(|rule| {
                let (pack, rule) = rule?;
                let scene = scene(pack, vocabulary, &facts, case.as_of);
                Some(worst(&judge(rule, scene)))
            })
        };
        let all: Vec<_> = case
            .given
            .iter()
            .map(|given| (case.name.clone(), tried(given)))
            .collect();
        all
    })
}

/// What stands for several values in a case: `kind: {any_of: [school, clinic]}`.
pub(crate) const ANY_OF: &str = "any_of";

/// The surveys that a case stands for: one for each of the values that [`ANY_OF`] gives.
fn each_of(given: &Node) -> Vec<Node> {
    let with = |value| Node {
        value,
        ..given.clone()
    };
    match &given.value {
        Value::Map(entries) if entries.len() == 1 && entries[0].key.text == ANY_OF => {
            entries[0].value.items().iter().flat_map(each_of).collect()
        }
        Value::Map(entries) => {
            let values = entries.iter().map(|entry| &entry.value);
            let maps = each_with_each(values).into_iter().map(|values| {
                let entries = entries.iter().zip(values);
                let entries = entries.map(|(Entry { key, .. }, value)| Entry {
                    key: key.clone(),
                    value,
                });
                with(Value::Map(entries.collect()))
            });
            maps.collect()
        }
        Value::List(items) => {
            let lists = each_with_each(items.iter()).into_iter();
            lists.map(|items| with(Value::List(items))).collect()
        }
        _ => vec![given.clone()],
    }
}

fn each_with_each<'n>(nodes: impl Iterator<Item = &'n Node>) -> Vec<Vec<Node>> {
    nodes.fold(vec![Vec::new()], |rows, node| {
        let more = each_of(node);
        let longer = |row: Vec<Node>| {
            let with = |node: &Node| [row.as_slice(), std::slice::from_ref(node)].concat();
            more.iter().map(with).collect::<Vec<_>>()
        };
        rows.into_iter().flat_map(longer).collect()
    })
}

fn reading(given: &Node) -> Reading {
    Reading {
        root: given.clone(),
        problems: Vec::new(),
        lost: Vec::new(),
    }
}

/// The facts of a part of a survey, with the figures that are wanted, and what is wrong with it.
pub(crate) fn facts_of(
    source: &Source,
    given: &Node,
    vocabulary: &Vocabulary,
    wanted: &Wanted,
) -> (Facts, Vec<Problem>) {
    let (mut facts, problems) = read::read(source, &reading(given), vocabulary);
    figures::derive_wanted(&mut facts, vocabulary, wanted);
    (facts, problems)
}

/// How the outcome differs from the one that the case asks for, if it does.
pub(crate) fn compared(case: &Case, judged: &[Judged], scene: Scene<'_>) -> Option<Problem> {
    let says = match &case.then {
        Expected::Whole(expected) => {
            let found = worst(judged);
            let differs = found != *expected;
            differs.then(|| format!("the case asks for {expected}, the rule gives {found}"))
        }
        Expected::Elements(expected) => expected.iter().find_map(|(name, outcome)| {
            let is_it = |element| element_name(scene, element) == name.as_str();
            let mut named = judged.iter().filter(|one| one.element.is_some_and(is_it));
            match named.next().map(|one| one.outcome) {
                Some(found) if found == *outcome => None,
                Some(found) => Some(format!(
                    "for `{name}` the case asks for {outcome}, the rule gives {found}"
                )),
                None => Some(format!("the rule judges nothing called `{name}`")),
            }
        }),
    };
    let help = format!("mend the rule or the case `{}`", case.name);
    says.map(|says| Problem::new("case-differs", case.span, says, help))
}

/// A rule is shown by its cases to be able to fail, to be content, and to be in doubt.
fn missing_outcomes(rule: &Rule, cases: &[Case], place: Span) -> Option<Problem> {
    let guarded = rule.when.is_some() || rule.selection.is_some();
    let wanted = Outcome::ALL
        .into_iter()
        .filter(|outcome| guarded || *outcome != Outcome::NotApplicable);
    let shown = |outcome: Outcome| cases.iter().any(|case| case.shows(outcome));
    let missing: Vec<&str> = wanted
        .filter(|outcome| !shown(*outcome))
        .map(Outcome::words)
        .collect();
    if missing.is_empty() {
        return None;
    }
    let says = format!("no case shows this rule {}", missing.join(", nor "));
    let help = "add a case for each outcome that the rule can have";
    Some(Problem::new("case-missing", place, says, help))
}
