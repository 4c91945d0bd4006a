//! What the analysis and the comparison of packs say never to happen never does, and what they show is so: on
//! made-up packs, tried with made-up surveys.

use super::refinement::outcomes;
use crate::generate::rules::{Forms, conditions, pack_of};
use crate::generate::{Chance, Read, full, in_two, surveys};
use std::sync::atomic::{AtomicUsize, Ordering::Relaxed};
use wetside_base::finding::Outcome;
use wetside_base::vocabulary::Vocabulary;
use wetside_engine::analysis;
use wetside_engine::comparison::{self, Became};
use wetside_engine::pack::{Pack, PackFiles, PackProblem};
use wetside_lang::eval::Scene;

/// Surveys that each pack is tried with: 100,000 of all in the long run.
const SURVEYS: usize = 100;

fn seeds() -> Vec<u64> {
    (0..if full() { 1_000 } else { 40 }).collect()
}

fn drawn(vocabulary: &Vocabulary, chance: &mut Chance) -> Vec<Read> {
    let pairs = (0..SURVEYS / 2).map(|_| surveys::pair(chance));
    let texts = pairs.flat_map(|(less, more)| [less, more]);
    texts.map(|text| Read::by(&text, vocabulary)).collect()
}

/// The worst outcome of a rule of a pack, and all of them.
fn came(pack: &Pack, id: &str, read: &Read, vocabulary: &Vocabulary) -> (Outcome, Vec<Outcome>) {
    let scene = Scene {
        tables: &pack.tables,
        ..read.scene(vocabulary, None)
    };
    let Some(rule) = pack.rule(id) else {
        return (Outcome::NotApplicable, Vec::new());
    };
    let all: Vec<Outcome> = outcomes(rule, scene).into_values().collect();
    (Outcome::worst(all.iter().copied()), all)
}

fn weight(outcome: Outcome) -> u8 {
    match outcome {
        Outcome::Broken => 2,
        Outcome::Undecided => 1,
        Outcome::Met | Outcome::NotApplicable => 0,
    }
}

/// The survey of the facts that a sentence names between backticks.
fn shown(says: &str) -> String {
    let facts = says.split('`').filter(|part| part.contains(": "));
    let (mut thing, mut element) = (String::new(), "id: one".to_string());
    for fact in facts {
        if let Some(fact) = fact.strip_prefix("thing.") {
            thing += &format!("  {fact}\n");
        } else if let Some(fact) = fact.strip_prefix("boxes, one: ") {
            element += &format!(", {fact}");
        }
    }
    let thing = if thing.is_empty() {
        String::new()
    } else {
        format!("thing:\n{thing}")
    };
    format!("{thing}boxes: {{count: 1, items: [{{{element}}}]}}\n")
}

/// The demand of a rule joined with that of another.
fn joined(one: &str, word: &str, other: &str) -> Option<String> {
    let must = other.split_once("must: ")?.1.trim();
    let plain = !one.contains("for_each") && !other.contains("for_each");
    let (head, own) = one.split_once("must: ")?;
    plain.then(|| format!("{head}must: ({}) {word} ({must})\n", own.trim()))
}

#[test]
fn what_became_of_a_rule_is_so() {
    let vocabulary = surveys::vocabulary();
    let counts: [AtomicUsize; 6] = Default::default();
    in_two(&seeds(), |seed| {
        let mut chance = Chance::new(*seed);
        let forms = if chance.once_in(2) {
            Forms::Plain
        } else {
            Forms::All
        };
        let [one, other] = [0, 0].map(|_| conditions(forms, &mut chance));
        let newer = [
            joined(&one, "and", &other),
            joined(&one, "or", &other),
            Some(other.clone()),
        ];
        let newer: Vec<String> = newer.into_iter().flatten().collect();
        let older: Vec<String> = newer.iter().map(|_| one.clone()).chain([other]).collect();
        let ((old, wrong), (new, more)) =
            (pack_of(&older, &vocabulary), pack_of(&newer, &vocabulary));
        if !wrong.is_empty() || !more.is_empty() {
            return;
        }
        let reads = drawn(&vocabulary, &mut chance);
        for change in comparison::of(
            std::slice::from_ref(&old),
            std::slice::from_ref(&new),
            &vocabulary,
        ) {
            counts[change.became as usize].fetch_add(1, Relaxed);
            let on = |read: &Read| {
                let was = came(&old, &change.rule, read, &vocabulary).0;
                (was, came(&new, &change.rule, read, &vocabulary).0)
            };
            for read in &reads {
                let (was, is) = on(read);
                let told = || {
                    format!(
                        "{seed}: {one}{} {:?}: {was}, {is}\n{}",
                        change.rule, change.became, read.source.text
                    )
                };
                match change.became {
                    Became::Alike => assert_eq!(weight(was), weight(is), "{}", told()),
                    Became::Tighter => assert!(weight(is) >= weight(was), "{}", told()),
                    _ => {}
                }
            }
            let Some(says) = change.shown.filter(|says| !says.contains("on its case")) else {
                continue;
            };
            let read = Read::by(&shown(&says), &vocabulary);
            let (was, is) = on(&read);
            let right = match change.became {
                Became::Looser => weight(is) < weight(was),
                Became::Gone => was == Outcome::Broken,
                Became::New => is == Outcome::Broken,
                _ => says.ends_with(&format!("it was {was} and is {is}")),
            };
            assert!(
                right,
                "{seed}: {says}: {was}, {is}\n{one}\n{newer:?}\n{}",
                read.source.text
            );
        }
    });
    let counts = counts.map(|count| count.load(Relaxed));
    for seen in [Became::Tighter, Became::Tried, Became::Gone, Became::Looser] {
        assert!(counts[seen as usize] > 0, "{counts:?}");
    }
}

#[test]
fn what_is_said_never_to_happen_never_does() {
    let vocabulary = surveys::vocabulary();
    let told = AtomicUsize::new(0);
    in_two(&seeds(), |seed| {
        let mut chance = Chance::new(*seed);
        let texts: Vec<String> = (0..6)
            .map(|_| conditions(Forms::Plain, &mut chance))
            .collect();
        let (pack, wrong) = pack_of(&texts, &vocabulary);
        if !wrong.is_empty() {
            return;
        }
        let files = PackFiles {
            name: "made-up".to_string(),
            files: Vec::new(),
        };
        let reads = drawn(&vocabulary, &mut chance);
        for problem in analysis::of(&pack, &files, &vocabulary).problems {
            told.fetch_add(1, Relaxed);
            holds(&pack, &problem, &reads, &vocabulary);
        }
    });
    assert!(told.load(Relaxed) > 20, "{told:?}");
}

fn holds(pack: &Pack, problem: &PackProblem, reads: &[Read], vocabulary: &Vocabulary) {
    let PackProblem { source, problem } = problem;
    let file = source.name.rsplit('/').next().unwrap_or_default();
    let id = file.trim_end_matches(".yaml");
    let other = problem
        .says
        .split('`')
        .find(|part| part.starts_with("rule-"));
    let of = |pack: &Pack, id: &str, read: &Read| came(pack, id, read, vocabulary).1;
    let never = |outcome: Outcome| {
        reads
            .iter()
            .all(|read| !of(pack, id, read).contains(&outcome))
    };
    let right = match problem.kind {
        "never-broken" => never(Outcome::Broken),
        "never-met" => never(Outcome::Met),
        "never-applies" => never(Outcome::Broken) && never(Outcome::Met),
        "rule-twice" => {
            let other = other.expect("it names the twin");
            reads
                .iter()
                .all(|read| of(pack, id, read) == of(pack, other, read))
        }
        "told-by-another" => {
            let other = other.expect("it names the other");
            let (idle, teller) = if problem.says.starts_with("whatever this") {
                (id, other)
            } else {
                (other, id)
            };
            let harmless = [Outcome::Met, Outcome::NotApplicable];
            reads.iter().all(|read| {
                let both = of(pack, idle, read).into_iter().zip(of(pack, teller, read));
                !{ both }.any(|(a, b)| a == Outcome::Broken && harmless.contains(&b))
            })
        }
        "cannot-obey-both" => {
            let other = other.expect("it names the other");
            let both = |read: &Read| {
                let (one, other) = (of(pack, id, read), of(pack, other, read));
                one.into_iter()
                    .zip(other)
                    .any(|pair| pair == (Outcome::Met, Outcome::Met))
            };
            let read = Read::by(&shown(&problem.says), vocabulary);
            let clash = [id, other]
                .iter()
                .any(|id| of(pack, id, &read).contains(&Outcome::Broken));
            clash && !reads.iter().any(both)
        }
        "idle-part" => {
            let range = problem.span.range();
            let before = source.text[..range.start].trim_end();
            let branch = before.ends_with("then") || before.ends_with("else");
            let without = |neutral: &str| {
                let mut text = source.text.clone();
                text.replace_range(range.clone(), neutral);
                let (_, text) = text.split_once("stage: survey\n").expect("it has a stage");
                let (text, _) = text.split_once("says:").expect("it says something");
                let (changed, wrong) = pack_of(&[text.to_string()], vocabulary);
                // Fewer words may settle what is open.
                let same = |read: &Read| {
                    let both = of(&changed, "rule-0", read)
                        .into_iter()
                        .zip(of(pack, id, read));
                    let open = Outcome::Undecided;
                    both.into_iter()
                        .all(|(a, b)| a == b || [a, b].contains(&open))
                };
                // Without it nothing may be asked of the thing any more.
                let idle = wrong.iter().any(|one| one.problem.kind == "not-asked");
                idle || wrong.is_empty() && reads.iter().all(same)
            };
            branch || without("1 m < 2 m") || without("2 m < 1 m")
        }
        _ => true,
    };
    assert!(
        right,
        "{}: {} {}",
        source.slice(problem.span),
        problem.says,
        source.text
    );
}
