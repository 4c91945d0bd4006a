//! Whether the surface of a survey tells if it has faults.

use super::{bases, catalogue, how_many};
use crate::examples::packs;
use wetside::exercise::{Recipe, make};

/// What somebody sees who knows nothing of heating: sizes, counts of signs and of common words.
fn surface(text: &str) -> Vec<f64> {
    let count = |of: &str| text.matches(of).count() as f64;
    let signs = |of: fn(char) -> bool| text.chars().filter(|sign| of(*sign)).count() as f64;
    let words = |word: &str| {
        text.split(|c: char| !c.is_alphanumeric())
            .filter(|other| *other == word)
            .count() as f64
    };
    vec![
        text.len() as f64,
        text.lines().count() as f64,
        text.lines().map(str::len).max().unwrap_or(0) as f64,
        signs(|c| c.is_ascii_digit()),
        signs(|c| c.is_alphabetic()),
        signs(|c| c.is_ascii_uppercase()),
        count("#"),
        count("."),
        count(","),
        count("\""),
        count("  "),
        words("yes"),
        words("no"),
        words("unknown"),
        words("none"),
        words("as"),
    ]
}

/// Each feature less its mean, by its spread; nothing of what never varies.
fn standardised(rows: &[Vec<f64>]) -> Vec<Vec<f64>> {
    let n = rows.len() as f64;
    let mut out = vec![Vec::new(); rows.len()];
    for at in 0..rows[0].len() {
        let mean = rows.iter().map(|row| row[at]).sum::<f64>() / n;
        let spread = (rows.iter().map(|row| (row[at] - mean).powi(2)).sum::<f64>() / n).sqrt();
        if spread > 0.0 {
            for (row, out) in rows.iter().zip(&mut out) {
                out.push((row[at] - mean) / spread);
            }
        }
    }
    out
}

/// How many of the rows the nearer of two centres names rightly, each row left out of its own centre.
fn rightly_named(rows: &[Vec<f64>], faulty: &[bool]) -> usize {
    let named = |at: usize| {
        let distance = |class: bool| {
            let members: Vec<&Vec<f64>> = (0..rows.len())
                .filter(|other| *other != at && faulty[*other] == class)
                .map(|other| &rows[other])
                .collect();
            let mean = |feature: usize| {
                members.iter().map(|row| row[feature]).sum::<f64>() / members.len() as f64
            };
            (0..rows[at].len())
                .map(|feature| (rows[at][feature] - mean(feature)).powi(2))
                .sum::<f64>()
        };
        distance(true) < distance(false)
    };
    (0..rows.len())
        .filter(|at| named(*at) == faulty[*at])
        .count()
}

/// By how many spreads the centres of both sorts lie apart, for each feature: where to look if it leaks.
fn apart(rows: &[Vec<f64>], faulty: &[bool]) -> String {
    let mean = |at: usize, class: bool| {
        let of: Vec<f64> = (0..rows.len())
            .filter(|row| faulty[*row] == class)
            .map(|row| rows[row][at])
            .collect();
        of.iter().sum::<f64>() / of.len() as f64
    };
    let apart = (0..rows[0].len()).map(|at| format!("{:.2}", mean(at, true) - mean(at, false)));
    apart.collect::<Vec<_>>().join(" ")
}

/// A nearest-centre classifier on the surface, told everything but the one survey it has to name, is not
/// better than a coin: its share of right names lies below the upper end of the interval that 99 of 100
/// coins keep, `½ + 2.33 × √(¼ ÷ n)`.
#[test]
fn the_surface_does_not_tell_faulty_surveys_from_sound_ones() {
    let variants = usize::try_from(how_many(40, 400)).expect("a small number");
    let (mut right, mut all) = (0, 0);
    for (at, base) in bases().iter().enumerate() {
        let recipe = Recipe {
            seed: 4242 + at as u64,
            variants,
            faults: 2,
            decoys: 2,
            incidentals: 3,
            fault_free: 50,
            ..Recipe::default()
        };
        let exercises = match make(&base.source, packs(), catalogue(), &recipe) {
            Ok(exercises) => exercises,
            Err(why) => panic!("{}: {}", base.source.name, why.says),
        };
        let rows: Vec<Vec<f64>> = exercises
            .iter()
            .map(|exercise| surface(&exercise.survey.text))
            .collect();
        let faulty: Vec<bool> = exercises
            .iter()
            .map(|exercise| !exercise.key.faults.is_empty())
            .collect();
        let here = rightly_named(&standardised(&rows), &faulty);
        let apart = apart(&standardised(&rows), &faulty);
        println!(
            "{}: {here} of {variants} named rightly; apart {apart}",
            base.source.name
        );
        right += here;
        all += variants;
    }
    let share = right as f64 / all as f64;
    let most = 0.5 + 2.33 * (0.25 / all as f64).sqrt();
    println!("share {share:.3}, a coin keeps below {most:.3}");
    assert!(
        share < most,
        "{share:.3} of {all} are named rightly, a coin keeps below {most:.3}"
    );
}

/// Comments stay the same, and the offered reasons are as many with a fault as without.
#[test]
fn comments_and_reasons_tell_nothing() {
    for base in bases() {
        let recipe = Recipe {
            seed: 77,
            variants: 8,
            faults: 1,
            fault_free: 50,
            ..Recipe::default()
        };
        let exercises = make(&base.source, packs(), catalogue(), &recipe)
            .unwrap_or_else(|why| panic!("{}", why.says));
        let comments = |text: &str| -> Vec<String> {
            text.lines()
                .filter_map(|line| line.split_once('#'))
                .map(|(_, comment)| comment.to_string())
                .collect()
        };
        let clean = comments(&base.source.text);
        for exercise in &exercises {
            for comment in comments(&exercise.survey.text) {
                assert!(clean.contains(&comment), "{comment}");
            }
            assert_eq!(exercise.key.reasons.len(), 24);
            assert!(exercise.key.reasons.is_sorted());
        }
    }
}
