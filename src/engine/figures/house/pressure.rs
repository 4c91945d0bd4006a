//! Heights and pressures at the emitters.
//!
//! Contract: gauge pressures in Pa, heights in m above the ground floor. A pressure below nothing is
//! suction: air comes in through vents, glands and loosened bleeds.

use super::lay;
use super::path::{End, Series, Water};
use super::{Emitter, House, convention};
use crate::figures::range::Range;
use wetside_physics::friction::Run;
use wetside_physics::{GRAVITY, OutOfRange};

/// Gauge pressure at the top of an emitter's outlet while the machine pumps.
///
/// From the level in the open tank up by the head lost on the way back, `way_back` in m up to the
/// emitter's take-off and the friction of one tail; down by the height. The valve at the outlet is
/// taken to lie before this point, which is the lower side.
pub fn at_outlet(
    house: &House,
    water: &Water,
    emitter: &Emitter,
    flow: Range,
    way_back: Range,
) -> Result<Range, OutOfRange> {
    let tail = |end: End| {
        let length = end.up(emitter.tails.length);
        let mut tails = Series::new(end, water);
        tails.add(Run {
            loss: 0.0,
            ..lay::tails_pipe(&emitter.tails, length, 1.0, end)
        })?;
        Ok(0.5 * tails.loss(end.up(flow)))
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

/// Gauge pressure at an emitter's top while the machine stands still with its valves open.
pub fn at_rest(house: &House, water: &Water, emitter: &Emitter) -> Range {
    let (level, height) = (house.machine.level, top_of(house, emitter));
    pascals(
        water,
        Range::new(level.low - height.high, level.high - height.low),
    )
}

/// The highest gauge pressure that the machine can put on a height in m, against a shut valve.
pub fn against_shut_valve(house: &House, water: &Water, height: Range) -> Range {
    let machine = &house.machine;
    let level = machine.level;
    let still = pascals(
        water,
        Range::new(level.low - height.high, level.high - height.low),
    );
    Range::new(
        machine.shut_off.low * machine.plate.low + still.low,
        machine.shut_off.high * machine.plate.high + still.high,
    )
}

/// Pressure in Pa of a head in m.
pub fn pascals(water: &Water, head: Range) -> Range {
    let end = |head: f64, low: bool| {
        let heavy = (head < 0.0) == low;
        let Range { low, high } = water.density;
        GRAVITY * head * if heavy { high } else { low }
    };
    Range::new(end(head.low, true), end(head.high, false))
}

/// Height of an emitter's top above the ground floor, in m.
pub fn top_of(house: &House, emitter: &Emitter) -> Range {
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
