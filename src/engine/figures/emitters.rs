//! What emitters, their tails and the vessels of a house hold.
//!
//! The error of a panel radiator's content is common to all radiators of a house and does not average
//! out, so ranges are added end to end. A list that may hold more than it names has no upper end.

use super::list::FigureList;
use super::range::Range;
use super::table::{Figure, Refused, Runs, Work, Yields, gathered, source};
use super::view::{Gathered, View};
use wetside_base::facts::{FactId, Facts};
use wetside_base::vocabulary::Vocabulary;
use wetside_physics::content::{HOLDS, Holds, panel_radiator};
use wetside_physics::pipe;
use wetside_units::Kind;

pub const LISTS: &[FigureList] = &[FigureList {
    name: "emitters",
    says: "What each radiator, towel rail and convector holds.",
    of: "emitters",
    fields: &[Figure {
        name: "content",
        yields: Yields::Quantity(Kind::Volume),
        says: "The water that it holds, make and age unknown.",
        formula: "panel radiator: V = n L (0.25 + 4.8 H) litres, −20 to +45 %; towel rail: 6 to 12 \
                  L/m² of its face; column radiator: 15 to 85 L/m²; convector: 0.5 to 4 L",
        source: source(
            "a fit to catalogue values; column radiators by 0.45 to 3 L a section of 46 to 60 mm",
            "from memory",
        ),
        inputs: &[gathered(
            "V",
            "its content by kind and size",
            Kind::Volume,
            content,
            Runs::Up,
        )],
        work: Work::Formula(|values| Ok(values[0])),
    }],
}];

/// Litres a square metre of face, least and most, of a column radiator of steel or cast iron.
const COLUMN: Range = Range::new(0.015, 0.085);
/// What a convector holds, least and most.
const CONVECTOR: Range = Range::new(0.0005, 0.004);

/// The water of one emitter.
fn content(view: &View<'_>, emitter: FactId) -> Gathered {
    let kind = view.at(emitter, "kind");
    let mut facts = vec![kind];
    let range = match view.word(kind) {
        Some("panel radiator") => panels(view, emitter, &mut facts),
        Some("towel rail") => {
            face(view, emitter, &mut facts).map(|face| spread(face, held(TOWEL_RAIL)))
        }
        Some("column radiator") => face(view, emitter, &mut facts).map(|face| spread(face, COLUMN)),
        Some("convector" | "fan convector") => Ok(CONVECTOR),
        Some(_) => Err(Refused::from(
            "nothing is known of what such an emitter holds",
        )),
        None => Err(view.open(kind)),
    };
    Gathered { range, facts }
}

fn panels(view: &View<'_>, emitter: FactId, facts: &mut Vec<FactId>) -> Result<Range, Refused> {
    let count = view.at(emitter, "panels");
    facts.insert(0, count);
    let (height, length) = size(view, emitter, facts)?;
    let count = view.range(count)?;
    let least = panel_radiator(whole(count.low), height.low, length.low)?;
    let most = panel_radiator(whole(count.high), height.high, length.high)?;
    Ok(Range::new(least.low, most.high))
}

/// The face of an emitter in m².
fn face(view: &View<'_>, emitter: FactId, facts: &mut Vec<FactId>) -> Result<Range, Refused> {
    let (height, length) = size(view, emitter, facts)?;
    Ok(spread(height, length))
}

fn size(
    view: &View<'_>,
    emitter: FactId,
    facts: &mut Vec<FactId>,
) -> Result<(Range, Range), Refused> {
    let (height, length) = (
        view.at(emitter, "size.height"),
        view.at(emitter, "size.length"),
    );
    facts.splice(0..0, [height, length]);
    Ok((view.range(height)?, view.range(length)?))
}

/// The product of two ranges that are not negative.
pub fn spread(one: Range, other: Range) -> Range {
    Range::new(one.low * other.low, one.high * other.high)
}

#[expect(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "a count of panels within its physical range"
)]
fn whole(count: f64) -> u32 {
    count.round().max(0.0) as u32
}

pub const TOWEL_RAIL: &str = "ladder towel rail";

/// A row of the table of contents.
///
/// # Panics
/// When there is no such row; the names stand in this folder, and a test works all figures out.
pub fn held(item: &str) -> Range {
    let row = HOLDS.iter().find(|row: &&Holds| row.item == item);
    let row = row.unwrap_or_else(|| panic!("no row `{item}`"));
    Range::new(row.range.low, row.range.high)
}

/// The elements of a recorded list, and whether others may exist.
pub fn elements(view: &View<'_>, list: FactId) -> (Vec<FactId>, bool) {
    let listed: Vec<FactId> = view.facts.elements(list).collect();
    let count = u32::try_from(listed.len()).unwrap_or(u32::MAX);
    let extent = view.facts.extent(list);
    let complete = extent.is_some_and(|extent| extent.is_complete(count));
    (listed, !complete)
}

/// Adds up something of the elements of a list: what is open may be any amount, and so may what is
/// not listed.
pub fn sum(view: &View<'_>, list: FactId, mut of: impl FnMut(FactId) -> Gathered) -> Gathered {
    let (listed, more) = elements(view, list);
    let mut facts = vec![list];
    if listed.is_empty() && more {
        return Gathered {
            range: Err(view.open(list)),
            facts,
        };
    }
    let (mut all, mut refused) = (Range::point(0.0), None);
    let mut some = listed.is_empty();
    for element in listed {
        let one = of(element);
        facts.extend(one.facts);
        some |= one.range.is_ok();
        let range = one.range.unwrap_or_else(|why| {
            refused = Some(why);
            Range::FROM_NOTHING
        });
        all = all.plus(range);
    }
    if more {
        all.high = f64::INFINITY;
    }
    Gathered {
        range: match refused {
            Some(why) if !some => Err(why),
            _ => Ok(all),
        },
        facts,
    }
}

/// The recorded emitters beside what was worked out of them.
fn worked_out(view: &View<'_>) -> (FactId, FactId) {
    let figures = view.at(Facts::ROOT, Vocabulary::FIGURES);
    (
        view.at(Facts::ROOT, "emitters"),
        view.at(figures, "emitters"),
    )
}

/// The water in all emitters.
pub fn all_emitters(view: &View<'_>, _: FactId) -> Gathered {
    let (recorded, list) = worked_out(view);
    let mut all = sum(view, list, |element| {
        let content = view.at(element, "content");
        Gathered {
            range: view.range(content),
            facts: vec![content],
        }
    });
    if all.facts.len() == 1 {
        all.facts = vec![recorded];
    }
    all
}

/// The water in the tails of one emitter.
pub fn tails(view: &View<'_>, emitter: FactId) -> Gathered {
    let (bore, length) = (
        view.at(emitter, "tails.bore"),
        view.at(emitter, "tails.length"),
    );
    let held = || -> Result<Range, Refused> {
        let (bore, length) = (view.range(bore)?, view.range(length)?);
        let least = pipe::content(bore.low, length.low)?;
        Ok(Range::new(least, pipe::content(bore.high, length.high)?))
    };
    Gathered {
        range: held(),
        facts: vec![bore, length],
    }
}

/// The water in the tails of all emitters.
pub fn all_tails(view: &View<'_>, survey: FactId) -> Gathered {
    let list = view.at(survey, "emitters");
    sum(view, list, |emitter| tails(view, emitter))
}

/// The panels of all emitters.
pub fn all_panels(view: &View<'_>, survey: FactId) -> Gathered {
    let list = view.at(survey, "emitters");
    sum(view, list, |emitter| {
        let panels = view.at(emitter, "panels");
        Gathered {
            range: view.range(panels),
            facts: vec![panels],
        }
    })
}

/// How many emitters there are.
pub fn count(view: &View<'_>, survey: FactId) -> Gathered {
    let list = view.at(survey, "emitters");
    let range = match view.facts.extent(list) {
        Some(extent) => {
            let most = extent.most.map_or(f64::INFINITY, f64::from);
            Range::new(f64::from(extent.least), most)
        }
        None => Range::FROM_NOTHING,
    };
    Gathered {
        range: Ok(range),
        facts: vec![list],
    }
}

/// The water of emitters and tails that stands above the machine and can run back into its tank.
pub fn above_machine(view: &View<'_>, survey: FactId) -> Gathered {
    let storey = view.at(survey, "machine.storey");
    let machine = view.range_or(storey, Range::new(f64::NEG_INFINITY, f64::INFINITY));
    let (recorded, list) = worked_out(view);
    let pairs: Vec<(FactId, FactId)> = view
        .facts
        .elements(recorded)
        .zip(view.facts.elements(list))
        .collect();
    let of = |emitter: FactId| {
        let floor = view.at(emitter, "floor");
        let at = view.range_or(floor, Range::new(f64::NEG_INFINITY, f64::INFINITY));
        if at.high < machine.low {
            return Gathered::nothing(vec![floor]);
        }
        // Elements of a list stand in the order of their places.
        let pair = pairs.binary_search_by_key(&emitter, |(one, _)| *one);
        let content = pair.map_or(floor, |at| view.at(pairs[at].1, "content"));
        let tails = tails(view, emitter);
        let held = view.range(content).map(|content| {
            let tails = tails.range.clone().unwrap_or(Range::FROM_NOTHING);
            let all = content.plus(tails);
            // On the machine's own floor a part of it stands above the rim; nobody can say how much.
            Range::new(if at.low > machine.high { all.low } else { 0.0 }, all.high)
        });
        let mut facts = vec![floor, content];
        facts.extend(tails.facts);
        Gathered { range: held, facts }
    };
    let mut all = sum(view, recorded, of);
    all.facts.insert(0, storey);
    all
}

/// How many floors the highest emitter stands above the machine.
pub fn floors_above(view: &View<'_>, survey: FactId) -> Gathered {
    let (storey, list) = (
        view.at(survey, "machine.storey"),
        view.at(survey, "emitters"),
    );
    let (listed, more) = elements(view, list);
    let mut facts = vec![storey, list];
    let mut top = Range::new(f64::NEG_INFINITY, f64::NEG_INFINITY);
    let mut open = more || listed.is_empty();
    for emitter in listed {
        let floor = view.at(emitter, "floor");
        facts.push(floor);
        match view.range(floor) {
            Ok(at) => top = Range::new(top.low.max(at.low), top.high.max(at.high)),
            Err(_) => open = true,
        }
    }
    if open {
        // The floors of a building are counted from the ground, so none stands above the last.
        let storeys = view.at(survey, "premises.storeys");
        facts.push(storeys);
        let last = view.range_or(storeys, Range::FROM_NOTHING).high - 1.0;
        top.high = top.high.max(last);
    }
    let range = match (
        view.range(storey),
        top.low.is_finite() || top.high.is_finite(),
    ) {
        (Err(why), _) => Err(why),
        (_, false) => Err(Refused::from("the floor of no emitter is known")),
        (Ok(at), true) => Ok(Range::new(top.low - at.high, top.high - at.low)),
    };
    Gathered { range, facts }
}
