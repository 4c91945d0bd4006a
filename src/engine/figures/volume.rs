//! Figures of volume: what is wetted, what goes round, and what stands in the machine.
//!
//! Two volumes are kept apart throughout. The *total* is all water in service; the *flush volume* is
//! what the machine moves: the total without the vessels that are shut off, with the machine's own
//! water.

use super::survey::{self, Choice, HotWater};
use super::table::{DEFINITION, Figure, GEOMETRY, MASS_BALANCE, NO_SOURCE};
use super::table::{convention, fact, figure, figures, gathered};
use super::view::{Gathered, View};
use wetside_base::facts::FactId;
use wetside_physics::pipe;
use wetside_units::Kind;

pub(super) const FIGURES: &[Figure] = figures! {
    "total_volume": Volume,
        "All the water that is wetted in service, store, buffer and floor included.";
        "V_total = V", DEFINITION;
        [fact("V", survey::MEASURED_VOLUME)]
        => { |held| held };

    "isolated_volume": Volume,
        "Heating water in the store and buffer that are shut off during the flush.";
        "V_off = V_store + V_buffer, each as far as it is shut off", DEFINITION;
        [
            gathered("V_store", "heating water in the store, where it is shut off", Kind::Volume,
                |view, root| shut_off(view, root, store(view, root), &survey::STORE_STAYS)),
            gathered("V_buffer", "water in the buffer, where it is shut off", Kind::Volume,
                |view, root| shut_off(view, root, buffer(view, root), &survey::BUFFER_STAYS)),
        ]
        => { |store, buffer| store + buffer };

    "machine_water": Volume,
        "Water in the machine at its working level and in its two circuit hoses.";
        "V_m = V − V_free + 2 L π d²/4", GEOMETRY;
        [
            fact("V", survey::TANK),
            fact("V_free", survey::FREEBOARD).down(),
            fact("L", survey::HOSE_LENGTH),
            convention("d", "bore of the machine's hoses", Kind::Length, (0.019, 0.025), NO_SOURCE),
        ]
        => { |tank, free, length, bore| (tank - free).max(0.0) + pipe::content(bore, 2.0 * length)? };

    "flush_volume": Volume,
        "The water that the machine moves: the circuit without what is shut off, and the machine's own. \
         Cleaner is dosed on it, and rinsing dilutes it.";
        "V_flush = V_total − V_off + V_m", MASS_BALANCE;
        [
            figure("V_total", "total_volume"),
            figure("V_off", "isolated_volume").down(),
            figure("V_m", "machine_water"),
        ]
        => { |total, off, machine| (total - off).max(0.0) + machine };
};

/// The heating water in the store: all of it for sure only where its kind and the survey's own word
/// agree on it.
pub(super) fn store(view: &View<'_>, root: FactId) -> Gathered {
    let (kind, hot_water) = view.choice(root, &survey::HOT_WATER);
    let is_store = hot_water.map(|hot_water| hot_water == HotWater::Store);
    Gathered::if_there((kind, is_store), || {
        Gathered::if_there(view.choice(root, &survey::STORE_SHARES), || {
            view.amount(root, survey::STORE_VOLUME)
        })
    })
}

/// The water in the buffer.
pub(super) fn buffer(view: &View<'_>, root: FactId) -> Gathered {
    let fitted = view.choice(root, &survey::BUFFER_FITTED);
    Gathered::if_there(fitted, || view.amount(root, survey::BUFFER_VOLUME))
}

/// What a vessel takes out of the flush: its content, nothing, or anything between where nobody says.
fn shut_off(view: &View<'_>, root: FactId, held: Gathered, stays: &Choice<bool>) -> Gathered {
    let (state, stays) = view.choice(root, stays);
    Gathered::if_there((state, stays.map(|stays| !stays)), || held)
}
