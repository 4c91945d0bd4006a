//! Branches alone: rules of thumb of the trade, the reference networks, what stops a reversal.

use super::build::{exactly, from, rough};
use crate::physics::table::rows;
use wetside::figures::house::alone::branches;
use wetside::figures::house::path::{End, Series, Water};
use wetside::figures::house::{Layout, Short, State, Tails, Way, convention};
use wetside::physics::friction::Run;
use wetside::physics::{BAR, GRAVITY, pipe};

/// What a path passes under a pressure, against a table that the trade may carry in its head.
#[test]
fn tails_and_loops_pass_what_the_rules_of_thumb_say() {
    for row in rows("../house/thumb.csv") {
        let mut series = Series::new(End::Most);
        series.add(Run {
            length: row.number("length_m"),
            bore: row.number("bore_mm") / 1000.0,
            roughness: 1.5e-6,
            loss: row.number("loss"),
        });
        let water = Water::at(exactly(row.number("celsius"))).unwrap();
        let head = row.number("bar") * BAR / (water.density.low * GRAVITY);
        let flow = series.flow(head, &water).unwrap();
        let litres = flow * 60e3;
        let wanted = row.number("l_min");
        let room = row.number("room") * wanted;
        assert!(
            (litres - wanted).abs() <= room,
            "{litres} against {wanted} l/min"
        );
        if row.has("speed") {
            let speed = pipe::speed(flow, row.number("bore_mm") / 1000.0).unwrap();
            let wanted = row.number("speed");
            assert!(
                (speed - wanted).abs() <= 0.08 * wanted,
                "{speed} against {wanted} m/s"
            );
        }
    }
}

#[test]
fn a_one_way_valve_stops_the_reversed_flow() {
    let mut house = rough(Layout::TwoPipe);
    house.emitters[0].way = Way::ForwardOnly;
    house.emitters[1].way = Way::Unknown;
    let all = branches(&house).unwrap();
    let at = |at: usize| all[at].as_ref().unwrap();
    assert_eq!(at(0).flow_back, exactly(0.0));
    assert!(at(0).flow.low > 0.0);
    assert_eq!(at(1).flow_back, from(0.0, at(1).flow.high));
    assert_eq!(at(2).flow_back, at(2).flow);
    house.way = Way::ForwardOnly;
    let all = branches(&house).unwrap();
    assert!(
        all.iter()
            .flatten()
            .all(|branch| branch.flow_back == exactly(0.0))
    );
}

#[test]
fn an_open_bypass_takes_the_flow() {
    let mut house = rough(Layout::TwoPipe);
    let shut = branches(&house).unwrap();
    house.shorts.push(Short {
        id: "header".to_string(),
        valve: from(10.0, 20.0),
        open: State::Yes,
    });
    let open = branches(&house).unwrap();
    for (shut, open) in shut.iter().flatten().zip(open.iter().flatten()) {
        assert!(open.flow.high < shut.flow.high && open.flow.low < 0.5 * shut.flow.low);
        assert!(open.taken_by_shorts.low > 0.5);
    }
    house.shorts[0].open = State::Unknown;
    let unknown = branches(&house).unwrap();
    for ((shut, open), unknown) in shut.iter().zip(&open).zip(&unknown) {
        let (shut, open) = (shut.as_ref().unwrap(), open.as_ref().unwrap());
        let unknown = unknown.as_ref().unwrap();
        assert_eq!(unknown.flow.low, open.flow.low);
        assert_eq!(unknown.flow.high, shut.flow.high);
    }
}

#[test]
fn a_valve_that_may_be_shut_leaves_no_least_flow() {
    use convention::{Setting, Valve};
    let mut house = rough(Layout::TwoPipe);
    house.emitters[0].return_valve = convention::valve(Valve::Lockshield, Setting::Unknown);
    house.emitters[1].return_valve = convention::valve(Valve::Lockshield, Setting::Closed);
    house.emitters[2].off = true;
    let all = branches(&house).unwrap();
    let first = all[0].as_ref().unwrap();
    assert!(first.flow.low == 0.0 && first.flow.high > 0.0 && first.change.high.is_infinite());
    assert_eq!(all[1].as_ref().unwrap().flow, exactly(0.0));
    assert!(all[2].is_none());
}

#[test]
fn conventions_name_rows_that_the_physics_has() {
    use convention::{Setting, Valve};
    for valve in [
        Valve::Thermostatic,
        Valve::Wheelhead,
        Valve::Lockshield,
        Valve::TwinEntry,
        Valve::None,
        Valve::Unknown,
    ] {
        for setting in [Setting::Open, Setting::HeadOn, Setting::Unknown] {
            assert!(convention::valve(valve, setting).high > 0.0);
        }
    }
}

/// The reference system as few lines describe it: one flow for every radiator alone.
struct Reference {
    system: &'static str,
    layout: Layout,
    celsius: f64,
    longest: f64,
    main_bore: f64,
    roughness: f64,
}

const REFERENCES: [Reference; 3] = [
    Reference {
        system: "two_pipe",
        layout: Layout::TwoPipe,
        celsius: 40.0,
        longest: 37.8,
        main_bore: 0.0202,
        roughness: 1.5e-6,
    },
    Reference {
        system: "microbore",
        layout: Layout::Microbore,
        celsius: 20.0,
        longest: 37.3,
        main_bore: 0.0202,
        roughness: 1.5e-6,
    },
    Reference {
        system: "one_pipe",
        layout: Layout::OnePipe,
        celsius: 60.0,
        longest: 36.9,
        main_bore: 0.0217,
        roughness: 200e-6,
    },
];

/// The house of a reference: the hoses, pump and tails that its table has, the mains by convention.
fn house_of(reference: &Reference) -> wetside::figures::house::House {
    let mut house = rough(reference.layout);
    let links = rows(&format!("networks/{}_links.csv", reference.system));
    let nodes = rows(&format!("networks/{}_nodes.csv", reference.system));
    house.celsius = exactly(reference.celsius);
    let machine = &mut house.machine;
    machine.shut_off = exactly(22.0 * GRAVITY * Water::at(house.celsius).unwrap().density.low);
    machine.rated_flow = exactly(1.9e-3);
    machine.plate = exactly(1.0);
    machine.curve = exactly(2.0);
    machine.hose_length = exactly(6.0);
    machine.hose_bore = exactly(0.019);
    machine.hose_roughness = exactly(20e-6);
    house.joint.bore = exactly(0.019);
    house.joint.loss = exactly(6.0);
    if reference.system == "two_pipe" {
        // Its boiler: 2 m of main and a loss of 9.
        house.joint.source = Some(exactly((1.5989e-3 * 20.2_f64.powi(4) / 11.4).sqrt()));
    }
    let mains = &mut house.mains;
    mains.bore = exactly(reference.main_bore);
    mains.roughness = exactly(reference.roughness);
    mains.longest_run = exactly(reference.longest);
    mains.storey = exactly(2.6);
    mains.piece_length = exactly(1.2);
    mains.piece_loss = exactly(2.0);
    let pattern = house.emitters[0].clone();
    house.emitters.clear();
    for row in links
        .iter()
        .filter(|row| row.text("link").starts_with("RAD"))
    {
        let mut emitter = pattern.clone();
        emitter.id = row.text("link").to_string();
        let number = emitter.id.trim_start_matches("RAD").trim_start_matches('0');
        let of = |name: &str| links.iter().find(|row| row.text("link") == name);
        let (mut length, mut loss) = (row.number("length_m"), row.number("loss"));
        for tail in [format!("FL{number}"), format!("RL{number}")] {
            if let Some(tail) = of(&tail) {
                length += tail.number("length_m");
                loss += tail.number("loss");
            }
        }
        let height = nodes
            .iter()
            .find(|node| node.text("node") == row.text("from"));
        let upstairs = height.unwrap().number("elevation_m") > 2.0;
        emitter.floor = exactly(if upstairs { 1.0 } else { 0.0 });
        emitter.tails = Tails {
            length: exactly(length),
            bore: exactly(row.number("bore_mm") / 1000.0),
            roughness: exactly(reference.roughness),
            loss: exactly(loss),
        };
        emitter.flow_valve = exactly(1e6);
        emitter.return_valve = exactly(1e6);
        house.emitters.push(emitter);
    }
    house
}

/// Where the reference's own pipes run is known to the reference alone; the convention must hold its
/// flows, and no range may be wider than told.
#[test]
fn conventions_hold_the_reference_systems() {
    for (reference, width) in REFERENCES.iter().zip([0.25, 0.02, 0.1]) {
        let house = house_of(reference);
        let found = branches(&house).unwrap();
        let name = format!("networks/{}_flows.csv", reference.system);
        for branch in found.iter().flatten() {
            let state = format!("only_{}", branch.id);
            let flows = rows(&name);
            let Some(row) = flows
                .iter()
                .find(|row| row.text("state") == state && row.text("link") == branch.id)
            else {
                continue;
            };
            let wanted = row.number("same_law_l_s") / 1000.0;
            println!(
                "{} {}: {:.4} in {:.4} to {:.4} l/s",
                reference.system,
                branch.id,
                wanted * 1e3,
                branch.flow.low * 1e3,
                branch.flow.high * 1e3
            );
            assert!(
                branch.flow.low <= wanted && wanted <= branch.flow.high,
                "{} {}: {wanted} is not in {:?}",
                reference.system,
                branch.id,
                branch.flow
            );
            let wide = (branch.flow.high - branch.flow.low) / branch.flow.middle();
            assert!(wide <= width, "{} is {wide} wide", branch.id);
        }
    }
}
