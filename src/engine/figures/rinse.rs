//! Figures of the rinse: how often the water must change, how much it takes, how long it lasts.
//!
//! The water is taken to mix: one radiator that is starved of flow takes longer, and the return then
//! reads clean before the system is.

use super::survey;
use super::table::{DEFINITION, Figure, MASS_BALANCE, Work};
use super::table::{fact, figure, figures, gathered, source};
use super::view::{Gathered, Refused, View};
use super::water::{LEAST, MAINS, SHARE, band};
use wetside_base::facts::FactId;
use wetside_house::Range;
use wetside_house::rinse::volumes_of;
use wetside_units::Kind;

pub(super) const FIGURES: &[Figure] = figures! {
    "rinse_volumes": Number,
        "How many times its own volume of fresh water brings the mixed water to the mains.";
        "n = ln(|C_0 + ΔC − C_m|/max(b C_m, B)), 0 where it is there already",
        source("mass balance of one stirred tank, textbook", "from memory");
        [
            fact("C_0", survey::SYSTEM_TDS).either(),
            gathered("ΔC",
                "what the cleaner adds to the reading: nothing without one, otherwise up to 2,500 ppm (common practice, no source)",
                Kind::DissolvedSolids, cleaner_adds).either(),
            MAINS,
            SHARE,
            LEAST,
        ]
        => { Work::Bounded {
            bounds: volumes,
            method: "the corners, and 0 where water and mains may read alike",
        } };

    "rinse_water": Volume,
        "Fresh water that the rinse takes, whatever its flow.";
        "V = n V_flush", MASS_BALANCE;
        [figure("V_flush", "flush_volume"), figure("n", "rinse_volumes")]
        => { |flush, times| flush * times };

    "rinse_flow": VolumeFlow,
        "The flow that the rinse can keep up: what the tap gives and the drain takes.";
        "q = min(q_tap, q_drain)", MASS_BALANCE;
        [
            fact("q_tap", survey::TAP_FLOW),
            gathered("q_drain", "what the drain takes", Kind::VolumeFlow,
                |view, root| view.amount(root, survey::DRAIN_TAKES)),
        ]
        => { |tap, drain| tap.min(drain) };

    "rinse_time": Time,
        "How long the rinse lasts. It is the mains that sets it, not the pump.";
        "t = V/q, for ever without a flow", MASS_BALANCE;
        [figure("V", "rinse_water"), figure("q", "rinse_flow").down()]
        => { |water, flow| if water == 0.0 { 0.0 } else { water / flow } };

    "dump_margin": VolumeFlow,
        "What the drain takes beyond the flow that is dumped into it; below nothing it backs up.";
        "Δq = q_drain − q_out", DEFINITION;
        [
            fact("q_drain", survey::DRAIN_TAKES),
            fact("q_out", survey::DUMP_FLOW).down(),
        ]
        => { |drain, dumped| drain - dumped };
};

/// Most that a dose of cleaner adds to the dissolved solids, in kg/m³.
const CLEANER: f64 = 2.5;

pub(super) fn cleaner_adds(view: &View<'_>, root: FactId) -> Gathered {
    Gathered::if_there(view.choice(root, &survey::CLEANER), || {
        Gathered::of(Range::new(0.0, CLEANER), Vec::new())
    })
}

fn volumes(ranges: &[Range]) -> Result<Range, Refused> {
    let [start, adds, mains, share, least] = *ranges else {
        return Err("it takes five numbers".into());
    };
    let band = |mains| band(mains, share.low, least.low);
    Ok(volumes_of(start.plus(adds), mains, band)?)
}
