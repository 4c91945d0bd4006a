//! Numbers that no survey records but a house needs, each with its width and its source.
//!
//! Contract: nothing is supplied in silence. Whoever builds a house out of a survey takes a number
//! from here, says so, and leaves it as soon as the survey records better. Widths are wide enough to
//! hold what is met in houses; they are judgement where no source is named.

use crate::model::{Layout, Point};
use crate::range::Range;
use std::fmt;

/// One number by convention, in SI units: a length in m, a time in s.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Convention {
    pub says: &'static str,
    pub range: Range,
    pub source: Source,
}

/// Where a formula or a convention comes from, and how sure that is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Source {
    pub work: &'static str,
    /// `read`, `second-hand`, `from memory`, `no source`, or `arithmetic` where nothing is taken over.
    pub certainty: &'static str,
}

impl fmt::Display for Source {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}, {}", self.work, self.certainty)
    }
}

pub const fn source(work: &'static str, certainty: &'static str) -> Source {
    Source { work, certainty }
}

pub const PRACTICE: Source = source("common practice", "no source");
const MEMORY: Source = source("judgement", "from memory");
const ESTIMATE: Source = source(
    "planning estimate of the trade; its width by judgement",
    "no source",
);
const COEFFICIENTS: Source = source(
    "loss coefficients; their number by judgement",
    "from memory",
);

const SHEETS: Source = source("typical data sheets", "from memory");
const ROUGHNESSES: Source = source("published roughness tables", "read");
const CATALOGUES: Source = source("catalogue values", "from memory");
const SHEET: Source = source("trade sheet of litres a kilowatt", "read");

const fn by(says: &'static str, low: f64, high: f64, source: Source) -> Convention {
    Convention {
        says,
        range: Range::new(low, high),
        source,
    }
}

/// A constant for each row, and the list of all of them.
macro_rules! conventions {
    ($($(#[$doc:meta])* $name:ident = $low:literal to $high:literal, $says:literal, $source:expr;)+) => {
        $($(#[$doc])* pub const $name: Convention = by($says, $low, $high, $source);)+

        /// Every number above, in the order of this file.
        pub const ALL: &[Convention] = &[$($name),+];
    };
}

conventions! {
    /// In m, from floor to floor.
    STOREY = 2.4 to 2.9, "a storey is 2.4 to 2.9 m high", PRACTICE;
    /// In m above its floor.
    TOP_OF_EMITTER = 0.5 to 1.0, "the top of an emitter is 0.5 to 1 m above its floor", PRACTICE;
    /// In m above its floor.
    FOOT_OF_EMITTER = 0.05 to 0.25, "the foot of a radiator is 5 to 25 cm above its floor", PRACTICE;
    FOOT_OF_TOWEL_RAIL = 0.05 to 1.2, "the foot of a towel rail is 5 to 120 cm above its floor", PRACTICE;
    /// In m above the floor that the machine stands on.
    TANK_LEVEL = 0.3 to 0.8,
        "the water in the machine's tank stands 0.3 to 0.8 m above its floor", PRACTICE;
    /// A factor on the pressure and the flow of the plate.
    PLATE = 0.9 to 1.1, "a machine's plate is off by up to a tenth", MEMORY;
    /// The exponent of the pump's curve.
    CURVE = 1.0 to 2.0,
        "between the two ends of its plate the pump's curve is a line, a parabola or something between",
        source("textbook curves", "from memory");
    /// A factor.
    READ_FLOW = 0.95 to 1.05, "a flow read on the machine is off by up to a twentieth", MEMORY;
    /// A share of the shut-off pressure.
    READ_PRESSURE = 0.05 to 0.05,
        "a pressure read on the machine is off by up to a twentieth of what its pump makes at most", MEMORY;
    HOSE_BORE = 0.019 to 0.025, "the machine's hoses are 19 to 25 mm inside", PRACTICE;
    /// Loss coefficient for each metre of main.
    FITTINGS = 0.2 to 0.8,
        "in each metre of main the bends and tees lose 0.2 to 0.8 speed heads: one every two to four metres",
        COEFFICIENTS;
    /// Loss coefficient on the bore of the tails.
    TAIL_FITTINGS = 4.0 to 13.0,
        "tees, bends and the emitter on its tails lose 4 to 13 speed heads", COEFFICIENTS;
    STEPPED = 0.0 to 0.5,
        "up to half of a leg, from its far end, has stepped down to the bore of the tails", PRACTICE;
    PIECE_LENGTH = 0.5 to 2.0,
        "the tees of an emitter on a one-pipe loop are 0.5 to 2 m apart along the main", PRACTICE;
    /// Loss coefficient of the piece and its tees, on the bore of the mains.
    PIECE_LOSS = 0.4 to 2.0,
        "the main between those tees loses 0.4 to 2 speed heads beside its friction", COEFFICIENTS;
    /// In m, both together.
    TAIL_LENGTH = 2.0 to 12.0, "the two tails of an emitter are 2 to 12 m together", PRACTICE;
    /// Loss coefficient on the bore of a floor loop.
    LOOP_FITTINGS = 10.0 to 30.0,
        "the bends and ends of a floor loop lose 10 to 30 speed heads", COEFFICIENTS;
    /// In m³/h.
    LOOP_VALVE = 0.8 to 1.6,
        "valve and meter of a floor loop, open, pass 0.8 to 1.6 m³/h at one bar", MEMORY;
    TAIL_BORE = 0.0068 to 0.0136,
        "tails are 8 mm to 15 mm copper",
        source("EN 1057 sizes in use; which is in the house is a guess", "no source");
    HOSE_LENGTH = 5.0 to 10.0, "a machine's hose is 5 to 10 m long", PRACTICE;
    /// In K.
    WATER = 288.15 to 328.15, "the water goes round at 15 to 55 °C", PRACTICE;
    GROUND = 0.0 to 0.0, "it is on the ground floor", source("a guess", "no source");
    /// Loss coefficient on the bore of the tails of a radiator that was taken off, without it.
    HOST_FITTINGS = 2.0 to 10.0,
        "tees and bends of the tails at the connection lose 2 to 10 speed heads", COEFFICIENTS;
    /// In m; the inside of a panel from front to back.
    WATER_GAP = 0.004 to 0.007,
        "the water in a panel is 4 to 7 mm thick", source("geometry of catalogue contents", "from memory");
    /// Degrees that the water may be off the planned temperature.
    TEMPERATURE = -10.0 to 10.0,
        "the water is within 10 degrees of the temperature planned", source("judgement", "no source");
    /// A share by volume.
    ANTIFREEZE = 0.0 to 0.47,
        "antifreeze that nobody measured is up to nearly half of the water", PRACTICE;
    REVERSAL = 60.0 to 120.0, "the flow is reversed every one to two minutes", PRACTICE;
    MAKING_SAFE = 1500.0 to 2100.0,
        "making safe takes 25 to 35 minutes beside the valves of the emitters and floor loops", ESTIMATE;
    EACH_OPENED = 90.0 to 180.0,
        "writing down and opening the valves of an emitter or a floor loop takes 1.5 to 3 minutes", ESTIMATE;
    CONNECTING = 900.0 to 1500.0, "setting the machine up and connecting it takes 15 to 25 minutes", ESTIMATE;
    LONGEST_WAIT = 1800.0 to 1800.0,
        "half an hour after the cleaner has gone round nobody waits longer for the water to warm",
        source("judgement", "no source");
    FIRST_ROUND = 300.0 to 600.0,
        "plain water goes round with everything open for 5 to 10 minutes, while every joint is looked at",
        PRACTICE;
    ALL_OPEN = 600.0 to 1200.0,
        "cleaner goes round with everything open for 10 to 20 minutes", PRACTICE;
    EACH_EMITTER = 600.0 to 900.0, "an emitter takes 10 to 15 minutes on its own", ESTIMATE;
    EACH_SLOW_EMITTER = 900.0 to 1320.0,
        "on microbore or a one-pipe loop an emitter takes 15 to 22 minutes on its own", ESTIMATE;
    LONGEST_TURN = 1800.0 to 1800.0,
        "an emitter that has not come clean in half an hour is flushed another way", source("judgement", "no source");
    EACH_CIRCUIT = 900.0 to 1500.0, "a coil takes 15 to 25 minutes on its own", ESTIMATE;
    EACH_SIDE = 300.0 to 600.0, "a bypass or the sides of a header take 5 to 10 minutes each", ESTIMATE;
    EACH_LOOP = 480.0 to 720.0, "a floor loop takes 8 to 12 minutes on its own", ESTIMATE;
    /// Changes of a branch's water.
    CHANGES = 3.0 to 3.0,
        "a branch is given three changes of its water at least", source("judgement", "no source");
    NEUTRALISING = 600.0 to 1200.0,
        "neutralising an acid takes 10 to 20 minutes", source("judgement", "no source");
    PROOF = 600.0 to 1200.0, "samples and readings take 10 to 20 minutes", PRACTICE;
    DOSING = 1800.0 to 2400.0,
        "inhibitor goes round for 30 to 40 minutes before it is tested", PRACTICE;
    RESTORING = 600.0 to 900.0,
        "putting back takes 10 to 15 minutes beside the valves of the emitters and floor loops", ESTIMATE;
    EACH_SET_BACK = 90.0 to 210.0,
        "setting the valves of an emitter or a floor loop back and venting it takes 1.5 to 3.5 minutes", ESTIMATE;
    /// A share of all water.
    FILLED_AGAIN = 0.1 to 1.0,
        "at the end a tenth of the water is filled again, or all of it where the circuit was drained", PRACTICE;
    HOT_RUN = 1800.0 to 2700.0,
        "the heating runs hot for 30 to 45 minutes while every joint is looked at again", PRACTICE;
    DUMP_FALL = 0.5 to 1.5, "the dump hose falls by 0.5 to 1.5 m", PRACTICE;
    /// In m³/h. Its bypass, open.
    BYPASS = 0.5 to 4.0, "an open bypass passes 0.5 to 4 m³/h at one bar", MEMORY;
    /// In m³/h. A store, buffer or header between its pipes.
    VESSEL = 8.0 to 30.0,
        "a store, buffer or low-loss header passes 8 to 30 m³/h at one bar between its pipes",
        source("loss coefficients of two 22 to 28 mm entries", "from memory");
    /// Flow coefficients in m³/h, of valves of 15 mm open for their emitter's turn.
    THERMOSTATIC = 0.5 to 1.3, "a thermostatic valve with its head off passes 0.5 to 1.3 m³/h at one bar", SHEETS;
    THERMOSTATIC_WITH_HEAD = 0.2 to 0.8, "a thermostatic valve with its head on passes 0.2 to 0.8 m³/h at one bar", SHEETS;
    LOCKSHIELD = 0.8 to 2.4, "a lockshield valve, open, passes 0.8 to 2.4 m³/h", SHEETS;
    WHEELHEAD = 0.9 to 2.4, "a wheelhead valve, open, passes 0.9 to 2.4 m³/h", SHEETS;
    TWIN_ENTRY = 0.35 to 0.9, "a twin-entry microbore valve passes 0.35 to 0.9 m³/h", SHEETS;
    UNION = 5.0 to 20.0, "a plain union where there is no valve passes 5 to 20 m³/h", MEMORY;
    HEAT_EXCHANGER = 1.0 to 3.5, "the heat exchanger of a heat source passes 1 to 3.5 m³/h", SHEETS;
    /// Roughness in m of walls.
    HOSE_WALL = 0.006e-3 to 0.07e-3, "the wall of a smooth hose is 6 to 70 µm rough", ROUGHNESSES;
    COPPER = 0.0015e-3 to 0.05e-3, "the wall of copper pipe in service is 1.5 to 50 µm rough",
        source("judgement, from new pipe on", "from memory");
    PLASTIC = 0.0015e-3 to 0.01e-3, "the wall of plastic or multilayer pipe is 1.5 to 10 µm rough", ROUGHNESSES;
    GALVANISED = 0.07e-3 to 0.2e-3, "the wall of galvanised steel is 70 to 200 µm rough", ROUGHNESSES;
    /// Roughness in m of steel that has long been in service.
    OLD_STEEL = 0.1e-3 to 1.5e-3,
        "the wall of steel pipe in service is 0.1 to 1.5 mm rough",
        source("judgement, within the handbook's classes of corroded steel", "from memory");
    /// Content in m³ for each m² of face.
    TOWEL_RAIL = 6e-3 to 12e-3, "a ladder towel rail holds 6 to 12 L for each m² of its face", CATALOGUES;
    /// Content in m³.
    COPPER_BOILER = 1e-3 to 6e-3, "a wall-hung boiler holds 1 to 6 L", CATALOGUES;
    COIL = 2.5e-3 to 8e-3, "the coil of a cylinder holds 2.5 to 8 L", CATALOGUES;
    /// Content in litres for each kilowatt of the heat source.
    PANEL_SYSTEM = 8.0 to 14.0, "a system of panel radiators holds 8 to 14 L for each kilowatt", SHEET;
    CAST_IRON_SYSTEM = 10.0 to 20.0, "a system of cast-iron radiators holds 10 to 20 L for each kilowatt", SHEET;
    MICROBORE_SYSTEM = 4.0 to 9.0, "a small or microbore system holds 4 to 9 L for each kilowatt", SHEET;
}

/// How a layout's mains run, in a sentence.
pub fn of_layout(layout: Layout) -> &'static str {
    match layout {
        Layout::TwoPipe => {
            "the mains fork at the connection, a leg to each floor, and an emitter may leave its leg anywhere beyond the riser"
        }
        Layout::OnePipe => {
            "one loop of main as long as the longest run, and each emitter bridges a short piece of it"
        }
        Layout::Microbore => {
            "a manifold on each floor at the end of its own main, and the longest tails reach the longest run"
        }
        Layout::Radial => {
            "one manifold for the house, and its main and the longest tails are the longest run"
        }
        Layout::Underfloor => "one manifold, from which all loops leave side by side",
        Layout::Mixed => "each emitter may be piped either as two-pipe or as one-pipe",
    }
}

/// Over all points of connection, in m.
pub const JOINT_BORE: Convention = by(
    "bore of the joint's fittings: of a pump housing 19 to 25 mm, of a filter adapter 16 to 20, of heat \
     source and manifold 18 to 22, of radiator tails 12 to 16; where the machine is connected the \
     recorded one holds",
    0.012,
    0.025,
    PRACTICE,
);
/// Over all points of connection.
pub const JOINT_LOSS: Convention = by(
    "loss of both fittings of the joint: of pump housing, heat source and manifold 2 to 6, of filter \
     adapter and radiator tails 3 to 8",
    2.0,
    8.0,
    MEMORY,
);

/// Bore in m of the narrowest way through a joint, and loss coefficient of both its fittings.
///
/// Each lies within [`JOINT_BORE`] and [`JOINT_LOSS`], whose words tell it. Source: loss coefficients from
/// memory; the bores are those of usual fittings, common practice.
pub fn joint(point: Point) -> (Convention, Convention) {
    let (bore, loss) = match point {
        Point::PumpHousing => ((0.019, 0.025), (2.0, 6.0)),
        Point::FilterAdapter => ((0.016, 0.020), (3.0, 8.0)),
        Point::HeatSource | Point::Manifold => ((0.018, 0.022), (2.0, 6.0)),
        Point::RadiatorTails => ((0.012, 0.016), (3.0, 8.0)),
    };
    (
        by("bore of the joint's fittings", bore.0, bore.1, PRACTICE),
        by("loss of the joint's fittings", loss.0, loss.1, MEMORY),
    )
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

/// Flow coefficient in m³/h of a valve in its emitter's turn: open, and with its head off or on.
pub fn valve(valve: Valve, head_off: bool) -> Range {
    let open = match valve {
        Valve::Thermostatic | Valve::Limiter => THERMOSTATIC.range,
        Valve::Wheelhead => WHEELHEAD.range,
        Valve::Lockshield => LOCKSHIELD.range,
        Valve::TwinEntry => TWIN_ENTRY.range,
        Valve::None => UNION.range,
        Valve::Any => TWIN_ENTRY.range.hull(UNION.range),
    };
    let has_head = matches!(valve, Valve::Thermostatic | Valve::Limiter | Valve::Any);
    if head_off || !has_head {
        return open;
    }
    Range::new(THERMOSTATIC_WITH_HEAD.range.low, open.high)
}
