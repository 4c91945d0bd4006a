//! What goes on in one emitter: the water it holds and how long that takes to go through, how fast it
//! moves inside, and the pressure at its top.
//!
//! The rules for pipes say nothing of what lies in a radiator: its flow is slow and mostly laminar.
//! The speeds inside are for people to see why a radiator is shaken and reversed, by conventions; no
//! grain is judged by them. Gauge pressures are in Pa, heights in m above the ground floor. A pressure
//! below nothing is suction: air comes in through vents, glands and loosened bleeds.

use crate::convention;
use crate::mains;
use crate::model::{Body, Emitter, House};
use crate::range::Range;
use crate::series::{End, Series, Water};
use wetside_physics::friction::Run;
use wetside_physics::{GRAVITY, OutOfRange};

/// Speed of a flow in a bore, in m/s.
pub(crate) fn over_bore(flow: Range, bore: Range) -> Range {
    let area = |bore: f64| std::f64::consts::FRAC_PI_4 * bore * bore;
    Range::new(flow.low / area(bore.high), flow.high / area(bore.low))
}

/// Water in an emitter and its tails, in m³.
pub(crate) fn held(emitter: &Emitter) -> Range {
    let tails = &emitter.tails;
    let content = |bore: f64, length: f64| std::f64::consts::FRAC_PI_4 * bore * bore * length;
    Range::new(
        emitter.content.low + content(tails.bore.low, tails.length.low),
        emitter.content.high + content(tails.bore.high, tails.length.high),
    )
}

/// Time for the water of a branch to go through once, in s.
pub(crate) fn change(emitter: &Emitter, flow: Range) -> Range {
    let held = held(emitter);
    let over = |content: f64, flow: f64| {
        if flow > 0.0 {
            content / flow
        } else {
            f64::INFINITY
        }
    };
    Range::new(over(held.low, flow.high), over(held.high, flow.low))
}

/// Speed up the face of a panel radiator, in m/s.
pub(crate) fn rise_speed(flow: Range, body: Body) -> Range {
    let Body { panels, length } = body;
    let gap = convention::WATER_GAP.range;
    Range::new(
        flow.low / (panels.high * length.high * gap.high),
        flow.high / (panels.low * length.low * gap.low),
    )
}

/// Gauge pressure at the top of an emitter's outlet while the machine pumps.
///
/// From the level in the open tank up by the head lost on the way back, `way_back` in m up to the
/// emitter's take-off and the friction of one tail; down by the height. The valve at the outlet is
/// taken to lie before this point, which is the lower side.
pub(crate) fn pressure_at_outlet(
    house: &House,
    water: &Water,
    emitter: &Emitter,
    flow: Range,
    way_back: Range,
) -> Result<Range, OutOfRange> {
    let tail = |end: End| {
        let length = end.up(emitter.tails.length);
        let pipe = mains::tails_pipe(&emitter.tails, length, 1.0, end);
        let mut tails = Series::of(end, water, [Run { loss: 0.0, ..pipe }])?;
        Ok::<f64, OutOfRange>(0.5 * tails.loss(end.up(flow)))
    };
    let (level, height) = (house.machine.level, top_of(house, emitter));
    Ok(pascals(
        water,
        Range::new(
            level.low + way_back.low + tail(End::Least)? - height.high,
            level.high + way_back.high + tail(End::Most)? - height.low,
        ),
    ))
}

/// Pressure in Pa of a head in m.
pub(crate) fn pascals(water: &Water, head: Range) -> Range {
    let end = |head: f64, low: bool| {
        let heavy = (head < 0.0) == low;
        let Range { low, high } = water.density;
        GRAVITY * head * if heavy { high } else { low }
    };
    Range::new(end(head.low, true), end(head.high, false))
}

/// Height of an emitter's top above the ground floor, in m.
fn top_of(house: &House, emitter: &Emitter) -> Range {
    let storey = house.mains.storey;
    let top = convention::TOP_OF_EMITTER.range;
    let floor = |floor: f64, least: bool| {
        let high = (floor < 0.0) == least;
        floor * if high { storey.high } else { storey.low }
    };
    Range::new(
        floor(emitter.floor.low, true) + top.low,
        floor(emitter.floor.high, false) + top.high,
    )
}
