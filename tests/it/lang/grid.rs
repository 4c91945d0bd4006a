//! Comparisons of ranges on a small grid against every pair of numbers that lie in them.

use super::bench::{GREATEST, bench};
use wetside_units::truth::Truth;

/// A manner of writing a number, with the quarters from nought to the greatest that it allows.
fn readings() -> Vec<(String, Vec<u32>)> {
    let quarters = 4 * GREATEST;
    let mut all: Vec<(String, Vec<u32>)> = vec![("unknown".to_string(), (0..=quarters).collect())];
    for at in 0..=GREATEST {
        all.push((at.to_string(), vec![4 * at]));
        all.push((format!("at least {at}"), (4 * at..=quarters).collect()));
        all.push((format!("at most {at}"), (0..=4 * at).collect()));
        for to in at + 1..=GREATEST {
            all.push((format!("{at} to {to}"), (4 * at..=4 * to).collect()));
        }
    }
    for at in 0..GREATEST {
        all.push((format!("more than {at}"), (4 * at + 1..=quarters).collect()));
        all.push((format!("less than {}", at + 1), (0..4 * (at + 1)).collect()));
    }
    all
}

type Holds = fn(u32, u32) -> bool;

const COMPARISONS: [(&str, Holds); 6] = [
    ("<", |a, b| a < b),
    ("<=", |a, b| a <= b),
    (">", |a, b| a > b),
    (">=", |a, b| a >= b),
    ("is", |a, b| a == b),
    ("is not", |a, b| a != b),
];

fn of(answers: impl Iterator<Item = bool>) -> Truth {
    answers
        .map(Truth::from)
        .reduce(Truth::join)
        .expect("a reading allows some number")
}

#[test]
fn a_range_against_a_limit() {
    for (sign, holds) in COMPARISONS {
        for limit in 0..=GREATEST {
            let (_, right) = bench().checked(&format!("x {sign} {limit}"));
            let (_, left) = bench().checked(&format!("{limit} {sign} x"));
            for (written, numbers) in readings() {
                let facts = bench().facts(&format!("{{x: {written}}}"));
                let expected = of(numbers.iter().map(|x| holds(*x, 4 * limit)));
                assert_eq!(
                    bench().answers(&right, &facts).plain,
                    expected,
                    "{written} {sign} {limit}"
                );
                let turned = of(numbers.iter().map(|x| holds(4 * limit, *x)));
                assert_eq!(
                    bench().answers(&left, &facts).plain,
                    turned,
                    "{limit} {sign} {written}"
                );
            }
        }
    }
}

#[test]
fn a_range_against_a_range() {
    for (sign, holds) in COMPARISONS {
        let (_, checked) = bench().checked(&format!("x {sign} y"));
        for (x, x_numbers) in readings() {
            for (y, y_numbers) in readings() {
                let facts = bench().facts(&format!("{{x: {x}, y: {y}}}"));
                let pairs = x_numbers
                    .iter()
                    .flat_map(|a| y_numbers.iter().map(move |b| (*a, *b)));
                let expected = of(pairs.map(|(a, b)| holds(a, b)));
                assert_eq!(
                    bench().answers(&checked, &facts).plain,
                    expected,
                    "{x} {sign} {y}"
                );
            }
        }
    }
}

#[test]
fn a_range_between_two_limits() {
    for low in 0..=GREATEST {
        for high in low..=GREATEST {
            let (_, checked) = bench().checked(&format!("x is between {low} and {high}"));
            for (written, numbers) in readings() {
                let facts = bench().facts(&format!("{{x: {written}}}"));
                let expected = of(numbers.iter().map(|x| (4 * low..=4 * high).contains(x)));
                let found = bench().answers(&checked, &facts).plain;
                assert_eq!(found, expected, "{written} between {low} and {high}");
            }
        }
    }
}
