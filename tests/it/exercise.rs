//! Exercises: the catalogue of faults, the making, the proof held against another, and the marking.

mod class;
mod commands;
mod compared;
mod course;
mod faults;
mod found;
mod houses;
mod keys;
mod leaks;
mod marking;
mod ready_course;
mod statistics;
mod unsafe_sheets;

use crate::examples::{examples, packs};
use std::collections::{BTreeMap, BTreeSet};
use std::sync::OnceLock;
use wetside_base::finding::{Outcome, Verdict};
use wetside_base::source::Source;
use wetside_edit::splice::Splice;
use wetside_engine::check::{Ask, check};
use wetside_trainer::KeyFinding;
use wetside_trainer::{
    Answer, Catalogue, Exercise, Look, Options, Refused, built_in, load, make, plantings, prove,
};

fn catalogue() -> &'static Catalogue {
    static CATALOGUE: OnceLock<Catalogue> = OnceLock::new();
    CATALOGUE.get_or_init(|| {
        let (catalogue, problems) = load(&built_in(), packs());
        let told: Vec<String> = problems
            .iter()
            .map(|wrong| {
                let place = wrong.source.place(wrong.problem.span.start);
                format!(
                    "{}:{place}: {} ({})",
                    wrong.source.name, wrong.problem.says, wrong.problem.help
                )
            })
            .collect();
        assert!(told.is_empty(), "\n{}", told.join("\n"));
        catalogue
    })
}

/// The clean surveys among the examples, as a trainee may see them.
fn bases() -> &'static [Look<'static>] {
    static BASES: OnceLock<Vec<Look<'static>>> = OnceLock::new();
    BASES.get_or_init(|| {
        let clean = |source: &Source| {
            let text = wetside_trainer::text::for_trainee(source);
            let look = Look::at(Source::new(source.name.clone(), text), packs());
            let silent = look.judgement.findings.is_empty();
            (silent && look.judgement.verdict == Verdict::Clear).then_some(look)
        };
        examples().iter().filter_map(clean).collect()
    })
}

/// Every fault planted in every clean example that can bear it, in one way.
pub(crate) fn planted() -> Vec<Source> {
    let mut all = Vec::new();
    for (fault, base) in catalogue()
        .faults
        .iter()
        .flat_map(|fault| bases().iter().map(move |base| (fault, base)))
    {
        if let Some(planting) = plantings(fault, base).first() {
            let text = wetside_edit::splice::apply(&base.source.text, &planting.splices);
            all.push(Source::new(fault.id.clone(), text));
        }
    }
    all
}

/// Every fault can be planted in a clean example and is as good as its word there.
#[test]
fn every_fault_of_the_catalogue_keeps_its_promises() {
    let mut told = String::new();
    for fault in &catalogue().faults {
        let mut ways = 0;
        let mut sound = 0;
        let mut reasons = BTreeMap::new();
        for base in bases() {
            for planting in plantings(fault, base) {
                ways += 1;
                match prove::alone(&planting, base) {
                    Ok(()) => sound += 1,
                    Err(defect) => {
                        let place = format!("{} {:?}", base.source.name, planting.thing);
                        reasons.entry(defect.says).or_insert(place);
                    }
                }
            }
        }
        println!(
            "{}: {sound} of {ways} ways, {}",
            fault.id,
            fault.difficulty().word()
        );
        for (reason, place) in &reasons {
            println!("    {place}: {reason}");
        }
        if sound == 0 {
            told.push_str(&format!(
                "{}: none of {ways} ways holds: {reasons:?}\n",
                fault.id
            ));
        }
    }
    assert!(told.is_empty(), "\n{told}");
}

/// How many are made: `WETSIDE_FULL=1 cargo test --test it -- --nocapture exercise` makes the many, and another number
/// so many of them at most.
fn how_many(few: u64, full: u64) -> u64 {
    let asked = std::env::var("WETSIDE_FULL").ok();
    match asked.and_then(|asked| asked.parse().ok()) {
        Some(1) => full,
        Some(most) => full.min(most),
        None => few,
    }
}

/// The options and base of one number, spread over all sorts of options.
fn options(number: u64) -> (&'static Look<'static>, Options) {
    let bases = bases();
    let at = usize::try_from(number).expect("a small number");
    let options = Options {
        seed: number,
        faults: 1 + at / bases.len() % 4,
        decoys: at % 3,
        small_changes: at % 4,
        fault_free: 25,
        own_house: Answer::from(at % 4 > 0),
        ..Options::default()
    };
    (&bases[at % bases.len()], options)
}

/// Exercises from one survey.
fn make_from(base: &Look<'_>, options: &Options) -> Result<Vec<Exercise>, Refused> {
    make(
        std::slice::from_ref(&base.source),
        packs(),
        catalogue(),
        options,
    )
}

/// The clean surveys themselves.
fn sources() -> Vec<Source> {
    bases().iter().map(|base| base.source.clone()).collect()
}

/// A finding without its place: sort, rule or fact, thing.
type Told = (&'static str, String, Option<String>);

/// What a text comes to, each finding with its line.
fn told(text: &str) -> (Verdict, BTreeMap<Told, usize>) {
    let source = Source::new("again", text);
    let judgement = check(&source, packs(), &Ask::default());
    assert!(judgement.problems.is_empty(), "{:?}", judgement.problems);
    let line = |span: wetside_base::source::Span| source.line_of(span.start);
    let mut told = BTreeMap::new();
    for (finding, on) in judgement.outcomes() {
        let sort = match finding.outcome {
            Outcome::Broken => "broken",
            _ => "undecided",
        };
        told.insert(
            (sort, finding.rule.clone(), on.element.clone()),
            line(on.place),
        );
        for cause in &on.causes {
            told.insert(("missing", cause.fact.clone(), None), line(cause.span));
        }
    }
    for gap in &judgement.gaps {
        told.insert(("missing", gap.fact.clone(), None), line(gap.span));
    }
    (judgement.verdict, told)
}

/// Splices made from the last to the first.
fn spliced<'s>(text: &str, splices: impl Iterator<Item = &'s Splice>) -> String {
    let mut splices: Vec<&Splice> = splices.collect();
    splices.sort_by_key(|splice| std::cmp::Reverse(splice.at));
    let mut text = text.to_string();
    for splice in splices {
        text.replace_range(splice.at.range(), &splice.text);
    }
    text
}

fn as_told(finding: &KeyFinding) -> (Told, usize) {
    match finding {
        KeyFinding::Rule { rule, thing, line } => (("broken", rule.clone(), thing.clone()), *line),
        KeyFinding::Missing { fact, line } => (("missing", fact.clone(), None), *line),
    }
}

/// Holds an exercise to its key by plain set arithmetic over findings.
fn proved_again(exercise: &Exercise) {
    let name = format!("{} from {}", exercise.key.exercise, exercise.key.made_from);
    let without = |fault: Option<&str>| {
        let parts = exercise
            .parts
            .iter()
            .filter(|(id, _)| Some(id.as_str()) != fault);
        let splices = parts
            .flat_map(|(_, splices)| splices)
            .chain(&exercise.harmless);
        spliced(&exercise.base, splices)
    };
    let (verdict, before) = told(&exercise.base);
    assert_eq!(
        (verdict, before.len()),
        (Verdict::Clear, 0),
        "{name}: the base"
    );
    assert_eq!(
        without(None),
        exercise.survey.text,
        "{name}: the splices make the survey"
    );
    assert!(
        !exercise.survey.text.contains("# finds:"),
        "{name}: expectations"
    );

    let (verdict, all) = told(&exercise.survey.text);
    let promised: BTreeMap<Told, usize> = exercise
        .key
        .faults
        .iter()
        .flat_map(|fault| fault.findings.iter().map(as_told))
        .collect();
    for (finding, line) in &promised {
        assert_eq!(
            all.get(finding),
            Some(line),
            "{name}: {finding:?} is promised at line {line}"
        );
    }
    let neutral: BTreeSet<(String, Option<String>)> = exercise
        .key
        .neutral
        .iter()
        .filter_map(|finding| match finding {
            KeyFinding::Rule { rule, thing, .. } => Some((rule.clone(), thing.clone())),
            KeyFinding::Missing { .. } => None,
        })
        .collect();
    for finding in all.keys().filter(|(sort, ..)| *sort != "missing") {
        let declared = promised.contains_key(finding)
            || neutral.contains(&(finding.1.clone(), finding.2.clone()));
        assert!(declared, "{name}: {finding:?} is not in the key");
    }
    if exercise.key.faults.is_empty() {
        assert_eq!(
            (verdict, all.len()),
            (Verdict::Clear, 0),
            "{name}: a survey without a fault"
        );
    }
    for fault in &exercise.key.faults {
        let (_, rest) = told(&without(Some(&fault.id)));
        for (finding, _) in fault.findings.iter().map(as_told) {
            assert!(
                !rest.contains_key(&finding),
                "{name}: {finding:?} without {}",
                fault.id
            );
        }
        for other in exercise
            .key
            .faults
            .iter()
            .filter(|other| other.id != fault.id)
        {
            for (finding, _) in other.findings.iter().map(as_told) {
                assert!(
                    rest.contains_key(&finding),
                    "{name}: {finding:?} gone without {}",
                    fault.id
                );
            }
        }
    }
}

/// Of so many exercises: those without a fault, and why others were refused.
type Proved = (u64, BTreeMap<String, u64>);

#[test]
fn made_exercises_hold_by_plain_set_arithmetic() {
    const WORKERS: u64 = 2;
    let each = how_many(16, 10_000) / WORKERS;
    // Worker and worker take the numbers in turns.
    let work = |first: u64| prove_many((first..).step_by(WORKERS as usize), each);
    let proved: Vec<Proved> = std::thread::scope(|scope| {
        let workers: Vec<_> = (0..WORKERS)
            .map(|first| scope.spawn(move || work(first)))
            .collect();
        let joined = workers.into_iter().map(|worker| worker.join());
        joined
            .map(|proved| proved.expect("every exercise holds"))
            .collect()
    });
    for (free, refused) in proved {
        println!("{each} exercises hold, {free} of them without a fault; refused: {refused:#?}");
    }
}

fn prove_many(numbers: impl Iterator<Item = u64>, wanted: u64) -> Proved {
    let (mut made, mut free, mut refused) = (0, 0, BTreeMap::<String, u64>::new());
    for number in numbers {
        let (base, options) = options(number);
        match make_from(base, &options) {
            Ok(exercises) => {
                for exercise in &exercises {
                    proved_again(exercise);
                    free += u64::from(exercise.key.faults.is_empty());
                    made += 1;
                    if made % 500 == 0 {
                        println!("{made} hold");
                    }
                }
            }
            Err(why) => *refused.entry(why.says).or_default() += 1,
        }
        if made >= wanted {
            break;
        }
        let lost: u64 = refused.values().sum();
        assert!(lost <= wanted, "too many were refused: {refused:#?}");
    }
    (free, refused)
}

/// The first exercises that have faults.
fn some_exercises(wanted: u64) -> Vec<Exercise> {
    let made = (0..).flat_map(|number| {
        let (base, options) = options(number);
        make_from(base, &options).unwrap_or_default()
    });
    let faulty = made.filter(|exercise| !exercise.key.faults.is_empty());
    faulty
        .take(usize::try_from(wanted).expect("a small number"))
        .collect()
}

#[test]
fn the_same_options_give_the_same_bytes() {
    for number in 0..6 {
        let (base, options) = options(number);
        let once = make_from(base, &options);
        let twice = make_from(base, &options);
        match (once, twice) {
            (Ok(once), Ok(twice)) => {
                for (a, b) in once.iter().zip(&twice) {
                    assert_eq!((&a.survey.text, &a.key), (&b.survey.text, &b.key));
                }
            }
            (Err(a), Err(b)) => assert_eq!(a, b),
            _ => panic!("made once and refused once"),
        }
    }
}
