//! Figures of the rinse: how often the water must change, how much it takes, how long it lasts.
//!
//! The water is taken to mix: one radiator that is starved of flow takes longer, and the return then
//! reads clean before the system is.

use super::survey;
use super::table::{Figure, Work, Yields};
use super::table::{fact, figure, gathered, source};
use super::view::{Gathered, Refused, View};
use super::water::{LEAST, MAINS, SHARE, band};
use wetside_base::facts::FactId;
use wetside_house::Range;
use wetside_physics::dilution::volumes_needed;
use wetside_units::Kind;

pub(super) const FIGURES: &[Figure] = &[
    Figure {
        name: "rinse_volumes",
        yields: Yields::Quantity(Kind::Number),
        says: "How many times its own volume of fresh water brings the mixed water to the mains.",
        formula: "n = ln(|C_0 + ΔC − C_m|/max(b C_m, B)), 0 where it is there already",
        source: source("mass balance of one stirred tank, textbook", "from memory"),
        inputs: &[
            fact("C_0", survey::SYSTEM_TDS).either(),
            gathered(
                "ΔC",
                "what the cleaner adds to the reading: nothing without one, otherwise up to 2,500 \
                 ppm (common practice, no source)",
                Kind::DissolvedSolids,
                cleaner_adds,
            )
            .either(),
            MAINS,
            SHARE,
            LEAST,
        ],
        work: Work::Bounded {
            at: volumes,
            bounds: volumes_between,
            method: "the corners, and 0 where water and mains may read alike",
        },
    },
    Figure {
        name: "rinse_water",
        yields: Yields::Quantity(Kind::Volume),
        says: "Fresh water that the rinse takes, whatever its flow.",
        formula: "V = n V_flush",
        source: source("mass balance", "arithmetic"),
        inputs: &[
            figure("V_flush", "flush_volume"),
            figure("n", "rinse_volumes"),
        ],
        work: Work::Formula(|values| Ok(values[0] * values[1])),
    },
    Figure {
        name: "rinse_flow",
        yields: Yields::Quantity(Kind::VolumeFlow),
        says: "The flow that the rinse can keep up: what the tap gives and the drain takes.",
        formula: "q = min(q_tap, q_drain)",
        source: source("mass balance", "arithmetic"),
        inputs: &[
            fact("q_tap", survey::TAP_FLOW),
            gathered(
                "q_drain",
                "what the drain takes",
                Kind::VolumeFlow,
                drain_takes,
            ),
        ],
        work: Work::Formula(|values| Ok(values[0].min(values[1]))),
    },
    Figure {
        name: "rinse_time",
        yields: Yields::Quantity(Kind::Time),
        says: "How long the rinse lasts. It is the mains that sets it, not the pump.",
        formula: "t = V/q, for ever without a flow",
        source: source("mass balance", "arithmetic"),
        inputs: &[figure("V", "rinse_water"), figure("q", "rinse_flow").down()],
        work: Work::Formula(|values| {
            Ok(if values[0] == 0.0 {
                0.0
            } else {
                values[0] / values[1]
            })
        }),
    },
    Figure {
        name: "dump_margin",
        yields: Yields::Quantity(Kind::VolumeFlow),
        says: "What the drain takes beyond the flow that is dumped into it; below nothing it backs up.",
        formula: "Δq = q_drain − q_out",
        source: source("definition", "arithmetic"),
        inputs: &[
            fact("q_drain", survey::DRAIN_TAKES),
            fact("q_out", survey::DUMP_FLOW).down(),
        ],
        work: Work::Formula(|values| Ok(values[0] - values[1])),
    },
];

/// Most that a dose of cleaner adds to the dissolved solids, in kg/m³.
const CLEANER: f64 = 2.5;

pub(super) fn cleaner_adds(view: &View<'_>, root: FactId) -> Gathered {
    let (nature, there) = view.choice(root, &survey::CLEANER);
    if there == Some(false) {
        return Gathered::nothing(vec![nature]);
    }
    Gathered::of(Range::new(0.0, CLEANER), vec![nature])
}

fn drain_takes(view: &View<'_>, root: FactId) -> Gathered {
    let acceptance = view.at(root, survey::DRAIN_TAKES);
    Gathered::of(
        view.range_or(acceptance, Range::FROM_NOTHING),
        vec![acceptance],
    )
}

fn volumes(values: &[f64]) -> Result<f64, Refused> {
    let (start, mains) = (values[0] + values[1], values[2]);
    Ok(volumes_needed(start, mains, band(&values[2..]))?)
}

fn volumes_between(ranges: &[Range]) -> Result<Range, Refused> {
    let start = ranges[0].plus(ranges[1]);
    let mains = ranges[2];
    let mut all: Option<Range> = None;
    for start in [start.low, start.high] {
        for mains in [mains.low, mains.high] {
            let here = volumes(&[start, 0.0, mains, ranges[3].low, ranges[4].low])?;
            all = Some(all.map_or(Range::point(here), |all| all.hull(Range::point(here))));
        }
    }
    let mut all = all.ok_or_else(|| Refused::from("it takes five numbers"))?;
    if start.low <= mains.high && mains.low <= start.high {
        all.low = 0.0;
    }
    Ok(all)
}
