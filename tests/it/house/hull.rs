//! How wide the ranges may be: the widest that one exact house out of them gives, sought from inside.
//!
//! Each number of the house is moved between the ends and the middle of its range, one after the other, as
//! long as what is asked grows. What is found is a bound from inside: a range that does not hold it is
//! wrong, and one that is much wider is wider than a house can be.

use super::build::{Dice, exactly, from, rough};
use crate::generate::full;
use wetside_house::{House, Layout, Range, Short, all_open, branch, branches};
use wetside_units::truth::Truth;

/// The house with each of its ranges at a share of it, and what is not known decided by the shares after them.
fn at(house: &House, shares: &[f64]) -> House {
    let (mut one, mut shares) = (house.clone(), shares.iter());
    let mut share = || *shares.next().expect("there is a share for each");
    one.visit(&mut |_, _, range| {
        let (share, wide) = (share(), range.high - range.low);
        // What has no end is as good as without a limit at its far end.
        let by = if wide.is_finite() {
            share * wide
        } else if share < 0.75 {
            0.0
        } else {
            1e6 * range.low.abs().max(1.0)
        };
        *range = exactly(range.low + by);
    });
    let mut decide = |truth: &mut Truth| {
        let yes = share() >= 0.5;
        if *truth == Truth::Undecided {
            *truth = if yes { Truth::Yes } else { Truth::No };
        }
    };
    decide(&mut one.mains.piece);
    one.shorts
        .iter_mut()
        .for_each(|short| decide(&mut short.open));
    if let Some(glycol) = one
        .antifreeze
        .as_mut()
        .filter(|glycol| glycol.kinds.len() > 1)
    {
        let which = usize::from(share() >= 0.5);
        glycol.kinds = vec![glycol.kinds[which]];
    }
    one
}

/// The greatest that is found of something, from so many places to start.
fn greatest(house: &House, of: &dyn Fn(&House) -> f64, starts: u64) -> f64 {
    let inputs = house.inputs();
    let count = inputs.len() + house.shorts.len() + 2;
    let wide = |at: &usize| inputs.get(*at).is_none_or(|input| !input.range.is_point());
    let open: Vec<usize> = (0..count).filter(wide).collect();
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
        let (mut found, mut highest) = (f64::INFINITY, f64::NEG_INFINITY);
        let steps = [0.0, 0.25, 0.5, 0.75, 1.0];
        for a in steps {
            for b in steps {
                let mut one = bare.clone();
                let mut others = (0..3).filter(|other| *other != which);
                one.emitters[which].place = exactly(1.0);
                one.emitters[others.next().unwrap()].place = exactly(a);
                one.emitters[others.next().unwrap()].place = exactly(b);
                let share = all_open(&one).unwrap().branches.swap_remove(which);
                (found, highest) = (found.min(share.flow.low), highest.max(share.outlet.high));
            }
        }
        let low = tight.branches[which].flow.low;
        assert!(
            low <= found && low >= 0.97 * found,
            "{which}: {low} against {found}"
        );
        assert!(sure.branches[which].flow.low <= found, "{which}");
        // What a branch has less of is not lost in its own valves: its outlet stands higher.
        let outlet = tight.branches[which].outlet;
        assert!(
            outlet.high >= highest,
            "{which}: {outlet:?} against {highest}"
        );
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

/// What is found of a figure, the range that is told beside the widest that an exact house gives; flows by
/// their quotient, pressures by their difference.
fn excess(what: &str, sure: Range, found: Range, by_quotient: bool) -> f64 {
    let (wide, widest) = if by_quotient {
        ((sure.high / sure.low).ln(), (found.high / found.low).ln())
    } else {
        (sure.high - sure.low, found.high - found.low)
    };
    // In the passage from laminar to turbulent flow the last hundredth is not proved.
    let room = 0.01 * (found.high - found.low) + 1e-9 * found.high.abs();
    let holds = sure.low <= found.low + room && found.high <= sure.high + room;
    assert!(holds, "{what}: {found:?} is not in {sure:?}");
    if wide == 0.0 { 1.0 } else { wide / widest }
}

/// Every branch of every example, alone and with everything open. In the long run `WETSIDE_HULL` names some of the
/// examples by a part of their names.
#[test]
fn no_example_is_told_narrower_than_a_house_can_be_nor_much_wider() {
    let only = std::env::var("WETSIDE_HULL").unwrap_or_default();
    let only = if full() { only.as_str() } else { "bungalow" };
    let named = |example: &&crate::generate::Example| example.name.contains(only);
    let all: Vec<_> = crate::generate::examples().iter().filter(named).collect();
    let found = crate::generate::in_two(&all, |example| widths_of(&example.name, &example.text));
    let medians = |at: usize| {
        let of = found
            .iter()
            .flat_map(|each: &[Vec<f64>; 4]| each[at].clone());
        let of: Vec<f64> = of.filter(|excess| excess.is_finite()).collect();
        (of.len(), if of.is_empty() { 1.0 } else { median(of) })
    };
    let [flow, outlet, open_flow, open_outlet] = [0, 1, 2, 3].map(medians);
    println!("all: {flow:?} {outlet:?} {open_flow:?} {open_outlet:?}");
    assert!(flow.1 <= 1.05 && open_flow.1 <= 1.05);
    assert!(outlet.1 <= 1.1 && open_outlet.1 <= 1.1);
}

/// Of each branch by how much flow and outlet alone, and both with everything open, are wider than what is found.
fn widths_of(name: &str, text: &str) -> [Vec<f64>; 4] {
    let read = crate::generate::Read::survey(text);
    let vocabulary = &crate::generate::packs().vocabulary;
    let mut widths: [Vec<f64>; 4] = Default::default();
    let told = wetside_engine::figures::tell::tell(&read.facts, vocabulary);
    let Ok(told) = told else { return widths };
    let house = told.house;
    if house.layout == Layout::Mixed {
        return widths;
    }
    let tried = if full() { house.emitters.len() } else { 1 };
    for which in 0..tried {
        let what = format!("{name}: {}", house.emitters[which].id);
        let of = |see: &dyn Fn(&House) -> Option<Range>, starts: u64| {
            let end = |high: bool| {
                move |one: &House| match see(one) {
                    Some(range) if high => range.high,
                    Some(range) => -range.low,
                    None => f64::MIN,
                }
            };
            let (low, high) = (end(false), end(true));
            Range::new(
                -greatest(&house, &low, starts),
                greatest(&house, &high, starts),
            )
        };
        let alone = &told.branches[which];
        let flow = of(&|one| Some(branch(one, which).ok()?.flow), 2);
        let outlet = of(&|one| Some(branch(one, which).ok()?.outlet), 2);
        widths[0].push(excess(&what, alone.flow, flow, true));
        widths[1].push(excess(&what, alone.outlet, outlet, false));
        if let (Ok(open), true) = (&told.open, full()) {
            let share = &open.branches[which];
            let one_of = |one: &House| Some(all_open(one).ok()?.branches.swap_remove(which));
            let flow = of(&|one| Some(one_of(one)?.flow), 1);
            let outlet = of(&|one| Some(one_of(one)?.outlet), 1);
            widths[2].push(excess(&what, share.flow, flow, true));
            widths[3].push(excess(&what, share.outlet, outlet, false));
        }
    }
    let shown = widths.each_ref().map(|of| {
        of.iter()
            .map(|one| format!("{one:.2}"))
            .collect::<Vec<_>>()
            .join(" ")
    });
    println!(
        "{name}: flow {}; outlet {}; open {}; {}",
        shown[0], shown[1], shown[2], shown[3]
    );
    widths
}
