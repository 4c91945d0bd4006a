//! Figures of the machine's open tank and of the dump.

use super::emitters::above_machine;
use super::survey;
use super::table::{Figure, GEOMETRY, MASS_BALANCE, NO_SOURCE};
use super::table::{convention, fact, figure, figures, gathered};
use wetside_physics::dump;
use wetside_units::Kind;

/// Least water over the pump's inlet in m³.
pub(super) const LEAST_OVER_PUMP: f64 = 0.015;

pub(super) const FIGURES: &[Figure] = figures! {
    "tank_run_down": Time,
        "How long the machine can dump before its tank is down to the least its pump needs.";
        "t = (V − V_free − V_least)/(q_out − q_in), for ever where the tank does not fall",
        MASS_BALANCE;
        [
            fact("V", survey::TANK),
            fact("V_free", survey::FREEBOARD).down(),
            convention("V_least", "least water over the pump's inlet", Kind::Volume, (LEAST_OVER_PUMP, LEAST_OVER_PUMP),
                NO_SOURCE).down(),
            fact("q_out", survey::DUMP_FLOW).down(),
            fact("q_in", survey::TAP_FLOW),
        ]
        => { |tank, free, least, dumped, made_up| {
            let level = (tank - free).max(0.0);
            dump::run_down(level, least, dumped, made_up)?.unwrap_or(f64::INFINITY)
        } };

    "water_above_machine": Volume,
        "Water in emitters and tails above the level in the machine's tank. When the pump stops and its valves \
         are open it runs back as far as air gets in: while every vent is shut it hangs by suction, as the \
         pressure at the highest point tells, and next to nothing runs back.";
        "V_up = Σ V of emitters on higher floors, and on the machine's own of what stands above the level; no more \
         than the circuit was measured to hold",
        GEOMETRY;
        [
            gathered("V_up", "water of emitters and tails above the level in the tank, 0.3 to 0.8 m above its floor; \
                the foot of a radiator is 0.05 to 0.25 m above it, of a towel rail up to 1.2 m", Kind::Volume, above_machine),
        ]
        => { |above| above };

    "spill": Volume,
        "Water that goes over the rim when everything above the machine runs back, which takes air at every emitter.";
        "V = max(V_up − V_free, 0)", MASS_BALANCE;
        [
            fact("V_free", survey::FREEBOARD).down(),
            figure("V_up", "water_above_machine"),
        ]
        => { |free, above| (above - free).max(0.0) };
};
