//! A survey with any one line deleted, emptied, misspelt or set to `unknown` never turns from *not
//! clear* to *clear*; and where a line can go while the verdict stays *clear*, no hazard rule rests
//! on it.
//!
//! A misspelling changes letters only: another number is another reading, which nobody can tell from
//! a slip.

use crate::generate::edits::{Edit, Way, content, edits, without};
use crate::generate::{Example, Read, examples, full, in_two, judged, judged_at, packs};
use std::collections::{BTreeMap, BTreeSet};
use wetside_base::facts::{Content, FactId, Value};
use wetside_base::finding::{Class, Judgement, Outcome, Stage, Verdict};
use wetside_base::vocabulary::{FieldId, Shape, Type};
use wetside_engine::check::Ask;
use wetside_engine::pack::Rule;
use wetside_engine::run::{Judged, On, judge};
use wetside_lang::eval::{Scene, answer};
use wetside_units::truth::Truth;

fn clear(text: &str) -> bool {
    judged(text).verdict == Verdict::Clear
}

fn clear_at_hand_back(text: &str) -> bool {
    judged_at(text, Stage::HandBack).verdict == Verdict::Clear
}

fn told(example: &Example, edit: &Edit) -> String {
    told_of(&example.name, &example.text, edit)
}

fn told_of(name: &str, text: &str, edit: &Edit) -> String {
    format!("{name}:{} {:?}: {}", edit.line, edit.way, edit.shown(text))
}

/// Whether the survey is clear after an edit. What empties or misspells is mostly refused where it is
/// read, and a survey with a problem is not clear: another test holds that to be true, and this one
/// is quicker for it.
fn clear_after(text: &str, edit: &Edit) -> bool {
    let text = edit.of(text);
    let mostly_refused = matches!(
        edit.way,
        Way::Emptied | Way::KeyMisspelt | Way::ValueMisspelt
    );
    !(mostly_refused && Read::by(&text, &packs().vocabulary).problems > 0) && clear(&text)
}

#[test]
fn a_survey_with_a_problem_is_never_clear() {
    for example in examples() {
        for edit in edits(&example.text, false).into_iter().step_by(97) {
            let text = edit.of(&example.text);
            let faulty = Read::by(&text, &packs().vocabulary).problems > 0;
            let judgement = judged(&text);
            assert!(
                !faulty || !judgement.problems.is_empty() && judgement.verdict != Verdict::Clear
            );
        }
    }
}

#[test]
fn no_spoilt_line_makes_a_survey_clear() {
    let mut wrong = Vec::new();
    for example in examples() {
        let (now, late) = (clear(&example.text), clear_at_hand_back(&example.text));
        let spoils = |edit: &Edit| {
            // What is due at hand-back includes what is due before, so a text that is not clear at
            // its own stage is not clear then; another test holds that to be true.
            let own = !(now && late) && clear_after(&example.text, edit);
            let turned = own && (!now || !late && clear_at_hand_back(&edit.of(&example.text)));
            turned.then(|| told(example, edit))
        };
        let edits = edits(&example.text, full());
        wrong.extend(in_two(&edits, spoils).into_iter().flatten());
    }
    assert!(wrong.is_empty(), "turned clear:\n{}", wrong.join("\n"));
}

/// A later stage finds all that an earlier one finds. Its verdict is no milder while the work goes on; past that
/// only what a rule says is past is told more softly.
#[test]
fn a_later_stage_never_judges_more_kindly() {
    for example in examples() {
        let judged: Vec<Judgement> = Stage::ALL
            .map(|stage| judged_at(&example.text, stage))
            .to_vec();
        let at_work = Stage::ALL.iter().filter(|stage| **stage <= Stage::Protect);
        let verdicts: Vec<Verdict> = judged
            .iter()
            .take(at_work.count())
            .map(|one| one.verdict)
            .collect();
        assert!(verdicts.is_sorted(), "{}: {verdicts:?}", example.name);
        let found = |one: &Judgement| -> BTreeSet<(String, Outcome)> {
            let each = one.findings.iter();
            each.map(|found| (found.rule.clone(), found.outcome))
                .collect()
        };
        for pair in judged.windows(2) {
            assert!(
                found(&pair[0]).is_subset(&found(&pair[1])),
                "{}",
                example.name
            );
        }
    }
}

/// The clear examples, each once with every line missing that leaves a sound text which is not
/// clear.
fn lacking_one_line(example: &Example) -> Vec<(usize, String)> {
    let lines: Vec<usize> = (1..=example.text.lines().count()).collect();
    let lacking = in_two(&lines, |line| {
        let text = without(&example.text, *line);
        let judgement = judged(&text);
        let blank = content(example.text.lines().nth(line - 1).unwrap_or_default())
            .trim()
            .is_empty();
        (!blank && judgement.verdict != Verdict::Clear && judgement.problems.is_empty())
            .then_some((*line, text))
    });
    lacking.into_iter().flatten().collect()
}

#[test]
fn a_second_spoilt_line_does_not_make_up_for_a_missing_one() {
    let share = if full() { 10 } else { 700 };
    let mut wrong = Vec::new();
    let mut tried = 0;
    for example in examples().iter().filter(|example| clear(&example.text)) {
        let lacking = lacking_one_line(example);
        assert!(!lacking.is_empty(), "{} rests on nothing", example.name);
        let spoils = |(line, text): &(usize, String)| {
            let edits = edits(text, false)
                .into_iter()
                .enumerate()
                .filter(|(at, _)| (at + line) % share == 0);
            let edits: Vec<Edit> = edits.map(|(_, edit)| edit).collect();
            let turned = edits.iter().filter(|edit| clear_after(text, edit));
            let turned = turned.map(|edit| {
                let told = told_of(&example.name, text, edit);
                format!("without line {line}, {told}")
            });
            (edits.len(), turned.collect::<Vec<String>>())
        };
        for (count, turned) in in_two(&lacking, spoils) {
            tried += count;
            wrong.extend(turned);
        }
    }
    assert!(wrong.is_empty(), "turned clear:\n{}", wrong.join("\n"));
    assert!(tried > 700, "only {tried} pairs were tried");
}

/// The facts on which a decided outcome rests: those of the guard that shut the rule out, or those
/// of the demand that is met. Nothing where plain evaluation does not decide it, but trying all
/// that an open fact can be does.
fn rests_on(rule: &Rule, scene: Scene<'_>, judged: &Judged) -> Option<Vec<FactId>> {
    let variables: Vec<FactId> = judged.element.into_iter().collect();
    let ask = |node| answer(node, &scene, &variables);
    let filter = rule
        .selection
        .as_ref()
        .and_then(|selection| selection.each.filter.as_deref());
    let mut guards = filter
        .into_iter()
        .chain(rule.when.as_ref().map(|when| &when.node))
        .map(ask);
    if let On::List(list) = judged.on {
        return Some(vec![list]);
    }
    match judged.outcome {
        Outcome::NotApplicable => guards
            .find(|guard| guard.truth == Truth::No)
            .map(|guard| guard.trail),
        _ => Some(ask(&rule.must.node))
            .filter(|demand| demand.truth == Truth::Yes)
            .map(|demand| demand.trail),
    }
}

fn is_open(scene: Scene<'_>, fact: FactId) -> bool {
    match &scene.facts.fact(fact).content {
        Content::Open(_) => true,
        Content::List { listed, extent, .. } => !extent.is_complete(*listed),
        Content::Known(Value::Set { has, may }) => has != may,
        Content::Known(_) | Content::Group { .. } => false,
    }
}

/// Whether every word that an open choice can be leaves the outcome standing.
fn whatever_it_is(rule: &Rule, scene: Scene<'_>, judged: &Judged, open: FactId) -> bool {
    let Shape::Fact(Type::Choice(words)) =
        &scene.vocabulary.field(scene.facts.fact(open).field).shape
    else {
        return false;
    };
    words.iter().all(|word| {
        let facts = scene.facts.with(open, Content::Known(Value::Word(*word)));
        let outcomes = judge(
            rule,
            Scene {
                facts: &facts,
                ..scene
            },
        );
        let same = outcomes
            .iter()
            .find(|other| other.element == judged.element);
        same.is_some_and(|same| matches!(same.outcome, Outcome::Met | Outcome::NotApplicable))
    })
}

/// What is known of each field, wherever its facts lie: a rule that reads only fields of which the same is known in
/// two texts gets the same in both, from the same grounds.
fn by_field(read: &Read) -> BTreeMap<FieldId, Vec<String>> {
    let mut known: BTreeMap<FieldId, Vec<String>> = BTreeMap::new();
    for (_, fact) in read.facts.all() {
        let content = match &fact.content {
            Content::Group { .. } => String::new(),
            Content::List { listed, extent, .. } => format!("{listed} {extent:?}"),
            other => format!("{other:?}"),
        };
        known.entry(fact.field).or_default().push(content);
    }
    known
}

/// The hazard rules due that are decided although they rest on something open
/// that could be otherwise; of an edited text only those that read something else than in the text before.
fn decided_on_nothing(read: &Read, stage: Stage, before: Option<&Read>) -> Vec<String> {
    let mut wrong = Vec::new();
    let known = [Some(read), before].map(|read| read.map(by_field).unwrap_or_default());
    let reads_otherwise = |rule: &Rule| {
        let reads = rule.reads();
        let otherwise = |field: &FieldId| known[0].get(field) != known[1].get(field);
        before.is_none() || reads.as_of || reads.fields.iter().any(otherwise)
    };
    for pack in &packs().packs {
        let scene = Scene {
            tables: &pack.tables,
            ..read.scene(&packs().vocabulary, Ask::default().as_of)
        };
        for rule in pack
            .rules
            .iter()
            .filter(|rule| rule.class == Class::Hazard && rule.stage <= stage)
            .filter(|rule| reads_otherwise(rule))
        {
            for judged in judge(rule, scene) {
                let decided = matches!(judged.outcome, Outcome::Met | Outcome::NotApplicable);
                let grounds = rests_on(rule, scene, &judged)
                    .filter(|_| decided)
                    .unwrap_or_default();
                let open = grounds.into_iter().find(|fact| {
                    is_open(scene, *fact) && !whatever_it_is(rule, scene, &judged, *fact)
                });
                wrong.extend(open.map(|fact| {
                    let fact = wetside_engine::run::fact_name(scene, fact);
                    format!(
                        "{} is {} and rests on `{fact}`, which is open",
                        rule.id, judged.outcome
                    )
                }));
            }
        }
    }
    wrong
}

/// A clear text after one of its lines is gone: nothing where it is clear no longer.
struct Spared {
    key: Option<String>,
    wrong: Vec<String>,
}

fn spared(example: &Example, whole: &Read, edit: &Edit) -> Option<Spared> {
    let text = edit.of(&example.text);
    let judgement = judged(&text);
    if judgement.verdict != Verdict::Clear {
        return None;
    }
    let line = example.text.lines().nth(edit.line - 1).unwrap_or_default();
    let key = line.trim_start().trim_start_matches("- ").split(':').next();
    let read = Read::for_rules(&text);
    let wrong = decided_on_nothing(&read, judgement.stage, Some(whole)).into_iter();
    Some(Spared {
        key: key.filter(|_| edit.way == Way::Deleted).map(str::to_string),
        wrong: wrong
            .map(|why| format!("{}: {why}", told(example, edit)))
            .collect(),
    })
}

/// The keys of the lines that can go are kept in `tests/properties/lines-that-can-go.snap`: a key
/// that turns up there is one that nothing but figures, advice and later stages rest on.
#[test]
fn a_line_that_can_go_is_one_that_no_hazard_rests_on() {
    let (mut wrong, mut page) = (Vec::new(), String::new());
    for example in examples().iter().filter(|example| clear(&example.text)) {
        let gone =
            |edit: &Edit| matches!(edit.way, Way::Deleted | Way::BlockDeleted | Way::Unknown);
        let edits: Vec<Edit> = edits(&example.text, false)
            .into_iter()
            .filter(gone)
            .collect();
        let whole = Read::for_rules(&example.text);
        wrong.extend(decided_on_nothing(
            &whole,
            judged(&example.text).stage,
            None,
        ));
        let mut keys = BTreeSet::new();
        for spared in in_two(&edits, |edit| spared(example, &whole, edit))
            .into_iter()
            .flatten()
        {
            keys.extend(spared.key);
            wrong.extend(spared.wrong);
        }
        let keys: Vec<String> = keys.into_iter().collect();
        page.push_str(&format!("{}\n  {}\n", example.name, keys.join("\n  ")));
    }
    assert!(
        wrong.is_empty(),
        "clear on the strength of nothing:\n{}",
        wrong.join("\n")
    );
    insta::with_settings!({snapshot_path => "../../properties", prepend_module_to_snapshot => false, omit_expression => true}, {
        insta::assert_snapshot!("lines-that-can-go", page);
    });
}
