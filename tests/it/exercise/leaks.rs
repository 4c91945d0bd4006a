//! Whether the surface of a survey tells if it has faults.

use super::{bases, catalogue, how_many, make_from, sources};
use crate::examples::packs;
use std::cmp::Ordering;
use wetside_trainer::{Answer, Exercise, Options, make};

/// What somebody sees who knows nothing of heating: sizes, counts of signs and of common words; of the whole
/// text, and of the text without its comments.
const FEATURES: [&str; 23] = [
    "length",
    "lines",
    "longest line",
    "digits",
    "letters",
    "capitals",
    "#",
    ".",
    ",",
    "\"",
    "two spaces",
    "yes",
    "no",
    "unknown",
    "none",
    "as",
    "length less comments",
    "digits less comments",
    ". less comments",
    ", less comments",
    "numbers of one decimal",
    "numbers of more decimals",
    "units that stand there once",
];

/// The measures of a survey: how many decimals each has, and its unit.
fn measures(text: &str) -> Vec<(usize, String)> {
    let values = text
        .lines()
        .flat_map(|line| line.split([',', '{', '}', '[', ']']));
    let measure = |value: &str| {
        let value = value
            .split_once(": ")
            .map_or(value, |(_, value)| value)
            .trim();
        let (number, unit) = value.split_once(' ')?;
        number.parse::<f64>().ok()?;
        let decimals = number
            .split_once('.')
            .map_or(0, |(_, decimals)| decimals.len());
        Some((decimals, unit.split_whitespace().next()?.to_string()))
    };
    values.filter_map(measure).collect()
}

fn of_measures(text: &str) -> [f64; 3] {
    let measures = measures(text);
    let finer = |are: fn(usize) -> bool| {
        measures
            .iter()
            .filter(|(decimals, _)| are(*decimals))
            .count() as f64
    };
    let times = |unit: &String| measures.iter().filter(|(_, other)| other == unit).count();
    let once = measures.iter().filter(|(_, unit)| times(unit) == 1).count();
    [
        finer(|decimals| decimals == 1),
        finer(|decimals| decimals > 1),
        once as f64,
    ]
}

fn surface(text: &str) -> Vec<f64> {
    let signs = |text: &str, of: fn(char) -> bool| text.chars().filter(|c| of(*c)).count() as f64;
    let words = |word: &str| {
        text.split(|c: char| !c.is_alphanumeric())
            .filter(|other| *other == word)
            .count() as f64
    };
    let shown = |line: &str| {
        line.split(" #")
            .next()
            .unwrap_or(line)
            .trim_end()
            .to_string()
            + "\n"
    };
    let bare: String = text.lines().map(shown).collect();
    let longest = text.lines().map(str::len).max().unwrap_or(0);
    let mut features = vec![
        text.len() as f64,
        text.lines().count() as f64,
        longest as f64,
        signs(text, |c| c.is_ascii_digit()),
        signs(text, char::is_alphabetic),
        signs(text, |c| c.is_ascii_uppercase()),
    ];
    features.extend(["#", ".", ",", "\"", "  "].map(|sign| text.matches(sign).count() as f64));
    features.extend(["yes", "no", "unknown", "none", "as"].map(words));
    features.extend([
        bare.len() as f64,
        signs(&bare, |c| c.is_ascii_digit()),
        signs(&bare, |c| c == '.'),
        signs(&bare, |c| c == ','),
    ]);
    features.extend(of_measures(&bare));
    features
}

/// One survey as somebody sees it who has seen many: each feature less its mean, by its spread.
#[derive(Clone)]
struct Seen {
    features: Vec<f64>,
    faulty: bool,
    /// The clean survey that its house was varied from.
    kind: String,
}

fn seen(exercises: &[Exercise]) -> Vec<Seen> {
    let seen = exercises.iter().map(|exercise| Seen {
        features: surface(&exercise.survey.text),
        faulty: !exercise.key.faults.is_empty(),
        kind: exercise.key.made_from.clone(),
    });
    seen.collect()
}

/// Less the mean of the surveys from the same clean one, so that what is learnt is of faults and not of houses.
fn less_its_kind(seen: &mut [Seen]) {
    let all = seen.to_vec();
    for one in seen.iter_mut() {
        let kind: Vec<&Seen> = all.iter().filter(|other| other.kind == one.kind).collect();
        for (at, feature) in one.features.iter_mut().enumerate() {
            let sum: f64 = kind.iter().map(|other| other.features[at]).sum();
            *feature -= sum / kind.len() as f64;
        }
    }
}

/// Both batches by the means and spreads of the first.
fn standardise(learnt: &mut [Seen], named: &mut [Seen]) {
    let n = learnt.len() as f64;
    for at in 0..FEATURES.len() {
        let mean = learnt.iter().map(|one| one.features[at]).sum::<f64>() / n;
        let square = |one: &Seen| (one.features[at] - mean).powi(2);
        let spread = (learnt.iter().map(square).sum::<f64>() / n).sqrt();
        for one in learnt.iter_mut().chain(named.iter_mut()) {
            one.features[at] = if spread > 0.0 {
                (one.features[at] - mean) / spread
            } else {
                0.0
            };
        }
    }
}

fn distance(one: &[f64], other: &[f64]) -> f64 {
    one.iter().zip(other).map(|(a, b)| (a - b).powi(2)).sum()
}

fn centre(of: &[Seen], faulty: bool) -> Vec<f64> {
    let members: Vec<&Seen> = of.iter().filter(|one| one.faulty == faulty).collect();
    let mean =
        |at: usize| members.iter().map(|one| one.features[at]).sum::<f64>() / members.len() as f64;
    (0..FEATURES.len()).map(mean).collect()
}

/// Names a survey by what was learnt.
type Classifier = fn(&[Seen], &Seen) -> bool;

/// Faulty, if it is nearer to the centre of the faulty ones.
fn nearer_centre(learnt: &[Seen], one: &Seen) -> bool {
    let to = |faulty| distance(&one.features, &centre(learnt, faulty));
    to(true) < to(false)
}

/// As most of the seven that look most like it.
fn most_neighbours(learnt: &[Seen], one: &Seen) -> bool {
    let mut near: Vec<(f64, bool)> = learnt
        .iter()
        .map(|other| (distance(&one.features, &other.features), other.faulty))
        .collect();
    near.sort_by(|a, b| a.0.partial_cmp(&b.0).unwrap_or(Ordering::Equal));
    near.iter().take(7).filter(|(_, faulty)| *faulty).count() > 3
}

/// By the one feature whose centres lie farthest apart.
fn one_feature(learnt: &[Seen], one: &Seen) -> bool {
    let (faulty, sound) = (centre(learnt, true), centre(learnt, false));
    let apart = |at: &usize| (faulty[*at] - sound[*at]).abs();
    let best = (0..FEATURES.len())
        .max_by(|a, b| apart(a).partial_cmp(&apart(b)).unwrap_or(Ordering::Equal));
    let at = best.expect("there are features");
    (one.features[at] - faulty[at]).abs() < (one.features[at] - sound[at]).abs()
}

/// A vote of the best threshold of each feature, each with the weight that it earned by what was learnt.
fn many_thresholds(learnt: &[Seen], one: &Seen) -> bool {
    let votes = (0..FEATURES.len()).map(|at| {
        let by = |threshold: f64, more: bool| {
            let right = learnt
                .iter()
                .filter(|seen| ((seen.features[at] > threshold) == more) == seen.faulty);
            right.count() as f64 / learnt.len() as f64
        };
        let each = learnt
            .iter()
            .step_by((learnt.len() / 20).max(1))
            .flat_map(|seen| [true, false].map(|more| (seen.features[at], more)));
        let best = each.max_by(|(a, up), (b, down)| by(*a, *up).total_cmp(&by(*b, *down)));
        let (threshold, more) = best.expect("something was learnt");
        let faulty = (one.features[at] > threshold) == more;
        (by(threshold, more) - 0.5) * if faulty { 1.0 } else { -1.0 }
    });
    votes.sum::<f64>() > 0.0
}

const CLASSIFIERS: [(&str, Classifier); 4] = [
    ("many thresholds", many_thresholds),
    ("nearer centre", nearer_centre),
    ("most neighbours", most_neighbours),
    ("one feature", one_feature),
];

/// Of a coin that is tossed often, one share in 300 lies more than this many spreads above a half. With four
/// classifiers hardly more than one run in a hundred fails by chance.
const SPREADS: f64 = 2.71;

/// Of all kinds of houses, each exercise in one of its own.
fn batch(seed: u64, surveys: u64) -> Vec<Exercise> {
    make(
        &sources(),
        packs(),
        catalogue(),
        &options(seed, surveys, Answer::Yes),
    )
    .unwrap_or_else(|why| panic!("{}", why.says))
}

fn options(seed: u64, surveys: u64, own_house: Answer) -> Options {
    Options {
        seed,
        surveys: usize::try_from(surveys).expect("a small number"),
        faults: 2,
        decoys: 2,
        small_changes: 3,
        fault_free: 50,
        own_house,
        ..Options::default()
    }
}

/// Four simple classifiers learn from one batch, told which of it are faulty, and name another. None is better
/// than a coin: its share of right names lies below `½ + 2.71 × √(¼ ÷ n)`. `WETSIDE_FULL=1` takes two thousand.
#[test]
fn the_surface_does_not_tell_faulty_surveys_from_sound_ones() {
    let surveys = how_many(28, 1000);
    let [mut learnt, mut named] = std::thread::scope(|scope| {
        let both = [4242, 4243].map(|seed| scope.spawn(move || seen(&batch(seed, surveys))));
        both.map(|one| one.join().expect("it is made"))
    });
    less_its_kind(&mut learnt);
    less_its_kind(&mut named);
    standardise(&mut learnt, &mut named);
    let (faulty, sound) = (centre(&learnt, true), centre(&learnt, false));
    println!("centres apart by");
    for (at, name) in FEATURES.iter().enumerate() {
        println!("    {:5.2} spreads in {name}", faulty[at] - sound[at]);
    }
    let all = named.len() as f64;
    let most = 0.5 + SPREADS * (0.25 / all).sqrt();
    for (name, classifier) in CLASSIFIERS {
        let hits = named
            .iter()
            .filter(|one| classifier(&learnt, one) == one.faulty);
        let share = hits.count() as f64 / all;
        println!("{name}: {share:.3} of {all}, a coin keeps below {most:.3}");
        assert!(
            share < most,
            "{name}: {share:.3} of {all} are named rightly, a coin keeps below {most:.3}"
        );
    }
}

/// No remark stays of a survey as it stands, and the reasons offered are as many with a fault as without.
#[test]
fn remarks_and_reasons_tell_nothing() {
    for base in bases() {
        let made = make_from(base, &options(77, 8, Answer::No));
        for exercise in made.unwrap_or_else(|why| panic!("{}", why.says)) {
            let mut lines = exercise.survey.text.lines();
            assert!(lines.all(|line| !line.contains('#') && !line.ends_with(' ')));
            assert_eq!(exercise.key.reasons.len(), 24);
            assert!(exercise.key.reasons.is_sorted());
        }
    }
}

/// No changed number has a digit more than the numbers of a survey have, and a unit that the survey uses nowhere
/// else stands in sound surveys too.
#[test]
fn the_form_of_a_number_tells_nothing() {
    let (mut foreign, mut sound) = (0, 0);
    for exercise in batch(9100, how_many(50, 1000)) {
        let known: Vec<String> = measures(&exercise.base)
            .into_iter()
            .map(|(_, unit)| unit)
            .collect();
        for change in &exercise.harmless {
            let old = measures(&format!(
                "x: {}",
                &exercise.base[change.at.start as usize..change.at.end as usize]
            ));
            let new = measures(&format!("x: {}", change.text));
            for ((new, _), (old, _)) in new.iter().zip(&old) {
                assert!(*new <= (*old).max(1), "{change:?}");
            }
        }
        let units = measures(&exercise.survey.text);
        if units.iter().any(|(_, unit)| !known.contains(unit)) {
            foreign += 1;
            sound += u32::from(exercise.key.faults.is_empty());
        }
    }
    println!("{foreign} surveys have a unit of their own, {sound} of these are sound");
    assert!(foreign > 5 && sound * 4 > foreign);
}
