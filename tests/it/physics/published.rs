//! Numbers printed in books and standards.

use wetside_physics::dilution::volumes_needed;
use wetside_physics::dump::{Hose, gravity_flow};
use wetside_physics::friction::{self, Run};
use wetside_physics::glycol::{self, Glycol};
use wetside_physics::pump::Curve;
use wetside_physics::sludge::{self, Suspension};
use wetside_physics::{BAR, GRAVITY, heat, pipe, water};

use super::networks::operating_point;
use super::table::rows;

const FOOT: f64 = 0.3048;
const POUND: f64 = 0.453_592_37;
const POUND_PER_CUBIC_FOOT: f64 = POUND / (FOOT * FOOT * FOOT);

/// Numbers printed in books and standards, each with the room its precision and method deserve.
#[test]
fn published_numbers_are_met() {
    for row in rows("published.csv") {
        let inputs = row.text("inputs").split(' ');
        let given: Vec<f64> = inputs.map(|part| part.parse().unwrap()).collect();
        let formula = row.text("formula");
        let of_a_kind = [of_pipes, of_water, of_chemistry, of_plant];
        let mut answers = of_a_kind.iter().filter_map(|ours| ours(formula, &given));
        let Some(have) = answers.next() else {
            panic!("no formula is called {formula}");
        };
        let (low, high) = (row.number("low"), row.number("high"));
        assert!((low..=high).contains(&have), "{}: {have}", row.at());
        let printed = row.number("printed");
        assert!((low..=high).contains(&printed), "{}: {printed}", row.at());
        let standing = row.text("standing");
        let known = ["read", "second-hand", "from memory"];
        assert!(known.contains(&standing), "{}: {standing}", row.at());
    }
}

fn of_pipes(formula: &str, given: &[f64]) -> Option<f64> {
    Some(match formula {
        "friction_factor" => friction::friction_factor(given[0], given[1]).unwrap(),
        "copper_kPa_per_m" => {
            let run = copper(given[0] / 1000.0);
            let viscosity = water::kinematic_viscosity(given[2]).unwrap();
            let density = water::density(given[2]).unwrap();
            let flow = given[1] / 1000.0;
            density * GRAVITY * friction::head_loss(&run, flow, viscosity).unwrap() / 1000.0
        }
        "head_m_per_m" => {
            let flow = pipe::flow(given[0], given[1]).unwrap();
            let viscosity = water::kinematic_viscosity(given[2]).unwrap();
            friction::head_loss(&copper(given[1]), flow, viscosity).unwrap()
        }
        "head_loss_m" => friction::head_loss(&run(given, 1.0), given[0], given[4]).unwrap(),
        "falling_pipe_Pa" => {
            let (density, fall) = (given[5], given[1] * given[6].to_radians().sin());
            let lost = friction::head_loss(&run(given, 1.0), given[0], given[4]).unwrap();
            density * GRAVITY * (lost - fall)
        }
        "head_loss_ft" => head_in_feet(given, given[0]) / FOOT,
        "pressure_loss_lbf_ft2" => {
            let density = POUND_PER_CUBIC_FOOT * given[5];
            density * head_in_feet(given, given[0]) * FOOT * FOOT / POUND
        }
        "speed_ft_s" => {
            // The speed at which the head is lost, halved down from far above it.
            let (mut low, mut high) = (0.0, 100.0);
            for _ in 0..60 {
                let middle = 0.5 * (low + high);
                if head_in_feet(given, middle) < FOOT * given[0] {
                    low = middle
                } else {
                    high = middle
                }
            }
            low
        }
        "hose_ft3_s" => {
            let hose = Hose {
                fall: FOOT * given[0],
                length: FOOT * given[1],
                bore: FOOT * given[2],
                roughness: FOOT * given[3],
                loss: given[5],
            };
            gravity_flow(&hose, FOOT * FOOT * given[4]).unwrap() / (FOOT * FOOT * FOOT)
        }
        "litres_per_m" => 1000.0 * pipe::area(given[0] / 1000.0).unwrap(),
        _ => return None,
    })
}

/// A metre of copper tube.
fn copper(bore: f64) -> Run {
    Run {
        length: 1.0,
        bore,
        roughness: 1.5e-6,
        loss: 0.0,
    }
}

/// A length of pipe by the second to fourth of the numbers, in a unit of so many metres.
fn run(given: &[f64], unit: f64) -> Run {
    Run {
        length: unit * given[1],
        bore: unit * given[2],
        roughness: unit * given[3],
        loss: 0.0,
    }
}

/// Head lost in m, by a speed and a pipe in feet.
fn head_in_feet(given: &[f64], speed: f64) -> f64 {
    let run = run(given, FOOT);
    let flow = pipe::flow(FOOT * speed, run.bore).unwrap();
    friction::head_loss(&run, flow, FOOT * FOOT * given[4]).unwrap()
}

fn of_water(formula: &str, given: &[f64]) -> Option<f64> {
    Some(match formula {
        "water_kg_m3" => water::density(given[0]).unwrap(),
        "water_uPa_s" => 1e6 * water::dynamic_viscosity(given[0]).unwrap(),
        "water_kJ_kgK" => water::heat_capacity(given[0]).unwrap() / 1000.0,
        "metres_per_bar" => BAR / (GRAVITY * water::density(given[0]).unwrap()),
        "sinking_ft_s" => {
            let grain = POUND_PER_CUBIC_FOOT * given[1];
            sinking(given[0], grain, POUND_PER_CUBIC_FOOT * given[2], given[3]) / FOOT
        }
        "sinking_m_s" => sinking(given[0], given[1], given[2], given[3]),
        "mixed_min" => given[0] / given[1] * volumes_needed(given[2], given[3], given[4]).unwrap(),
        "cold_in_blend_l" => {
            let each = heat::cold_per_hot(given[1], given[2], given[3]).unwrap();
            given[0] * each / (1.0 + each)
        }
        _ => return None,
    })
}

fn sinking(diameter: f64, grain_density: f64, density: f64, dynamic_viscosity: f64) -> f64 {
    let suspension = Suspension {
        grain_density,
        density,
        dynamic_viscosity,
    };
    sludge::sinking_speed(&suspension, diameter).unwrap()
}

fn of_chemistry(formula: &str, given: &[f64]) -> Option<f64> {
    let by_volume = || glycol::mass_strength(Glycol::Propylene, given[0]).unwrap();
    Some(match formula {
        "propylene_by_volume" => {
            glycol::freezing_point(Glycol::Propylene, by_volume().min(0.5)).unwrap()
        }
        "propylene_by_mass" => glycol::freezing_point(Glycol::Propylene, given[0]).unwrap(),
        "glycol_kg_m3" => glycol::density(Glycol::Propylene, by_volume(), given[1]).unwrap(),
        _ => return None,
    })
}

fn of_plant(formula: &str, given: &[f64]) -> Option<f64> {
    Some(match formula {
        "operating_flow" => operating(given).0,
        "operating_head" => operating(given).1,
        _ => return None,
    })
}

/// Flow and head of a straight pump curve by its two ends, on a lift with a square law.
fn operating(given: &[f64]) -> (f64, f64) {
    let curve = Curve {
        shut_off: given[0],
        fall: given[0] / given[1],
        exponent: 1.0,
    };
    // A fitting that loses so much head, in a bore so wide that the flow is lawful in any unit.
    let bore = 10.0;
    let area = pipe::area(bore).unwrap();
    let fitting = Run {
        length: 0.0,
        bore,
        roughness: 0.0,
        loss: 2.0 * GRAVITY * area * area * given[3],
    };
    operating_point(curve, fitting, given[2], 1e-6)
}
