//! The valves of an emitter: what they let through, by kind.

use crate::convention;
use crate::range::Range;

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

/// Flow coefficient in m³/h of a valve in its emitter's turn: open, and with its head off or on.
///
/// Source: the physics' table of valves, from memory of typical data sheets.
pub fn valve(valve: Valve, head_off: bool) -> Range {
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
    let has_head = matches!(valve, Valve::Thermostatic | Valve::Limiter | Valve::Any);
    if head_off || !has_head {
        return open;
    }
    let head_on = convention::named("thermostatic valve, 15 mm, head on");
    Range::new(head_on.low, open.high)
}
