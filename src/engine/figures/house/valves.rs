//! The valves of an emitter: what they let through, by kind and setting.

use super::convention;
use crate::figures::range::Range;

/// How a valve at an emitter stands.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Setting {
    /// Fully open, or with its head off.
    Open,
    /// With its head on, turned to the most.
    HeadOn,
    Closed,
    /// As it was found, or nobody knows.
    Unknown,
}

/// Which valve it is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Valve {
    Thermostatic,
    Wheelhead,
    Lockshield,
    TwinEntry,
    /// A valve that shuts by the temperature of the return.
    Limiter,
    None,
    /// Any of these.
    Any,
}

/// Flow coefficient in m³/h of a valve as it is set; the low end is 0 where it may be shut.
///
/// Source: the physics' table of valves, from memory of typical data sheets.
pub fn valve(valve: Valve, setting: Setting) -> Range {
    const UNION: Range = Range::new(5.0, 20.0);
    let open = match valve {
        Valve::Thermostatic | Valve::Limiter => {
            convention::named("thermostatic valve, 15 mm, head off")
        }
        Valve::Wheelhead => convention::named("wheelhead valve, 15 mm, open"),
        Valve::Lockshield => convention::named("lockshield valve, 15 mm, open"),
        Valve::TwinEntry => convention::named("twin-entry microbore valve"),
        // A plain union passes far more than any valve.
        Valve::None => UNION,
        Valve::Any => convention::named("twin-entry microbore valve").hull(UNION),
    };
    match (valve, setting) {
        (Valve::None, _) | (_, Setting::Open) => open,
        (Valve::Thermostatic | Valve::Limiter | Valve::Any, Setting::HeadOn) => Range::new(
            convention::named("thermostatic valve, 15 mm, head on").low,
            open.high,
        ),
        (_, Setting::HeadOn) => open,
        (_, Setting::Closed) => Range::point(0.0),
        (_, Setting::Unknown) => Range::new(0.0, open.high),
    }
}
