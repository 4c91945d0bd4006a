//! No number, however odd, makes a function panic or answer with something that is not a number.

use wetside_physics::friction::Run;
use wetside_physics::glycol::Glycol;
use wetside_physics::sludge::{Channel, Grain, Suspension};
use wetside_physics::{
    OutOfRange, content, dilution, dump, fit, friction, glycol, heat, pipe, sludge, vessel, water,
};

/// Numbers that a careless caller might hand over, and plain ones among them.
const ODD: [f64; 17] = [
    f64::NAN,
    f64::INFINITY,
    f64::NEG_INFINITY,
    -1.0,
    -0.0,
    0.0,
    f64::MIN_POSITIVE,
    1e-300,
    1e-9,
    1e-3,
    0.5,
    1.0,
    20.0,
    100.0,
    1e9,
    1e300,
    f64::MAX,
];

/// Fails when an answer is not a number. Infinity may come of numbers near the end of what a double
/// holds; it is not a silent nonsense.
fn sane(what: &str, answer: Result<f64, OutOfRange>) {
    if let Ok(value) = answer {
        assert!(
            !value.is_nan(),
            "{what} answers with something that is not a number"
        );
    }
}

#[test]
fn functions_of_one_number_never_panic() {
    for x in ODD {
        sane("density", water::density(x));
        sane("dynamic_viscosity", water::dynamic_viscosity(x));
        sane("heat_capacity", water::heat_capacity(x));
        sane(
            "freezing_point",
            glycol::freezing_point(Glycol::Propylene, x),
        );
        sane("mass_strength", glycol::mass_strength(Glycol::Ethylene, x));
        sane("area", pipe::area(x));
        sane("highest_in_service", vessel::highest_in_service(x));
    }
}

#[test]
fn functions_of_several_numbers_never_panic() {
    for x in ODD {
        for y in ODD {
            of_two(x, y);
            for z in ODD {
                of_three(x, y, z);
            }
        }
    }
}

fn of_two(x: f64, y: f64) {
    sane("glycol density", glycol::density(Glycol::Propylene, x, y));
    sane(
        "glycol viscosity",
        glycol::kinematic_viscosity(Glycol::Ethylene, x, y),
    );
    sane("content", pipe::content(x, y));
    sane("friction_factor", friction::friction_factor(x, y));
    sane("kv_from_loss", pipe::kv_from_loss(x, y));
    sane("riser_margin", sludge::riser_margin(x, y));
    sane("expansion", vessel::expansion(x, y));
    sane(
        "reads_at",
        water::reads_at(x).map(|(least, most)| least + most),
    );
    let panel = content::panel_radiator(2.0, x, y);
    sane("panel_radiator", panel.map(|range| range.high));
}

fn of_three(x: f64, y: f64, z: f64) {
    let run = Run {
        length: x,
        bore: y,
        roughness: 1e-6,
        loss: z,
    };
    sane("head_loss", friction::head_loss(&run, x, 1e-6));
    sane("head_loss of z", friction::head_loss(&run, z, 1e-6));
    let hose = dump::Hose {
        fall: x,
        length: z,
        bore: y,
        roughness: 1e-6,
        loss: 0.5,
    };
    sane("gravity_flow", dump::gravity_flow(&hose, 1e-6));
    sane("cold_per_hot", heat::cold_per_hot(x, y, z));
    sane("volumes_needed", dilution::volumes_needed(x, y, z));
    sane(
        "run_down",
        dump::run_down(x, y, z, 1e-3).map(|time| time.unwrap_or(0.0)),
    );
    sane("cold_fill", vessel::cold_fill(x, y, z));
    let suspension = Suspension {
        grain_density: x,
        density: y,
        dynamic_viscosity: z,
    };
    let channel = Channel {
        bore: 0.02,
        roughness: 1e-6,
    };
    for diameter in [1e-6, 1e-4, 1.0] {
        sane(
            "sinking_speed",
            sludge::sinking_speed(&suspension, diameter),
        );
        if let Ok(grain) = Grain::new(&suspension, diameter) {
            // No speed makes it panic, and one that is not a number is refused.
            let carried = sludge::carriage(&grain, &channel, x);
            assert!(carried.is_err() || x.is_finite());
        }
    }
    let warming = heat::Warming {
        capacity: x,
        power: y,
        ambient: 20.0,
        from: 10.0,
        to: 60.0,
    };
    let time = heat::warming_time(&warming, z);
    sane("warming_time", time.map(|time| time.unwrap_or(0.0)));
    sane("warmed", heat::warmed(&warming, z, x));
    let log = [(0.0, x), (60.0, y), (120.0, z)].map(|(time, value)| fit::Reading { time, value });
    sane("fit", fit::fit(&log, 1.0).map(|fit| fit.rate));
    let system = dilution::Branched {
        tank_volume: x,
        fresh_flow: y,
        branches: vec![dilution::Branch {
            flow: z,
            volume: 0.01,
        }],
        start: 2500.0,
        mains: 300.0,
    };
    let times = dilution::times_within(&system, 30.0);
    sane(
        "times_within",
        times.map(|times| times.map_or(0.0, |[reads, is]| reads + is)),
    );
}
