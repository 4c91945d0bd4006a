//! Figures of what is put in: cleaner on one volume, inhibitor on the other.

use super::survey;
use super::table::{Figure, Work, Yields, fact, figure, gathered, source};
use super::view::{Gathered, Refused, View};
use wetside_base::facts::FactId;
use wetside_house::Range;
use wetside_units::Kind;

pub(super) const FIGURES: &[Figure] = &[
    Figure {
        name: "cleaner_dose",
        yields: Yields::Quantity(Kind::Volume),
        says: "Cleaner for everything that the machine moves, by the label's rate.",
        formula: "V_c = r V_flush",
        source: source("arithmetic; the label rules", "arithmetic"),
        inputs: &[
            fact("r", survey::CLEANER_RATE),
            figure("V_flush", "flush_volume"),
        ],
        work: Work::Formula(|values| Ok(values[0] * values[1])),
    },
    Figure {
        name: "cleaner_containers",
        yields: Yields::Quantity(Kind::Number),
        says: "Whole containers of cleaner that hold its dose.",
        formula: "n = V_c/V_k, rounded up",
        source: source("arithmetic", "arithmetic"),
        inputs: &[
            figure("V_c", "cleaner_dose"),
            fact("V_k", survey::CLEANER_CONTAINER).down(),
        ],
        work: Work::Formula(whole),
    },
    Figure {
        name: "inhibitor_basis",
        yields: Yields::Quantity(Kind::Volume),
        says: "The water that inhibitor is reckoned for: all that is wetted in service, and the \
               machine's own where it is dosed through the machine, since that share goes away with it.",
        formula: "V_i = V_total + V_m",
        source: source("mass balance", "arithmetic"),
        inputs: &[
            figure("V_total", "total_volume"),
            gathered(
                "V_m",
                "the machine's water, where inhibitor is dosed through it",
                Kind::Volume,
                goes_with_machine,
            ),
        ],
        work: Work::Formula(|values| Ok(values[0] + values[1])),
    },
    Figure {
        name: "inhibitor_dose",
        yields: Yields::Quantity(Kind::Volume),
        says: "Inhibitor by the label's rate, before it is rounded up to whole containers.",
        formula: "V = r V_i",
        source: source("arithmetic; the label rules", "arithmetic"),
        inputs: &[
            fact("r", survey::INHIBITOR_RATE),
            figure("V_i", "inhibitor_basis"),
        ],
        work: Work::Formula(|values| Ok(values[0] * values[1])),
    },
    Figure {
        name: "inhibitor_containers",
        yields: Yields::Quantity(Kind::Number),
        says: "Whole containers of inhibitor that hold its dose.",
        formula: "n = V/V_k, rounded up",
        source: source("arithmetic", "arithmetic"),
        inputs: &[
            figure("V", "inhibitor_dose"),
            fact("V_k", survey::INHIBITOR_CONTAINER).down(),
        ],
        work: Work::Formula(whole),
    },
];

/// Containers that hold a dose, each of so much. A hair of room, so that an exact number of containers
/// is not one too many for its last bit.
fn whole(values: &[f64]) -> Result<f64, Refused> {
    if values[1] > 0.0 {
        Ok((values[0] / values[1] - 1e-9).ceil().max(0.0))
    } else {
        Err("a container must hold something".into())
    }
}

fn goes_with_machine(view: &View<'_>, root: FactId) -> Gathered {
    let (through, by_machine) = view.choice(root, &survey::DOSED_THROUGH);
    let water = view.figure("machine_water");
    let held = || view.range_or(water, Range::FROM_NOTHING);
    let range = match by_machine {
        Some(true) => held(),
        Some(false) => return Gathered::nothing(vec![through]),
        None => Range::new(0.0, held().high),
    };
    Gathered::of(range, vec![through, water])
}
