//! Which point of connection is best, for rules.
//!
//! Contract: a point is best only where that is certain for every house within the ranges: see
//! [`never_slower`]. Which is best at the middle of the ranges, for people, is told by
//! [`connect`](super::connect).

use super::connect::never_slower;
use super::points::{AVAILABLE, LISTS, POINTS};
use super::rows::elsewhere;
use super::{House, Point, read};
use crate::figures::range::Range;
use crate::figures::table::{Figure, Refused, Runs, Work, Yields, gathered, source};
use crate::figures::view::{Gathered, View};
use wetside_base::facts::{FactId, Facts, each_once};
use wetside_base::vocabulary::Vocabulary;
use wetside_units::Kind;

const CONNECTED: &str = "machine.connected_at";

/// Figures that are gathered from the figures of the points, and from one another.
pub const OF_POINTS: [&str; 1] = ["best_point_gain"];

pub const FIGURES: &[Figure] = &[
    Figure {
        name: "best_point",
        yields: Yields::Word(POINTS),
        says: "The point of those available from which the slowest branch on its own is fastest, where \
               that is certain for every house within the ranges.",
        formula: "the point whose joint, at its worst, loses no more than every other joint at its best, \
                  and round which no more water passes the branches by",
        source: source(
            "energy balance of houses that differ in the joint alone",
            "arithmetic",
        ),
        inputs: &[gathered(
            "i",
            "its place in the trade's order of preference, counted from 1",
            Kind::Number,
            best,
            Runs::Up,
        )],
        work: Work::Chosen(|ranges| {
            let at = Point::at(ranges[0].low).ok_or_else(elsewhere)?;
            Ok(at.words())
        }),
    },
    Figure {
        name: "best_point_gain",
        yields: Yields::Quantity(Kind::Number),
        says: "How many times as fast the slowest branch is from the best point as from where the machine \
               is connected: 1 where that is the best.",
        formula: "g = v_best/v_here, at least 1",
        source: source(
            "a quotient; both ranges are taken as if they had nothing in common",
            "arithmetic",
        ),
        inputs: &[
            gathered(
                "v_best",
                "least speed of a branch from the best point",
                Kind::Velocity,
                at_best,
                Runs::Up,
            ),
            gathered(
                "v_here",
                "least speed of a branch from the point where the machine is",
                Kind::Velocity,
                here,
                Runs::Down,
            ),
        ],
        work: Work::Formula(|values| match values[1] > 0.0 {
            true => Ok((values[0] / values[1]).max(1.0)),
            false => Ok(f64::INFINITY),
        }),
    },
];

impl Point {
    /// By its place in the trade's order of preference, counted from 1.
    fn at(place: f64) -> Option<Point> {
        let mut all = (1_u8..).zip(read::POINTS);
        all.find(|(at, _)| f64::from(*at) == place)
            .map(|(_, point)| point)
    }

    fn place(self) -> f64 {
        let mut all = (1_u8..).zip(read::POINTS);
        all.find(|(_, point)| *point == self)
            .map_or(f64::NAN, |(at, _)| f64::from(at))
    }
}

/// The best of the points, by its place.
fn best(view: &View<'_>, survey: FactId) -> Gathered {
    let available = view.at(survey, AVAILABLE);
    let mut facts = vec![available];
    let range = find_best(view, available, &mut facts).map(|point| Range::point(point.place()));
    Gathered {
        range,
        facts: each_once(facts),
    }
}

fn find_best(
    view: &View<'_>,
    available: FactId,
    facts: &mut Vec<FactId>,
) -> Result<Point, Refused> {
    let (sure, perhaps) = view.set(available).ok_or_else(|| view.open(available))?;
    let mut houses: Vec<House> = Vec::new();
    for point in perhaps.into_iter().filter_map(read::point) {
        match read::house_at(view, false, point) {
            Ok(reading) => {
                houses.push(reading.house);
                facts.extend(reading.common);
            }
            Err(none) => {
                facts.extend(none.facts);
                return Err(none.why);
            }
        }
    }
    houses.sort_by_key(|house| house.joint.point);
    let sure: Vec<Point> = sure.into_iter().filter_map(read::point).collect();
    let mut able = houses
        .iter()
        .filter(|house| sure.contains(&house.joint.point));
    let best = able.find(|one| {
        let mut others = houses.iter();
        others.all(|other| other.joint.point == one.joint.point || never_slower(one, other))
    });
    let best = best.ok_or_else(|| {
        Refused::from(match houses.is_empty() {
            true => "no point of connection is available",
            false => "within the ranges of the joints now one point may be the best, now another",
        })
    });
    best.map(|house| house.joint.point)
}

/// The least speed from the best point.
fn at_best(view: &View<'_>, survey: FactId) -> Gathered {
    let best = view.at(survey, "figure.best_point");
    named(view, best)
}

/// The least speed from where the machine is.
fn here(view: &View<'_>, survey: FactId) -> Gathered {
    named(view, view.at(survey, CONNECTED))
}

/// The least speed from the point that a fact names.
fn named(view: &View<'_>, id: FactId) -> Gathered {
    match view.word(id) {
        Some(word) => speed_at(view, word, id),
        None => Gathered {
            range: Err(view.open(id)),
            facts: vec![id],
        },
    }
}

fn speed_at(view: &View<'_>, point: &str, named: FactId) -> Gathered {
    let mut facts = vec![named];
    let list = view.at(Facts::ROOT, Vocabulary::FIGURES);
    let list = view.at(list, LISTS[0].name);
    let mut elements = view.facts.elements(list);
    let there = elements.find(|element| view.facts.text(view.at(*element, "id")) == Some(point));
    let range = match there {
        Some(element) => {
            let speed = view.at(element, "least_speed");
            facts.push(speed);
            view.range(speed)
        }
        None => Err(Refused::from(
            "the machine is connected at a point that is not among those available",
        )),
    };
    Gathered { range, facts }
}
