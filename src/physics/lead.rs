//! Voltage lost in an extension lead.
//!
//! Contract: single-phase, two cores carry the current. A lead left on its drum carries half as much
//! and runs hotter. A motor draws four to seven times its running current when it starts (from
//! memory).

use super::{LENGTH, OutOfRange, not_negative, within};

/// A flexible cord with two copper cores that carry the current.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Cord {
    /// Area of a core in m².
    pub area: f64,
    /// Voltage lost per ampere and metre of lead, in V/(A m), with the cores at 60 °C.
    pub drop: f64,
    /// Greatest resistance of one core at 20 °C in Ω/m, where it was found.
    pub resistance: Option<f64>,
}

/// The usual cords.
///
/// Source: drops from BS 7671 table 4F3B, resistances from IEC 60228 class 5 (both read).
pub const CORDS: [Cord; 6] = [
    cord(0.75, 62.0, Some(26.0)),
    cord(1.0, 46.0, Some(19.5)),
    cord(1.25, 37.0, None),
    cord(1.5, 32.0, Some(13.3)),
    cord(2.5, 19.0, Some(7.98)),
    cord(4.0, 12.0, Some(4.95)),
];

const CURRENT: (&str, &str) = ("current", "A");

/// The cord with a given area of core in m².
///
/// Valid for the areas of [`CORDS`]; `None` for any other, since between them nothing is known.
///
/// ```
/// assert!(wetside_physics::lead::of_area(1.5e-6).is_some());
/// assert!(wetside_physics::lead::of_area(2.0e-6).is_none());
/// ```
///
/// Source: [`CORDS`].
pub fn of_area(area: f64) -> Option<&'static Cord> {
    CORDS
        .iter()
        .find(|cord| (cord.area / area - 1.0).abs() < 1e-9)
}

/// Voltage lost in a lead, in V.
///
/// `U = d I L`: `d` drop of the cord in V/(A m), `I` current in A, `L` length of the lead in m.
///
/// Valid for cores at up to 60 °C.
///
/// ```
/// use wetside_physics::lead::{of_area, voltage_lost};
/// let volts = voltage_lost(of_area(1.5e-6).unwrap(), 25.0, 10.0).unwrap();
/// assert!((volts - 8.0).abs() < 1e-9);
/// ```
///
/// Source: BS 7671 table 4F3B (read).
pub fn voltage_lost(cord: &Cord, length: f64, current: f64) -> Result<f64, OutOfRange> {
    Ok(cord.drop * not_negative(LENGTH, length)? * not_negative(CURRENT, current)?)
}

/// Voltage lost in a lead from the resistance of its cores, in V.
///
/// `U = 2 L I R (234.5 + t)/254.5`: `R` resistance of one core at 20 °C in Ω/m, `t` temperature of
/// the copper in °C, the rest as in [`voltage_lost`].
///
/// Valid from 0 to 100 °C.
///
/// ```
/// let volts = wetside_physics::lead::voltage_lost_at(0.0133, 15.0, 13.0, 60.0).unwrap();
/// assert!((volts - 6.002).abs() < 0.001);
/// ```
///
/// Source: IEC 60228 (read); the temperature rule of copper from memory.
pub fn voltage_lost_at(
    resistance: f64,
    length: f64,
    current: f64,
    celsius: f64,
) -> Result<f64, OutOfRange> {
    let warm = (234.5 + within(super::CELSIUS, celsius, 0.0, 100.0)?) / 254.5;
    let resistance = not_negative(("resistance of a core", "Ω/m"), resistance)?;
    let path = 2.0 * not_negative(LENGTH, length)?;
    Ok(path * not_negative(CURRENT, current)? * resistance * warm)
}

/// A row of [`CORDS`] from mm², mV/(A m) and Ω/km.
const fn cord(area: f64, drop: f64, resistance: Option<f64>) -> Cord {
    Cord {
        area: area / 1e6,
        drop: drop / 1000.0,
        resistance: match resistance {
            Some(resistance) => Some(resistance / 1000.0),
            None => None,
        },
    }
}
