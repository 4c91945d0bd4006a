//! The figures of each point at which the machine could join the circuit, alone and with everything
//! open, and which of the points is best, for rules.
//!
//! Contract: `figure.connections` has an element for each point that the survey says is available. All
//! points stand for one house; what the survey says of the connection holds for the point where the
//! machine is, the conventions of the joint for the others. The longest run and the floor are the
//! same from each, since a survey records them once. A point is best only where that is certain for
//! every house within the ranges; which is best at the middle of them, for people, is told elsewhere.

use super::branches::{CURVE, LONGEST_RUN, MAIN_BORE, RATED_FLOW, SHUT_OFF};
use super::read::{self, Reading};
use crate::figures::list::{self, FigureList};
use crate::figures::survey;
use crate::figures::table::{Figure, Input, Work, figures, gathered, source, usual};
use crate::figures::view::{Gathered, Held, Refused, View};
use crate::figures::work;
use wetside_base::facts::{FactId, Facts, each_once};
use wetside_base::vocabulary::Vocabulary;
use wetside_house::{
    House, MOST_OPEN, Point, Range, WithAllOpen, branches, convention, least_speed, never_slower,
    weakest_height, with_all_open,
};
use wetside_units::Kind;

/// The points in the trade's order of preference.
const POINTS: &[&str] = survey::CONNECTED_AT.names;

/// Figures of a point that take the network with everything open, which costs most.
pub(crate) const ALL_OPEN: [&str; 3] = ["main_speed", "machine_flow", "weakest_pressure"];

/// Figures of the survey that are gathered from the figures of the points, and from one another.
pub(crate) const OF_POINTS: [&str; 1] = ["best_point_gain"];

pub(crate) static LIST: FigureList = FigureList {
    name: "connections",
    says: "Each point at which the machine could be connected: the same house, flushed from there.",
    of: survey::POINTS_AVAILABLE.path,
    fields: OF_EACH,
    derive,
};

of_house! {
    at: AtPoint, INPUTS,
        "two solutions of each branch, with everything for it and everything against it";
    "point": word POINTS,
        "The point.";
        "a word of `machine.points_available`"
        => survey::word_of(at.point);
    "least_speed": Velocity,
        "The speed in the tails of the branch that is slowest on its own.";
        "v = min over the branches of `alone_speed`, with the joint at this point"
        => at.least_speed.clone()?;
    "main_speed": Velocity,
        "The speed in the busiest main at the connection with everything open.";
        "v = q_main/(π D²/4), the network solved with the joint at this point"
        => at.open.clone()?.main_speed;
    "machine_flow": VolumeFlow,
        "The machine's flow with everything open.";
        "q where H_0 (1 − (q/q_0)^n) = h(hoses) + h(joint) + h(network)"
        => at.open.clone()?.machine_flow;
    "weakest_pressure": GaugePressure,
        "The pressure in the lowest parts with everything open, on the machine's pressure side.";
        "p = ρ g (level in the tank + head where the mains begin − height), the height that of the \
         lowest floor, or of the ground floor if that is lower"
        => at.open.clone()?.at_weakest;
}

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
    ),
    usual(
        "ζ_j",
        convention::JOINT_LOSS.says,
        Kind::Number,
        &convention::JOINT_LOSS,
    )
    .down(),
];

/// Works out every point and fills what is asked of it.
fn derive(facts: &mut Facts, vocabulary: &Vocabulary, asked: &[&Figure]) {
    let open = asked.iter().any(|figure| ALL_OPEN.contains(&figure.name));
    let view = View { facts, vocabulary };
    let (_, available) = view.choices(&survey::POINTS_AVAILABLE);
    let (sure, _) = available.unwrap_or_default();
    let all: Vec<AtPoint> = sure
        .into_iter()
        .map(|point| AtPoint::of(&view, point, open))
        .collect();
    list::derive(facts, vocabulary, &LIST, asked, |_, nth, _, figure| {
        let found = read_off(&all[nth], figure.name);
        (
            work::content(vocabulary, figure, found),
            all[nth].behind.clone(),
        )
    });
}

/// What was found of a point.
pub(super) struct AtPoint {
    point: Point,
    least_speed: Result<Range, Refused>,
    open: Result<WithAllOpen, Refused>,
    behind: Vec<FactId>,
}

impl AtPoint {
    fn of(view: &View<'_>, point: Point, open: bool) -> AtPoint {
        let mut behind = vec![view.at(Facts::ROOT, survey::POINTS_AVAILABLE.path)];
        let Reading {
            house, common, own, ..
        } = read::house(view, false, Some(point));
        behind.extend(own.into_iter().flatten().chain(common));
        let house = house.as_ref().map_err(Clone::clone);
        let least_speed = house.clone().and_then(slowest);
        let open = match house {
            Ok(_) if !open => Err("nobody asked for it".into()),
            house => house.and_then(all_open),
        };
        AtPoint {
            point,
            least_speed,
            open,
            behind: each_once(behind),
        }
    }
}

/// In °C.
const LIQUID: Range = Range::new(0.0, 100.0);

/// The point with everything open. Which legs there are depends on the emitters and their floors.
fn all_open(house: &House) -> Result<WithAllOpen, Refused> {
    if house.more && house.emitters.len() <= MOST_OPEN {
        return Err("emitters that are not listed may be open too".into());
    }
    if !house.floors_are_known() {
        return Err("the floor of every emitter is needed, and not all are known".into());
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
    let speed = listed_slowest(house)?;
    let least = if house.more { 0.0 } else { speed.low };
    Ok(Range::new(least, speed.high))
}

/// The same without regard to what else there is.
pub(super) fn listed_slowest(house: &House) -> Result<Range, Refused> {
    let slowest = least_speed(&branches(house)?).map(|(_, speed)| speed);
    slowest.ok_or_else(|| "no emitter is recorded whose branch could be looked at".into())
}

pub(crate) const FIGURES: &[Figure] = figures! {
    "best_point": word POINTS,
        "The point of those available from which the slowest branch on its own is fastest, where that is \
         certain for every house within the ranges.";
        "the point whose joint, at its worst, loses no more than every other joint at its best, and \
         round which no more water passes the branches by",
        source("energy balance of houses that differ in the joint alone", "arithmetic");
        [
            gathered("i", "its place in the trade's order of preference, counted from 1", Kind::Number, best),
        ]
        => { Work::Chosen(|ranges| {
            let mut all = (1_u8..).zip(Point::ALL);
            let named = all.find(|(place, _)| f64::from(*place) == ranges[0].low);
            named
                .map(|(_, point)| survey::word_of(point))
                .ok_or_else(|| "there is no such point".into())
        }) };

    "best_point_gain": Number,
        "How many times as fast the slowest branch is from the best point as from where the machine is \
         connected: 1 where that is the best.";
        "g = v_best/v_here, at least 1",
        source("a quotient; both ranges are taken as if they had nothing in common", "arithmetic");
        [
            gathered("v_best", "least speed of a branch from the best point", Kind::Velocity,
                |view, _| speed_at(view, view.figure("best_point"))),
            gathered("v_here", "least speed of a branch from the point where the machine is", Kind::Velocity,
                |view, root| speed_at(view, view.at(root, survey::CONNECTED_AT.path))).down(),
        ]
        => { |best, here| if here > 0.0 { (best / here).max(1.0) } else { f64::INFINITY } };
};

/// The best of the points, by its place.
fn best(view: &View<'_>, _: FactId) -> Gathered {
    let (available, points) = view.choices(&survey::POINTS_AVAILABLE);
    let mut facts = vec![available];
    let points = points.ok_or_else(|| view.open(available));
    let range = points.and_then(|points| find_best(view, points, &mut facts));
    Gathered::by(each_once(facts), || range)
}

fn find_best(
    view: &View<'_>,
    (sure, perhaps): Held<Point>,
    facts: &mut Vec<FactId>,
) -> Result<Range, Refused> {
    let mut houses: Vec<House> = Vec::new();
    for point in perhaps {
        let reading = read::house(view, false, Some(point));
        facts.extend(reading.common);
        houses.push(reading.house?);
    }
    houses.sort_by_key(|house| house.joint.point);
    let mut able = houses
        .iter()
        .filter(|house| sure.contains(&house.joint.point));
    let best = able.find(|one| {
        let mut others = houses.iter();
        others.all(|other| other.joint.point == one.joint.point || never_slower(one, other))
    });
    let mut places = (1_u8..).zip(Point::ALL);
    let place = best.and_then(|best| places.find(|(_, point)| *point == best.joint.point));
    let place = place.map(|(place, _)| Range::point(f64::from(place)));
    place.ok_or_else(|| {
        Refused::from(if houses.is_empty() {
            "no point of connection is available"
        } else {
            "within the ranges of the joints now one point may be the best, now another"
        })
    })
}

/// The least speed from the point that a fact names.
fn speed_at(view: &View<'_>, named: FactId) -> Gathered {
    let Some(point) = view.word(named) else {
        return Gathered::refused(view.open(named), vec![named]);
    };
    let mut elements = view.facts.elements(view.figure(LIST.name));
    let called = |element: &FactId| view.facts.text(view.at(*element, survey::ID));
    if let Some(element) = elements.find(|element| called(element) == Some(point)) {
        let mut speed = view.taken(element, "least_speed");
        speed.facts.insert(0, named);
        speed
    } else {
        let why = "the machine is connected at a point that is not among those available";
        Gathered::refused(why, vec![named])
    }
}
