//! What is told of a house with everything open, or why nothing can be.

use crate::carry::Fate;
use crate::model::Layout;
use crate::range::Range;
use wetside_physics::OutOfRange;
use wetside_physics::network::Fault;

/// The most emitters of which all are worked out together.
pub const MOST_OPEN: usize = 60;

/// A house with everything open.
#[derive(Clone, Debug, PartialEq)]
pub struct AllOpen {
    /// In the order of the house.
    pub branches: Vec<Share>,
    /// Through the machine, in m³/s.
    pub machine_flow: Range,
    /// In the busiest main at the connection, in m/s.
    pub main_speed: Range,
    /// Share of the machine's flow that shorts take.
    pub taken_by_shorts: Range,
    /// The emitter with the lowest pressure at its outlet, and that gauge pressure in Pa.
    pub lowest: Option<(String, Range)>,
    /// Networks that were solved for it.
    pub solutions: usize,
}

/// What one branch gets.
#[derive(Clone, Debug, PartialEq)]
pub struct Share {
    pub id: String,
    /// In m³/s, forward and with the machine reversed.
    pub flow: Range,
    pub flow_back: Range,
    /// In its tails, in m/s.
    pub speed: Range,
    pub fine: Fate,
    pub coarse: Fate,
    /// Gauge pressure in Pa at the top of its outlet.
    pub outlet: Range,
}

/// What a point of connection is judged by with everything open.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct WithAllOpen {
    /// As of [`AllOpen`].
    pub main_speed: Range,
    pub machine_flow: Range,
    /// Gauge pressure in Pa at the weakest part, on the side of the flow.
    pub at_weakest: Range,
}

/// Why there is no network.
#[derive(Clone, Debug, PartialEq)]
pub enum NoNetwork {
    /// The convention has none for this layout.
    Layout(Layout),
    /// The house has no emitter.
    NoEmitter,
    /// It has more than [`MOST_OPEN`].
    TooMany,
    OutOfRange(OutOfRange),
    /// The search for the flows did not come to rest.
    Fault(Fault),
}

impl From<OutOfRange> for NoNetwork {
    fn from(cause: OutOfRange) -> NoNetwork {
        NoNetwork::OutOfRange(cause)
    }
}

impl From<Fault> for NoNetwork {
    fn from(fault: Fault) -> NoNetwork {
        match fault {
            Fault::Link { cause, .. } | Fault::Node { cause, .. } => NoNetwork::OutOfRange(cause),
            other => NoNetwork::Fault(other),
        }
    }
}

impl std::fmt::Display for NoNetwork {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            NoNetwork::Layout(Layout::Mixed) => {
                write!(f, "a mixed layout has no network by convention")
            }
            NoNetwork::Layout(_) => write!(f, "this layout has no radiators by convention"),
            NoNetwork::NoEmitter => write!(f, "no emitter is in the circuit"),
            NoNetwork::TooMany => write!(
                f,
                "there are more emitters than the {MOST_OPEN} that are worked out together"
            ),
            NoNetwork::OutOfRange(cause) => write!(f, "{cause}"),
            NoNetwork::Fault(fault) => write!(f, "{fault}"),
        }
    }
}
