//! Figures of the machine's open tank and of the dump.

use super::table::{Figure, NO_SOURCE, Refused, Runs, Work, Yields, convention, fact, source};
use crate::physics::tank;
use crate::units::Kind;

pub const FIGURES: &[Figure] = &[Figure {
    name: "tank_run_down",
    yields: Yields::Quantity(Kind::Time),
    says: "How long the machine can dump before its tank is down to the least its pump needs.",
    formula: "t = (V − V_free − V_least)/(q_out − q_in), for ever where the tank does not fall",
    source: source("mass balance", "no source"),
    inputs: &[
        fact("V", "machine.tank", Runs::Up),
        fact("V_free", "machine.freeboard", Runs::Down),
        convention(
            "V_least",
            "least water over the pump's inlet",
            Kind::Volume,
            (0.015, 0.015),
            NO_SOURCE,
            Runs::Down,
        ),
        fact("q_out", "flush.dump_flow", Runs::Down),
        fact("q_in", "water_supply.flow", Runs::Up),
    ],
    work: Work::Formula(run_down),
}];

fn run_down(values: &[f64]) -> Result<f64, Refused> {
    let [tank_holds, freeboard, least, dumped, made_up] = *values else {
        return Err(Refused::from("it takes five numbers"));
    };
    let level = (tank_holds - freeboard).max(0.0);
    Ok(tank::run_down(level, least, dumped, made_up)?.unwrap_or(f64::INFINITY))
}
