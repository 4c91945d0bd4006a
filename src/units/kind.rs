//! The kinds of quantity, once.
//!
//! A kind is what a field of the survey measures. Two kinds may share a dimension and yet never be
//! compared: that is the point of having kinds.
//!
//! Contract: one row of [`ROWS`] per kind, in the order of the enum. What *about* means is a column
//! of the table and nothing else: a convention of this program, common practice, no source.

use super::exact::Exact;
use super::interval::{End, Interval};
use serde::{Deserialize, Serialize};
use std::fmt;

/// What a quantity measures. In brackets the base unit in which its range is held.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
pub enum Kind {
    /// A bare number (1).
    Number,
    /// A bare whole number of things, never negative (1).
    Count,
    /// Turns of a valve's spindle (1 turn).
    Turns,
    /// A part of a whole, written in percent (1, so that 20 % is held as 0.2).
    Share,
    /// A calendar year, a bare whole number from 1600 to 2200 (1).
    Year,
    /// Acidity on the pH scale (1).
    Acidity,
    /// (m)
    Length,
    /// (m²)
    Area,
    /// (m³)
    Volume,
    /// (kg)
    Mass,
    /// A length of time, an age too (s).
    Time,
    /// A point on the temperature scale (K).
    Temperature,
    /// How far apart two temperatures are (K).
    TemperatureDifference,
    /// (m³/s)
    VolumeFlow,
    /// (m/s)
    Velocity,
    /// (m/s²)
    Acceleration,
    /// Pressure above that of the air around (Pa).
    GaugePressure,
    /// Pressure above a vacuum (Pa).
    AbsolutePressure,
    /// How far apart two pressures are: a loss, a lift, a tolerance (Pa).
    PressureDifference,
    /// Pressure difference as a height of water (m).
    Head,
    /// (W)
    Power,
    /// (J)
    Energy,
    /// (A)
    Current,
    /// (V)
    Voltage,
    /// Hardness of water, as calcium carbonate (kg/m³).
    Hardness,
    /// Total dissolved solids, TDS (kg/m³).
    DissolvedSolids,
    /// Electrical conductivity of water (S/m).
    Conductivity,
    /// Mass of a named substance in a volume of water (kg/m³).
    Concentration,
    /// Volume of a product to a volume of water (1).
    DoseRate,
    /// How often (1/s).
    Frequency,
}

/// How far either side of its number *about* reaches: a part of the number, or a least width if
/// that is more. The least width is in base units; both are ratios.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Rough {
    pub part: (i64, i64),
    pub least: (i64, i64),
}

/// Everything that is fixed about a kind.
#[derive(Debug)]
pub struct KindRow {
    pub kind: Kind,
    /// Lower-case words, as a schema or a message names the kind.
    pub name: &'static str,
    /// The name with its article, as messages put it: `… belongs here`.
    pub one: &'static str,
    /// Symbols of the unit that a bare number most likely lacks, by its size: the first row whose
    /// number is above it. The last row is also the unit of computed figures.
    pub likely: &'static [(u32, &'static str)],
    pub rough: Rough,
    /// For a point on a scale, the kind of the difference between two points.
    pub difference: Option<Kind>,
    /// Whether twice as much means something, so that it may be multiplied by a number.
    pub scales: bool,
}

impl Kind {
    /// Every kind, in the order of the table.
    pub fn all() -> impl Iterator<Item = Kind> {
        ROWS.iter().map(|row| row.kind)
    }

    pub fn row(self) -> &'static KindRow {
        &ROWS[self as usize]
    }

    /// The kind's name in lower-case words, such as `gauge pressure`.
    pub fn name(self) -> &'static str {
        self.row().name
    }

    /// The kind of that name; `None` if there is no such kind.
    pub fn named(name: &str) -> Option<Kind> {
        ROWS.iter().find(|row| row.name == name).map(|row| row.kind)
    }

    /// Whether it is written as a bare number, without a unit.
    pub fn is_bare(self) -> bool {
        matches!(
            self,
            Kind::Number | Kind::Count | Kind::Year | Kind::Acidity
        )
    }

    /// Whether only whole numbers of it exist.
    pub fn is_whole(self) -> bool {
        matches!(self, Kind::Count | Kind::Year)
    }

    /// Whether it is a point on a scale: two of them cannot be added, and their difference may be
    /// of another kind.
    pub fn is_point(self) -> bool {
        self.row().difference.is_some()
    }

    /// The kind of the difference of two of this kind.
    pub fn difference(self) -> Kind {
        self.row().difference.unwrap_or(match self {
            Kind::Count => Kind::Number,
            same => same,
        })
    }

    /// The range that *about* this value means, in base units and centred on it. `None` when the
    /// width would be nothing, as for about zero of what is rough in proportion, or does not fit.
    pub fn about(self, value: Exact) -> Option<Interval> {
        let Rough { part, least } = self.row().rough;
        let ratio = |(above, below): (i64, i64)| Exact::ratio(above.into(), below.into());
        let size = value.magnitude();
        let mut half = size.times(ratio(part)?)?.max(ratio(least)?);
        if self.is_whole() {
            half = half.ceil();
        }
        // What has a natural zero is not made negative by being rough.
        if self.row().difference.is_none() {
            half = half.min(size);
        }
        if half.is_zero() {
            return None;
        }
        Interval::new(
            End::Closed(value.minus(half)?),
            End::Closed(value.plus(half)?),
        )
    }
}

impl fmt::Display for Kind {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.name())
    }
}

const fn row(
    kind: Kind,
    name: &'static str,
    one: &'static str,
    likely: &'static [(u32, &'static str)],
    percent: i64,
) -> KindRow {
    let rough = Rough {
        part: (percent, 100),
        least: (0, 1),
    };
    KindRow {
        kind,
        name,
        one,
        likely,
        rough,
        difference: None,
        scales: true,
    }
}

const fn at_least(row: KindRow, least: (i64, i64)) -> KindRow {
    KindRow {
        rough: Rough {
            part: row.rough.part,
            least,
        },
        ..row
    }
}

const fn point(row: KindRow, difference: Kind, scales: bool) -> KindRow {
    KindRow {
        difference: Some(difference),
        scales,
        ..row
    }
}

const ANY: u32 = u32::MAX;

/// One row per kind. The last column of `row` is how rough *about* is, in percent either side.
#[rustfmt::skip]
pub static ROWS: [KindRow; 30] = [
    row(Kind::Number, "number", "a number", &[(ANY, "")], 20),
    at_least(row(Kind::Count, "count", "a count", &[(ANY, "")], 20), (1, 1)),
    at_least(row(Kind::Turns, "turns", "a number of turns", &[(ANY, "turns")], 20), (1, 4)),
    at_least(row(Kind::Share, "share", "a share", &[(ANY, "%")], 0), (5, 100)),
    point(at_least(row(Kind::Year, "year", "a calendar year", &[(ANY, "")], 0), (5, 1)), Kind::Number, false),
    point(at_least(row(Kind::Acidity, "acidity", "an acidity", &[(ANY, "")], 0), (1, 2)), Kind::Number, false),
    row(Kind::Length, "length", "a length", &[(10, "m"), (1_000_000, "mm"), (ANY, "m")], 20),
    row(Kind::Area, "area", "an area", &[(10, "m²"), (1_000_000, "mm²"), (ANY, "m²")], 20),
    row(Kind::Volume, "volume", "a volume", &[(ANY, "L")], 20),
    row(Kind::Mass, "mass", "a mass", &[(ANY, "kg")], 20),
    row(Kind::Time, "time", "a length of time", &[(ANY, "min")], 25),
    point(at_least(row(Kind::Temperature, "temperature", "a temperature", &[(ANY, "°C")], 0), (5, 1)), Kind::TemperatureDifference, false),
    at_least(row(Kind::TemperatureDifference, "temperature difference", "a temperature difference", &[(ANY, "K")], 20), (2, 1)),
    row(Kind::VolumeFlow, "volume flow", "a volume flow", &[(ANY, "L/min")], 15),
    row(Kind::Velocity, "velocity", "a velocity", &[(ANY, "m/s")], 15),
    row(Kind::Acceleration, "acceleration", "an acceleration", &[(ANY, "m/s²")], 15),
    point(row(Kind::GaugePressure, "gauge pressure", "a gauge pressure", &[(20, "bar"), (10_000, "kPa"), (ANY, "bar")], 15), Kind::PressureDifference, true),
    point(row(Kind::AbsolutePressure, "absolute pressure", "an absolute pressure", &[(20, "bar"), (10_000, "kPa"), (ANY, "bar")], 15), Kind::PressureDifference, true),
    row(Kind::PressureDifference, "pressure difference", "a pressure difference", &[(5, "bar"), (10_000, "kPa"), (ANY, "bar")], 15),
    row(Kind::Head, "head", "a head of water", &[(ANY, "m")], 15),
    row(Kind::Power, "power", "a power", &[(200, "kW"), (1_000_000, "W"), (ANY, "kW")], 20),
    row(Kind::Energy, "energy", "an energy", &[(ANY, "kWh")], 20),
    row(Kind::Current, "electric current", "an electric current", &[(20, "A"), (1_000, "mA"), (ANY, "A")], 15),
    row(Kind::Voltage, "voltage", "a voltage", &[(ANY, "V")], 10),
    row(Kind::Hardness, "hardness", "a hardness", &[(ANY, "mg/L")], 20),
    row(Kind::DissolvedSolids, "dissolved solids", "a reading of dissolved solids", &[(ANY, "ppm")], 15),
    row(Kind::Conductivity, "conductivity", "a conductivity", &[(ANY, "µS/cm")], 15),
    row(Kind::Concentration, "concentration", "a concentration", &[(ANY, "mg/L")], 20),
    row(Kind::DoseRate, "dose rate", "a dose rate", &[(ANY, "L per 100 L")], 20),
    row(Kind::Frequency, "frequency", "a frequency", &[(ANY, "per year")], 50),
];
