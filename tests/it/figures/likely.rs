//! What is likely of the figures of a survey: how many of the numbers that a range stands for it holds.

use super::laws::Dice;
use super::vocabulary;
use crate::generate::full;
use std::collections::BTreeMap;
use wetside_engine::figures::likely::Numbers;
use wetside_engine::figures::view::View;
use wetside_engine::figures::{self, Worked};
use wetside_engine::read;
use wetside_house::{Likely, Range};

/// Nine in ten are said to lie inside, whatever every number behind a figure is. With `--nocapture` it prints what
/// was measured.
#[test]
fn a_likely_range_of_a_figure_holds_about_nine_in_ten() {
    let draws = if full() { 100_000 } else { 2_000 };
    let mut dice = Dice(20_261_129);
    let mut shares: BTreeMap<&str, Vec<f64>> = BTreeMap::new();
    for source in crate::examples::examples() {
        let reading = wetside_document::read(&source);
        let (mut facts, _) = read::read(&source, &reading, vocabulary());
        figures::derive(&mut facts, vocabulary());
        let view = View {
            facts: &facts,
            vocabulary: vocabulary(),
        };
        let all = figures::all(&facts, vocabulary());
        for figure in figures::table() {
            let worked = all.iter().find(|one| one.name == figure.name);
            let Some((likely, sure)) = worked.and_then(told) else {
                continue;
            };
            let Some(numbers) = Numbers::of(view, figure) else {
                continue;
            };
            let name = &source.name;
            let Likely { value, range } = likely;
            assert!(
                sure.low <= range.low && range.high <= sure.high,
                "{name}: {}",
                figure.name
            );
            assert!(
                range.low <= value && value <= range.high,
                "{name}: {}",
                figure.name
            );
            let ranges = numbers.ranges();
            let inside = (0..draws).filter(|_| {
                let values = ranges
                    .iter()
                    .map(|range| range.low + dice.share() * (range.high - range.low));
                let at = numbers.at(&values.collect::<Vec<f64>>());
                at.is_some_and(|at| range.low <= at && at <= range.high)
            });
            let share = inside.count() as f64 / f64::from(draws);
            shares.entry(figure.name).or_default().push(share);
        }
    }
    for (name, shares) in &shares {
        let mean = shares.iter().sum::<f64>() / shares.len() as f64;
        println!("{name}: {:.1} % of {}", 100.0 * mean, shares.len());
        assert!((0.85..=0.96).contains(&mean), "{name}: {mean}");
        for share in shares {
            // More lie inside where one end of many is nothing.
            assert!((0.8..=0.99).contains(share), "{name}: {share}");
        }
    }
    assert!(shares.len() >= 12, "{:?}", shares.keys());
}

/// What is likely of a figure that is a range, and its sure range.
fn told(worked: &Worked) -> Option<(Likely, Range)> {
    let (_, sure) = worked.range.as_ref()?;
    let sure = Range::of(sure);
    (!sure.is_point()).then_some((worked.likely?, sure))
}
