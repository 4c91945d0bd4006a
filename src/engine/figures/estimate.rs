//! How much a house should hold, by its parts and by two rules of thumb.
//!
//! These are second opinions. Nothing else is worked out from them, since a measurement may prove
//! them wrong; who has no measurement records one of them as the circuit's volume, and how it was
//! come by.

use super::emitters::{all_emitters, all_panels, all_tails, held, sum};
use super::range::Range;
use super::table::{Figure, NO_SOURCE, Refused, Runs, Source, Work, Yields};
use super::table::{convention, fact, figure, gathered, source};
use super::view::{Gathered, View};
use super::volume::{buffer, store};
use wetside_base::facts::FactId;
use wetside_physics::pipe;
use wetside_units::Kind;

const MEMORY: Source = source("catalogue values", "from memory");

pub const FIGURES: &[Figure] = &[
    Figure {
        name: "emitters_volume",
        yields: Yields::Quantity(Kind::Volume),
        says: "The water in all radiators, towel rails and convectors.",
        formula: "V_e = Σ V, with all errors the same way",
        source: MEMORY,
        inputs: &[gathered(
            "V_e",
            "what all emitters hold",
            Kind::Volume,
            all_emitters,
            Runs::Up,
        )],
        work: Work::Formula(|values| Ok(values[0])),
    },
    Figure {
        name: "pipes_volume",
        yields: Yields::Quantity(Kind::Volume),
        says: "The water in the pipes: the tails, and mains of so many times the longest run.",
        formula: "V_p = Σ L_t π d_t²/4 + k L π D²/4",
        source: source("geometry", "arithmetic"),
        inputs: &[
            gathered(
                "Σ L_t π d_t²/4",
                "water in all tails",
                Kind::Volume,
                all_tails,
                Runs::Up,
            ),
            fact("L", "circuit.longest_run", Runs::Up),
            fact("D", "circuit.main_bore", Runs::Up),
            convention(
                "k",
                "mains of the house as a multiple of the longest run",
                Kind::Number,
                (0.5, 2.0),
                NO_SOURCE,
                Runs::Up,
            ),
        ],
        work: Work::Formula(|values| {
            Ok(values[0] + pipe::content(values[2], values[3] * values[1])?)
        }),
    },
    Figure {
        name: "estimated_volume",
        yields: Yields::Quantity(Kind::Volume),
        says: "What the circuit should hold by its parts.",
        formula: "V = V_e + V_p + V_sources + V_coil + V_vessels",
        source: MEMORY,
        inputs: &[
            figure("V_e", "emitters_volume", Runs::Up),
            figure("V_p", "pipes_volume", Runs::Up),
            gathered(
                "V_sources",
                "water in the heat sources, by their kinds",
                Kind::Volume,
                sources,
                Runs::Up,
            ),
            gathered(
                "V_coil",
                "water in the cylinder's coil",
                Kind::Volume,
                coil,
                Runs::Up,
            ),
            VESSELS,
        ],
        work: Work::Formula(|values| Ok(values.iter().sum())),
    },
    Figure {
        name: "volume_by_panels",
        yields: Yields::Quantity(Kind::Volume),
        says: "What the circuit should hold by the number of its panels, pipes included.",
        formula: "V = v n + V_vessels",
        source: source("two trade rules of 7 and 10 L a panel", "read"),
        inputs: &[
            gathered(
                "n",
                "panels of all emitters",
                Kind::Number,
                all_panels,
                Runs::Up,
            ),
            convention(
                "v",
                "water of a whole house for each panel",
                Kind::Volume,
                (0.005, 0.010),
                source("two trade rules of 7 and 10 L a panel", "read"),
                Runs::Up,
            ),
            VESSELS,
        ],
        work: Work::Formula(|values| Ok(values[0] * values[1] + values[2])),
    },
    Figure {
        name: "volume_by_output",
        yields: Yields::Quantity(Kind::Volume),
        says: "What the circuit should hold by the output of its heat sources. A combination boiler \
               is sized for its taps, so for one this reads too much.",
        formula: "V = v P + V_vessels, v in litres a kilowatt",
        source: source("trade sheet of litres a kilowatt", "read"),
        inputs: &[
            gathered(
                "P",
                "output of all heat sources",
                Kind::Power,
                output,
                Runs::Up,
            ),
            gathered(
                "v",
                "litres a kilowatt by the layout: 4 to 9 for microbore, 8 to 20 for the others",
                Kind::Number,
                per_kilowatt,
                Runs::Up,
            ),
            VESSELS,
        ],
        work: Work::Formula(|values| Ok(values[0] * values[1] * 1e-6 + values[2])),
    },
];

const VESSELS: super::table::Input = gathered(
    "V_vessels",
    "heating water in store, buffer and floor",
    Kind::Volume,
    vessels,
    Runs::Up,
);

/// What a heat source holds, in m³, least and most. Where the table of contents has no row: from
/// memory.
fn source_holds(kind: Option<&str>) -> Range {
    match kind {
        Some("gas combination" | "gas system" | "LPG") => held("older boiler, wall-hung, copper"),
        Some("gas heat only") => Range::new(0.001, 0.025),
        Some("oil") => Range::new(0.008, 0.040),
        Some("electric boiler") => Range::new(0.001, 0.015),
        Some("solid fuel" | "range cooker") => Range::new(0.005, 0.060),
        Some("biomass") => Range::new(0.020, 0.150),
        Some("monobloc heat pump" | "split heat pump") => Range::new(0.0005, 0.005),
        Some("indirect interface unit" | "direct interface unit") => Range::new(0.0003, 0.003),
        Some("CHP") => Range::new(0.005, 0.050),
        _ => Range::new(0.0, 0.150),
    }
}

fn sources(view: &View<'_>, survey: FactId) -> Gathered {
    sum(view, view.at(survey, "heat_sources"), |source| {
        let kind = view.at(source, "kind");
        Gathered {
            range: Ok(source_holds(view.word(kind))),
            facts: vec![kind],
        }
    })
}

fn coil(view: &View<'_>, survey: FactId) -> Gathered {
    let kind = view.at(survey, "hot_water.kind");
    let coil = held("cylinder coil");
    let range = match view.word(kind) {
        Some("none" | "combination boiler plate" | "direct cylinder") => Range::point(0.0),
        Some("indirect vented cylinder" | "indirect unvented cylinder") => coil,
        _ => Range::new(0.0, coil.high),
    };
    Gathered {
        range: Ok(range),
        facts: vec![kind],
    }
}

/// The heating water in store, buffer and floor.
fn vessels(view: &View<'_>, survey: FactId) -> Gathered {
    let parts = [
        store(view, survey),
        buffer(view, survey),
        floor(view, survey),
    ];
    let mut facts = Vec::new();
    let mut all = Ok(Range::point(0.0));
    for part in parts {
        facts.extend(part.facts);
        all = all.and_then(|all: Range| Ok(all.plus(part.range?)));
    }
    Gathered { range: all, facts }
}

/// Of all loops, the shortest is taken to be half as long as the longest.
const SHORTER: f64 = 0.5;

/// The water in the floor: loops, length and bore, the loops between half as long as the longest
/// and as long.
fn floor(view: &View<'_>, survey: FactId) -> Gathered {
    let fitted = view.at(survey, "underfloor.fitted");
    if view.word(fitted) == Some("no") {
        return Gathered::nothing(vec![fitted]);
    }
    let [loops, length, bore] =
        ["loops", "loop_length", "bore"].map(|name| view.at(survey, &format!("underfloor.{name}")));
    let held = || -> Result<Range, Refused> {
        let (loops, length, bore) = (view.range(loops)?, view.range(length)?, view.range(bore)?);
        let least = pipe::content(bore.low, SHORTER * loops.low * length.low)?;
        Ok(Range::new(
            least,
            pipe::content(bore.high, loops.high * length.high)?,
        ))
    };
    let mut range = held().unwrap_or(Range::FROM_NOTHING);
    if view.word(fitted) != Some("yes") {
        range.low = 0.0;
    }
    Gathered {
        range: Ok(range),
        facts: vec![fitted, loops, length, bore],
    }
}

/// The output of all heat sources together.
pub fn output(view: &View<'_>, survey: FactId) -> Gathered {
    sum(view, view.at(survey, "heat_sources"), |source| {
        let output = view.at(source, "output");
        Gathered {
            range: view.range(output),
            facts: vec![output],
        }
    })
}

/// Litres a kilowatt.
fn per_kilowatt(view: &View<'_>, survey: FactId) -> Gathered {
    let layout = view.at(survey, "circuit.layout");
    let microbore = held("small or microbore system").times(1000.0);
    let others = held("system of panel radiators")
        .hull(held("system of cast-iron radiators"))
        .times(1000.0);
    let range = match view.word(layout) {
        Some("manifold microbore") => microbore,
        Some("two-pipe" | "one-pipe" | "radial") => others,
        _ => microbore.hull(others),
    };
    Gathered {
        range: Ok(range),
        facts: vec![layout],
    }
}
