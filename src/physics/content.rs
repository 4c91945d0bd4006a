//! Water held by emitters, plant and whole systems, as ranges.
//!
//! Contract: volumes are in m³ and come as a [`Range`]. The error of a panel radiator's content is
//! common to all radiators of a house and does not average out, so ranges are added end to end.
//! Nearly all figures are from memory of catalogues and must be told as such.

use super::{LENGTH, OutOfRange, within};

/// A quantity known to lie between two ends, with the value most likely.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Range {
    pub low: f64,
    pub typical: f64,
    pub high: f64,
}

/// What a row of [`HOLDS`] counts.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Per {
    Section,
    /// A square metre of the face of a towel rail, or of heated floor.
    SquareMetre,
    Piece,
    /// A kilowatt of the boiler, for a whole system.
    Kilowatt,
    /// A radiator panel, for a whole system; a double radiator counts two.
    Panel,
}

/// The water held by one sort of emitter, plant or system.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Holds {
    pub item: &'static str,
    pub per: Per,
    /// In m³ each.
    pub range: Range,
    pub source: &'static str,
}

const MEMORY: &str = "from memory";
const GUIDE: &str = "consumer guide that quotes catalogues, read";
const SHEET: &str = "trade sheet, read";

/// Water held by emitters, plant and whole systems.
///
/// Source: named in each row.
pub const HOLDS: [Holds; 25] = {
    use Per::{Kilowatt, Panel, Piece, Section, SquareMetre};
    [
        holds(
            "steel column radiator, 2 columns, 600 mm",
            Section,
            0.45,
            0.6,
            0.85,
            MEMORY,
        ),
        holds(
            "steel column radiator, 3 columns, 600 mm",
            Section,
            0.7,
            0.9,
            1.2,
            MEMORY,
        ),
        holds(
            "steel column radiator, 4 columns, 600 mm",
            Section,
            0.9,
            1.15,
            1.6,
            MEMORY,
        ),
        holds(
            "steel column radiator, 6 columns, 600 mm",
            Section,
            1.3,
            1.7,
            2.3,
            MEMORY,
        ),
        holds(
            "steel sectional radiator, 300 mm",
            Section,
            1.0,
            1.075,
            1.2,
            GUIDE,
        ),
        holds(
            "steel sectional radiator, 1000 mm",
            Section,
            2.0,
            2.25,
            2.4,
            GUIDE,
        ),
        holds("ribbed radiator", Section, 0.5, 1.1, 1.9, GUIDE),
        holds(
            "cast-iron radiator, 4 columns, 660 mm",
            Section,
            1.6,
            2.2,
            3.0,
            MEMORY,
        ),
        holds(
            "cast-iron radiator, 4 columns, 760 mm",
            Section,
            1.9,
            2.6,
            3.5,
            MEMORY,
        ),
        holds(
            "cast-iron radiator, ornate, 760 mm",
            Section,
            1.6,
            2.4,
            3.6,
            MEMORY,
        ),
        holds("ladder towel rail", SquareMetre, 6.0, 8.5, 12.0, MEMORY),
        holds(
            "floor heating, 16x2 at 150 mm",
            SquareMetre,
            0.65,
            0.75,
            0.9,
            "geometry",
        ),
        holds("condensing boiler, wall-hung", Piece, 1.0, 2.5, 5.0, MEMORY),
        holds(
            "older boiler, wall-hung, copper",
            Piece,
            1.0,
            2.5,
            6.0,
            MEMORY,
        ),
        holds(
            "cast-iron boiler, floor-standing",
            Piece,
            8.0,
            14.0,
            25.0,
            MEMORY,
        ),
        holds("back boiler", Piece, 5.0, 9.0, 14.0, MEMORY),
        holds("cylinder coil", Piece, 2.5, 5.0, 8.0, MEMORY),
        holds("plate heat exchanger", Piece, 0.3, 0.5, 0.9, MEMORY),
        holds("thermal store", Piece, 80.0, 150.0, 300.0, MEMORY),
        holds("magnetic filter", Piece, 0.3, 0.8, 1.5, MEMORY),
        holds("low-loss header", Piece, 1.0, 2.0, 4.0, MEMORY),
        holds(
            "system of panel radiators",
            Kilowatt,
            8.0,
            11.0,
            14.0,
            SHEET,
        ),
        holds(
            "system of cast-iron radiators",
            Kilowatt,
            10.0,
            14.0,
            20.0,
            SHEET,
        ),
        holds("small or microbore system", Kilowatt, 4.0, 6.0, 9.0, SHEET),
        holds(
            "system with pipes",
            Panel,
            5.0,
            7.0,
            10.0,
            "two trade rules of 7 and 10 l, read",
        ),
    ]
};

/// Water in a panel radiator, in m³.
///
/// `V = n L (0.25 + 4.8 H)` in litres: `n` the number of panels, `L` length and `H` height in m.
/// Convector fins hold no water, so a panel with fins counts as one without. The range is −20 to
/// +45 %, since make and age are unknown: an old panel with a seam along its top holds more.
///
/// Valid for 1 to 3 panels, 0.3 to 0.9 m high and up to 3 m long.
///
/// ```
/// let double = wetside_physics::content::panel_radiator(2, 0.6, 1.0).unwrap();
/// assert!((double.typical - 6.26e-3).abs() < 1e-9);
/// ```
///
/// Source: a fit of our own to catalogue values from memory; the water gap it implies, 5.2 mm at
/// 600 mm, is plausible.
pub fn panel_radiator(panels: u32, height: f64, length: f64) -> Result<Range, OutOfRange> {
    let panels = within(("number of panels", ""), f64::from(panels), 1.0, 3.0)?;
    let height = within(("height", "m"), height, 0.3, 0.9)?;
    let length = within(LENGTH, length, 0.0, 3.0)?;
    let typical = 1e-3 * panels * length * (0.25 + 4.8 * height);
    Ok(Range {
        low: 0.80 * typical,
        typical,
        high: 1.45 * typical,
    })
}

/// A row of [`HOLDS`] from litres.
const fn holds(
    item: &'static str,
    per: Per,
    low: f64,
    typical: f64,
    high: f64,
    source: &'static str,
) -> Holds {
    Holds {
        item,
        per,
        range: Range {
            low: low / 1000.0,
            typical: typical / 1000.0,
            high: high / 1000.0,
        },
        source,
    }
}
