//! Water held by panel radiators.
//!
//! Contract: the error of a panel radiator's content is common to all radiators of a house and does not
//! average out, so ranges are added end to end.

use super::{LENGTH, OutOfRange, within};

/// A quantity known to lie between two ends, with the value most likely.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Range {
    pub low: f64,
    pub typical: f64,
    pub high: f64,
}

/// Water in a panel radiator, in m³.
///
/// `V = n L (0.25 + 4.8 H)` in litres: `n` the number of panels, `L` length and `H` height in m.
/// Convector fins hold no water, so a panel with fins counts as one without. The range is −20 to
/// +45 %, since make and age are unknown: an old panel with a seam along its top holds more.
///
/// Valid for 1 to 3 panels, 0.3 to 0.9 m high and up to 3 m long.
///
/// ```
/// let double = wetside_physics::content::panel_radiator(2.0, 0.6, 1.0).unwrap();
/// assert!((double.typical - 6.26e-3).abs() < 1e-9);
/// ```
///
/// Source: a fit of our own to catalogue values from memory; the water gap it implies, 5.2 mm at
/// 600 mm, is plausible.
pub fn panel_radiator(panels: f64, height: f64, length: f64) -> Result<Range, OutOfRange> {
    let panels = within(("number of panels", ""), panels, 1.0, 3.0)?;
    let height = within(("height", "m"), height, 0.3, 0.9)?;
    let length = within(LENGTH, length, 0.0, 3.0)?;
    let typical = 1e-3 * panels * length * (0.25 + 4.8 * height);
    Ok(Range {
        low: 0.80 * typical,
        typical,
        high: 1.45 * typical,
    })
}
