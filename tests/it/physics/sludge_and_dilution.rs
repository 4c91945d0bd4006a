//! Sludge, dilution and the fit of a log against their tables.

use wetside_physics::dilution::{self, Branch, Branched};
use wetside_physics::fit::{self, Reading};
use wetside_physics::sludge::{self, Carriage, Channel, Grain, MAGNETITE, Suspension};
use wetside_physics::water;

use super::table::{Row, rows};

fn suspension(grain_density: f64, celsius: f64) -> Suspension {
    Suspension {
        grain_density,
        density: water::density(celsius).unwrap(),
        dynamic_viscosity: water::dynamic_viscosity(celsius).unwrap(),
    }
}

#[test]
fn sinking_speeds_agree_with_a_root_finder_and_other_drag_laws() {
    for row in rows("settling.csv") {
        let water = suspension(row.number("grain_kg_m3"), row.number("celsius"));
        let diameter = 1e-6 * row.number("diameter_um");
        let speed = sludge::sinking_speed(&water, diameter).unwrap();
        row.agrees("schiller_naumann", speed, 5e-4);
        assert!(speed > 0.98 * row.number("low") && speed < 1.02 * row.number("high"));
    }
}

/// The faster the flow, the better a grain is carried, with the steps at the speeds of the table.
#[test]
fn speeds_that_carry_agree_with_a_root_finder() {
    for row in rows("carrying.csv") {
        let water = suspension(MAGNETITE, row.number("celsius"));
        let channel = Channel {
            bore: row.number("bore_mm") / 1000.0,
            roughness: row.number("roughness_mm") / 1000.0,
        };
        let grain = Grain::new(&water, 1e-6 * row.number("diameter_um")).unwrap();
        let at = |speed| sludge::carriage(&grain, &channel, speed).unwrap();
        let mut before = Carriage::Settles;
        for step in 0..60 {
            let now = at(0.05 * f64::from(step));
            assert!(now >= before, "{} at step {step}", row.at());
            before = now;
        }
        let partly = row.number("rouse_2.5");
        for (from, carriage) in [
            (row.number("rouse_1.2"), Carriage::Suspended),
            (partly, Carriage::Partly),
            (row.number("rolls").min(partly), Carriage::Rolls),
        ] {
            assert!(at(1.001 * from) >= carriage, "{} {carriage:?}", row.at());
            assert!(at(0.999 * from) < carriage, "{} {carriage:?}", row.at());
        }
    }
}

#[test]
fn mixed_dilution_agrees_with_integration() {
    for row in rows("dilution_mixed.csv") {
        let (start, mains) = (row.number("start"), row.number("mains"));
        let band = row.number("share") * mains;
        let volumes = dilution::volumes_needed(start, mains, band).unwrap();
        let water = volumes * row.number("volume_l");
        row.agrees("water_l", water, 1e-4);
        row.agrees("minutes", water / row.number("flow_l_min"), 1e-4);
    }
}

fn branched(row: &Row) -> Branched {
    let branch = |text: &str| {
        let (flow, volume) = text.split_once(':').expect("flow:volume");
        Branch {
            flow: flow.parse::<f64>().unwrap() / 60_000.0,
            volume: volume.parse::<f64>().unwrap() / 1000.0,
        }
    };
    Branched {
        tank_volume: row.number("tank_l") / 1000.0,
        fresh_flow: row.number("fresh_l_min") / 60_000.0,
        branches: row.text("branches").split(';').map(branch).collect(),
        start: row.number("start"),
        mains: row.number("mains"),
    }
}

#[test]
fn branched_dilution_agrees_with_a_matrix_exponential() {
    for row in rows("dilution_branched.csv") {
        let system = branched(&row);
        let band = 0.1 * system.mains;
        let [reads, is] = dilution::times_within(&system, band).unwrap().unwrap();
        row.agrees("return_minutes", reads / 60.0, 1e-7);
        row.agrees("average_minutes", is / 60.0, 1e-7);
        let closed = Branched {
            fresh_flow: 0.0,
            ..system
        };
        assert_eq!(dilution::times_within(&closed, band).unwrap(), None);
    }
}

/// With a circulation far above the dump flow the branches are one well-mixed volume, and the
/// narrower the band the later it is met.
#[test]
fn branched_dilution_is_steady_and_tends_to_well_mixed() {
    let system = Branched {
        tank_volume: 0.03,
        fresh_flow: 2e-4,
        branches: (1..8)
            .map(|at| Branch {
                flow: 0.05 * f64::from(at),
                volume: 2e-3 * f64::from(at % 3 + 1),
            })
            .collect(),
        start: 2500.0,
        mains: 300.0,
    };
    let held = system.branches.iter().map(|branch| branch.volume);
    let volume = 0.03 + held.sum::<f64>();
    let mut before = 0.0;
    for step in 1..90 {
        let band = 2200.0 * 0.93_f64.powi(step);
        let [_, is] = dilution::times_within(&system, band).unwrap().unwrap();
        assert!(is > before, "at {band}");
        before = is;
        let volumes = dilution::volumes_needed(system.start, system.mains, band).unwrap();
        let alike = volumes * volume / system.fresh_flow;
        assert!((is / alike - 1.0).abs() < 2e-3, "at {band}");
    }
}

fn log(name: &str) -> Vec<Reading> {
    let table = rows("logs.csv");
    let here = table.iter().filter(|row| row.text("log") == name);
    here.map(|row| Reading {
        time: 60.0 * row.number("minutes"),
        value: row.number("reading"),
    })
    .collect()
}

#[test]
fn fits_agree_with_the_library() {
    for row in rows("fits.csv") {
        let mains = row.number("mains");
        let fitted = fit::fit(&log(row.text("log")), mains).unwrap();
        row.agrees("difference", fitted.difference, 1e-6);
        row.agrees("rate_per_minute", 60.0 * fitted.rate, 1e-6);
        row.agrees("scatter", fitted.scatter, 1e-6);
        let end = fit::time_within(&fitted, 0.1 * mains).unwrap();
        row.agrees("end_minutes", end.value / 60.0, 1e-6);
        row.agrees("end_error_minutes", end.standard_error / 60.0, 1e-3);
    }
}

#[test]
fn logs_that_cannot_be_fitted_are_refused_in_words() {
    let refusal = |points: &[(f64, f64)]| {
        let log: Vec<Reading> = points
            .iter()
            .map(|(time, value)| Reading {
                time: *time,
                value: *value,
            })
            .collect();
        fit::fit(&log, 300.0).unwrap_err().to_string()
    };
    assert_eq!(
        refusal(&[(0.0, 900.0), (60.0, 800.0)]),
        "number of readings that differ from the mains is 2, and must be a number of at least 3"
    );
    assert_eq!(
        refusal(&[(60.0, 900.0), (60.0, 800.0), (60.0, 700.0)]),
        "number of different times among the readings is 1, and must be a number of at least 2"
    );
    let rising = refusal(&[(0.0, 800.0), (60.0, 900.0), (120.0, 1000.0)]);
    assert!(
        rising.starts_with("rate of approach to the mains is -"),
        "{rising}"
    );
}
