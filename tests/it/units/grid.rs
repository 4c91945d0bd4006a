//! Intervals against enumeration, on a grid of five points.

use std::collections::BTreeSet;
use wetside_units::truth::Truth;
use wetside_units::{End, Exact, Interval};

/// Sample points of the grid tests, in quarters.
const SAMPLES: std::ops::RangeInclusive<i64> = -20..=20;

/// Every interval with ends on five points: closed, open or without limit.
fn grid() -> Vec<Interval> {
    let ends = || {
        let points =
            (-2..=2).flat_map(|at| [End::Closed(Exact::from(at)), End::Open(Exact::from(at))]);
        points.chain([End::Unbounded])
    };
    ends()
        .flat_map(|low| ends().filter_map(move |high| Interval::new(low, high)))
        .collect()
}

fn quarter(number: i64) -> Exact {
    Exact::ratio(number.into(), 4).unwrap()
}

fn samples(interval: &Interval) -> Vec<i64> {
    SAMPLES
        .filter(|number| interval.contains(quarter(*number)))
        .collect()
}

/// Asks a question about every pair of samples: yes if all say so, no if none does.
fn enumerate(a: &[i64], b: &[i64], holds: impl Fn(i64, i64) -> bool) -> Truth {
    let mut answers = a
        .iter()
        .flat_map(|a| b.iter().map(move |b| (*a, *b)))
        .map(|(a, b)| holds(a, b));
    let first = answers
        .next()
        .expect("no interval of the grid is without a sample");
    if answers.any(|answer| answer != first) {
        Truth::Undecided
    } else {
        Truth::from(first)
    }
}

#[test]
fn relations_of_intervals_agree_with_enumeration() {
    let grid: Vec<_> = grid()
        .into_iter()
        .map(|interval| (interval, samples(&interval)))
        .collect();
    for (a, of_a) in &grid {
        for (b, of_b) in &grid {
            let brute = |holds: fn(i64, i64) -> bool| enumerate(of_a, of_b, holds);
            assert_eq!(a.less(b), brute(|a, b| a < b), "{a:?} < {b:?}");
            assert_eq!(a.not_more(b), brute(|a, b| a <= b), "{a:?} <= {b:?}");
            assert_eq!(a.more(b), brute(|a, b| a > b), "{a:?} > {b:?}");
            assert_eq!(a.not_less(b), brute(|a, b| a >= b), "{a:?} >= {b:?}");
            assert_eq!(a.same(b), brute(|a, b| a == b), "{a:?} = {b:?}");
            check_sets(a, b, of_a, of_b);
        }
    }
}

fn check_sets(a: &Interval, b: &Interval, of_a: &[i64], of_b: &[i64]) {
    let common: Vec<_> = of_a
        .iter()
        .copied()
        .filter(|number| of_b.contains(number))
        .collect();
    assert_eq!(
        a.intersect(b).map_or(Vec::new(), |both| samples(&both)),
        common
    );
    let hull = a.hull(b);
    let low = of_a[0].min(of_b[0]);
    let high = of_a[of_a.len() - 1].max(of_b[of_b.len() - 1]);
    assert_eq!(
        samples(&hull),
        (low..=high).collect::<Vec<_>>(),
        "{a:?} or {b:?}"
    );
    assert!(hull.encloses(a) && hull.encloses(b));
    let pairs = || of_a.iter().flat_map(|a| of_b.iter().map(move |b| (*a, *b)));
    let least: BTreeSet<_> = pairs().map(|(a, b)| a.min(b)).collect();
    assert_eq!(samples(&a.lesser(b)), least.into_iter().collect::<Vec<_>>());
    let most: BTreeSet<_> = pairs().map(|(a, b)| a.max(b)).collect();
    assert_eq!(samples(&a.greater(b)), most.into_iter().collect::<Vec<_>>());
}

#[test]
fn arithmetic_of_intervals_agrees_with_enumeration() {
    type Ranges = fn(&Interval, &Interval) -> Option<Interval>;
    type Numbers = fn(Exact, Exact) -> Option<Exact>;
    let operations: [(&str, Ranges, Numbers); 4] = [
        ("+", Interval::plus, Exact::plus),
        ("-", Interval::minus, Exact::minus),
        ("×", Interval::times, Exact::times),
        ("÷", Interval::over, Exact::over),
    ];
    let grid: Vec<_> = grid()
        .into_iter()
        .map(|interval| (interval, samples(&interval)))
        .collect();
    for (name, whole, single) in operations {
        for (a, of_a) in grid.iter().step_by(3) {
            for (b, of_b) in &grid {
                let Some(result) = whole(a, b) else {
                    assert!(name == "÷" && b.contains(Exact::ZERO));
                    continue;
                };
                let (mut low, mut high) = (None::<Exact>, None::<Exact>);
                for x in of_a.iter().step_by(2).chain(of_a.last()) {
                    for y in of_b {
                        let value = single(quarter(*x), quarter(*y)).unwrap();
                        assert!(
                            result.contains(value),
                            "{a:?} {name} {b:?}: {result:?} lacks {value}"
                        );
                        low = Some(low.map_or(value, |low| low.min(value)));
                        high = Some(high.map_or(value, |high| high.max(value)));
                    }
                }
                check_end(
                    result.low(),
                    low.unwrap(),
                    &format!("{a:?} {name} {b:?} from below"),
                );
                check_end(
                    result.high(),
                    high.unwrap(),
                    &format!("{a:?} {name} {b:?} from above"),
                );
            }
        }
    }
}

/// A closed end is reached by a sample; an open one is not, but samples come near it.
fn check_end(end: End, nearest: Exact, what: &str) {
    match end {
        End::Closed(at) => assert_eq!(at, nearest, "{what}"),
        End::Open(at) => {
            assert_ne!(at, nearest, "{what}");
            let far = at.minus(nearest).unwrap().magnitude();
            assert!(far <= Exact::from(3), "{what}: {at} is {far} off");
        }
        End::Unbounded => assert!(nearest.magnitude() >= Exact::from(2), "{what}: {nearest}"),
    }
}

#[test]
fn cells_cover_an_interval_once() {
    let limits = [quarter(4), quarter(-6), quarter(4), quarter(0)];
    for interval in grid() {
        let cells = interval.cells(&limits);
        for number in samples(&interval) {
            let holding = cells
                .iter()
                .filter(|cell| cell.contains(quarter(number)))
                .count();
            assert_eq!(holding, 1, "{interval:?} at {number}");
        }
        assert!(cells.iter().all(|cell| interval.encloses(cell)));
        assert!(
            cells
                .windows(2)
                .all(|pair| pair[0].less(&pair[1]) == Truth::Yes)
        );
    }
}
