//! The points where the machine may join the circuit, compared in numbers.
//!
//! Contract: each point is the same house with another joint. The longest run is taken to be the same
//! from each, since a survey records it once. A point is better the faster its slowest branch alone.
//! All points share one house, so which is best is told with everything but the joints at the middle
//! of its range; it is best *clearly* only when no other joint may then be as fast. The trade has an
//! order of preference of its own ([`Point`]), which stands beside the numbers and does not enter them.

use super::all_open::{NoNetwork, all_open};
use super::alone::{Branch, branches};
use super::path::{End, Water, valve_loss};
use super::pressure::pascals;
use super::{House, Joint, Layout, Mains, Point, Short, State};
use crate::figures::range::Range;
use wetside_physics::{GRAVITY, OutOfRange, minor};

/// What a point of connection would give.
#[derive(Clone, Debug, PartialEq)]
pub struct Connection {
    pub point: Point,
    /// The emitter whose branch alone may be the slowest, and the speed of the slowest, in m/s.
    pub slowest: String,
    pub least_speed: Range,
    /// With everything open: speed in the busiest main in m/s, flow of the machine in m³/s, and gauge
    /// pressure in Pa at the weakest part. Nothing where the layout has no network.
    pub open: Option<Open>,
}

/// A point of connection with everything open.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Open {
    pub main_speed: Range,
    pub machine_flow: Range,
    pub at_weakest: Range,
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

/// Compares points of connection. `weakest` is the height in m of the weakest part above the ground
/// floor. Nothing where there is no point or no emitter in the circuit.
pub fn compare(
    house: &House,
    joints: &[Joint],
    weakest: Range,
) -> Result<Option<Comparison>, OutOfRange> {
    let houses: Vec<House> = joints.iter().map(|joint| joined(house, joint)).collect();
    compare_houses(&houses, weakest)
}

/// The same for one house with the machine at each of its points.
pub fn compare_houses(houses: &[House], weakest: Range) -> Result<Option<Comparison>, OutOfRange> {
    let mut points = Vec::with_capacity(houses.len());
    for house in houses {
        let found = connection(house, weakest)?;
        let mut usual = at_middle(house);
        usual.joint = house.joint;
        let speed = least_speed(&branches(&usual)?);
        points.extend(found.zip(speed));
    }
    points.sort_by_key(|(connection, _)| connection.point);
    let (points, speeds): (Vec<Connection>, Vec<(String, Range)>) = points.into_iter().unzip();
    let middle = |at: &usize| speeds[*at].1.middle();
    let all = (0..points.len()).rev();
    let Some(best) = all.max_by(|one, other| middle(one).total_cmp(&middle(other))) else {
        return Ok(None);
    };
    let mut rivals = (0..points.len()).filter(|at| *at != best);
    let clearly = rivals.all(|at| speeds[at].1.high < speeds[best].1.low);
    Ok(Some(Comparison {
        trade_differs: clearly && points[best].point != points[0].point,
        points,
        best,
        clearly,
    }))
}

/// The same house with every range at its middle; a range without end at its low end.
fn at_middle(house: &House) -> House {
    let mut usual = house.clone();
    usual.visit(&mut |_, _, range| {
        let middle = range.middle();
        *range = Range::point(if middle.is_finite() {
            middle
        } else {
            range.low
        });
    });
    usual
}

/// The slowest branch alone, and its speed.
pub fn least_speed(branches: &[Option<Branch>]) -> Option<(String, Range)> {
    let all = || branches.iter().flatten();
    let slowest = all().min_by(|one, other| {
        let by_speed = one.speed.low.total_cmp(&other.speed.low);
        by_speed.then_with(|| one.id.cmp(&other.id))
    })?;
    let least = |end: fn(&Range) -> f64| {
        let ends = all().map(|branch| end(&branch.speed));
        ends.fold(f64::INFINITY, f64::min)
    };
    let speed = Range::new(least(|speed| speed.low), least(|speed| speed.high));
    Some((slowest.id.clone(), speed))
}

/// The house with the machine at another joint.
pub fn joined(house: &House, joint: &Joint) -> House {
    let mut there = house.clone();
    there.joint = *joint;
    if there.layout == Layout::OnePipe && joint.point == Point::RadiatorTails {
        // The piece of main under the radiator that was taken off joins both hoses.
        there.shorts.push(Short {
            id: "the main under the connection".to_string(),
            valve: piece_as_valve(&house.mains),
            open: there.mains.piece.opposite(),
        });
    }
    there
}

/// Flow coefficient in m³/h of the piece of main between two tees, its friction factor between that of
/// a smooth wall in fast water and that of a rough one.
pub fn piece_as_valve(mains: &Mains) -> Range {
    const FRICTION: Range = Range::new(0.02, 0.06);
    let loss = |factor: f64, length: f64, bore: f64, loss: f64| factor * length / bore + loss;
    let least = loss(
        FRICTION.low,
        mains.piece_length.low,
        mains.bore.high,
        mains.piece_loss.low,
    );
    let most = loss(
        FRICTION.high,
        mains.piece_length.high,
        mains.bore.low,
        mains.piece_loss.high,
    );
    let passes = |loss: f64, bore: f64| minor::kv_from_loss(loss, bore).unwrap_or(0.0);
    Range::new(passes(most, mains.bore.low), passes(least, mains.bore.high))
}

fn connection(house: &House, weakest: Range) -> Result<Option<Connection>, OutOfRange> {
    let Some((slowest, least_speed)) = least_speed(&branches(house)?) else {
        return Ok(None);
    };
    Ok(Some(Connection {
        point: house.joint.point,
        slowest,
        least_speed,
        open: with_all_open(house, weakest).ok(),
    }))
}

/// A point of connection with everything open.
pub fn with_all_open(house: &House, weakest: Range) -> Result<Open, NoNetwork> {
    let water = Water::at(house.celsius)?;
    let level = house.machine.level;
    let open = all_open(house)?;
    let head = Range::new(
        open.feed.low + level.low - weakest.high,
        open.feed.high + level.high - weakest.low,
    );
    Ok(Open {
        main_speed: open.main_speed,
        machine_flow: open.machine_flow,
        at_weakest: pascals(&water, head),
    })
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
    let low = match house.more && may_be_lower {
        true => LOWEST_FLOOR.min(lowest(|floor| floor.low)),
        false => lowest(|floor| floor.low),
    };
    let storey = house.mains.storey;
    Range::new(low * storey.high, lowest(|floor| floor.high) * storey.low)
}

impl State {
    /// Yes for no, and no for yes.
    #[must_use]
    pub fn opposite(self) -> State {
        match self {
            State::Yes => State::No,
            State::No => State::Yes,
            State::Unknown => State::Unknown,
        }
    }
}
