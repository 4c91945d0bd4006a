//! What goes on in one emitter: the water it holds and how long that takes to go through, how fast it
//! moves inside, and the pressure at its top.
//!
//! The rules for pipes say nothing of what lies in a radiator: its flow is slow and mostly laminar.
//! The speeds inside are for people to see why a radiator is shaken and reversed, by conventions; no
//! grain is judged by them. Gauge pressures are in Pa, heights in m above the ground floor. A pressure
//! below nothing is suction: air comes in through vents, glands and loosened bleeds.

use crate::convention;
use crate::model::{Body, Emitter, House, Layout};
use crate::range::Range;
use crate::series::Water;
use wetside_physics::GRAVITY;

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

/// Gauge pressure in Pa at the top of an emitter's outlet while the machine pumps: what is lost on the
/// way back to the open tank, in Pa, and the level in it above that height. No more than half of what
/// the pump can make stands for the way back, as out and back are alike, and on a loop not more than all;
/// and a column of water that would hang lower than its vapour allows parts.
pub(crate) fn pressure_at_outlet(
    house: &House,
    water: &Water,
    emitter: &Emitter,
    way_back: Range,
) -> Range {
    let machine = &house.machine;
    let most = machine.shut_off.high * machine.plate.high;
    let share = match house.layout {
        Layout::OnePipe | Layout::Mixed => 1.0,
        _ => 0.5,
    };
    let (level, height) = (machine.level, top_of(house, emitter));
    let still = Range::new(level.low - height.high, level.high - height.low);
    let still = pascals(water, still);
    let low = still.low + way_back.low.max(0.0);
    let high = still.high + way_back.high.min(share * most);
    Range::new(low.max(PARTS), high.max(PARTS))
}

/// Gauge pressure in Pa at which a column of cold water parts: one atmosphere less its vapour.
///
/// Source: standard atmosphere of 1.01325 bar and vapour pressure of water at 20 °C, from memory.
pub const PARTS: f64 = 0.0234e5 - 1.01325e5;

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
