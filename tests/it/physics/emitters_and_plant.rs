//! Content, hoses, pressures, vessels, heat, leads and readings against their tables.

use wetside_physics::heat::{self, Masses, Warming};
use wetside_physics::hoses::{self, Hose};
use wetside_physics::vessel::{self, Duty};
use wetside_physics::{BAR, content, conversions, heads, lead, minor, pipe, water};

use super::table::rows;

#[test]
fn panel_radiators_agree_with_their_table() {
    for row in rows("panels.csv") {
        let height = row.number("height_mm") / 1000.0;
        let panels = row.number("panels") as u32;
        let holds = content::panel_radiator(panels, height, 1.0).unwrap();
        for (column, have) in [
            ("typical", holds.typical),
            ("unknown_low", holds.low),
            ("unknown_high", holds.high),
        ] {
            row.agrees_or(column, 1000.0 * have, 0.0, 6e-4);
        }
    }
}

/// The tables inside the library hold ranges that are ranges, under names that are names.
#[test]
fn built_in_tables_are_in_order() {
    let ordered =
        |low: f64, typical: f64, high: f64| 0.0 < low && low <= typical && typical <= high;
    for held in &content::HOLDS {
        let range = held.range;
        assert!(
            ordered(range.low, range.typical, range.high),
            "{}",
            held.item
        );
    }
    for wall in &pipe::ROUGHNESSES {
        assert!(ordered(wall.low, wall.typical, wall.high), "{}", wall.wall);
    }
    for row in &minor::VALVES {
        assert!(ordered(row.low, row.typical, row.high), "{}", row.item);
    }
    assert_all_differ(content::HOLDS.iter().map(|held| held.item));
    assert_all_differ(pipe::ROUGHNESSES.iter().map(|wall| wall.wall));
    assert_all_differ(minor::VALVES.iter().map(|row| row.item));
}

fn assert_all_differ(names: impl Iterator<Item = &'static str>) {
    let mut seen = std::collections::BTreeSet::new();
    for name in names {
        assert!(seen.insert(name), "`{name}` comes twice");
    }
}

#[test]
fn hoses_agree_with_a_root_finder() {
    for row in rows("hoses.csv") {
        let hose = Hose {
            fall: row.number("fall_m"),
            length: row.number("length_m"),
            bore: row.number("bore_mm") / 1000.0,
            roughness: 2e-5,
            loss: 0.5,
        };
        let viscosity = water::kinematic_viscosity(row.number("celsius")).unwrap();
        let flow = hoses::gravity_flow(&hose, viscosity).unwrap();
        row.agrees("flow_l_min", 60_000.0 * flow, 1e-6);
        if row.has("library_l_min") {
            row.agrees("library_l_min", 60_000.0 * flow, 1e-6);
        }
    }
}

#[test]
fn still_water_agrees_with_the_library() {
    for row in rows("heads.csv") {
        let density = water::density(row.number("celsius")).unwrap();
        let reading = BAR * row.number("reading_bar");
        let at =
            |height| heads::pressure_at(reading, row.number("height_m"), height, density).unwrap();
        row.agrees("low_bar", at(row.number("low_m")) / BAR, 1e-4);
        row.agrees("high_bar", at(row.number("high_m")) / BAR, 1e-4);
    }
}

#[test]
fn vessels_agree_with_the_form_of_the_standard() {
    for row in rows("vessels.csv") {
        let cold = water::density(row.number("cold_celsius")).unwrap();
        let hot = water::density(row.number("hot_celsius")).unwrap();
        let expansion = vessel::expansion(cold, hot).unwrap();
        row.agrees("expansion", expansion, 0.01);
        let system_volume = row.number("system_l") / 1000.0;
        let size = vessel::least_size(&Duty {
            system_volume,
            expansion,
            static_pressure: BAR * row.number("static_bar"),
            margin: BAR * row.number("margin_bar"),
            safety_valve: BAR * row.number("valve_bar"),
        })
        .unwrap();
        row.agrees("charge_bar", size.charge / BAR, 1e-9);
        row.agrees("highest_bar", size.highest / BAR, 1e-9);
        row.agrees("least_l", 1000.0 * size.least, 0.005);
        // A vessel of this size, with its reserve in, ends at the highest pressure in service.
        let taken = size.expanded + size.reserve;
        let end = vessel::hot_pressure(size.least, size.charge, size.charge, taken).unwrap();
        assert!((end / size.highest - 1.0).abs() < 1e-9);
    }
}

#[test]
fn warming_agrees_with_quadrature() {
    for row in rows("warming.csv") {
        let masses = Masses {
            water_volume: row.number("water_l") / 1000.0,
            steel: row.number("steel_kg"),
            copper: row.number("copper_kg"),
        };
        let (from, to) = (row.number("start_celsius"), row.number("end_celsius"));
        let capacity = heat::capacity(&masses, 0.5 * (from + to)).unwrap();
        row.agrees("capacity_J_K", capacity, 5e-4);
        let warming = Warming {
            capacity,
            power: 1000.0 * row.number("power_kW"),
            ambient: row.number("air_celsius"),
            from,
            to,
        };
        match heat::warming_time(&warming, row.number("loss_W_K")).unwrap() {
            Some(seconds) => row.agrees("seconds", seconds, 5e-4),
            None => assert!(!row.has("seconds"), "{}", row.at()),
        }
        // Radiators with an exponent of 1 lose as a straight line does, while they are warm.
        if from >= warming.ambient {
            let loss = row.number("loss_W_K");
            let straight = heat::warming_time(&warming, loss).unwrap();
            let curved = heat::warming_time_with_radiators(&warming, 50.0 * loss, 1.0).unwrap();
            assert!((straight.unwrap() / curved.unwrap() - 1.0).abs() < 1e-8);
        }
    }
}

#[test]
fn leads_agree_with_their_standard() {
    for row in rows("leads.csv") {
        let area = 1e-6 * row.number("area_mm2");
        let of_area = |cord: &&lead::Cord| (cord.area / area - 1.0).abs() < 1e-9;
        let cord = lead::CORDS.iter().find(of_area).unwrap();
        let lost = cord.drop * row.number("length_m") * row.number("current_A");
        row.agrees("table_V", lost, 1e-9);
    }
}

#[test]
fn readings_convert_as_their_standard_says() {
    for row in rows("conductivity.csv") {
        let (celsius, conductivity) = (row.number("celsius"), row.number("conductivity"));
        let linear = conversions::conductivity_at_25(conductivity, celsius, 0.02).unwrap();
        row.agrees("linear", linear, 1e-8);
        let natural = conversions::natural_conductivity_at_25(conductivity, celsius).unwrap();
        row.agrees("natural", natural, 1e-8);
    }
}
