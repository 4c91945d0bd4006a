//! Figures of pressure: under the pump, at rest with an open tank, and in a sealed system.
//!
//! The worst is taken throughout: the pump against a closed valve, and water at its heaviest.

use super::emitters::floors_above;
use super::survey::{self, Antifreeze};
use super::table::{DEFINITION, Figure, Input, NO_SOURCE, Source};
use super::table::{convention, fact, figure, figures, gathered, source, usual};
use super::view::{Gathered, Refused, View};
use wetside_base::facts::FactId;
use wetside_house::convention::STOREY;
use wetside_house::{Range, celsius};
use wetside_physics::vessel::{Duty, cold_fill, expansion, least_size};
use wetside_physics::{GRAVITY, water};
use wetside_units::Kind;

const HYDROSTATICS: Source = source("hydrostatics, water at 1,000 kg/m³", "arithmetic");
const PUMP: Input = fact("p_0", survey::SHUT_OFF_PRESSURE);
const HEIGHT: Input = fact("h", survey::HEIGHT_ABOVE_LOWEST);
const GROWS: Input = gathered(
    "g",
    "1 for water; with antifreeze up to 1.6 times as much",
    Kind::Number,
    antifreeze_grows,
);
/// Pascals under a metre of cold water.
const METRE: f64 = 1000.0 * GRAVITY;

pub(super) const FIGURES: &[Figure] = figures! {
    "pressure_at_lowest": GaugePressure,
        "The most that the pump puts on the lowest part of the circuit: against a closed valve, with the \
         water that stands between machine and that part. The tank is open, so water above the machine \
         adds nothing.";
        "p = p_0 + ρ g h", HYDROSTATICS;
        [PUMP, HEIGHT]
        => { |pump, height| pump + METRE * height };

    "pressure_at_weakest": GaugePressure,
        "The most that the pump puts on the weakest part.";
        "p = p_0 + ρ g (h − h_w)", HYDROSTATICS;
        [fact("h_w", survey::WEAKEST_HEIGHT).down(), PUMP, HEIGHT]
        => { |weakest, pump, height| pump + METRE * (height - weakest) };

    "weakest_margin": PressureDifference,
        "What the weakest part is rated for beyond the pressure on it.";
        "Δp = p_rated − p_w", DEFINITION;
        [
            fact("p_rated", survey::WEAKEST_RATED),
            figure("p_w", "pressure_at_weakest").down(),
        ]
        => { |rated, pressure| rated - pressure };

    "relief_margin": PressureDifference,
        "How far the pressure at the lowest part stays below the setting of the relief valve.";
        "Δp = p_relief − p_lowest", DEFINITION;
        [
            fact("p_relief", survey::RELIEF_SETTING),
            figure("p_lowest", "pressure_at_lowest").down(),
        ]
        => { |relief, lowest| relief - lowest };

    "pressure_at_highest": GaugePressure,
        "The pressure at the top of the highest emitter with the pump stopped and the valves open. Below \
         nothing the water hangs by suction, and air comes in where it can.";
        "p = −ρ g (n H + r)", HYDROSTATICS;
        [
            gathered("n", "floors between the machine and the highest emitter", Kind::Number,
                floors_above).down(),
            usual("H", "height of a storey", Kind::Length, &STOREY).either(),
            convention("r", "top of an emitter above the water in a tank on the same floor", Kind::Length,
                (0.0, 1.5), NO_SOURCE).down(),
        ]
        => { |floors, storey, top| -METRE * (floors * storey + top) };

    "cold_fill": GaugePressure,
        "The pressure to fill a sealed system to when cold.";
        "p = max(ρ g h + 0.3 bar, p_v + Δ)",
        source("filling instructions for sealed circuits", "second-hand");
        [
            fact("p_v", survey::VESSEL_CHARGE),
            fact("h", survey::STATIC_HEIGHT),
            convention("Δ", "fill above the charge of the vessel", Kind::PressureDifference, (0.2e5, 0.3e5),
                source("filling instructions for sealed circuits", "read")),
        ]
        => { |charge, height, above| cold_fill(METRE * height, charge, above)? };

    "expansion": Volume,
        "Water by which the system grows from cold to its hottest.";
        "V_e = g V_total (ρ(10 °C)/ρ(T) − 1)",
        source("conservation of mass; density by Kell, 1975", "from memory");
        [
            figure("V_total", "total_volume"),
            fact("T", survey::DESIGN_TEMPERATURE),
            GROWS,
        ]
        => { |total, hottest, times| total * times * grows(hottest)? };

    "vessel_least": Volume,
        "The least expansion vessel that serves the system, with a reserve of water.";
        "V = (V_e + max(0.5 % V_total, 3 L)) (p_e + 1 bar)/(p_e − ρ g h − 0.3 bar), p_e the relief \
         setting less 0.5 bar, or nine tenths of it above 5 bar",
        source("the form of EN 12828", "from memory");
        [
            figure("V_total", "total_volume"),
            fact("T", survey::DESIGN_TEMPERATURE),
            GROWS,
            fact("h", survey::STATIC_HEIGHT),
            fact("p_relief", survey::RELIEF_SETTING).down(),
        ]
        => { |total, hottest, times, height, relief| {
            let duty = Duty {
                system_volume: total,
                expansion: times * grows(hottest)?,
                static_pressure: METRE * height,
                margin: 0.3e5,
                safety_valve: relief,
            };
            least_size(&duty)?
        } };
};

/// The share by which water grows from 10 °C to a temperature in kelvin; none below.
fn grows(hot: f64) -> Result<f64, Refused> {
    let hot = celsius(hot).max(10.0);
    Ok(expansion(water::density(10.0)?, water::density(hot)?)?)
}

fn antifreeze_grows(view: &View<'_>, root: FactId) -> Gathered {
    let (id, antifreeze) = view.choice(root, &survey::ANTIFREEZE);
    let range = match antifreeze {
        Some(Antifreeze::None) => Range::point(1.0),
        _ => Range::new(1.0, 1.6),
    };
    Gathered::of(range, vec![id])
}
