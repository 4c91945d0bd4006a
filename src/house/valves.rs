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
pub fn valve(valve: Valve, head_off: bool) -> Range {
    let open = match valve {
        Valve::Thermostatic | Valve::Limiter => convention::THERMOSTATIC.range,
        Valve::Wheelhead => convention::WHEELHEAD.range,
        Valve::Lockshield => convention::LOCKSHIELD.range,
        Valve::TwinEntry => convention::TWIN_ENTRY.range,
        Valve::None => convention::UNION.range,
        Valve::Any => convention::TWIN_ENTRY.range.hull(convention::UNION.range),
    };
    let has_head = matches!(valve, Valve::Thermostatic | Valve::Limiter | Valve::Any);
    if head_off || !has_head {
        return open;
    }
    Range::new(convention::THERMOSTATIC_WITH_HEAD.range.low, open.high)
}
