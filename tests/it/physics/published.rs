//! Numbers printed in books and standards.

use wetside::physics::friction::{self, Run};
use wetside::physics::glycol::{self, Glycol};
use wetside::physics::sludge::{self, Suspension};
use wetside::physics::{BAR, heads, lead, limescale, pipe, vessel, water};

use super::table::rows;

const FOOT: f64 = 0.3048;

/// Numbers printed in books and standards, each with the room its precision and method deserve.
#[test]
fn published_numbers_are_met() {
    for row in rows("published.csv") {
        let inputs = || {
            row.text("inputs")
                .split(' ')
                .map(|part| part.parse::<f64>().unwrap())
        };
        let given: Vec<f64> = inputs().collect();
        let have = match row.text("formula") {
            "friction_factor" => friction::friction_factor(given[0], given[1]).unwrap(),
            "copper_kPa_per_m" => {
                let run = Run {
                    length: 1.0,
                    bore: given[0] / 1000.0,
                    roughness: 1.5e-6,
                    loss: 0.0,
                };
                let viscosity = water::kinematic_viscosity(given[2]).unwrap();
                let density = water::density(given[2]).unwrap();
                let flow = given[1] / 1000.0;
                friction::pressure_loss(&run, flow, density, viscosity).unwrap() / 1000.0
            }
            "propylene_by_volume" => {
                let mass = glycol::mass_strength(Glycol::Propylene, given[0]).unwrap();
                glycol::freezing_point(Glycol::Propylene, mass.min(0.5)).unwrap()
            }
            "propylene_by_mass" => glycol::freezing_point(Glycol::Propylene, given[0]).unwrap(),
            "sinking_ft_s" => {
                const POUND_PER_CUBIC_FOOT: f64 = 0.45359237 / (FOOT * FOOT * FOOT);
                let gas = Suspension {
                    grain_density: POUND_PER_CUBIC_FOOT * given[1],
                    density: POUND_PER_CUBIC_FOOT * given[2],
                    dynamic_viscosity: given[3],
                };
                sludge::sinking_speed(&gas, given[0]).unwrap() / FOOT
            }
            "metres_per_bar" => heads::head(BAR, water::density(given[0]).unwrap()).unwrap(),
            "unvented_vessel_l" => unvented_vessel(&given),
            "cord_mV_A_m" => {
                let resistance = given[0] / 1000.0;
                1000.0 * lead::voltage_lost_at(resistance, 1.0, 1.0, given[1]).unwrap()
            }
            "saturation_ph" => limescale::saturation_ph(&limescale::Water {
                celsius: given[0],
                ph: 7.0,
                dissolved_solids: given[1],
                calcium: given[2],
                alkalinity: given[3],
            })
            .unwrap(),
            "litres_per_m" => 1000.0 * pipe::area(given[0] / 1000.0).unwrap(),
            other => panic!("no formula is called {other}"),
        };
        let (low, high) = (row.number("low"), row.number("high"));
        assert!((low..=high).contains(&have), "{}: {have}", row.at());
    }
}

/// Litres of vessel for litres, share of growth, charge and highest pressure in bar.
fn unvented_vessel(given: &[f64]) -> f64 {
    let taken = given[0] / 1000.0 * given[1];
    let (charge, highest) = (BAR * given[2], BAR * given[3]);
    // The smallest vessel that stays below the highest pressure, by trying every decilitre.
    let enough = |size: &f64| {
        let hot = vessel::hot_pressure(*size, charge, charge, taken);
        hot.is_ok_and(|pressure| pressure <= highest)
    };
    let sizes = (1..1000).map(|step| 1e-4 * f64::from(step));
    1000.0 * sizes.into_iter().find(enough).unwrap()
}
