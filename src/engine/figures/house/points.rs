//! The figures of each point at which the machine could join the circuit, alone and with everything open.
//!
//! Contract: `figure.connections` has an element for each point that the survey says is available. All
//! points stand for one house; what the survey says of the connection holds for the point where the
//! machine is, the conventions of the joint for the others. The longest run and the floor are the
//! same from each, since a survey records them once.

use super::alone::branches;
use super::connect::{Open, least_speed, weakest_height, with_all_open};
use super::convention;
use super::read::{self, NoHouse, Reading};
use super::rows::{CURVE, LAW, LONGEST_RUN, MAIN_BORE, RATED_FLOW, SHUT_OFF, elsewhere, usual};
use super::{House, Point};
use crate::figures::list::{self, FigureList};
use crate::figures::range::Range;
use crate::figures::table::{Figure, Input, Refused, Runs, Work, Yields};
use crate::figures::view::View;
use crate::figures::wanted::Wanted;
use wetside_base::facts::{Content, FactId, Facts, Value, Why, each_once};
use wetside_base::vocabulary::Vocabulary;
use wetside_units::{Kind, Quantity};

/// The set of words that the list goes by.
pub const AVAILABLE: &str = "machine.points_available";

/// The points in the trade's order of preference.
pub const POINTS: &[&str] = &[
    Point::PumpHousing.words(),
    Point::FilterAdapter.words(),
    Point::HeatSource.words(),
    Point::Manifold.words(),
    Point::RadiatorTails.words(),
];

/// Figures of a point that take the network with everything open, which costs most.
pub const ALL_OPEN: [&str; 3] = ["main_speed", "machine_flow", "weakest_pressure"];

pub const LISTS: &[FigureList] = &[FigureList {
    name: "connections",
    says: "Each point at which the machine could be connected: the same house, flushed from there.",
    of: AVAILABLE,
    fields: &[
        row(
            "point",
            Yields::Word(POINTS),
            "The point.",
            "a word of `machine.points_available`",
        ),
        row(
            "least_speed",
            Yields::Quantity(Kind::Velocity),
            "The speed in the tails of the branch that is slowest on its own.",
            "v = min over the branches of `alone_speed`, with the joint at this point",
        ),
        row(
            "main_speed",
            Yields::Quantity(Kind::Velocity),
            "The speed in the busiest main at the connection with everything open.",
            "v = q_main/(π D²/4), the network solved with the joint at this point",
        ),
        row(
            "machine_flow",
            Yields::Quantity(Kind::VolumeFlow),
            "The machine's flow with everything open.",
            "q where H_0 (1 − (q/q_0)^n) = h(hoses) + h(joint) + h(network)",
        ),
        row(
            "weakest_pressure",
            Yields::Quantity(Kind::GaugePressure),
            "The pressure in the lowest parts with everything open, on the machine's pressure side.",
            "p = ρ g (level in the tank + head where the mains begin − height), the height that of the \
             lowest floor, or of the ground floor if that is lower",
        ),
    ],
}];

const INPUTS: &[Input] = &[
    SHUT_OFF,
    RATED_FLOW,
    MAIN_BORE,
    LONGEST_RUN,
    CURVE,
    usual(
        "d_j",
        convention::JOINT_BORE.says,
        Kind::Length,
        &convention::JOINT_BORE,
        Runs::Up,
    ),
    usual(
        "ζ_j",
        convention::JOINT_LOSS.says,
        Kind::Number,
        &convention::JOINT_LOSS,
        Runs::Down,
    ),
];

const fn row(
    name: &'static str,
    yields: Yields,
    says: &'static str,
    formula: &'static str,
) -> Figure {
    Figure {
        name,
        yields,
        says,
        formula,
        source: LAW,
        inputs: INPUTS,
        work: Work::Bounded {
            at: |_| Err(elsewhere()),
            bounds: |_| Err(elsewhere()),
            method: "two solutions of each branch, with everything for it and everything against it",
        },
    }
}

/// Works out every point and fills the facts that are wanted of it.
pub fn derive(facts: &mut Facts, vocabulary: &Vocabulary, group: FactId, wanted: &Wanted) {
    for connections in LISTS {
        let asked = |figure: &&Figure| wanted.has_of_elements(connections.name, figure.name);
        let asked: Vec<&Figure> = connections.fields.iter().filter(asked).collect();
        let open = asked.iter().any(|figure| ALL_OPEN.contains(&figure.name));
        for (_, element) in list::lay_out(facts, vocabulary, group, connections) {
            let view = View { facts, vocabulary };
            let id = view.at(element, "id");
            let named = facts.text(id).and_then(read::point);
            let Some(point) = named else {
                continue;
            };
            let found = Found::at(&view, point, open);
            for figure in &asked {
                let view = View { facts, vocabulary };
                let id = view.at(element, figure.name);
                let content = found
                    .content(vocabulary, figure)
                    .unwrap_or_else(|why| Content::Open(Why::NotWorkedOut(why.0)));
                facts.work_out(id, content, found.behind.clone());
            }
        }
    }
}

/// What was found of a point.
struct Found {
    point: Point,
    least_speed: Result<Range, Refused>,
    open: Result<Open, Refused>,
    behind: Vec<FactId>,
}

impl Found {
    fn at(view: &View<'_>, point: Point, open: bool) -> Found {
        let available = view.at(Facts::ROOT, AVAILABLE);
        let mut behind = vec![available];
        let reading = read::house_at(view, false, point);
        let (least_speed, open) = match reading {
            Err(NoHouse { why, facts }) => {
                behind.extend(facts);
                (Err(why.clone()), Err(why))
            }
            Ok(Reading {
                house, common, own, ..
            }) => {
                behind.extend(own.into_iter().flatten().chain(common));
                let open = match open {
                    true => all_open(&house),
                    false => Err(elsewhere()),
                };
                (slowest(&house), open)
            }
        };
        Found {
            point,
            least_speed,
            open,
            behind: each_once(behind),
        }
    }

    fn content(&self, vocabulary: &Vocabulary, figure: &Figure) -> Result<Content, Refused> {
        let Yields::Quantity(kind) = figure.yields else {
            let word = vocabulary.word_id(self.point.words());
            return word
                .map(|word| Content::Known(Value::Word(word)))
                .ok_or_else(elsewhere);
        };
        let open = || self.open.as_ref().map_err(Clone::clone);
        let range = match figure.name {
            "least_speed" => self.least_speed.clone()?,
            "main_speed" => open()?.main_speed,
            "machine_flow" => open()?.machine_flow,
            _ => open()?.at_weakest,
        };
        let interval = range.to_interval(kind);
        let interval = interval.ok_or_else(|| Refused::from("its numbers are too large"))?;
        Ok(Content::Known(Value::Quantity(Box::new(
            Quantity::computed(kind, interval),
        ))))
    }
}

/// In °C.
const LIQUID: Range = Range::new(0.0, 100.0);

/// The point with everything open. Which legs there are depends on the emitters and their floors.
fn all_open(house: &House) -> Result<Open, Refused> {
    if house.more {
        return Err(Refused::from(
            "emitters that are not listed may be open too",
        ));
    }
    if house.floors().is_none() {
        return Err(Refused::from(
            "the floor of every emitter is needed, and not all are known",
        ));
    }
    // The flows of a network turn between laminar and turbulent, where whoever knows the water better
    // could move an end outwards. At the ends of all that water may be, nothing moves.
    let mut anywhere = house.clone();
    anywhere.celsius = LIQUID;
    let height = weakest_height(&anywhere, true);
    with_all_open(&anywhere, height).map_err(|none| Refused(none.to_string()))
}

/// The speed of the slowest branch of those listed; what else there is may be slower still.
fn slowest(house: &House) -> Result<Range, Refused> {
    let (_, speed) = least_speed(&branches(house)?)
        .ok_or_else(|| Refused::from("no emitter is recorded whose branch could be looked at"))?;
    Ok(match house.more {
        true => Range::new(0.0, speed.high),
        false => speed,
    })
}
