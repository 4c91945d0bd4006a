//! The points where the machine may join the circuit, compared in numbers.
//!
//! Contract: each point is the same house with another joint. The longest run is taken to be the same
//! from each, since a survey records it once. A point is better the faster its slowest branch alone.
//! All points share one house, so which is best is told with everything but the joints at the middle
//! of its range; it is best *clearly* only when no other joint may then be as fast. The trade has an
//! order of preference of its own ([`Point`]), which stands beside the numbers and does not enter them.

use crate::all_open::with_all_open;
use crate::alone::{Branch, branches};
use crate::model::{House, Joint, Layout, Point};
use crate::opened::WithAllOpen;
use crate::range::Range;
use crate::series::{End, valve_loss};
use wetside_physics::{GRAVITY, OutOfRange};

/// What a point of connection would give.
#[derive(Clone, Debug, PartialEq)]
pub struct Connection {
    pub point: Point,
    /// The emitter whose branch alone may be the slowest, and the speed of the slowest, in m/s.
    pub slowest: String,
    pub least_speed: Range,
    /// With everything open; nothing where the layout has no network.
    pub open: Option<WithAllOpen>,
}

/// All points of connection.
#[derive(Clone, Debug, PartialEq)]
pub struct Comparison {
    /// In the trade's order of preference.
    pub points: Vec<Connection>,
    /// Which of them is best in numbers, and whether clearly so.
    pub best: usize,
    pub clearly: bool,
    /// Whether the numbers clearly speak for another one than the trade would take: the first.
    pub trade_differs: bool,
}

/// Compares one house with the machine at each of its points. `weakest` is the height in m of the
/// weakest part above the ground floor. Nothing where there is no point or no emitter.
pub fn compare(houses: &[House], weakest: Range) -> Result<Option<Comparison>, OutOfRange> {
    let mut points = Vec::with_capacity(houses.len());
    for house in houses {
        let usual = House {
            joint: house.joint,
            ..house.at_middle()
        };
        let found = least_speed(&branches(house)?).zip(least_speed(&branches(&usual)?));
        points.extend(found.map(|((slowest, least_speed), (_, usual))| {
            let connection = Connection {
                point: house.joint.point,
                slowest,
                least_speed,
                open: with_all_open(house, weakest).ok(),
            };
            (connection, usual)
        }));
    }
    points.sort_by_key(|(connection, _)| connection.point);
    let (points, speeds): (Vec<Connection>, Vec<Range>) = points.into_iter().unzip();
    let middle = |at: &usize| speeds[*at].middle();
    let all = (0..points.len()).rev();
    let Some(best) = all.max_by(|one, other| middle(one).total_cmp(&middle(other))) else {
        return Ok(None);
    };
    let mut rivals = (0..points.len()).filter(|at| *at != best);
    let clearly = rivals.all(|at| speeds[at].high < speeds[best].low);
    Ok(Some(Comparison {
        trade_differs: clearly && points[best].point != points[0].point,
        points,
        best,
        clearly,
    }))
}

/// The slowest branch alone, and its speed; nothing where there is no branch.
pub fn least_speed(branches: &[Branch]) -> Option<(String, Range)> {
    let slowest = branches.iter().min_by(|one, other| {
        let by_speed = one.speed.low.total_cmp(&other.speed.low);
        by_speed.then_with(|| one.id.cmp(&other.id))
    })?;
    let ends = branches.iter().map(|branch| branch.speed.high);
    let speed = Range::new(slowest.speed.low, ends.fold(f64::INFINITY, f64::min));
    Some((slowest.id.clone(), speed))
}

/// Whether no branch can be slower with the machine at `one` than at `other`, in whatever house out of
/// the ranges: both are the same house but for the joint, so what they share cancels.
///
/// A branch's flow falls with what the joint loses and with what passes the branch by. So it is enough
/// that the joint of `one` loses no more than that of the other at their worst and best, and that
/// every short beside it is beside the other too.
pub fn never_slower(one: &House, other: &House) -> bool {
    let (at_one, at_other) = (&one.joint, &other.joint);
    let at_manifold = |joint: &Joint| one.has_manifold() && joint.point == Point::Manifold;
    let single = matches!(one.layout, Layout::Radial | Layout::Underfloor);
    let mains = match (at_manifold(at_one), at_manifold(at_other)) {
        (true, false) => single,
        (false, true) => false,
        _ => true,
    };
    let shorts = one.shorts.iter().all(|short| other.shorts.contains(short));
    // The same heat source in the way of both is one range and not two.
    let same_source = at_one.source == at_other.source;
    let most = joint_loss(at_one, End::Most, same_source);
    let least = joint_loss(at_other, End::Least, same_source);
    mains && shorts && most <= least
}

/// What a joint loses in m per (m³/s)² of the machine's flow. Of the tails at the joint the friction
/// counts as nothing at least, and as without limit at most.
fn joint_loss(joint: &Joint, end: End, without_source: bool) -> f64 {
    let fittings = |loss: Range, bore: Range| {
        let area = std::f64::consts::FRAC_PI_4 * end.down(bore).powi(2);
        end.up(loss) / (2.0 * GRAVITY * area * area)
    };
    let source = joint.source.filter(|_| !without_source);
    let host = joint.host.map_or(0.0, |host| match end {
        End::Least => fittings(host.loss, host.bore),
        End::Most => f64::INFINITY,
    });
    fittings(joint.loss, joint.bore)
        + source.map_or(0.0, |passes| valve_loss(end.down(passes)))
        + host
}

/// The height in m above the ground floor at which the weakest part is taken to stand: nobody records
/// it, and the lowest floor, the ground floor or below, is the worst place for it.
pub fn weakest_height(house: &House, may_be_lower: bool) -> Range {
    const LOWEST_FLOOR: f64 = -3.0;
    let lowest = |end: fn(&Range) -> f64| {
        let floors = house.emitters.iter().map(|emitter| end(&emitter.floor));
        floors.fold(0.0, f64::min)
    };
    let listed = lowest(|floor| floor.low);
    let low = if house.more && may_be_lower {
        listed.min(LOWEST_FLOOR)
    } else {
        listed
    };
    let storey = house.mains.storey;
    Range::new(low * storey.high, lowest(|floor| floor.high) * storey.low)
}
