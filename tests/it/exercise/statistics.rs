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
    (a - text.parse::<f64>().expect("a number")).abs() < 1e-6
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
        let found = found.expect("there are enough");
        let (from, to) = found.interval;
        let figures = [found.sensitivity, from, to, found.bias];
        for (figure, text) in figures.into_iter().zip(&row[4..]) {
            assert!(near(figure, text), "{row:?}: {found:?}");
        }
    }
    assert_eq!(skill(of_reasons(9, 9, 100, 0)), None);
    assert_eq!(skill(of_reasons(10, 9, 9, 0)), None);
}

/// Who claims nothing and who claims everything have shown nothing, and lean as far as can be.
#[test]
fn a_blank_sheet_and_one_that_claims_all_are_guesses() {
    for (so, not_so) in [(10, 10), (12, 259), (40, 11)] {
        let blank = skill(of_reasons(so, 0, not_so, 0)).expect("there are enough");
        let all = skill(of_reasons(so, so, not_so, not_so)).expect("there are enough");
        let some = skill(of_reasons(so, so / 2, not_so, 1)).expect("there are enough");
        assert!(blank.sensitivity.abs() < 1e-9 && all.sensitivity.abs() < 1e-9);
        assert!(some.sensitivity > 0.0 && blank.bias > some.bias && some.bias > all.bias);
    }
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
