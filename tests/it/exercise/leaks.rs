//! Whether the surface of a survey tells if it has faults.

use super::{bases, catalogue, how_many};
use crate::examples::packs;
use std::cmp::Ordering;
use wetside_base::source::Source;
use wetside_edit::splice::Sort;
use wetside_trainer::text::for_exercises;
use wetside_trainer::{Exercise, Look, Options, make};

/// What somebody sees who knows nothing of heating: sizes, counts of signs and of common words; of the whole
/// text, and of the text without its comments.
const FEATURES: [&str; 20] = [
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
];

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
    features
}

/// One survey as somebody sees it who has seen many: each feature less its mean, by its spread.
#[derive(Clone)]
struct Seen {
    features: Vec<f64>,
    faulty: bool,
}

fn seen(exercises: &[Exercise]) -> Vec<Seen> {
    let seen = exercises.iter().map(|exercise| Seen {
        features: surface(&exercise.survey.text),
        faulty: !exercise.key.faults.is_empty(),
    });
    seen.collect()
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

const CLASSIFIERS: [(&str, Classifier); 3] = [
    ("nearer centre", nearer_centre),
    ("most neighbours", most_neighbours),
    ("one feature", one_feature),
];

/// Of a coin that is tossed often, one share in 300 lies more than this many spreads above a half. With three
/// classifiers one run in a hundred fails by chance.
const SPREADS: f64 = 2.71;

fn batch(base: &Look, seed: u64, surveys: u64) -> Vec<Exercise> {
    let options = Options {
        seed,
        surveys: usize::try_from(surveys).expect("a small number"),
        faults: 2,
        decoys: 2,
        small_changes: 3,
        fault_free: 50,
        ..Options::default()
    };
    make(&base.source, packs(), catalogue(), &options)
        .unwrap_or_else(|why| panic!("{}: {}", base.source.name, why.says))
}

/// Three simple classifiers learn from one batch, told which of it are faulty, and name another. None is better
/// than a coin: its share of right names lies below `½ + 2.71 × √(¼ ÷ n)`.
#[test]
fn the_surface_does_not_tell_faulty_surveys_from_sound_ones() {
    let surveys = how_many(40, 400);
    let mut right = [0_u32; CLASSIFIERS.len()];
    let mut all = 0_u32;
    for (at, base) in bases().iter().enumerate() {
        let seed = 4242 + 2 * at as u64;
        let mut learnt = seen(&batch(base, seed, surveys));
        let mut named = seen(&batch(base, seed + 1, surveys));
        standardise(&mut learnt, &mut named);
        let (faulty, sound) = (centre(&learnt, true), centre(&learnt, false));
        println!("{}: centres apart by", base.source.name);
        for (at, name) in FEATURES.iter().enumerate() {
            println!("    {:5.2} spreads in {name}", faulty[at] - sound[at]);
        }
        for (right, (_, classifier)) in right.iter_mut().zip(CLASSIFIERS) {
            let hits = named
                .iter()
                .filter(|one| classifier(&learnt, one) == one.faulty);
            *right += u32::try_from(hits.count()).expect("a small number");
        }
        all += u32::try_from(named.len()).expect("a small number");
    }
    let most = 0.5 + SPREADS * (0.25 / f64::from(all)).sqrt();
    for (right, (name, _)) in right.iter().zip(CLASSIFIERS) {
        let share = f64::from(*right) / f64::from(all);
        println!("{name}: {share:.3} of {all}, a coin keeps below {most:.3}");
        assert!(
            share < most,
            "{name}: {share:.3} of {all} are named rightly, a coin keeps below {most:.3}"
        );
    }
}

fn comments(text: &str) -> Vec<String> {
    text.lines()
        .filter_map(|line| line.split_once(" #"))
        .map(|(_, comment)| comment.to_string())
        .collect()
}

/// Half of the comments stay, none of them beside a change; the offered reasons are as many with a fault as
/// without.
#[test]
fn comments_and_reasons_tell_nothing() {
    for base in bases() {
        let clean = Source::new("clean", for_exercises(&base.source));
        let all = comments(&clean.text);
        assert_eq!(
            all.len(),
            clean.text.matches('#').count(),
            "all beside values"
        );
        for exercise in batch(base, 77, 8) {
            let left = comments(&exercise.survey.text);
            assert_eq!(left.len(), all.len() / 2);
            assert!(left.iter().all(|comment| all.contains(comment)));
            assert!(!exercise.survey.text.lines().any(|line| line.ends_with(' ')));
            let planted = exercise.parts.iter().flat_map(|(_, splices)| splices);
            let changes = planted.chain(&exercise.harmless);
            for change in
                changes.filter(|change| matches!(change.sort, Sort::Value | Sort::Unknown))
            {
                let line = clean.slice(clean.line_span(clean.line_of(change.at.start)));
                if let Some((_, comment)) = line.split_once(" #") {
                    assert!(!left.iter().any(|kept| kept == comment), "{line}");
                }
            }
            assert_eq!(exercise.key.reasons.len(), 24);
            assert!(exercise.key.reasons.is_sorted());
        }
    }
}
