//! Figures of the machine's open tank and of the dump.

use super::emitters::above_machine;
use super::survey;
use super::table::{Figure, NO_SOURCE, Work, Yields};
use super::table::{convention, fact, figure, gathered, source};
use super::view::Refused;
use wetside_physics::dump;
use wetside_units::Kind;

pub(super) const FIGURES: &[Figure] = &[
    Figure {
        name: "tank_run_down",
        yields: Yields::Quantity(Kind::Time),
        says: "How long the machine can dump before its tank is down to the least its pump needs.",
        formula: "t = (V − V_free − V_least)/(q_out − q_in), for ever where the tank does not fall",
        source: source("mass balance", "arithmetic"),
        inputs: &[
            fact("V", survey::TANK),
            fact("V_free", survey::FREEBOARD).down(),
            convention(
                "V_least",
                "least water over the pump's inlet",
                Kind::Volume,
                (0.015, 0.015),
                NO_SOURCE,
            )
            .down(),
            fact("q_out", survey::DUMP_FLOW).down(),
            fact("q_in", survey::TAP_FLOW),
        ],
        work: Work::Formula(run_down),
    },
    Figure {
        name: "water_above_machine",
        yields: Yields::Quantity(Kind::Volume),
        says: "Water in emitters and tails above the machine: with its valves open it runs back into \
               the tank when the pump stops.",
        formula: "V_up = Σ V of emitters on higher floors, and up to V of those on the same",
        source: source("geometry", "arithmetic"),
        inputs: &[gathered(
            "V_up",
            "water of emitters and tails above the machine",
            Kind::Volume,
            above_machine,
        )],
        work: Work::Formula(|values| Ok(values[0])),
    },
    Figure {
        name: "spill",
        yields: Yields::Quantity(Kind::Volume),
        says: "Water that goes over the rim when everything above the machine runs back.",
        formula: "V = max(V_up − V_free, 0)",
        source: source("mass balance", "arithmetic"),
        inputs: &[
            fact("V_free", survey::FREEBOARD).down(),
            figure("V_up", "water_above_machine"),
        ],
        work: Work::Formula(|values| Ok((values[1] - values[0]).max(0.0))),
    },
];

fn run_down(values: &[f64]) -> Result<f64, Refused> {
    let [tank_holds, freeboard, least, dumped, made_up] = *values else {
        return Err(Refused::from("it takes five numbers"));
    };
    let level = (tank_holds - freeboard).max(0.0);
    Ok(dump::run_down(level, least, dumped, made_up)?.unwrap_or(f64::INFINITY))
}
