//! Figures of pressure: under the pump, at rest with an open tank, and in a sealed system.
//!
//! The worst is taken throughout: the pump against a closed valve, and water at its heaviest.

use super::emitters::floors_above;
use super::survey::{self, Antifreeze};
use super::table::{Figure, Input, NO_SOURCE, Source, Work, Yields};
use super::table::{convention, fact, figure, gathered, source};
use super::view::{Gathered, Refused, View};
use wetside_base::facts::FactId;
use wetside_house::{Range, celsius};
use wetside_physics::vessel::{Duty, cold_fill, expansion, least_size};
use wetside_physics::{GRAVITY, water};
use wetside_units::Kind;

const HYDROSTATICS: Source = source("hydrostatics, water at 1,000 kg/m³", "arithmetic");
const PUMP: Input = fact("p_0", survey::SHUT_OFF_PRESSURE);
const HEIGHT: Input = fact("h", survey::HEIGHT_ABOVE_LOWEST);
/// Pascals under a metre of cold water.
const METRE: f64 = 1000.0 * GRAVITY;

pub(super) const FIGURES: &[Figure] = &[
    Figure {
        name: "pressure_at_lowest",
        yields: Yields::Quantity(Kind::GaugePressure),
        says: "The most that the pump puts on the lowest part of the circuit: against a closed valve, \
               with the water that stands between machine and that part. The tank is open, so water \
               above the machine adds nothing.",
        formula: "p = p_0 + ρ g h",
        source: HYDROSTATICS,
        inputs: &[PUMP, HEIGHT],
        work: Work::Formula(|values| Ok(values[0] + METRE * values[1])),
    },
    Figure {
        name: "pressure_at_weakest",
        yields: Yields::Quantity(Kind::GaugePressure),
        says: "The most that the pump puts on the weakest part.",
        formula: "p = p_0 + ρ g (h − h_w)",
        source: HYDROSTATICS,
        inputs: &[fact("h_w", survey::WEAKEST_HEIGHT).down(), PUMP, HEIGHT],
        work: Work::Formula(|values| Ok(values[1] + METRE * (values[2] - values[0]))),
    },
    Figure {
        name: "weakest_margin",
        yields: Yields::Quantity(Kind::PressureDifference),
        says: "What the weakest part is rated for beyond the pressure on it.",
        formula: "Δp = p_rated − p_w",
        source: source("definition", "arithmetic"),
        inputs: &[
            fact("p_rated", survey::WEAKEST_RATED),
            figure("p_w", "pressure_at_weakest").down(),
        ],
        work: Work::Formula(|values| Ok(values[0] - values[1])),
    },
    Figure {
        name: "relief_margin",
        yields: Yields::Quantity(Kind::PressureDifference),
        says: "How far the pressure at the lowest part stays below the setting of the relief valve.",
        formula: "Δp = p_relief − p_lowest",
        source: source("definition", "arithmetic"),
        inputs: &[
            fact("p_relief", survey::RELIEF_SETTING),
            figure("p_lowest", "pressure_at_lowest").down(),
        ],
        work: Work::Formula(|values| Ok(values[0] - values[1])),
    },
    Figure {
        name: "pressure_at_highest",
        yields: Yields::Quantity(Kind::GaugePressure),
        says: "The pressure at the top of the highest emitter with the pump stopped and the valves \
               open. Below nothing the water hangs by suction, and air comes in where it can.",
        formula: "p = −ρ g (n H + r)",
        source: HYDROSTATICS,
        inputs: &[
            gathered(
                "n",
                "floors between the machine and the highest emitter",
                Kind::Number,
                floors_above,
            )
            .down(),
            convention(
                "H",
                "height of a storey",
                Kind::Length,
                (2.3, 3.0),
                NO_SOURCE,
            )
            .either(),
            convention(
                "r",
                "top of an emitter above the water in a tank on the same floor",
                Kind::Length,
                (0.0, 1.5),
                NO_SOURCE,
            )
            .down(),
        ],
        work: Work::Formula(|values| Ok(-METRE * (values[0] * values[1] + values[2]))),
    },
    Figure {
        name: "cold_fill",
        yields: Yields::Quantity(Kind::GaugePressure),
        says: "The pressure to fill a sealed system to when cold.",
        formula: "p = max(ρ g h + 0.3 bar, p_v + Δ)",
        source: source("filling instructions for sealed circuits", "second-hand"),
        inputs: &[
            fact("p_v", survey::VESSEL_CHARGE),
            fact("h", survey::STATIC_HEIGHT),
            convention(
                "Δ",
                "fill above the charge of the vessel",
                Kind::PressureDifference,
                (0.2e5, 0.3e5),
                source("filling instructions for sealed circuits", "read"),
            ),
        ],
        work: Work::Formula(|values| Ok(cold_fill(METRE * values[1], values[0], values[2])?)),
    },
    Figure {
        name: "expansion",
        yields: Yields::Quantity(Kind::Volume),
        says: "Water by which the system grows from cold to its hottest.",
        formula: "V_e = g V_total (ρ(10 °C)/ρ(T) − 1)",
        source: source("conservation of mass; density by Kell, 1975", "from memory"),
        inputs: &[
            figure("V_total", "total_volume"),
            fact("T", survey::DESIGN_TEMPERATURE),
            gathered(
                "g",
                "1 for water; with antifreeze up to 1.6 times as much",
                Kind::Number,
                antifreeze_grows,
            ),
        ],
        work: Work::Formula(|values| Ok(values[0] * values[2] * grows(values[1])?)),
    },
    Figure {
        name: "vessel_least",
        yields: Yields::Quantity(Kind::Volume),
        says: "The least expansion vessel that serves the system, with a reserve of water.",
        formula: "V = (V_e + max(0.5 % V_total, 3 L)) (p_e + 1 bar)/(p_e − ρ g h − 0.3 bar), p_e the \
                  relief setting less 0.5 bar, or nine tenths of it above 5 bar",
        source: source("the form of EN 12828", "from memory"),
        inputs: &[
            figure("V_total", "total_volume"),
            fact("T", survey::DESIGN_TEMPERATURE),
            gathered(
                "g",
                "1 for water; with antifreeze up to 1.6 times as much",
                Kind::Number,
                antifreeze_grows,
            ),
            fact("h", survey::STATIC_HEIGHT),
            fact("p_relief", survey::RELIEF_SETTING).down(),
        ],
        work: Work::Formula(vessel),
    },
];

/// The share by which water grows from 10 °C to a temperature in kelvin; none below.
fn grows(hot: f64) -> Result<f64, Refused> {
    let hot = celsius(hot).max(10.0);
    Ok(expansion(water::density(10.0)?, water::density(hot)?)?)
}

fn vessel(values: &[f64]) -> Result<f64, Refused> {
    let duty = Duty {
        system_volume: values[0],
        expansion: values[2] * grows(values[1])?,
        static_pressure: METRE * values[3],
        margin: 0.3e5,
        safety_valve: values[4],
    };
    Ok(least_size(&duty)?)
}

fn antifreeze_grows(view: &View<'_>, root: FactId) -> Gathered {
    let (id, antifreeze) = view.choice(root, &survey::ANTIFREEZE);
    let range = match antifreeze {
        Some(Antifreeze::None) => Range::point(1.0),
        _ => Range::new(1.0, 1.6),
    };
    Gathered::of(range, vec![id])
}
