//! Water, glycol, friction and valves against their tables.

use wetside_physics::friction::{self, Run};
use wetside_physics::glycol::{self, Glycol};
use wetside_physics::{GRAVITY, pipe, water};

use super::table::rows;

#[test]
fn water_agrees_with_the_international_formulations() {
    for row in rows("water.csv") {
        let celsius = row.number("celsius");
        row.agrees("density_kg_m3", water::density(celsius).unwrap(), 2e-4);
        let viscosity = water::dynamic_viscosity(celsius).unwrap();
        row.agrees("viscosity_Pa_s", viscosity, 1e-3);
        row.agrees(
            "heat_capacity_J_kgK",
            water::heat_capacity(celsius).unwrap(),
            1e-3,
        );
    }
}

fn named(glycol: &str) -> Glycol {
    match glycol {
        "propylene" => Glycol::Propylene,
        "ethylene" => Glycol::Ethylene,
        other => panic!("no glycol is called {other}"),
    }
}

#[test]
fn glycol_agrees_with_the_library() {
    for row in rows("glycol.csv") {
        let (kind, celsius) = (named(row.text("glycol")), row.number("celsius"));
        let strength = row.number("mass_strength");
        if celsius < 0.0 {
            assert!(glycol::density(kind, strength, celsius).is_err());
            continue;
        }
        row.agrees(
            "density_kg_m3",
            glycol::density(kind, strength, celsius).unwrap(),
            0.01,
        );
        let viscosity = glycol::dynamic_viscosity(kind, strength, celsius).unwrap();
        row.agrees("viscosity_Pa_s", viscosity, 0.05);
        let heat = glycol::heat_capacity(kind, strength, celsius).unwrap();
        row.agrees("heat_capacity_J_kgK", heat, 0.01);
    }
}

#[test]
fn freezing_points_agree_with_the_library() {
    for row in rows("freezing.csv") {
        let kind = named(row.text("glycol"));
        let strength = match row.text("by") {
            "mass" => row.number("strength"),
            _ => glycol::mass_strength(kind, row.number("strength")).unwrap(),
        };
        if strength > 0.6 {
            assert!(glycol::freezing_point(kind, strength).is_err());
            continue;
        }
        let freezing = glycol::freezing_point(kind, strength).unwrap();
        row.agrees_or("freezing_celsius", freezing, 0.0, 0.05);
    }
}

#[test]
fn friction_agrees_with_colebrook_and_white() {
    for row in rows("friction.csv") {
        let (reynolds, roughness) = (row.number("reynolds"), row.number("relative_roughness"));
        let factor = friction::friction_factor(reynolds, roughness).unwrap();
        if reynolds >= 4000.0 {
            row.agrees("colebrook", factor, 1e-4);
        }
        row.agrees("joined", factor, 1e-6);
    }
}

#[test]
fn pressure_drops_agree_with_the_library() {
    for row in rows("pressure_drop.csv") {
        let celsius = row.number("celsius");
        let run = Run {
            length: 1.0,
            bore: row.number("bore_mm") / 1000.0,
            roughness: row.number("roughness_mm") / 1000.0,
            loss: 0.0,
        };
        let density = water::density(celsius).unwrap();
        let viscosity = water::kinematic_viscosity(celsius).unwrap();
        let flow = row.number("flow_l_s") / 1000.0;
        let drop = density * GRAVITY * friction::head_loss(&run, flow, viscosity).unwrap();
        row.agrees("joined_Pa_m", drop, 1e-3);
        // The library jumps from laminar to turbulent, so only the two ends can be compared.
        let reynolds = row.number("reynolds");
        if !(2000.0..4000.0).contains(&reynolds) {
            row.agrees("library_Pa_m", drop, 1e-3);
        }
    }
}

/// The friction law has no jump in value or slope, and its slope is that of its values.
#[test]
fn friction_is_smooth_and_the_head_always_rises() {
    for roughness in [0.0, 1e-5, 1e-3, 0.02, 0.049] {
        let factor = |reynolds| friction::friction_factor(reynolds, roughness).unwrap();
        for at in [1500.0, 2000.0, 2500.0, 3000.0, 3500.0, 4000.0, 5000.0, 1e5] {
            let step = 1e-5 * at;
            let measured = (factor(at + step) - factor(at - step)) / (2.0 * step);
            let before = (factor(at) - factor(at - step)) / step;
            assert!((measured - before).abs() < 1e-3 * measured.abs() + 1e-9);
            assert!((factor(at + 1e-9) - factor(at - 1e-9)).abs() < 1e-10);
        }
        let run = Run {
            length: 3.0,
            bore: 0.0136,
            roughness: 0.0136 * roughness,
            loss: 0.5,
        };
        let head = |flow| friction::head_loss(&run, flow, 6.5785e-7).unwrap();
        let mut before = 0.0;
        for step in 1..4000 {
            let flow = 1e-6 * f64::from(step) * 1.001_f64.powi(step);
            let now = head(flow);
            assert!(now > before, "at {flow} m³/s");
            assert_eq!(head(-flow), -now);
            before = now;
        }
        assert_eq!(head(0.0), 0.0);
    }
}

#[test]
fn flow_coefficients_agree_with_their_definition() {
    for row in rows("valves.csv") {
        let bore = row.number("bore_mm") / 1000.0;
        let kv = |column| pipe::kv_from_loss(row.number(column), bore).unwrap();
        row.agrees("kv_m3_h", kv("loss"), 1e-6);
        // The library rounds a constant, by 0.07 %.
        row.agrees("kv_m3_h", kv("library_loss"), 1e-3);
    }
}
