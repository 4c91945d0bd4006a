//! Properties: a range holds every house that it stands for, and more knowledge never widens it.

use super::build::{Dice, drawn, exactly, from, measured, narrowed, rough};
use wetside_house::{Branch, House, Layout, Range, Short, Way, branches};
use wetside_units::truth::Truth;

/// The passage from laminar to turbulent flow is searched at a few viscosities only.
const ROOM: f64 = 1e-3;

const LAYOUTS: [Layout; 5] = [
    Layout::TwoPipe,
    Layout::OnePipe,
    Layout::Microbore,
    Layout::Radial,
    Layout::Mixed,
];

pub(super) fn draws() -> usize {
    match std::env::var_os("WETSIDE_FULL") {
        Some(_) => 10_000,
        None => 2_000,
    }
}

pub(super) fn holds(outer: Range, inner: Range) -> bool {
    let room = ROOM * inner.high.abs().max(inner.low.abs()).min(1e9);
    let above = outer.low <= inner.low + room;
    above && (inner.high <= outer.high + room)
}

fn numbers(branch: &Branch) -> [(&'static str, Range); 9] {
    [
        ("flow", branch.flow),
        ("speed", branch.speed),
        ("flow back", branch.flow_back),
        ("main flow", branch.main_flow),
        ("main speed", branch.main_speed),
        ("share of the shorts", branch.taken_by_shorts),
        ("change", branch.change),
        ("outlet", branch.outlet),
        ("riser", branch.riser),
    ]
}

/// A house with whatever may be odd: bores between plastic and copper, a bypass of unknown state.
fn odd(layout: Layout) -> House {
    let mut house = rough(layout);
    house.emitters[1].tails.bore = from(0.0114, 0.0136);
    house.emitters[2].tails.length = from(2.0, 16.0);
    house.emitters[3].blockage = from(1.0, 30.0);
    house.emitters[4].way = Way::Unknown;
    house.emitters[5].return_valve = from(0.0, 2.4);
    house.mains.longest_run = from(16.0, 50.0);
    house.celsius = from(8.0, 60.0);
    house.shorts.push(Short {
        id: "bypass".to_string(),
        valve: from(0.5, 3.0),
        open: Truth::Undecided,
    });
    house
}

fn check_draws(house: &House, seed: u64) {
    let mut dice = Dice::new(seed);
    let whole = branches(house).unwrap();
    let wrong = |one: &House, all: &[Branch]| {
        let ones = branches(one).unwrap();
        for (all, one) in all.iter().zip(&ones) {
            for ((what, outer), (_, inner)) in numbers(all).into_iter().zip(numbers(one)) {
                assert!(
                    holds(outer, inner),
                    "{:?}: {what} of {}: {inner:?} is not in {outer:?}",
                    house.layout,
                    all.id
                );
            }
            assert!(all.coarse.worst <= one.coarse.worst && one.coarse.best <= all.coarse.best);
            assert!(all.fine.worst <= one.fine.worst && one.fine.best <= all.fine.best);
        }
    };
    for _ in 0..draws() / LAYOUTS.len() / 2 {
        let mut one = drawn(house, &mut dice);
        for short in &mut one.shorts {
            if short.open == Truth::Undecided {
                short.open = if dice.roll() < 0.5 {
                    Truth::Yes
                } else {
                    Truth::No
                };
            }
        }
        wrong(&one, &whole);
    }
}

#[test]
fn a_range_holds_the_branches_of_every_house_drawn_from_it() {
    for (at, layout) in LAYOUTS.into_iter().enumerate() {
        check_draws(&rough(layout), at as u64 + 1);
        check_draws(&odd(layout), at as u64 + 100);
        check_draws(&measured(odd(layout)), at as u64 + 200);
    }
}

#[test]
fn more_knowledge_never_widens_a_branch() {
    let mut dice = Dice::new(7);
    for layout in LAYOUTS {
        for house in [rough(layout), odd(layout), measured(rough(layout))] {
            let whole = branches(&house).unwrap();
            for _ in 0..20 {
                let less = narrowed(&house, &mut dice);
                let narrow = branches(&less).unwrap();
                for (all, one) in whole.iter().zip(&narrow) {
                    for ((what, outer), (_, inner)) in numbers(all).into_iter().zip(numbers(one)) {
                        assert!(
                            holds(outer, inner),
                            "{layout:?} {what}: {inner:?} {outer:?}"
                        );
                    }
                }
            }
        }
    }
}

#[test]
fn the_order_of_emitters_does_not_matter() {
    for layout in LAYOUTS {
        let house = odd(layout);
        let mut turned = house.clone();
        turned.emitters.reverse();
        let mut back = branches(&turned).unwrap();
        back.reverse();
        assert_eq!(branches(&house).unwrap(), back, "{layout:?}");
    }
}

#[test]
fn resistance_takes_flow() {
    // A mixed layout stands for two even when every number is exact.
    for layout in LAYOUTS
        .into_iter()
        .filter(|layout| *layout != Layout::Mixed)
    {
        let mut dice = Dice::new(3);
        let house = drawn(&rough(layout), &mut dice);
        let before = branches(&house).unwrap();
        let mut tight = house.clone();
        for emitter in &mut tight.emitters {
            emitter.tails.loss = exactly(emitter.tails.loss.high + 20.0);
        }
        for (more, less) in before.iter().zip(&branches(&tight).unwrap()) {
            assert!(less.flow.high < more.flow.low, "{layout:?}");
        }
    }
}
