//! What a house is: plain data, a range for each number that the hydraulics need.

use crate::range::Range;
use wetside_physics::glycol::Glycol;
use wetside_units::truth::Truth;

/// A struct some of whose ranges have names, by which all of them are shown, one after the other.
macro_rules! ranged {
    ($(#[$of:meta])* pub struct $name:ident {
        $($(#[$doc:meta])* pub $field:ident: $type:ty $(= $says:literal)?,)+
    }) => {
        $(#[$of])* pub struct $name { $($(#[$doc])* pub $field: $type,)+ }

        impl $name {
            pub(crate) fn visit(&mut self, of: Option<&str>, see: &mut See<'_>) {
                $($(see($says, of, &mut self.$field);)?)+
            }
        }
    };
}

/// What is done with each range: its name, its owner, itself.
pub(crate) type See<'a> = dyn FnMut(&'static str, Option<&str>, &mut Range) + 'a;

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
    pub antifreeze: Option<Antifreeze>,
}

/// Glycol in the water; a strength of nothing is plain water.
#[derive(Clone, Debug, PartialEq)]
pub struct Antifreeze {
    /// What it may be.
    pub kinds: Vec<Glycol>,
    /// By mass, as a share.
    pub strength: Range,
}

ranged! {
    /// The flushing machine and its two hoses.
    #[derive(Clone, Copy, Debug, PartialEq)]
    pub struct Machine {
        /// Pressure against a shut valve, from the plate, in Pa.
        pub shut_off: Range = "shut-off pressure",
        /// Greatest flow, from the plate, in m³/s.
        pub rated_flow: Range = "rated flow",
        /// What the plate may be off by, as a factor on both. Of a machine with a point that was read it is a
        /// bound, and no number of its own.
        pub plate: Range,
        /// Exponent `n` of the curve `H = H₀ (1 − (Q/Q_max)ⁿ)`: 1 is a line, 2 a parabola.
        pub curve: Range = "shape of the pump's curve",
        /// Length of one hose in m.
        pub hose_length: Range = "hose length",
        pub hose_bore: Range = "hose bore",
        pub hose_roughness: Range = "hose roughness",
        /// Height of the water in its tank above the ground floor, in m.
        pub level: Range = "level in the machine's tank",
        /// A point of the curve that was read.
        pub duty: Option<Duty>,
    }
}

ranged! {
    /// A point of the pump's curve, read on the machine while it ran.
    #[derive(Clone, Copy, Debug, PartialEq)]
    pub struct Duty {
        /// In m³/s.
        pub flow: Range = "flow read on the machine",
        /// In Pa.
        pub pressure: Range = "pressure read on the machine",
    }
}

ranged! {
    /// Where the machine joins the circuit.
    #[derive(Clone, Copy, Debug, PartialEq)]
    pub struct Joint {
        pub point: Point,
        /// Floor of the connection; the ground floor is 0.
        pub floor: Range = "floor of the connection",
        /// Bore of the narrowest fitting in m.
        pub bore: Range = "connection bore",
        /// Loss coefficient of both fittings together, on that bore.
        pub loss: Range = "loss of the connection",
        /// Flow coefficient in m³/h of the heat source, where its water passes it; no loss without.
        pub source: Option<Range>,
        /// The tails of the radiator taken off, for a connection there.
        pub host: Option<Tails>,
    }
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

ranged! {
    /// The pipes between the connection and the tails.
    #[derive(Clone, Copy, Debug, PartialEq)]
    pub struct Mains {
        pub bore: Range = "main bore",
        pub roughness: Range = "roughness of the mains",
        /// Loss coefficient of the fittings in each metre.
        pub loss_per_metre: Range = "fittings of the mains",
        /// From the connection to the farthest emitter and back, tails included, in m.
        pub longest_run: Range = "longest run",
        /// Share of the longest leg, from its far end, that has the bore of the tails.
        pub stepped: Range = "share of the mains in the tails' bore",
        /// Height of a storey in m.
        pub storey: Range = "storey height",
        /// Length of main between the two tees of an emitter on a one-pipe loop, in m.
        pub piece_length: Range = "main between the tees",
        /// Loss coefficient of that piece with its two tees.
        pub piece_loss: Range = "loss between the tees",
        /// Whether the piece under the emitter in turn is blocked while the loop is flushed.
        pub piece: Truth,
    }
}

ranged! {
    /// A radiator, towel rail or convector with its tails and valves.
    #[derive(Clone, Debug, PartialEq)]
    pub struct Emitter {
        pub id: String,
        pub floor: Range = "floor",
        /// Place of its take-off along its leg: 0 at the foot of the leg's level run, 1 at its far end.
        pub place: Range = "place along the mains",
        /// Water in it, in m³.
        pub content: Range = "content",
        pub tails: Tails,
        /// Flow coefficients of its two valves as they are set, in m³/h; a low end of 0 is shut.
        pub flow_valve: Range = "flow valve",
        pub return_valve: Range = "return valve",
        /// Factor on the losses of emitter, tails' fittings and valves by what lies in them.
        pub blockage: Range = "blockage",
        /// Panels one behind another and length along the wall in m, of a panel radiator.
        pub body: Option<Body>,
        pub way: Way,
        /// Whether its pipes come down from above.
        pub drop_feed: bool,
    }
}

ranged! {
    /// The two pipes from an emitter to the mains.
    #[derive(Clone, Copy, Debug, PartialEq)]
    pub struct Tails {
        /// Length of both together in m.
        pub length: Range = "tail length",
        pub bore: Range = "tail bore",
        pub roughness: Range = "roughness of the tails",
        /// Loss coefficient of tees, bends and the emitter itself, on that bore.
        pub loss: Range = "fittings of the tails",
    }
}

ranged! {
    /// What the inside of a panel radiator is judged by.
    #[derive(Clone, Copy, Debug, PartialEq)]
    pub struct Body {
        pub panels: Range = "panels",
        pub length: Range = "length along the wall",
    }
}

ranged! {
    /// Floor heating: loops side by side on one manifold.
    #[derive(Clone, Copy, Debug, PartialEq)]
    pub struct FloorHeating {
        pub loops: Range = "number of floor loops",
        /// Length of the longest loop in m.
        pub length: Range = "loop length",
        pub bore: Range = "loop bore",
        pub roughness: Range = "roughness of the loops",
        /// Loss coefficient of the loop's bends and its ends, on its bore.
        pub loss: Range = "fittings of a loop",
        /// Flow coefficient in m³/h of its valve and meter together.
        pub valve: Range = "valve and meter of a loop",
    }
}

ranged! {
    /// A way through which water passes the emitters by: a bypass, a coil, a store, a header.
    #[derive(Clone, Debug, PartialEq)]
    pub struct Short {
        pub id: String,
        /// Flow coefficient in m³/h of the whole way.
        pub valve: Range = "flow coefficient",
        pub open: Truth,
    }
}

/// Which way water can pass.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Way {
    Both,
    /// A one-way valve is in it, or a check valve that is not bridged.
    ForwardOnly,
    Unknown,
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

impl Point {
    /// All of them, in the trade's order of preference.
    pub const ALL: [Point; 5] = [
        Point::PumpHousing,
        Point::FilterAdapter,
        Point::HeatSource,
        Point::Manifold,
        Point::RadiatorTails,
    ];
}

impl House {
    /// Whether the floor of every emitter is known exactly.
    pub fn floors_are_known(&self) -> bool {
        self.emitters.iter().all(|emitter| emitter.floor.is_point())
    }

    /// Whether the tails leave from a manifold instead of from the mains.
    pub(crate) fn has_manifold(&self) -> bool {
        matches!(
            self.layout,
            Layout::Microbore | Layout::Radial | Layout::Underfloor
        )
    }
}
