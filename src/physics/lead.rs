//! Voltage lost in an extension lead.
//!
//! Contract: single-phase, two cores carry the current. A lead left on its drum carries half as much
//! and runs hotter. A motor draws four to seven times its running current when it starts (from
//! memory).

/// A flexible cord with two copper cores that carry the current.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Cord {
    /// Area of a core in m².
    pub area: f64,
    /// Voltage lost per ampere and metre of lead, in V/(A m), with the cores at 60 °C.
    pub drop: f64,
}

/// The usual cords.
///
/// Source: BS 7671 table 4F3B (read).
pub const CORDS: [Cord; 6] = [
    cord(0.75, 62.0),
    cord(1.0, 46.0),
    cord(1.25, 37.0),
    cord(1.5, 32.0),
    cord(2.5, 19.0),
    cord(4.0, 12.0),
];

/// A row of [`CORDS`] from mm² and mV/(A m).
const fn cord(area: f64, drop: f64) -> Cord {
    Cord {
        area: area / 1e6,
        drop: drop / 1000.0,
    }
}
