//! The reference systems as few lines describe them, their mains by convention.

use super::build::{exactly, rough};
use crate::physics::table::rows;
use wetside_house::{House, Layout, Range, Tails, Water, all_open, branches};
use wetside_physics::GRAVITY;

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
fn house_of(reference: &Reference) -> House {
    let mut house = rough(reference.layout);
    let links = rows(&format!("networks/{}_links.csv", reference.system));
    let nodes = rows(&format!("networks/{}_nodes.csv", reference.system));
    house.celsius = exactly(reference.celsius);
    let machine = &mut house.machine;
    machine.shut_off =
        exactly(22.0 * GRAVITY * Water::at(house.celsius, None).unwrap().density.low);
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

/// Fails unless a range holds a flow of the reference; tells how wide it is.
fn hold(system: &str, state: &str, id: &str, flow: Range, width: f64) {
    let flows = rows(&format!("networks/{system}_flows.csv"));
    let of = |state: &str, id: &str| {
        let row = flows
            .iter()
            .find(|row| row.text("state") == state && row.text("link") == id);
        row.map(|row| row.number("same_law_l_s") / 1000.0)
    };
    let Some(wanted) = of(state, id) else {
        return;
    };
    println!(
        "{system} {state} {id}: {:.4} in {:.4} to {:.4} l/s",
        wanted * 1e3,
        flow.low * 1e3,
        flow.high * 1e3
    );
    assert!(
        flow.low <= wanted && wanted <= flow.high,
        "{system} {state} {id}: {wanted} is not in {flow:?}"
    );
    let wide = (flow.high - flow.low) / flow.middle();
    assert!(wide <= width, "{system} {state} {id} is {wide} wide");
}

/// Where the reference's own pipes run is known to the reference alone; the convention must hold its
/// flows. Pump, hoses, tails and losses are given exactly, and so is the piece of main under a one-pipe
/// radiator; the widths were set a little above what came out, to notice when a range grows.
#[test]
fn conventions_hold_each_radiator_of_the_reference_systems_alone() {
    for (reference, width) in REFERENCES.iter().zip([0.25, 0.02, 0.1]) {
        let house = house_of(reference);
        for branch in branches(&house).unwrap() {
            let state = format!("only_{}", branch.id);
            hold(reference.system, &state, &branch.id, branch.flow, width);
        }
    }
}

#[test]
fn conventions_hold_the_reference_systems_with_everything_open() {
    for (reference, width) in REFERENCES.iter().zip([1.5, 0.1, 0.07]) {
        let open = all_open(&house_of(reference)).unwrap();
        for share in &open.branches {
            hold(reference.system, "all_open", &share.id, share.flow, width);
        }
        hold(reference.system, "all_open", "PUMP", open.machine_flow, 1.0);
    }
}
