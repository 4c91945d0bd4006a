//! Numbers that no survey records but a house needs, each with its width and its source.
//!
//! Contract: nothing is supplied in silence. Whoever builds a house out of a survey takes a number
//! from here, says so, and leaves it as soon as the survey records better. Widths are wide enough to
//! hold what is met in houses; they are judgement where no source is named.

use super::{Layout, Point};
use crate::figures::range::Range;
use crate::figures::table::{NO_SOURCE, Source, source};
use wetside_physics::minor::{self, Coefficient};
use wetside_physics::pipe::{self, WallRoughness};

/// One number by convention, in SI units.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Convention {
    pub says: &'static str,
    pub range: Range,
    pub source: Source,
}

const PRACTICE: Source = NO_SOURCE;
const MEMORY: Source = source("judgement", "from memory");
const ESTIMATE: Source = source(
    "planning estimate of the trade; its width by judgement",
    "no source",
);
const COEFFICIENTS: Source = source(
    "loss coefficients; their number by judgement",
    "from memory",
);

const fn by(says: &'static str, low: f64, high: f64, source: Source) -> Convention {
    Convention {
        says,
        range: Range::new(low, high),
        source,
    }
}

/// In m, from floor to floor.
pub const STOREY: Convention = by("a storey is 2.4 to 2.9 m high", 2.4, 2.9, PRACTICE);
/// In m above its floor.
pub const TOP_OF_EMITTER: Convention = by(
    "the top of an emitter is 0.5 to 1 m above its floor",
    0.5,
    1.0,
    PRACTICE,
);
/// In m above the floor that the machine stands on.
pub const TANK_LEVEL: Convention = by(
    "the water in the machine's tank stands 0.3 to 0.8 m above its floor",
    0.3,
    0.8,
    PRACTICE,
);
/// A factor on the pressure and the flow of the plate.
pub const PLATE: Convention = by(
    "a machine's plate is off by up to a tenth",
    0.9,
    1.1,
    MEMORY,
);
/// The exponent of the pump's curve.
pub const CURVE: Convention = by(
    "between the two ends of its plate the pump's curve is a line, a parabola or something between",
    1.0,
    2.0,
    source("textbook curves", "from memory"),
);
/// In m.
pub const HOSE_BORE: Convention = by(
    "the machine's hoses are 19 to 25 mm inside",
    0.019,
    0.025,
    PRACTICE,
);
/// Loss coefficient for each metre of main.
pub const FITTINGS: Convention = by(
    "in each metre of main the bends and tees lose 0.2 to 0.8 speed heads: one every two to four metres",
    0.2,
    0.8,
    COEFFICIENTS,
);
/// Loss coefficient on the bore of the tails.
pub const TAIL_FITTINGS: Convention = by(
    "tees, bends and the emitter on its tails lose 4 to 13 speed heads",
    4.0,
    13.0,
    COEFFICIENTS,
);
/// A share.
pub const STEPPED: Convention = by(
    "up to half of a leg, from its far end, has stepped down to the bore of the tails",
    0.0,
    0.5,
    PRACTICE,
);
/// In m.
pub const PIECE_LENGTH: Convention = by(
    "the tees of an emitter on a one-pipe loop are 0.5 to 2 m apart along the main",
    0.5,
    2.0,
    PRACTICE,
);
/// Loss coefficient of the piece and its tees, on the bore of the mains.
pub const PIECE_LOSS: Convention = by(
    "the main between those tees loses 0.4 to 2 speed heads beside its friction",
    0.4,
    2.0,
    COEFFICIENTS,
);
/// In m, both together.
pub const TAIL_LENGTH: Convention = by(
    "the two tails of an emitter are 2 to 12 m together",
    2.0,
    12.0,
    PRACTICE,
);
/// Loss coefficient on the bore of a floor loop.
pub const LOOP_FITTINGS: Convention = by(
    "the bends and ends of a floor loop lose 10 to 30 speed heads",
    10.0,
    30.0,
    COEFFICIENTS,
);
/// In m³/h.
pub const LOOP_VALVE: Convention = by(
    "valve and meter of a floor loop, open, pass 0.8 to 1.6 m³/h at one bar",
    0.8,
    1.6,
    MEMORY,
);
/// In m.
pub const TAIL_BORE: Convention = by(
    "tails are 8 mm to 15 mm copper",
    0.0068,
    0.0136,
    source(
        "EN 1057 sizes in use; which is in the house is a guess",
        "no source",
    ),
);
/// In m.
pub const HOSE_LENGTH: Convention = by("a machine's hose is 5 to 10 m long", 5.0, 10.0, PRACTICE);
/// In K.
pub const WATER: Convention = by(
    "the water goes round at 15 to 55 °C",
    288.15,
    328.15,
    PRACTICE,
);
/// A floor.
pub const GROUND: Convention = by(
    "it is on the ground floor",
    0.0,
    0.0,
    source("a guess", "no source"),
);
/// Loss coefficient on the bore of the tails of a radiator that was taken off, without it.
pub const HOST_FITTINGS: Convention = by(
    "tees and bends of the tails at the connection lose 2 to 10 speed heads",
    2.0,
    10.0,
    COEFFICIENTS,
);
/// In m; the inside of a panel from front to back.
pub const WATER_GAP: Convention = by(
    "the water in a panel is 4 to 7 mm thick",
    0.004,
    0.007,
    source("geometry of catalogue contents", "from memory"),
);
/// In m².
pub const BOTTOM_CHANNEL: Convention = by(
    "the channel along the bottom of a panel has 150 to 450 mm²",
    150e-6,
    450e-6,
    MEMORY,
);
/// Degrees that the water may be off the planned temperature.
pub const TEMPERATURE: Convention = by(
    "the water is within 10 degrees of the temperature planned",
    -10.0,
    10.0,
    source("judgement", "no source"),
);

/// In s.
pub const REVERSAL: Convention = by(
    "the flow is reversed every one to two minutes",
    60.0,
    120.0,
    PRACTICE,
);
/// In s.
pub const FIRST_ROUND: Convention = by(
    "plain water goes round with everything open for 5 to 10 minutes, while every joint is looked at",
    300.0,
    600.0,
    PRACTICE,
);
/// In s.
pub const ALL_OPEN: Convention = by(
    "cleaner goes round with everything open for 10 to 20 minutes",
    600.0,
    1200.0,
    PRACTICE,
);
/// In s.
pub const EACH_EMITTER: Convention = by(
    "an emitter takes 10 to 15 minutes on its own",
    600.0,
    900.0,
    ESTIMATE,
);
/// In s.
pub const EACH_SLOW_EMITTER: Convention = by(
    "on microbore or a one-pipe loop an emitter takes 15 to 22 minutes on its own",
    900.0,
    1320.0,
    ESTIMATE,
);
/// In s.
pub const EACH_LOOP: Convention = by(
    "a floor loop takes 8 to 12 minutes on its own",
    480.0,
    720.0,
    ESTIMATE,
);
/// Changes of a branch's water.
pub const CHANGES: Convention = by(
    "a branch is given three changes of its water at least",
    3.0,
    3.0,
    source("judgement", "no source"),
);
/// In s.
pub const PROOF: Convention = by(
    "samples and readings take 10 to 20 minutes",
    600.0,
    1200.0,
    PRACTICE,
);
/// In m.
pub const DUMP_FALL: Convention = by("the dump hose falls by 0.5 to 1.5 m", 0.5, 1.5, PRACTICE);

/// In m³/h. Its bypass, open.
pub const BYPASS: Convention = by(
    "an open bypass passes 0.5 to 4 m³/h at one bar",
    0.5,
    4.0,
    MEMORY,
);
/// In m³/h. A store, buffer or header between its pipes.
pub const VESSEL: Convention = by(
    "a store, buffer or low-loss header passes 8 to 30 m³/h at one bar between its pipes",
    8.0,
    30.0,
    source(
        "loss coefficients of two 22 to 28 mm entries",
        "from memory",
    ),
);
/// Roughness in m of steel that has long been in service.
pub const OLD_STEEL: Convention = by(
    "the wall of steel pipe in service is 0.1 to 1.5 mm rough",
    0.1e-3,
    1.5e-3,
    source(
        "judgement, within the handbook's classes of corroded steel",
        "from memory",
    ),
);

/// Every number above, in the order of this file.
pub const ALL: &[Convention] = &[
    STOREY,
    TOP_OF_EMITTER,
    TANK_LEVEL,
    PLATE,
    CURVE,
    HOSE_BORE,
    FITTINGS,
    TAIL_FITTINGS,
    STEPPED,
    PIECE_LENGTH,
    PIECE_LOSS,
    TAIL_LENGTH,
    LOOP_FITTINGS,
    LOOP_VALVE,
    TAIL_BORE,
    HOSE_LENGTH,
    WATER,
    GROUND,
    HOST_FITTINGS,
    WATER_GAP,
    BOTTOM_CHANNEL,
    TEMPERATURE,
    REVERSAL,
    FIRST_ROUND,
    ALL_OPEN,
    EACH_EMITTER,
    EACH_SLOW_EMITTER,
    EACH_LOOP,
    CHANGES,
    PROOF,
    DUMP_FALL,
    BYPASS,
    VESSEL,
    OLD_STEEL,
];

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

/// Flow coefficient in m³/h of a way through plant or valves, by the name in the physics' table.
///
/// # Panics
/// When the table has no such row; a test names every row that is asked for.
pub fn named(item: &str) -> Range {
    let found = minor::VALVES.iter().find(|row| row.item == item);
    let Coefficient { low, high, .. } = found.expect("the table has the row");
    Range::new(*low, *high)
}

/// Roughness in m of a wall, by the name in the physics' table.
///
/// # Panics
/// When the table has no such row; a test names every row that is asked for.
pub fn roughness(wall: &str) -> Range {
    let found = pipe::ROUGHNESSES.iter().find(|row| row.wall == wall);
    let WallRoughness { low, high, .. } = found.expect("the table has the row");
    Range::new(*low, *high)
}
