//! How wide the ranges may be: the widest that one exact house out of them gives, sought from inside.
//!
//! Each number of the house is moved between the ends and the middle of its range, one after the other, as
//! long as what is asked grows. What is found is a bound from inside: a range that does not hold it is
//! wrong, and one that is much wider is wider than a house can be.

use super::build::{Dice, exactly, from, rough};
use crate::generate::full;
use wetside_house::{House, Layout, Range, Short, all_open, branch, branches};
use wetside_units::truth::Truth;

/// The house with each of its ranges at a share of it.
fn at(house: &House, shares: &[f64]) -> House {
    let (mut one, mut seen) = (house.clone(), 0);
    one.visit(&mut |_, _, range| {
        *range = exactly(range.low + shares[seen] * (range.high - range.low));
        seen += 1;
    });
    one
}

/// The greatest that is found of something, from so many places to start.
fn greatest(house: &House, of: &dyn Fn(&House) -> f64, starts: u64) -> f64 {
    let count = house.inputs().len();
    let open: Vec<usize> = (0..count)
        .filter(|at| !house.inputs()[*at].range.is_point())
        .collect();
    let mut best = f64::NEG_INFINITY;
    for start in 0..starts {
        let mut dice = Dice::new(start + 1);
        let mut shares: Vec<f64> = (0..count).map(|_| dice.roll().round()).collect();
        let mut here = of(&at(house, &shares));
        let mut grows = true;
        while grows {
            grows = false;
            for input in &open {
                for share in [0.0, 0.5, 1.0] {
                    let before = std::mem::replace(&mut shares[*input], share);
                    let then = of(&at(house, &shares));
                    if then > here + 1e-9 * here.abs() {
                        (here, grows) = (then, true);
                    } else {
                        shares[*input] = before;
                    }
                }
            }
        }
        best = best.max(here);
    }
    best
}

fn hull(house: &House, of: &dyn Fn(&House) -> f64, starts: u64) -> Range {
    let least = |house: &House| -of(house);
    Range::new(
        -greatest(house, &least, starts),
        greatest(house, of, starts),
    )
}

fn median(mut all: Vec<f64>) -> f64 {
    all.sort_by(f64::total_cmp);
    all[all.len() / 2]
}

/// Top of an emitter above its floor: no input of a house, so both of its ends are in every outlet.
const TOP: f64 = 0.5 * 9810.0;

#[test]
fn a_branch_alone_is_no_wider_than_a_house_can_be() {
    let (layouts, tried): (&[Layout], usize) = if full() {
        (
            &[
                Layout::TwoPipe,
                Layout::Microbore,
                Layout::OnePipe,
                Layout::Radial,
            ],
            6,
        )
    } else {
        (&[Layout::TwoPipe], 1)
    };
    for layout in layouts {
        let house = rough(*layout);
        let (mut flows, mut outlets) = (Vec::new(), Vec::new());
        for which in 0..tried {
            let sure = branch(&house, which).unwrap();
            let flow = hull(&house, &|one| branch(one, which).unwrap().flow.low, 2);
            assert!(sure.flow.low <= flow.low * 1.001 && flow.high <= sure.flow.high * 1.001);
            let width = |range: Range| (range.high / range.low).ln();
            flows.push(width(sure.flow) / width(flow));
            let outlet = hull(&house, &|one| branch(one, which).unwrap().outlet.low, 2);
            let high = hull(&house, &|one| branch(one, which).unwrap().outlet.high, 2);
            let outlet = outlet.hull(high);
            let room = 0.001 * (sure.outlet.high - sure.outlet.low);
            assert!(sure.outlet.low <= outlet.low + room && outlet.high <= sure.outlet.high + room);
            outlets.push((sure.outlet.high - sure.outlet.low) / (outlet.high - outlet.low));
        }
        let (flows, outlets) = (median(flows), median(outlets));
        println!("{layout:?}: flow {flows:.3}, outlet {outlets:.3} of the widest found");
        assert!(
            flows <= 1.05 && outlets <= 1.1,
            "{layout:?}: {flows} {outlets}"
        );
    }
}

/// What was found wrong: takers that leave the main before an emitter, each at a place of its own, leave it
/// less than all of them at one place do.
#[test]
fn with_everything_open_no_taker_is_where_the_range_did_not_look() {
    let mut house = rough(Layout::TwoPipe);
    house.emitters.truncate(3);
    house.mains.bore = exactly(0.0136);
    house.mains.stepped = exactly(0.0);
    house.emitters[0].flow_valve = from(2.0, 2.4);
    house.shorts.clear();
    let sure = all_open(&house).unwrap();
    let mut bare = house.clone();
    bare.visit(&mut |what, _, range| {
        if what != "place along the mains" {
            *range = exactly(range.middle());
        }
    });
    let tight = all_open(&bare).unwrap();
    for which in 0..3 {
        let least = |one: &House| -all_open(one).unwrap().branches[which].flow.low;
        let mut found = f64::INFINITY;
        let steps = [0.0, 0.25, 0.5, 0.75, 1.0];
        for a in steps {
            for b in steps {
                let mut one = bare.clone();
                let mut others = (0..3).filter(|other| *other != which);
                one.emitters[which].place = exactly(1.0);
                one.emitters[others.next().unwrap()].place = exactly(a);
                one.emitters[others.next().unwrap()].place = exactly(b);
                found = found.min(-least(&one));
            }
        }
        let low = tight.branches[which].flow.low;
        assert!(
            low <= found && low >= 0.97 * found,
            "{which}: {low} against {found}"
        );
        assert!(sure.branches[which].flow.low <= found, "{which}");
    }
}

/// No pressure is above what the pump can make, at any place and whatever is open.
#[test]
fn no_outlet_is_above_what_the_pump_can_make() {
    let rounds = if full() { 10_000 } else { 60 };
    let layouts = [
        Layout::TwoPipe,
        Layout::Microbore,
        Layout::OnePipe,
        Layout::Mixed,
    ];
    for round in 0..rounds {
        let mut dice = Dice::new(round + 1);
        let layout = layouts[(round % 4) as usize];
        let mut house = super::build::narrowed(&rough(layout), &mut dice);
        if dice.roll() < 0.5 {
            house.shorts.push(Short {
                id: "bypass".to_string(),
                valve: from(0.5, 4.0),
                open: Truth::Undecided,
            });
        }
        let machine = &house.machine;
        let pump = machine.shut_off.high * machine.plate.high;
        let all = branches(&house).unwrap();
        let most = |at: usize| {
            let floor = house.emitters[at].floor.low * house.mains.storey.low;
            pump + 9810.0 * (machine.level.high - floor) + TOP
        };
        for (at, branch) in all.iter().enumerate() {
            assert!(branch.outlet.high <= most(at), "{round}: {branch:?}");
            assert!(branch.flow.high <= machine.rated_flow.high * machine.plate.high);
        }
        if round % 10 == 0 && layout != Layout::Mixed {
            let open = all_open(&house).unwrap();
            for (at, share) in open.branches.iter().enumerate() {
                assert!(share.outlet.high <= most(at), "{round}: {share:?}");
                assert!(share.flow.high <= open.machine_flow.high * 1.001);
            }
            // An equal share of what goes into the mains is the least that the busiest has.
            let legs = if layout == Layout::OnePipe { 1.0 } else { 2.0 };
            let into = open.machine_flow.low * (1.0 - open.taken_by_shorts.high);
            let area = std::f64::consts::FRAC_PI_4 * house.mains.bore.high.powi(2);
            assert!(open.main_speed.low >= into / legs / area * 0.999, "{round}");
        }
    }
}
