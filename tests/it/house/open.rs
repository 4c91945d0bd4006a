//! Everything open: ranges hold the houses drawn from them, and what is shut or one-way is.

use super::build::{Dice, drawn, exactly, from, narrowed, rough};
use super::draws::{draws, holds};
use wetside_house::{AllOpen, House, Layout, MOST_OPEN, NoNetwork, Range, Short, Way, all_open};
use wetside_units::truth::Truth;

const LAYOUTS: [Layout; 4] = [
    Layout::TwoPipe,
    Layout::OnePipe,
    Layout::Microbore,
    Layout::Radial,
];

/// A house with ranges wherever a survey leaves them.
fn odd(layout: Layout) -> House {
    let mut house = rough(layout);
    house.emitters[0].place = from(0.3, 0.6);
    house.emitters[2].tails.length = from(2.0, 14.0);
    house.emitters[3].blockage = from(1.0, 30.0);
    house.emitters[4].way = Way::ForwardOnly;
    house.emitters[5].way = Way::Unknown;
    house.shorts.push(Short {
        id: "bypass".to_string(),
        valve: from(0.5, 3.0),
        open: Truth::Undecided,
    });
    house
}

fn numbers(open: &AllOpen) -> Vec<(String, Range)> {
    let mut all = vec![
        ("machine".to_string(), open.machine_flow),
        ("main".to_string(), open.main_speed),
        ("shorts".to_string(), open.taken_by_shorts),
    ];
    for share in &open.branches {
        all.push((format!("flow of {}", share.id), share.flow));
        all.push((format!("speed of {}", share.id), share.speed));
        all.push((format!("flow back of {}", share.id), share.flow_back));
        all.push((format!("outlet of {}", share.id), share.outlet));
    }
    all
}

fn assert_held(layout: Layout, outer: &AllOpen, inner: &AllOpen) {
    for ((what, outer), (_, inner)) in numbers(outer).into_iter().zip(numbers(inner)) {
        assert!(
            holds(outer, inner),
            "{layout:?}: {what}: {inner:?} is not in {outer:?}"
        );
    }
}

#[test]
fn ranges_hold_every_house_drawn_from_them() {
    for (at, layout) in LAYOUTS.into_iter().enumerate() {
        for house in [rough(layout), odd(layout)] {
            let mut dice = Dice::new(at as u64 + 11);
            let whole = all_open(&house).unwrap();
            for _ in 0..draws() / 8 {
                let mut one = drawn(&house, &mut dice);
                let yes = dice.roll() < 0.5;
                for short in &mut one.shorts {
                    short.open = if yes { Truth::Yes } else { Truth::No };
                }
                if house.emitters[5].way == Way::Unknown {
                    let both = dice.roll() < 0.5;
                    one.emitters[5].way = if both { Way::Both } else { Way::ForwardOnly };
                }
                assert_held(layout, &whole, &all_open(&one).unwrap());
            }
        }
    }
}

#[test]
fn more_knowledge_never_widens_a_share() {
    let mut dice = Dice::new(5);
    for layout in LAYOUTS {
        let house = odd(layout);
        let whole = all_open(&house).unwrap();
        for _ in 0..10 {
            let less = narrowed(&house, &mut dice);
            assert_held(layout, &whole, &all_open(&less).unwrap());
        }
    }
}

#[test]
fn the_order_of_emitters_does_not_matter() {
    for layout in LAYOUTS {
        let house = odd(layout);
        let mut turned = house.clone();
        turned.emitters.reverse();
        let (mut one, mut other) = (all_open(&house).unwrap(), all_open(&turned).unwrap());
        other.branches.reverse();
        // The solver sums in another order, so the last digits may differ.
        for ((what, a), (_, b)) in numbers(&one).into_iter().zip(numbers(&other)) {
            let near = |a: f64, b: f64| (a - b).abs() <= 1e-9 * a.abs().max(b.abs());
            assert!(
                near(a.low, b.low) && near(a.high, b.high),
                "{layout:?}: {what}"
            );
        }
        one.branches.clear();
        other.branches.clear();
        assert_eq!(one.lowest.map(|(id, _)| id), other.lowest.map(|(id, _)| id));
    }
}

#[test]
fn a_valve_that_lets_one_way_leaves_the_rest_more_when_reversed() {
    let mut dice = Dice::new(2);
    let mut house = drawn(&rough(Layout::TwoPipe), &mut dice);
    house.emitters[0].way = Way::ForwardOnly;
    let open = all_open(&house).unwrap();
    let at = |at: usize| &open.branches[at];
    assert_eq!(at(0).flow_back, exactly(0.0));
    assert!((1..6).all(|other| at(other).flow_back.low > at(other).flow.high));
}

#[test]
fn there_is_no_network_where_the_convention_has_none() {
    let mixed = all_open(&rough(Layout::Mixed)).unwrap_err();
    assert_eq!(mixed, NoNetwork::Layout(Layout::Mixed));
    let mut empty = rough(Layout::TwoPipe);
    empty.emitters.clear();
    assert_eq!(all_open(&empty).unwrap_err(), NoNetwork::NoEmitter);
}

/// The cost is known beforehand: so many networks for each emitter and each that it shares a leg with, and of too many emitters none.
#[test]
fn a_house_takes_so_many_networks_for_each_emitter() {
    let of = |count: usize| {
        let mut house = odd(Layout::TwoPipe);
        let pattern = house.emitters[4].clone();
        house.emitters = (0..count)
            .map(|at| {
                let mut one = pattern.clone();
                (one.id, one.floor) = (format!("{at}"), exactly((at % 2) as f64));
                one
            })
            .collect();
        all_open(&house)
    };
    for count in [1, 2, 4, 8, 16] {
        let solutions = of(count).unwrap().solutions;
        let takers = (count - 1) / 2;
        let most = count * (95 + 80 * takers * (takers + 1)) + 30;
        assert!(
            solutions <= most,
            "{solutions} networks for {count} emitters"
        );
    }
    assert_eq!(of(MOST_OPEN + 1).unwrap_err(), NoNetwork::TooMany);
}
