//! What emitters, their tails and the vessels of a house hold.
//!
//! The error of a panel radiator's content is common to all radiators of a house and does not average
//! out, so ranges are added end to end. A list that may hold more than it names has no upper end.

use super::list::{self, FigureList};
use super::survey::{self, EmitterKind};
use super::table::{figures, gathered, source};
use super::view::{Gathered, Refused, View};
use super::work;
use wetside_base::facts::{FactId, Facts};
use wetside_house::{Range, convention};
use wetside_physics::content::panel_radiator;
use wetside_physics::pipe;
use wetside_units::Kind;

pub(super) static LIST: FigureList = FigureList {
    name: "emitters",
    says: "What each radiator, towel rail and convector holds.",
    of: survey::EMITTERS,
    fields: figures! {
        "content": Volume,
            "The water that it holds, make and age unknown.";
            "panel radiator: V = n L (0.25 + 4.8 H) litres, −20 to +45 %; towel rail: 6 to 12 L/m² of its \
             face; column radiator: 15 to 85 L/m²; convector: 0.5 to 4 L",
            source("a fit to catalogue values; column radiators by 0.45 to 3 L a section of 46 to 60 mm",
                "from memory");
            [gathered("V", "its content by kind and size", Kind::Volume, content)]
            => { |held| held };
    },
    derive: |facts, vocabulary, asked| {
        list::derive(
            facts,
            vocabulary,
            &LIST,
            asked,
            |view, _, emitter, figure| work::out(view, emitter, figure),
        );
    },
};

/// The figure that all of it is for.
pub(super) const CONTENT: &str = "content";

/// Litres a square metre of face, least and most, of a column radiator of steel or cast iron.
const COLUMN: Range = Range::new(0.015, 0.085);
/// What a convector holds, least and most.
const CONVECTOR: Range = Range::new(0.0005, 0.004);

/// The water of one emitter.
fn content(view: &View<'_>, emitter: FactId) -> Gathered {
    let (kind, what) = view.choice(emitter, &survey::EMITTER_KIND);
    let [panels, height, length] =
        [survey::PANELS, survey::HEIGHT, survey::LENGTH].map(|path| view.at(emitter, path));
    let face = |holds: Range| {
        Ok(view
            .range(height)?
            .product(view.range(length)?)
            .product(holds))
    };
    let (range, facts) = match what {
        Some(EmitterKind::Panel) => (
            panel_content(view, panels, height, length),
            vec![height, length, panels, kind],
        ),
        Some(EmitterKind::TowelRail) => (
            face(convention::TOWEL_RAIL.range),
            vec![height, length, kind],
        ),
        Some(EmitterKind::Column) => (face(COLUMN), vec![height, length, kind]),
        Some(EmitterKind::Convector) => (Ok(CONVECTOR), vec![kind]),
        None => (Err(view.open(kind)), vec![kind]),
    };
    Gathered { range, facts }
}

fn panel_content(
    view: &View<'_>,
    panels: FactId,
    height: FactId,
    length: FactId,
) -> Result<Range, Refused> {
    let (height, length) = (view.range(height)?, view.range(length)?);
    let count = view.range(panels)?;
    let least = panel_radiator(count.low, height.low, length.low)?;
    let most = panel_radiator(count.high, height.high, length.high)?;
    Ok(Range::new(least.low, most.high))
}

/// The elements of a recorded list, and whether others may exist.
pub(super) fn elements(view: &View<'_>, list: FactId) -> (Vec<FactId>, bool) {
    let listed: Vec<FactId> = view.facts.elements(list).collect();
    let count = u32::try_from(listed.len()).unwrap_or(u32::MAX);
    let extent = view.facts.extent(list);
    let complete = extent.is_some_and(|extent| extent.is_complete(count));
    (listed, !complete)
}

/// Adds up something of the elements of a list: what is open may be any amount, and so may what is
/// not listed.
pub(super) fn sum(
    view: &View<'_>,
    list: FactId,
    mut of: impl FnMut(FactId) -> Gathered,
) -> Gathered {
    let (listed, more) = elements(view, list);
    let mut facts = vec![list];
    if listed.is_empty() && more {
        return Gathered::refused(view.open(list), facts);
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
    (
        view.at(Facts::ROOT, survey::EMITTERS),
        view.figure(LIST.name),
    )
}

/// The water in all emitters.
pub(super) fn all_emitters(view: &View<'_>, _: FactId) -> Gathered {
    let (recorded, list) = worked_out(view);
    let mut all = sum(view, list, |element| view.taken(element, CONTENT));
    if all.facts.len() == 1 {
        all.facts = vec![recorded];
    }
    all
}

/// The water in the tails of one emitter.
fn tails(view: &View<'_>, emitter: FactId) -> Gathered {
    let [bore, length] =
        [survey::TAIL_BORE, survey::TAIL_LENGTH].map(|path| view.at(emitter, path));
    Gathered::by(vec![bore, length], || {
        let (bore, length) = (view.range(bore)?, view.range(length)?);
        let least = pipe::content(bore.low, length.low)?;
        Ok(Range::new(least, pipe::content(bore.high, length.high)?))
    })
}

/// The water in the tails of all emitters.
pub(super) fn all_tails(view: &View<'_>, root: FactId) -> Gathered {
    let list = view.at(root, survey::EMITTERS);
    sum(view, list, |emitter| tails(view, emitter))
}

/// The panels of all emitters. Of others than panel radiators nobody is asked for any.
pub(super) fn all_panels(view: &View<'_>, root: FactId) -> Gathered {
    let list = view.at(root, survey::EMITTERS);
    sum(view, list, |emitter| {
        let mut panels = view.taken(emitter, survey::PANELS);
        let (kind, what) = view.choice(emitter, &survey::EMITTER_KIND);
        if panels.range.is_err() && what.is_some_and(|what| what != EmitterKind::Panel) {
            panels.range = Err("not every emitter is a panel radiator".into());
            panels.facts = vec![kind];
        }
        panels
    })
}

/// How many emitters there are.
pub(super) fn count(view: &View<'_>, root: FactId) -> Gathered {
    let list = view.at(root, survey::EMITTERS);
    let extent = view.facts.extent(list);
    let range = extent.map_or(Range::FROM_NOTHING, |extent| {
        let most = extent.most.map_or(f64::INFINITY, f64::from);
        Range::new(f64::from(extent.least), most)
    });
    Gathered::of(range, vec![list])
}

/// The water of emitters and tails that stands above the level in the machine's tank. Which part of the
/// circuit lies lowest nobody records, so the machine's height above it places no emitter.
pub(super) fn above_machine(view: &View<'_>, root: FactId) -> Gathered {
    let anywhere = Range::new(f64::NEG_INFINITY, f64::INFINITY);
    let storey = view.at(root, survey::MACHINE_STOREY);
    let machine = view.range_or(storey, anywhere);
    let (recorded, list) = worked_out(view);
    let mut worked_out = view.facts.elements(list);
    let of = |emitter: FactId| {
        let element = worked_out.next();
        let floor = view.at(emitter, survey::EMITTER_FLOOR);
        let at = view.range_or(floor, anywhere);
        if at.high < machine.low {
            return Gathered::nothing(vec![floor]);
        }
        let content = element.map_or(floor, |element| view.at(element, CONTENT));
        let mut facts = vec![floor, content];
        let shares = if at.low > machine.high {
            [Range::point(1.0); 2]
        } else {
            // Where it may stand on a lower floor nothing may run back, and all of it from a higher one.
            beside_machine(view, emitter, &mut facts).map(|share| {
                let least = if at.low >= machine.high {
                    share.low
                } else {
                    0.0
                };
                let most = if at.high <= machine.low {
                    share.high
                } else {
                    1.0
                };
                Range::new(least, most)
            })
        };
        let tails = tails(view, emitter);
        let in_tails = tails.range.unwrap_or(Range::FROM_NOTHING);
        let range = view.range(content).map(|content| {
            let part = |all: Range, share: Range| match share.high {
                0.0 => share,
                _ => all.product(share),
            };
            part(content, shares[0]).plus(part(in_tails, shares[1]))
        });
        facts.extend(tails.facts);
        Gathered { range, facts }
    };
    let mut all = sum(view, recorded, of);
    all.facts.insert(0, storey);
    let measured = view.at(root, survey::MEASURED_VOLUME);
    if let (Ok(above), Ok(total)) = (&mut all.range, view.range(measured)) {
        // The whole circuit holds no less than its parts.
        above.high = above.high.min(total.high).max(above.low);
        all.facts.push(measured);
    }
    all
}

/// Which shares of an emitter and of its tails stand above the level in the tank of a machine on the same
/// floor. Tails that come up from the floor end at its foot.
fn beside_machine(view: &View<'_>, emitter: FactId, facts: &mut Vec<FactId>) -> [Range; 2] {
    let (kind, what) = view.choice(emitter, &survey::EMITTER_KIND);
    let (fed, drop_feed) = view.choice(emitter, &survey::DROP_FEED);
    let height = view.at(emitter, survey::HEIGHT);
    facts.extend([kind, height]);
    let any = Range::new(0.0, 1.0);
    let foot = match what {
        Some(EmitterKind::Panel | EmitterKind::Column) => convention::FOOT_OF_EMITTER.range,
        Some(EmitterKind::TowelRail) => convention::FOOT_OF_TOWEL_RAIL.range,
        // Some hang under the ceiling.
        Some(EmitterKind::Convector) | None => return [any, any],
    };
    let level = convention::TANK_LEVEL.range;
    let above = |high: f64, foot: f64, level: f64| ((foot + high - level) / high).clamp(0.0, 1.0);
    let body = view.range(height).map_or(any, |high| {
        Range::new(
            above(high.low, foot.low, level.high),
            above(high.high, foot.high, level.low),
        )
    });
    let below = drop_feed == Some(false) && foot.high <= level.low;
    facts.extend(below.then_some(fed));
    [body, if below { Range::point(0.0) } else { any }]
}

/// How many floors the highest emitter stands above the machine.
pub(super) fn floors_above(view: &View<'_>, root: FactId) -> Gathered {
    let [storey, list] = [survey::MACHINE_STOREY, survey::EMITTERS].map(|path| view.at(root, path));
    let (listed, more) = elements(view, list);
    let mut facts = vec![storey, list];
    let mut top = Range::new(f64::NEG_INFINITY, f64::NEG_INFINITY);
    let mut open = more || listed.is_empty();
    for emitter in listed {
        let floor = view.at(emitter, survey::EMITTER_FLOOR);
        facts.push(floor);
        match view.range(floor) {
            Ok(at) => top = Range::new(top.low.max(at.low), top.high.max(at.high)),
            Err(_) => open = true,
        }
    }
    if open {
        // The floors of a building are counted from the ground, so none stands above the last.
        let storeys = view.at(root, survey::STOREYS);
        facts.push(storeys);
        let last = view.range_or(storeys, Range::FROM_NOTHING).high - 1.0;
        top.high = top.high.max(last);
    }
    let range = view.range(storey).and_then(|at| {
        if top.low.is_finite() || top.high.is_finite() {
            Ok(Range::new(top.low - at.high, top.high - at.low))
        } else {
            Err(Refused::from("the floor of no emitter is known"))
        }
    });
    Gathered { range, facts }
}
