//! The network of a house, from as little as a list of radiators, two bores and *about* lengths.
//!
//! A [`House`] is plain data in SI units: a range for every number that the hydraulics need, recorded
//! or supplied by a convention with a name. The functions of this folder turn it into flows, speeds,
//! pressures and times, as ranges that hold every house that the data may stand for.
//!
//! # The convention for each layout
//!
//! A survey does not draw the pipes. By convention they run as follows; every result rests on this.
//!
//! - **Two-pipe.** At the connection the mains fork, a leg to each floor. A leg climbs to its floor
//!   (storey height times floors, out and back) and runs on to its farthest take-off, whose path
//!   out and back, tails included, is the longest run of the survey. An emitter's take-off may be
//!   anywhere along its leg beyond the riser, since nobody records where. The far end of a leg has
//!   stepped down to the bore of the tails; how much of it is a range.
//! - **One-pipe.** One loop of main, as long as the longest run. Each emitter bridges a short piece
//!   of it between its two tees; the rest of the loop is in series with that pair.
//! - **Manifold microbore.** A manifold on each floor that has emitters, at the end of its own main;
//!   the tails run from there. The main and the longest tails together are the longest run. With one
//!   floor only, the manifold lies at the end of that run.
//! - **Radial.** One manifold for the house at the end of one main; else as above.
//! - **Underfloor only.** One manifold; the loops leave from it side by side.
//! - **Mixed.** Each emitter may be piped either as two-pipe or as one-pipe, so its range holds both.
//!   There is no network with everything open.
//!
//! Out and back are alike, so a main is one pipe of both lengths. What a plug of sludge adds is not
//! known; the figures are those of pipes that run free, unless a blockage is put in.
//!
//! Source: the layouts are common practice; the lengths and losses by convention are in
//! [`convention`], each with its source.
//!
//! In the order of reading: [`convention`], [`path`] (a series of pipes and where a pump meets it),
//! [`lay`] (where the mains run), [`ends`] and [`alone`] (each branch with all others shut), [`inside`] an emitter, [`carry`] (what the water carries).
//!
//! The files above must not know surveys, facts or rules. The rest stands between them and a survey:
//! [`read`], `turn` and `around` (facts to a house), [`rows`] (the figures of each branch), [`points`] and
//! [`best`] (those of the points of connection), [`told`] (what is worked out
//! only when it is asked for).

pub mod all_open;
pub mod alone;
mod around;
pub mod best;
pub mod carry;
pub mod case;
pub mod connect;
pub mod convention;
pub mod dilute;
pub mod ends;
pub mod inside;
pub mod lay;
pub mod network;
pub mod path;
pub mod plan;
pub mod points;
pub mod pressure;
pub mod read;
pub mod rows;
pub mod told;
mod turn;
pub mod valves;
mod vary;
pub mod widens;

pub use vary::{Input, widest};

use super::range::Range;

/// How the emitters are piped.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Layout {
    TwoPipe,
    OnePipe,
    Microbore,
    Radial,
    Underfloor,
    Mixed,
}

/// A heating system and the machine that flushes it.
#[derive(Clone, Debug, PartialEq)]
pub struct House {
    pub layout: Layout,
    pub machine: Machine,
    pub joint: Joint,
    pub mains: Mains,
    pub emitters: Vec<Emitter>,
    /// Whether there may be emitters that are not listed.
    pub more: bool,
    pub floor: Option<FloorHeating>,
    /// Easier ways round the emitters that may stand open at the connection.
    pub shorts: Vec<Short>,
    /// A check valve in the mains that is not bridged.
    pub way: Way,
    /// Temperature of the water in °C.
    pub celsius: Range,
}

/// The flushing machine and its two hoses.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Machine {
    /// Pressure against a shut valve, from the plate, in Pa.
    pub shut_off: Range,
    /// Greatest flow, from the plate, in m³/s.
    pub rated_flow: Range,
    /// What the plate may be off by, as a factor on both.
    pub plate: Range,
    /// Exponent `n` of the curve `H = H₀ (1 − (Q/Q_max)ⁿ)`: 1 is a line, 2 a parabola.
    pub curve: Range,
    /// Length of one hose in m.
    pub hose_length: Range,
    pub hose_bore: Range,
    pub hose_roughness: Range,
    /// Height of the water in its tank above the ground floor, in m.
    pub level: Range,
}

/// Where the machine joins the circuit.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Joint {
    pub point: Point,
    /// Floor of the connection; the ground floor is 0.
    pub floor: Range,
    /// Bore of the narrowest fitting in m.
    pub bore: Range,
    /// Loss coefficient of both fittings together, on that bore.
    pub loss: Range,
    /// Flow coefficient in m³/h of the heat source, where its water passes it; no loss without.
    pub source: Option<Range>,
    /// The tails of the radiator taken off, for a connection there.
    pub host: Option<Tails>,
}

/// The places where a machine may join a circuit, in the trade's order of preference.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Point {
    PumpHousing,
    FilterAdapter,
    HeatSource,
    Manifold,
    RadiatorTails,
}

/// The pipes between the connection and the tails.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Mains {
    pub bore: Range,
    pub roughness: Range,
    /// Loss coefficient of the fittings in each metre.
    pub loss_per_metre: Range,
    /// From the connection to the farthest emitter and back, tails included, in m.
    pub longest_run: Range,
    /// Share of the longest leg, from its far end, that has the bore of the tails.
    pub stepped: Range,
    /// Height of a storey in m.
    pub storey: Range,
    /// Length of main between the two tees of an emitter on a one-pipe loop, in m.
    pub piece_length: Range,
    /// Loss coefficient of that piece with its two tees.
    pub piece_loss: Range,
    /// Whether the piece under the emitter in turn is blocked while the loop is flushed.
    pub piece: State,
}

/// A radiator, towel rail or convector with its tails and valves.
#[derive(Clone, Debug, PartialEq)]
pub struct Emitter {
    pub id: String,
    pub floor: Range,
    /// Place of its take-off along its leg: 0 at the foot of the leg's level run, 1 at its far end.
    pub place: Range,
    /// Water in it, in m³.
    pub content: Range,
    pub tails: Tails,
    /// Flow coefficients of its two valves as they are set, in m³/h; a low end of 0 is shut.
    pub flow_valve: Range,
    pub return_valve: Range,
    /// Factor on the losses of emitter, tails' fittings and valves by what lies in them.
    pub blockage: Range,
    /// Panels one behind another and length along the wall in m, of a panel radiator.
    pub body: Option<Body>,
    pub way: Way,
    /// Whether its pipes come down from above.
    pub drop_feed: bool,
    /// Whether it is taken off the wall.
    pub off: bool,
}

/// The two pipes from an emitter to the mains.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Tails {
    /// Length of both together in m.
    pub length: Range,
    pub bore: Range,
    pub roughness: Range,
    /// Loss coefficient of tees, bends and the emitter itself, on that bore.
    pub loss: Range,
}

/// What the inside of a panel radiator is judged by.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Body {
    pub panels: Range,
    pub length: Range,
}

/// Floor heating: loops side by side on one manifold.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct FloorHeating {
    pub loops: Range,
    /// Length of the longest loop in m.
    pub length: Range,
    pub bore: Range,
    pub roughness: Range,
    /// Loss coefficient of the loop's bends and its ends, on its bore.
    pub loss: Range,
    /// Flow coefficient in m³/h of its valve and meter together.
    pub valve: Range,
}

/// A way through which water passes the emitters by: a bypass, a coil, a store, a header.
#[derive(Clone, Debug, PartialEq)]
pub struct Short {
    pub id: String,
    /// Flow coefficient in m³/h of the whole way.
    pub valve: Range,
    pub open: State,
}

/// Whether something is so.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum State {
    Yes,
    No,
    Unknown,
}

/// Which way water can pass.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Way {
    Both,
    /// A one-way valve is in it, or a check valve that is not bridged.
    ForwardOnly,
    Unknown,
}

impl State {
    pub fn may_be_yes(self) -> bool {
        self != State::No
    }

    pub fn may_be_no(self) -> bool {
        self != State::Yes
    }
}

impl Way {
    /// The way through two parts in series.
    #[must_use]
    pub fn and(self, other: Way) -> Way {
        match (self, other) {
            (Way::ForwardOnly, _) | (_, Way::ForwardOnly) => Way::ForwardOnly,
            (Way::Unknown, _) | (_, Way::Unknown) => Way::Unknown,
            (Way::Both, Way::Both) => Way::Both,
        }
    }
}

impl House {
    /// Floors that emitters stand on, lowest first, each once; nothing where a floor is a range.
    pub fn floors(&self) -> Option<Vec<f64>> {
        let mut floors = Vec::new();
        for emitter in &self.emitters {
            if !emitter.floor.is_point() {
                return None;
            }
            floors.push(emitter.floor.low);
        }
        floors.sort_by(f64::total_cmp);
        floors.dedup();
        Some(floors)
    }

    /// Whether the tails leave from a manifold instead of from the mains.
    pub fn has_manifold(&self) -> bool {
        matches!(
            self.layout,
            Layout::Microbore | Layout::Radial | Layout::Underfloor
        )
    }
}
