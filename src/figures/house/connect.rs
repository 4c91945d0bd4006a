//! The points where the machine may join the circuit, compared in numbers.
//!
//! Contract: each point is the same house with another joint. The longest run is taken to be the same
//! from each, since a survey records it once. A point is better the faster its slowest branch alone.
//! All points share one house, so which is best is told with everything but the joints at the middle
//! of its range; it is best *clearly* only when no other joint may then be as fast. The trade has an
//! order of preference of its own ([`Point`]), which stands beside the numbers and does not enter them.

use super::all_open::all_open;
use super::alone::{Branch, branches};
use super::path::Water;
use super::pressure::pascals;
use super::{House, Joint, Layout, Mains, Point, Short, State};
use crate::figures::range::Range;
use crate::physics::{OutOfRange, minor};

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
    let usual = at_middle(house);
    let mut points = Vec::with_capacity(joints.len());
    for joint in joints {
        let found = connection(&joined(house, joint), weakest)?;
        let speed = least_speed(&branches(&joined(&usual, joint))?);
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
fn least_speed(branches: &[Option<Branch>]) -> Option<(String, Range)> {
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
    let water = Water::at(house.celsius)?;
    let level = house.machine.level;
    let open = all_open(house).ok().map(|open| Open {
        main_speed: open.main_speed,
        machine_flow: open.machine_flow,
        at_weakest: pascals(
            &water,
            Range::new(
                open.feed.low + level.low - weakest.high,
                open.feed.high + level.high - weakest.low,
            ),
        ),
    });
    Ok(Some(Connection {
        point: house.joint.point,
        slowest,
        least_speed,
        open,
    }))
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
