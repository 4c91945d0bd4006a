//! How hot the water may be: the lowest of what the parts bear, and which part that is.

use super::survey::{self, Pipe};
use super::table::{DEFINITION, Figure, Input, Work, figures, gathered};
use super::view::{Gathered, Refused, View};
use wetside_base::facts::{FactId, Facts};
use wetside_house::Range;
use wetside_units::Kind;

/// The parts in the order of the inputs, by the words of the figure.
const PARTS: &[&str] = &["hoses", "machine", "cleaner", "floor", "plastic pipe"];

const CEILINGS: [Input; 5] = [
    bears("T_hoses", "what the hoses are rated for", hoses),
    bears("T_machine", "what the machine is rated for", machine),
    bears(
        "T_cleaner",
        "hottest water that the cleaner may be used in, where there is one",
        cleaner,
    ),
    bears(
        "T_floor",
        "hottest water that the floor may see, where there is one",
        floor,
    ),
    bears(
        "T_plastic",
        "60 °C where there is plastic pipe (common practice, no source)",
        plastic,
    ),
];

const fn bears(
    symbol: &'static str,
    says: &'static str,
    gather: fn(&View<'_>, FactId) -> Gathered,
) -> Input {
    gathered(symbol, says, Kind::Temperature, gather)
}

pub(super) const FIGURES: &[Figure] = figures! {
    "temperature_ceiling": Temperature,
        "The hottest that the water may be: the lowest of what hoses, machine, cleaner, floor and \
         plastic pipe bear.";
        "T = min(T_hoses, T_machine, T_cleaner, T_floor, T_plastic)", DEFINITION;
        CEILINGS
        => { |hoses, machine, cleaner, floor, plastic| hoses.min(machine).min(cleaner).min(floor).min(plastic) };

    "temperature_ceiling_by": word PARTS,
        "The part that sets how hot the water may be.";
        "the part with the lowest of these temperatures", DEFINITION;
        CEILINGS
        => { Work::Chosen(lowest) };
};

/// The part whose limit is below all others whatever they are. Of two alike the first is named, and only
/// where no more can be learnt of the other that would make it the first.
fn lowest(ranges: &[Range]) -> Result<&'static str, Refused> {
    for (at, part) in PARTS.iter().enumerate() {
        let mut others = ranges.iter().enumerate();
        let high = ranges[at].high;
        let below = |other: usize, low: f64| high < low || (high == low && other > at);
        if high.is_finite() && others.all(|(other, range)| other == at || below(other, range.low)) {
            return Ok(part);
        }
    }
    Err(Refused::from(
        "more than one part may be the one that sets it",
    ))
}

/// A part that is there for sure has its limit, one that may be there has it or none.
fn limit(view: &View<'_>, path: &str, there: Option<bool>, mut facts: Vec<FactId>) -> Gathered {
    let open = Range::new(f64::NEG_INFINITY, f64::INFINITY);
    let fact = view.at(Facts::ROOT, path);
    let range = match there {
        Some(false) => Range::point(f64::INFINITY),
        Some(true) => view.range_or(fact, open),
        None => Range::new(view.range_or(fact, open).low, f64::INFINITY),
    };
    if there != Some(false) {
        facts.insert(0, fact);
    }
    Gathered::of(range, facts)
}

fn hoses(view: &View<'_>, _: FactId) -> Gathered {
    limit(view, survey::HOSE_RATED, Some(true), Vec::new())
}

fn machine(view: &View<'_>, _: FactId) -> Gathered {
    limit(view, survey::MACHINE_RATED, Some(true), Vec::new())
}

fn cleaner(view: &View<'_>, root: FactId) -> Gathered {
    let (nature, there) = view.choice(root, &survey::CLEANER);
    limit(view, survey::CLEANER_HOTTEST, there, vec![nature])
}

fn floor(view: &View<'_>, root: FactId) -> Gathered {
    let (fitted, there) = view.choice(root, &survey::FLOOR_FITTED);
    limit(view, survey::FLOOR_HOTTEST, there, vec![fitted])
}

/// Kelvin of the limit for plastic.
const PLASTIC: f64 = 333.15;

fn plastic(view: &View<'_>, _: FactId) -> Gathered {
    let (materials, there) = view.has(&survey::PIPES, Pipe::Plastic);
    let range = match there {
        Some(true) => Range::point(PLASTIC),
        Some(false) => Range::point(f64::INFINITY),
        None => Range::new(PLASTIC, f64::INFINITY),
    };
    Gathered::of(range, vec![materials])
}
