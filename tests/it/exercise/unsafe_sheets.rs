//! No sheet that lets a hazard pass is passed, however many points it has.
//!
//! Sheets are drawn from the findings of a survey, which is judged here again: marking is not asked what
//! there was to find.

use super::marking::{exercise, marked_text};
use crate::examples::packs;
use crate::generate::Chance;
use wetside_base::finding::{Class, Outcome, Verdict};
use wetside_engine::check::{Ask, check};
use wetside_trainer::{Exercise, KeyFinding, ready};

/// One thing that the key asks for.
struct Findable {
    /// The line to name first, then the others of its fault.
    lines: Vec<usize>,
    /// The title of the rule; of what is missing, those of the rules that wait, the gravest first.
    reasons: Vec<String>,
    class: Class,
    missing: Option<String>,
}

const CLASSES: [Class; 3] = [Class::Hazard, Class::Preparation, Class::Advisory];

fn within(one: &str, other: &str) -> bool {
    one == other || one.starts_with(&format!("{other}."))
}

/// What the key asks for with the classes that the survey gives, and its verdict: 0 clear, 2 do not start.
fn findable(of: &Exercise) -> (Vec<Findable>, usize) {
    let judgement = check(&of.survey, packs(), &Ask::default());
    let faults = of.key.faults.iter();
    let findings = faults.flat_map(|fault| fault.findings.iter().map(move |found| (fault, found)));
    let all = findings.map(|(fault, found)| {
        let (line, missing) = match found {
            KeyFinding::Rule { line, .. } => (*line, None),
            KeyFinding::Missing { line, fact } => (*line, Some(fact.clone())),
        };
        let concerned = judgement.outcomes().filter(|(finding, on)| match found {
            KeyFinding::Rule { rule, thing, .. } => {
                finding.rule == *rule && on.element == *thing && finding.outcome == Outcome::Broken
            }
            KeyFinding::Missing { fact, .. } => {
                on.causes.iter().any(|cause| within(&cause.fact, fact))
            }
        });
        let mut concerned: Vec<_> = concerned
            .map(|(finding, _)| (finding.class, finding.title.clone()))
            .collect();
        concerned.sort();
        Findable {
            lines: std::iter::once(line)
                .chain(fault.lines.iter().copied())
                .collect(),
            // Only for a gap does no rule wait; every survey needs it.
            class: concerned.first().map_or(Class::Hazard, |(class, _)| *class),
            reasons: concerned.into_iter().map(|(_, title)| title).collect(),
            missing,
        }
    });
    let verdict = match judgement.verdict {
        Verdict::Clear => 0,
        Verdict::Prepare | Verdict::FindOut => 1,
        Verdict::DoNotStart => 2,
    };
    (all.collect(), verdict)
}

/// A claim as it is written on a sheet.
enum Drawn {
    Wrong(usize, Class, String),
    Missing(String),
}

impl Drawn {
    fn written(&self) -> String {
        match self {
            Drawn::Wrong(line, class, reason) => {
                format!("  - {{line: {line}, class: {class}, reason: {reason:?}}}\n")
            }
            Drawn::Missing(fact) => format!("  - {{missing: {fact:?}}}\n"),
        }
    }
}

/// A sheet that is mostly right: now and then something is left out, of another class, or on another line.
fn drawn(all: &[Findable], lines: usize, chance: &mut Chance) -> Vec<Drawn> {
    let mut claims = Vec::new();
    for finding in all {
        if chance.once_in(6) {
            continue;
        }
        for _ in 0..1 + usize::from(chance.once_in(8)) {
            let class = if chance.once_in(6) {
                CLASSES[chance.below(3)]
            } else {
                finding.class
            };
            let line = if chance.once_in(9) {
                1 + chance.below(lines)
            } else {
                finding.lines[0]
            };
            claims.push(match (&finding.missing, finding.reasons.first()) {
                (Some(fact), None) => Drawn::Missing(fact.clone()),
                (Some(fact), _) if !chance.once_in(5) => Drawn::Missing(fact.clone()),
                (_, reason) => Drawn::Wrong(line, class, reason.cloned().unwrap_or_default()),
            });
        }
    }
    claims
}

/// Whether some claim speaks of a hazard as the hazard that it is, and none of it as less.
fn held(hazard: &Findable, claims: &[Drawn]) -> bool {
    let named = |claim: &Drawn| match (claim, &hazard.missing) {
        (Drawn::Missing(claimed), Some(fact)) => within(claimed, fact) || within(fact, claimed),
        (Drawn::Missing(_), None) => false,
        (Drawn::Wrong(line, class, reason), missing) => {
            let there = missing.is_none() && hazard.lines.contains(line);
            *class == Class::Hazard && (there || hazard.reasons.contains(reason))
        }
    };
    let belittled = |claim: &Drawn| match claim {
        Drawn::Wrong(line, class, reason) => {
            *line == hazard.lines[0]
                && hazard.reasons.first() == Some(reason)
                && *class != Class::Hazard
        }
        Drawn::Missing(_) => false,
    };
    claims.iter().any(named) && !claims.iter().any(belittled)
}

#[test]
fn no_sheet_that_lets_a_hazard_pass_is_passed() {
    const WORDS: [&str; 3] = ["clear", "not yet", "do not start"];
    let each = super::how_many(300, 1_000);
    let mut exercises = vec![exercise("marked"), exercise("clean")];
    exercises.extend(super::some_exercises(super::how_many(8, 20)));
    let mut chance = Chance::new(20_261_013);
    let (mut passed, mut failed, mut harmful) = (0, 0, 0);
    for of in &exercises {
        let ready = ready(&of.survey, &of.key, packs()).expect("they belong together");
        let (all, verdict) = findable(of);
        for _ in 0..each {
            let claims = drawn(&all, ready.lines(), &mut chance);
            let said = if chance.once_in(5) {
                chance.below(3)
            } else {
                verdict
            };
            let written: String = claims.iter().map(Drawn::written).collect();
            let marked = marked_text(&ready, WORDS[said], &written);
            let hazards = all.iter().filter(|finding| finding.class == Class::Hazard);
            let safe = said >= verdict && hazards.clone().all(|hazard| held(hazard, &claims));
            assert!(safe || !marked.passed(), "{written}{marked:#?}");
            if said > verdict {
                assert!(marked.score.0 < marked.score.1, "{written}{marked:#?}");
            }
            let enough = marked.score.0 * 10 >= marked.score.1 * 7;
            passed += u64::from(marked.passed());
            failed += u64::from(!marked.passed());
            harmful += u64::from(!safe && enough);
        }
    }
    println!("{passed} passed, {failed} not; {harmful} unsafe ones had the points");
    assert!(passed > failed / 4 && harmful > (passed + failed) / 20);
}
