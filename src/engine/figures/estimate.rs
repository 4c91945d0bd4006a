//! How much a house should hold, by its parts and by two rules of thumb.
//!
//! These are second opinions. Nothing else is worked out from them, since a measurement may prove
//! them wrong; who has no measurement records one of them as the circuit's volume, and how it was
//! come by.

use super::emitters::{all_emitters, all_panels, all_tails, sum};
use super::survey::{self, HotWater, SourceKind};
use super::table::{Figure, GEOMETRY, Input, NO_SOURCE, Source};
use super::table::{convention as input_by, fact, figure, figures, gathered, source};
use super::view::{Gathered, Refused, View};
use super::volume::{buffer, store};
use wetside_base::facts::FactId;
use wetside_house::{Layout, Range, convention};
use wetside_physics::pipe;
use wetside_units::Kind;

const MEMORY: Source = source("catalogue values", "from memory");

pub(super) const FIGURES: &[Figure] = figures! {
    "emitters_volume": Volume,
        "The water in all radiators, towel rails and convectors.";
        "V_e = Σ V, with all errors the same way", MEMORY;
        [gathered("V_e", "what all emitters hold", Kind::Volume, all_emitters)]
        => { |held| held };

    "pipes_volume": Volume,
        "The water in the pipes: the tails, and mains of so many times the longest run.";
        "V_p = Σ L_t π d_t²/4 + k L π D²/4", GEOMETRY;
        [
            gathered("Σ L_t π d_t²/4", "water in all tails", Kind::Volume, all_tails),
            gathered("L", "the longest run; where there is nothing but floor, without the loop that it counts",
                Kind::Length, mains_run),
            fact("D", survey::MAIN_BORE),
            input_by("k", "mains of the house as a multiple of the longest run", Kind::Number, (0.5, 2.0),
                NO_SOURCE),
        ]
        => { |tails, run, bore, times| tails + pipe::content(bore, times * run)? };

    "estimated_volume": Volume,
        "What the circuit should hold by its parts.";
        "V = V_e + V_p + V_sources + V_coil + V_vessels", MEMORY;
        [
            figure("V_e", "emitters_volume"),
            figure("V_p", "pipes_volume"),
            gathered("V_sources", "water in the heat sources, by their kinds", Kind::Volume, sources),
            gathered("V_coil", "water in the cylinder's coil", Kind::Volume, coil),
            VESSELS,
        ]
        => { |emitters, pipes, sources, coil, vessels| emitters + pipes + sources + coil + vessels };

    "volume_by_panels": Volume,
        "What the circuit should hold by the number of its panels, pipes included.";
        "V = v n + V_vessels", source("two trade rules of 7 and 10 L a panel", "read");
        [
            gathered("n", "panels of all emitters", Kind::Number, all_panels),
            input_by("v", "water of a whole house for each panel", Kind::Volume, (0.005, 0.010),
                source("two trade rules of 7 and 10 L a panel", "read")),
            VESSELS,
        ]
        => { |panels, each, vessels| panels * each + vessels };

    "volume_by_output": Volume,
        "What the circuit should hold by the output of its heat sources, where nothing better tells. A boiler is \
         often sized for its taps, and then this reads several times too much.";
        "V = v P + V_vessels, v in litres a kilowatt", source("trade sheet of litres a kilowatt", "read");
        [
            gathered("P", "output of all heat sources", Kind::Power, output),
            gathered("v", "litres a kilowatt by the layout: 4 to 9 for microbore, 8 to 20 for the others",
                Kind::Number, per_kilowatt),
            VESSELS,
        ]
        => { |output, litres, vessels| output * litres * 1e-6 + vessels };
};

const VESSELS: Input = gathered(
    "V_vessels",
    "heating water in store, buffer and floor",
    Kind::Volume,
    vessels,
);

/// What a heat source holds, in m³, least and most. Where the table of contents has no row: from
/// memory.
fn source_holds(kind: Option<SourceKind>) -> Range {
    match kind {
        Some(SourceKind::WallHung) => convention::COPPER_BOILER.range,
        Some(SourceKind::GasHeatOnly) => Range::new(0.001, 0.025),
        Some(SourceKind::Oil) => Range::new(0.008, 0.040),
        Some(SourceKind::Electric) => Range::new(0.001, 0.015),
        Some(SourceKind::Solid) => Range::new(0.005, 0.060),
        Some(SourceKind::Biomass) => Range::new(0.030, 0.110),
        Some(SourceKind::HeatPump) => Range::new(0.0005, 0.005),
        Some(SourceKind::InterfaceUnit) => Range::new(0.0003, 0.003),
        Some(SourceKind::Chp) => Range::new(0.005, 0.050),
        // Its loop is a circuit of its own.
        Some(SourceKind::SolarThermal) => Range::point(0.0),
        None => Range::new(0.0, 0.110),
    }
}

fn sources(view: &View<'_>, root: FactId) -> Gathered {
    sum(view, view.at(root, survey::HEAT_SOURCES), |source| {
        let (kind, what) = view.choice(source, &survey::SOURCE_KIND);
        Gathered::of(source_holds(what), vec![kind])
    })
}

fn coil(view: &View<'_>, root: FactId) -> Gathered {
    let (kind, hot_water) = view.choice(root, &survey::HOT_WATER);
    let coil = convention::COIL.range;
    let range = match hot_water {
        Some(HotWater::NoCoil) => Range::point(0.0),
        Some(HotWater::Coil) => coil,
        Some(HotWater::SingleFeed | HotWater::Store) | None => Range::new(0.0, coil.high),
    };
    Gathered::of(range, vec![kind])
}

/// The longest run as far as it is no floor loop: the mains of a house that has nothing but floor end at its
/// manifold, and a run that is longer than the longest loop counts that loop.
fn mains_run(view: &View<'_>, root: FactId) -> Gathered {
    let [run, longest] =
        [survey::LONGEST_RUN, survey::FLOOR_LOOP_LENGTH].map(|path| view.at(root, path));
    let (layout_id, layout) = view.choice(root, &survey::LAYOUT);
    let (fitted_id, fitted) = view.choice(root, &survey::FLOOR_FITTED);
    let whole = view.range(run);
    let others = layout.is_some_and(|layout| layout != Layout::Underfloor);
    if others || fitted == Some(false) {
        let says = if others { layout_id } else { fitted_id };
        return Gathered::by(vec![run, says], || whole);
    }
    let one = view.range_or(longest, Range::FROM_NOTHING);
    let range = whole.map(|whole| {
        let counted = Range::new((whole.low - one.high).max(0.0), whole.high - one.low);
        let apart = Range::new(whole.low, whole.high.min(one.high));
        let floor = match (whole.high >= one.low, whole.low < one.high) {
            (true, true) => counted.hull(apart),
            (true, false) => counted,
            (false, _) => whole,
        };
        match layout {
            Some(_) => floor,
            None => floor.hull(whole),
        }
    });
    let facts = vec![run, layout_id, fitted_id, longest];
    Gathered { range, facts }
}

/// The heating water in store, buffer and floor.
fn vessels(view: &View<'_>, survey: FactId) -> Gathered {
    let mut facts = Vec::new();
    let mut all = Ok(Range::point(0.0));
    for part in [store, buffer, floor].map(|part| part(view, survey)) {
        facts.extend(part.facts);
        all = all.and_then(|all: Range| Ok(all.plus(part.range?)));
    }
    Gathered { range: all, facts }
}

/// Of all loops, the shortest is taken to be half as long as the longest.
const SHORTER: f64 = 0.5;

/// The water in the floor: loops, length and bore, the loops between half as long as the longest
/// and as long.
fn floor(view: &View<'_>, root: FactId) -> Gathered {
    Gathered::if_there(view.choice(root, &survey::FLOOR_FITTED), || {
        let [loops, length, bore] = [
            survey::FLOOR_LOOPS,
            survey::FLOOR_LOOP_LENGTH,
            survey::FLOOR_BORE,
        ]
        .map(|path| view.at(root, path));
        let held = || -> Result<Range, Refused> {
            let (loops, length, bore) =
                (view.range(loops)?, view.range(length)?, view.range(bore)?);
            let least = pipe::content(bore.low, SHORTER * loops.low * length.low)?;
            let most = pipe::content(bore.high, loops.high * length.high)?;
            Ok(Range::new(least, most))
        };
        let range = held().unwrap_or(Range::FROM_NOTHING);
        Gathered::of(range, vec![loops, length, bore])
    })
}

/// The output of all heat sources together.
pub(super) fn output(view: &View<'_>, root: FactId) -> Gathered {
    sum(view, view.at(root, survey::HEAT_SOURCES), |source| {
        view.taken(source, survey::OUTPUT)
    })
}

/// Litres a kilowatt.
fn per_kilowatt(view: &View<'_>, root: FactId) -> Gathered {
    let (id, layout) = view.choice(root, &survey::LAYOUT);
    let microbore = convention::MICROBORE_SYSTEM.range;
    let others = convention::PANEL_SYSTEM
        .range
        .hull(convention::CAST_IRON_SYSTEM.range);
    let range = match layout {
        Some(Layout::Microbore) => microbore,
        Some(Layout::TwoPipe | Layout::OnePipe | Layout::Radial) => others,
        Some(Layout::Underfloor | Layout::Mixed) | None => microbore.hull(others),
    };
    Gathered::of(range, vec![id])
}
