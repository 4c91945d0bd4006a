//! Inside an emitter: how much water it holds, how long that takes to go through, how fast it moves.
//!
//! The rules for pipes say nothing of what lies in a radiator: its flow is slow and mostly laminar.
//! The speeds here are for people to see why a radiator is shaken and reversed, by conventions on its
//! inside; no grain is judged by them.

use super::{Body, Emitter, convention};
use crate::figures::range::Range;

/// Water in an emitter and its tails, in m³.
pub fn held(emitter: &Emitter) -> Range {
    let tails = &emitter.tails;
    let content = |bore: f64, length: f64| std::f64::consts::FRAC_PI_4 * bore * bore * length;
    Range::new(
        emitter.content.low + content(tails.bore.low, tails.length.low),
        emitter.content.high + content(tails.bore.high, tails.length.high),
    )
}

/// Time for the water of a branch to go through once, in s.
pub fn change(emitter: &Emitter, flow: Range) -> Range {
    let held = held(emitter);
    let over = |content: f64, flow: f64| match flow > 0.0 {
        true => content / flow,
        false => f64::INFINITY,
    };
    Range::new(over(held.low, flow.high), over(held.high, flow.low))
}

/// Speeds inside a panel radiator, in m/s: up its face, and along its bottom at the inlet.
pub fn panel_speeds(flow: Range, body: Body) -> (Range, Range) {
    let Body { panels, length } = body;
    let gap = convention::WATER_GAP.range;
    let channel = convention::BOTTOM_CHANNEL.range;
    let over = |least: f64, most: f64| Range::new(flow.low / most, flow.high / least);
    (
        over(
            panels.low * length.low * gap.low,
            panels.high * length.high * gap.high,
        ),
        over(panels.low * channel.low, panels.high * channel.high),
    )
}
