//! Figures of volume: what is wetted, what goes round, and what stands in the machine.
//!
//! Two volumes are kept apart throughout. The *total* is all water in service; the *flush volume* is
//! what the machine moves: the total without the vessels that are shut off, with the machine's own
//! water.

use super::range::Range;
use super::table::{
    Figure, NO_SOURCE, Runs, Work, Yields, convention, fact, figure, gathered, source,
};
use super::view::{Gathered, View};
use wetside_base::facts::FactId;
use wetside_physics::pipe;
use wetside_units::Kind;

pub const FIGURES: &[Figure] = &[
    Figure {
        name: "total_volume",
        yields: Yields::Quantity(Kind::Volume),
        says: "All the water that is wetted in service, store, buffer and floor included.",
        formula: "V_total = V",
        source: source("definition", "arithmetic"),
        inputs: &[fact("V", "circuit.measured_volume", Runs::Up)],
        work: Work::Formula(|values| Ok(values[0])),
    },
    Figure {
        name: "isolated_volume",
        yields: Yields::Quantity(Kind::Volume),
        says: "Heating water in the store and buffer that are shut off during the flush.",
        formula: "V_off = V_store + V_buffer, each as far as it is shut off",
        source: source("definition", "arithmetic"),
        inputs: &[
            gathered(
                "V_store",
                "heating water in the store, where it is shut off",
                Kind::Volume,
                store_shut_off,
                Runs::Up,
            ),
            gathered(
                "V_buffer",
                "water in the buffer, where it is shut off",
                Kind::Volume,
                buffer_shut_off,
                Runs::Up,
            ),
        ],
        work: Work::Formula(|values| Ok(values[0] + values[1])),
    },
    Figure {
        name: "machine_water",
        yields: Yields::Quantity(Kind::Volume),
        says: "Water in the machine at its working level and in its two circuit hoses.",
        formula: "V_m = V − V_free + 2 L π d²/4",
        source: source("geometry", "arithmetic"),
        inputs: &[
            fact("V", "machine.tank", Runs::Up),
            fact("V_free", "machine.freeboard", Runs::Down),
            fact("L", "machine.hose_length", Runs::Up),
            convention(
                "d",
                "bore of the machine's hoses",
                Kind::Length,
                (0.019, 0.025),
                NO_SOURCE,
                Runs::Up,
            ),
        ],
        work: Work::Formula(|values| {
            let hoses = pipe::content(values[3], 2.0 * values[2])?;
            Ok((values[0] - values[1]).max(0.0) + hoses)
        }),
    },
    Figure {
        name: "flush_volume",
        yields: Yields::Quantity(Kind::Volume),
        says: "The water that the machine moves: the circuit without what is shut off, and the \
               machine's own. Cleaner is dosed on it, and rinsing dilutes it.",
        formula: "V_flush = V_total − V_off + V_m",
        source: source("mass balance", "arithmetic"),
        inputs: &[
            figure("V_total", "total_volume", Runs::Up),
            figure("V_off", "isolated_volume", Runs::Down),
            figure("V_m", "machine_water", Runs::Up),
        ],
        work: Work::Formula(|values| Ok((values[0] - values[1]).max(0.0) + values[2])),
    },
];

/// Kinds of hot water that have no body of heating water beside the circuit.
const NO_STORE: [&str; 6] = [
    "none",
    "combination boiler plate",
    "indirect vented cylinder",
    "indirect unvented cylinder",
    "single-feed cylinder",
    "direct cylinder",
];

/// The heating water in the store: all of it for sure only where its kind and the survey's own word
/// agree on it.
pub fn store(view: &View<'_>, survey: FactId) -> Gathered {
    let kind = view.at(survey, "hot_water.kind");
    let shares = view.at(survey, "hot_water.store.shares_heating_water");
    if view.word(kind).is_some_and(|kind| NO_STORE.contains(&kind)) {
        return Gathered::nothing(vec![kind]);
    }
    if view.word(shares) == Some("no") {
        return Gathered::nothing(vec![shares]);
    }
    let volume = view.at(survey, "hot_water.store.volume");
    let mut range = view.range_or(volume, Range::FROM_NOTHING);
    if view.word(kind).is_none() || view.word(shares) != Some("yes") {
        range.low = 0.0;
    }
    Gathered {
        range: Ok(range),
        facts: vec![volume, shares, kind],
    }
}

/// The water in the buffer.
pub fn buffer(view: &View<'_>, survey: FactId) -> Gathered {
    let fitted = view.at(survey, "hot_water.buffer.fitted");
    if view.word(fitted) == Some("no") {
        return Gathered::nothing(vec![fitted]);
    }
    let volume = view.at(survey, "hot_water.buffer.volume");
    let mut range = view.range_or(volume, Range::FROM_NOTHING);
    if view.word(fitted) != Some("yes") {
        range.low = 0.0;
    }
    Gathered {
        range: Ok(range),
        facts: vec![volume, fitted],
    }
}

fn store_shut_off(view: &View<'_>, survey: FactId) -> Gathered {
    shut_off(view, survey, store, "hot_water.store.during_flush")
}

fn buffer_shut_off(view: &View<'_>, survey: FactId) -> Gathered {
    shut_off(view, survey, buffer, "hot_water.buffer.during_flush")
}

/// What a vessel takes out of the flush: its content, nothing, or anything between where nobody says.
fn shut_off(
    view: &View<'_>,
    survey: FactId,
    vessel: fn(&View<'_>, FactId) -> Gathered,
    path: &str,
) -> Gathered {
    let held = vessel(view, survey);
    if held.is_nothing() {
        return held;
    }
    let state = view.at(survey, path);
    let mut facts = vec![state];
    let range = match view.word(state) {
        Some("in the circuit") => Ok(Range::point(0.0)),
        Some("isolated") => held.range,
        _ => held.range.map(|held| Range::new(0.0, held.high)),
    };
    if view.word(state) != Some("in the circuit") {
        facts.extend(held.facts);
    }
    Gathered { range, facts }
}
