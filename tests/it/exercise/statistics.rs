//! Figures of marks, held against statistics libraries.

use super::marking::data;
use wetside_trainer::Offered;
use wetside_trainer::class::skill::{agreement, reliability, skill};

fn rows(name: &str) -> Vec<Vec<String>> {
    let source = data(name);
    let rows = source.text.lines().skip(1);
    rows.map(|row| row.split(',').map(str::to_string).collect())
        .collect()
}

fn near(a: f64, text: &str) -> bool {
    let b: f64 = text.parse().expect("a number");
    a == b || (a - b).abs() < 1e-6
}

fn of_reasons(so: usize, claimed: usize, not_so: usize, in_vain: usize) -> Offered {
    Offered {
        so,
        claimed,
        not_so,
        in_vain,
    }
}

/// `tests/exercise/skill.py` says where these figures come from.
#[test]
fn sensitivity_and_bias_agree_with_a_statistics_library() {
    for row in rows("skill.csv") {
        let whole = |at: usize| row[at].parse().expect("a whole number");
        let found = skill(of_reasons(whole(0), whole(1), whole(2), whole(3)));
        let found = found.expect("there is something of both");
        let ((from, to), (less, more)) = (found.interval, found.bias_interval);
        let figures = [found.sensitivity, from, to, found.bias, less, more];
        for (figure, text) in figures.into_iter().zip(&row[4..]) {
            assert!(near(figure, text), "{row:?}: {found:?}");
        }
    }
    assert_eq!(skill(of_reasons(0, 0, 100, 0)), None);
    assert_eq!(skill(of_reasons(10, 9, 0, 0)), None);
}

/// Who claims nothing and who claims everything have shown nothing, and lean as far as can be.
#[test]
fn a_blank_sheet_and_one_that_claims_all_are_guesses() {
    for (so, not_so) in [(2, 14), (10, 10), (12, 259), (40, 11)] {
        let of = |claimed, in_vain| {
            skill(of_reasons(so, claimed, not_so, in_vain)).expect("there is something of both")
        };
        let (blank, all, some) = (of(0, 0), of(so, not_so), of(so / 2, 1));
        let anything = (f64::NEG_INFINITY, f64::INFINITY);
        for guess in [blank, all] {
            assert!(guess.sensitivity.abs() < 1e-9 && guess.interval == anything);
        }
        assert!(some.sensitivity > 0.0 && blank.bias > some.bias && some.bias > all.bias);
    }
}

/// Nineteen of twenty intervals and more hold the truth, in tests of any size, by all that can come of them.
#[test]
fn intervals_hold_the_truth_after_few_answers_too() {
    let rates = [0.03, 0.1, 0.3, 0.5, 0.7, 0.9, 0.97];
    for (so, not_so) in [(1, 12), (4, 12), (8, 40), (25, 60)] {
        let all: Vec<(usize, usize)> = (0..=so)
            .flat_map(|claimed| (0..=not_so).map(move |in_vain| (claimed, in_vain)))
            .collect();
        let of = |(claimed, in_vain): &(usize, usize)| {
            skill(of_reasons(so, *claimed, not_so, *in_vain)).expect("there is something of both")
        };
        let found: Vec<_> = all.iter().map(of).collect();
        // Where the rates of this row give exactly these figures, by the inverse of the normal distribution.
        let z = [
            -1.880_793_6,
            -1.281_551_6,
            -0.524_400_5,
            0.0,
            0.524_400_5,
            1.281_551_6,
            1.880_793_6,
        ];
        for ((hit, hit_z), (alarm, alarm_z)) in rates
            .iter()
            .zip(z)
            .flat_map(|one| rates.iter().zip(z).map(move |two| (one, two)))
        {
            let (sensitivity, bias) = (hit_z - alarm_z, -(hit_z + alarm_z) / 2.0);
            let (mut holds, mut bias_holds) = (0.0, 0.0);
            for ((claimed, in_vain), found) in all.iter().zip(&found) {
                let likely = likely(*claimed, so, *hit) * likely(*in_vain, not_so, *alarm);
                let within = |(from, to): (f64, f64), truth| from <= truth && truth <= to;
                holds += likely * f64::from(within(found.interval, sensitivity));
                bias_holds += likely * f64::from(within(found.bias_interval, bias));
            }
            assert!(
                holds.min(bias_holds) >= 0.95,
                "{so} {not_so} {hit} {alarm}: {holds} {bias_holds}"
            );
        }
    }
}

/// How likely so many of all are, at a rate.
fn likely(some: usize, all: usize, rate: f64) -> f64 {
    let ways = (0..some).map(|at| (all - at) as f64 / (at + 1) as f64);
    let each = i32::try_from(some).expect("a few");
    let rest = i32::try_from(all - some).expect("a few");
    ways.product::<f64>() * rate.powi(each) * (1.0 - rate).powi(rest)
}

#[test]
fn agreement_and_reliability_agree_with_statistics_libraries() {
    let pair = |text: &str| -> (usize, usize) {
        let (yes, no) = text.split_once(':').expect("two counts");
        (yes.parse().expect("a count"), no.parse().expect("a count"))
    };
    for row in rows("agreement.csv") {
        let questions: Vec<(usize, usize)> = row[3].split(' ').map(pair).collect();
        let found = agreement(&questions).expect("there are answers");
        let (from, to) = found.interval.expect("there are enough");
        assert!(near(found.alpha.expect("both are said"), &row[0]));
        assert!(
            near(from, &row[1]) && near(to, &row[2]),
            "{row:?}: {found:?}"
        );
    }
    assert_eq!(agreement(&[(1, 0), (0, 1)]), None);
    let same = agreement(&[(2, 0); 12]).expect("there are answers");
    assert_eq!((same.alpha, same.interval), (None, None));
    assert!((same.alike - 1.0).abs() < 1e-12);
    for row in rows("reliability.csv") {
        let score = |text: &str| text.parse::<f64>().expect("a score");
        let of_one = |text: &str| text.split(':').map(score).collect();
        let people: Vec<Vec<f64>> = row[1].split(' ').map(of_one).collect();
        assert!(near(
            reliability(&people).expect("there are enough"),
            &row[0]
        ));
    }
    assert_eq!(reliability(&vec![vec![1.0, 0.5]; 9]), None);
    assert_eq!(reliability(&vec![vec![1.0]; 12]), None);
}
