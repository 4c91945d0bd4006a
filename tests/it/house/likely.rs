//! What is likely of a house: how many of the houses that a range stands for it holds.
//!
//! `WETSIDE_FULL=1 cargo test --release --test it -- --nocapture likely::` draws 100,000 houses of each layout
//! and prints what was measured.

use super::build::{Dice, exactly, from, rough};
use crate::generate::full;
use wetside_house::{
    Branch, House, Layout, Likely, LikelyHouse, Range, Share, Short, all_open, branches, likely,
    ranked,
};
use wetside_units::truth::Truth;

fn of(house: &House) -> LikelyHouse {
    let open = all_open(house).unwrap();
    likely(house, &branches(house).unwrap(), Some(&open)).unwrap()
}

/// A number of an exact house, somewhere in what is left of its range.
fn somewhere(range: Range, dice: &mut Dice) -> f64 {
    range.low + dice.roll() * (range.high - range.low)
}

fn names() -> [&'static str; 6] {
    [
        "flow",
        "speed",
        "change",
        "outlet",
        "speed, all open",
        "outlet, all open",
    ]
}

fn told(branch: &wetside_house::LikelyBranch) -> [Option<Likely>; 6] {
    [
        branch.flow,
        branch.speed,
        branch.change,
        branch.outlet,
        branch.open_speed,
        branch.open_outlet,
    ]
}

fn sure(branch: &Branch, share: &Share) -> [Range; 6] {
    [
        branch.flow,
        branch.speed,
        branch.change,
        branch.outlet,
        share.speed,
        share.outlet,
    ]
}

/// Nine in ten are said to lie inside, whatever is asked of whichever layout.
#[test]
fn a_likely_range_holds_about_nine_houses_in_ten() {
    let count = if full() { 100_000 } else { 400 };
    let room = if full() { 0.05 } else { 0.08 };
    for layout in [Layout::TwoPipe, Layout::Microbore, Layout::OnePipe] {
        let mut house = rough(layout);
        house.mains.piece = Truth::Yes;
        let found = of(&house);
        let mut dice = Dice::new(7);
        let mut inside = [0_usize; 6];
        for _ in 0..count {
            let mut one = house.clone();
            one.visit(&mut |_, _, range| *range = exactly(somewhere(*range, &mut dice)));
            let (alone, open) = (branches(&one).unwrap(), all_open(&one).unwrap());
            for (nth, branch) in found.branches.iter().enumerate() {
                let numbers = sure(&alone[nth], &open.branches[nth]);
                let numbers = numbers.map(|range| somewhere(range, &mut dice));
                for (at, (likely, number)) in told(branch).iter().zip(numbers).enumerate() {
                    let range = likely.expect("all of it is known").range;
                    inside[at] += usize::from(range.low <= number && number <= range.high);
                }
            }
        }
        for (name, inside) in names().into_iter().zip(inside) {
            let share = inside as f64 / (count * house.emitters.len()) as f64;
            println!("{layout:?}: {name}: {:.1} % inside", 100.0 * share);
            assert!((share - 0.9).abs() <= room, "{layout:?}: {name}: {share}");
        }
    }
}

/// It lies within the sure range and holds its value, which is known where the numbers are.
#[test]
fn a_likely_range_lies_within_the_sure_one() {
    for layout in [Layout::TwoPipe, Layout::Radial] {
        let house = rough(layout);
        let (found, alone, open) = (
            of(&house),
            branches(&house).unwrap(),
            all_open(&house).unwrap(),
        );
        for (nth, branch) in found.branches.iter().enumerate() {
            let all = told(branch)
                .into_iter()
                .zip(sure(&alone[nth], &open.branches[nth]));
            for (likely, sure) in all {
                let Likely { value, range } = likely.unwrap();
                assert!(sure.low <= range.low && range.high <= sure.high);
                assert!(range.low <= value && value <= range.high);
                assert!(range.high - range.low < 0.8 * (sure.high - sure.low));
            }
        }
        let mut exact = house.clone();
        exact.visit(&mut |_, _, range| *range = exactly(range.middle()));
        let known = of(&exact).branches[0].flow.unwrap();
        assert!((known.range.high / known.range.low - 1.0).abs() < 1e-9);
    }
}

/// What is not known and is no number has no likely range, and says what it waits for.
#[test]
fn what_is_not_known_has_no_likely_range() {
    let mut house = rough(Layout::TwoPipe);
    house.shorts.push(Short {
        id: "a bypass".to_string(),
        valve: from(0.5, 4.0),
        open: Truth::Undecided,
    });
    let alone = branches(&house).unwrap();
    let why = likely(&house, &alone, None).unwrap_err();
    assert!(why.contains("a bypass stands open"), "{why}");
    house.shorts.clear();
    house.emitters[1].content = Range::FROM_NOTHING;
    let found = likely(&house, &branches(&house).unwrap(), None).unwrap();
    assert!(found.branches[1].change.is_none() && found.branches[1].flow.is_some());
    assert!(found.branches[0].change.is_some() && found.machine_flow.is_none());
    house.joint.source = Some(Range::new(1.0, f64::INFINITY));
    assert!(likely(&house, &alone, None).is_err());
}

/// The least first; those within a tenth of the first of a rank are alike.
#[test]
fn branches_are_ranked_and_alike_within_a_tenth() {
    let values = [Some(3.0), None, Some(1.09), Some(1.0), Some(1.11)];
    let ranks = ranked(&values);
    assert_eq!(
        ranks,
        [
            (Some(1), 3),
            (Some(1), 2),
            (Some(3), 4),
            (Some(4), 0),
            (None, 1)
        ]
    );
}
