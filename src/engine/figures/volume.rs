//! Figures of volume: what is wetted, what goes round, and what stands in the machine.
//!
//! Two volumes are kept apart throughout. The *total* is all water in service; the *flush volume* is
//! what the machine moves: the total without the vessels that are shut off, with the machine's own
//! water.

use super::survey::{self, Choice, HotWater};
use super::table::{Figure, NO_SOURCE, Work, Yields, convention, fact, figure, gathered, source};
use super::view::{Gathered, View};
use wetside_base::facts::FactId;
use wetside_house::Range;
use wetside_physics::pipe;
use wetside_units::Kind;

pub(super) const FIGURES: &[Figure] = &[
    Figure {
        name: "total_volume",
        yields: Yields::Quantity(Kind::Volume),
        says: "All the water that is wetted in service, store, buffer and floor included.",
        formula: "V_total = V",
        source: source("definition", "arithmetic"),
        inputs: &[fact("V", survey::MEASURED_VOLUME)],
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
            ),
            gathered(
                "V_buffer",
                "water in the buffer, where it is shut off",
                Kind::Volume,
                buffer_shut_off,
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
            fact("V", survey::TANK),
            fact("V_free", survey::FREEBOARD).down(),
            fact("L", survey::HOSE_LENGTH),
            convention(
                "d",
                "bore of the machine's hoses",
                Kind::Length,
                (0.019, 0.025),
                NO_SOURCE,
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
            figure("V_total", "total_volume"),
            figure("V_off", "isolated_volume").down(),
            figure("V_m", "machine_water"),
        ],
        work: Work::Formula(|values| Ok((values[0] - values[1]).max(0.0) + values[2])),
    },
];

/// The heating water in the store: all of it for sure only where its kind and the survey's own word
/// agree on it.
pub(super) fn store(view: &View<'_>, root: FactId) -> Gathered {
    let (kind, hot_water) = view.choice(root, &survey::HOT_WATER);
    let (shares, it_shares) = view.choice(root, &survey::STORE_SHARES);
    if hot_water.is_some_and(|hot_water| hot_water != HotWater::Store) {
        return Gathered::nothing(vec![kind]);
    }
    if it_shares == Some(false) {
        return Gathered::nothing(vec![shares]);
    }
    let volume = view.at(root, survey::STORE_VOLUME);
    let mut range = view.range_or(volume, Range::FROM_NOTHING);
    if hot_water.is_none() || it_shares.is_none() {
        range.low = 0.0;
    }
    Gathered::of(range, vec![volume, shares, kind])
}

/// The water in the buffer.
pub(super) fn buffer(view: &View<'_>, root: FactId) -> Gathered {
    let (fitted, there) = view.choice(root, &survey::BUFFER_FITTED);
    if there == Some(false) {
        return Gathered::nothing(vec![fitted]);
    }
    let volume = view.at(root, survey::BUFFER_VOLUME);
    let mut range = view.range_or(volume, Range::FROM_NOTHING);
    if there.is_none() {
        range.low = 0.0;
    }
    Gathered::of(range, vec![volume, fitted])
}

fn store_shut_off(view: &View<'_>, root: FactId) -> Gathered {
    shut_off(view, root, store(view, root), &survey::STORE_STAYS)
}

fn buffer_shut_off(view: &View<'_>, root: FactId) -> Gathered {
    shut_off(view, root, buffer(view, root), &survey::BUFFER_STAYS)
}

/// What a vessel takes out of the flush: its content, nothing, or anything between where nobody says.
fn shut_off(view: &View<'_>, root: FactId, held: Gathered, stays: &Choice<bool>) -> Gathered {
    if held.is_nothing() {
        return held;
    }
    let (state, stays) = view.choice(root, stays);
    let range = match stays {
        Some(true) => return Gathered::nothing(vec![state]),
        Some(false) => held.range,
        None => held.range.map(|held| Range::new(0.0, held.high)),
    };
    let facts = [vec![state], held.facts].concat();
    Gathered { range, facts }
}
