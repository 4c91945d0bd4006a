//! The law of refinement where what is added contradicts what was there: broken stays broken, and what was
//! met or not applicable may become undecided, but never broken. And an answer in doubt passes nothing.
//!
//! Tried on the examples with one key written wrong throughout, so that they contradict themselves, and on
//! the same with much of it forgotten.

use super::refinement::{forget, outcomes};
use crate::generate::{Chance, Read, examples, in_two, packs};
use std::sync::atomic::{AtomicUsize, Ordering::Relaxed};
use wetside_base::facts::Facts;
use wetside_base::finding::Outcome;
use wetside_engine::agreements::{doubted, open};
use wetside_engine::pack::Rule;
use wetside_engine::run::judge_in_doubt;
use wetside_lang::eval::Scene;

/// A key, and what is written for it then.
const SLIPS: &[(&str, &str)] = &[
    ("nature", "none"),
    ("static_pressure", "0 bar"),
    ("longest_run", "2 m"),
    ("surveyed", "2027-10-06"),
    ("inspected", "2036-04-20"),
    ("storey", "9"),
    ("work_date", "2016-10-13"),
    ("restored", "as found"),
    ("cistern_present", "no"),
    ("fresh_water", "2 L"),
];

/// The text with every value of a key written anew; what stands behind it on its line stays.
fn slipped(text: &str, key: &str, value: &str) -> String {
    let mark = format!(" {key}: ");
    let mut parts = text.split(&mark);
    let mut slipped = parts.next().unwrap_or_default().to_string();
    for part in parts {
        let end = part.find([',', '}', '#', '\n']).unwrap_or(part.len());
        slipped += &format!("{mark}{value} {}", &part[end..]);
    }
    slipped
}

fn figured(facts: Facts, of: &Read) -> Read {
    let source = of.source.clone();
    let read = Read {
        source,
        facts,
        problems: 0,
    };
    read.with_figures()
}

#[test]
fn a_contradiction_takes_back_what_passed_and_nothing_that_was_broken() {
    let vocabulary = &packs().vocabulary;
    let (tried, taken_back) = (AtomicUsize::new(0), AtomicUsize::new(0));
    let all = in_two(examples(), |example| {
        let mut wrong = Vec::new();
        for (time, (key, value)) in (0..).zip(SLIPS) {
            let recorded = Read::by(&slipped(&example.text, key, value), vocabulary);
            let written = figured(recorded.facts.clone(), &recorded);
            let found = packs().contradictions(written.scene(vocabulary, None));
            if found.is_empty() {
                continue;
            }
            tried.fetch_add(1, Relaxed);
            let mut opened = recorded.facts.clone();
            open(&mut opened, doubted(&found).into_keys());
            let opened = figured(opened, &recorded);
            let mut chance = Chance::new(time);
            let forgotten = forget(&recorded.facts, 5, vocabulary, &mut chance);
            let less = figured(forgotten, &recorded);
            let scenes = [&less, &written, &opened].map(|read| read.scene(vocabulary, None));
            for rule in packs().packs.iter().flat_map(|pack| &pack.rules) {
                let [less, written, opened] = scenes.map(|scene| with_tables(rule, scene));
                let (told, back) = against_the_law(rule, less, written, opened);
                taken_back.fetch_add(back, Relaxed);
                wrong.extend(told.map(|what| format!("{}, {key}: {what}", example.name)));
            }
        }
        wrong
    });
    let wrong: Vec<String> = all.into_iter().flatten().collect();
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
    let counts = (tried.into_inner(), taken_back.into_inner());
    assert!(
        counts.0 > 40 && counts.1 > 300,
        "too little was tried: {counts:?}"
    );
}

fn with_tables<'a>(rule: &Rule, scene: Scene<'a>) -> Scene<'a> {
    let mut packs = packs().packs.iter();
    let pack = packs
        .find(|pack| pack.rule(&rule.id).is_some())
        .expect("it has a pack");
    Scene {
        tables: &pack.tables,
        ..scene
    }
}

/// What breaks the law, and how many outcomes the contradiction took back.
fn against_the_law(
    rule: &Rule,
    less: Scene<'_>,
    written: Scene<'_>,
    opened: Scene<'_>,
) -> (Option<String>, usize) {
    let in_doubt = judge_in_doubt(rule, written, opened);
    let taken_back = in_doubt.iter().filter(|one| one.through_doubt).count();
    let in_doubt = super::refinement::by_name(in_doubt.into_iter().map(|one| one.judged), written);
    let (before, open) = (outcomes(rule, less), outcomes(rule, opened));
    let passes = |outcome: &Outcome| matches!(outcome, Outcome::Met | Outcome::NotApplicable);
    let broke = before.iter().find_map(|(at, before)| {
        let after = in_doubt.get(at).copied().unwrap_or(Outcome::NotApplicable);
        let kept = match before {
            Outcome::Broken => after == Outcome::Broken,
            Outcome::Met | Outcome::NotApplicable => after != Outcome::Broken,
            Outcome::Undecided => true,
        };
        (!kept).then(|| format!("{}, `{}`: {before} became {after}", rule.id, at.1))
    });
    let passed = in_doubt
        .iter()
        .find(|(at, outcome)| passes(outcome) && !open.get(at).is_some_and(passes));
    let passed =
        passed.map(|(at, _)| format!("{}, `{}` passes on an answer in doubt", rule.id, at.1));
    (broke.or(passed), taken_back)
}
