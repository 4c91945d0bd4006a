//! The expansion vessel of a sealed system, and the pressure to fill it to when cold.
//!
//! Contract: volumes in m³, pressures in Pa above the air. The gas is at the temperature of the cold
//! system throughout. With antifreeze use the densities of the mixture: it expands up to 1.6 times
//! as much as water.

use super::{BAR, DENSITY, OutOfRange, VOLUME, above, above_zero, not_negative, within};

/// What a vessel has to serve.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Duty {
    /// Water of the system in m³.
    pub system_volume: f64,
    /// Share by which the water grows; see [`expansion`].
    pub expansion: f64,
    /// Pressure of the water column above the vessel, in Pa.
    pub static_pressure: f64,
    /// Pressure by which the gas side must be above the column at least, in Pa; usually 0.2 to 0.3 bar.
    pub margin: f64,
    /// Measured charge of the gas side, in Pa.
    pub charge: f64,
    /// Pressure by which the system is filled above the charge when cold, in Pa.
    pub fill: f64,
    /// Pressure at which the safety valve opens, in Pa.
    pub safety_valve: f64,
}

/// The air, as vessel formulas count it: one bar.
const AIR: f64 = BAR;
const PRESSURE: (&str, &str) = ("pressure", "Pa");
const CHARGE: (&str, &str) = ("pressure of the gas before filling", "Pa");
const EXPANSION: (&str, &str) = ("expansion as a share", "");

/// Share by which water grows when it is warmed.
///
/// `e = ρ₁/ρ₂ − 1`: `ρ₁` density cold and `ρ₂` hot, in kg/m³.
///
/// Valid for a hot density above 0 and not above the cold one.
///
/// ```
/// use wetside_physics::{vessel, water};
/// let cold = water::density(10.0).unwrap();
/// let e = vessel::expansion(cold, water::density(80.0).unwrap()).unwrap();
/// assert!((e - 0.0287).abs() < 1e-4);
/// ```
///
/// Source: conservation of mass.
pub fn expansion(cold_density: f64, hot_density: f64) -> Result<f64, OutOfRange> {
    let hot = above_zero(DENSITY, hot_density)?;
    Ok(within(
        ("density when cold", "kg/m³"),
        cold_density,
        hot,
        f64::INFINITY,
    )? / hot
        - 1.0)
}

/// Least size of an expansion vessel, in m³.
///
/// `V = V_e/((p₀ + 1 bar)(1/(p_a + 1 bar) − 1/(p_e + 1 bar)))`: `V_e = e V_s` water that expands, `p₀` the
/// charge, and no less than column plus margin, `p_a` the cold fill, `p_e` safety valve less 0.5 bar up to
/// 5 bar and nine tenths of it above. What the cold fill pushes in is the reserve; a vessel of more than
/// 15 litres holds 0.5 % of the system or 3 litres at least, so that it is no smaller than
/// `(V_e + V_r)(p_e + 1 bar)/(p_e − p₀)`.
///
/// Valid for a highest pressure above the cold fill.
///
/// ```
/// use wetside_physics::vessel::{Duty, least_size};
/// let duty = Duty {
///     system_volume: 0.1, expansion: 0.028726, static_pressure: 0.5e5, margin: 0.2e5,
///     charge: 0.8e5, fill: 0.3e5, safety_valve: 3e5,
/// };
/// let least = least_size(&duty).unwrap();
/// assert!((1000.0 * least - 8.379).abs() < 0.001);
/// ```
///
/// Source: Boyle's law; the reserve by the form of EN 12828 (from memory). Multiples of the system's volume
/// printed in installation instructions for a valve of 3 bar, 0.0833, 0.109 and 0.156 at a charge of 0.5, 1
/// and 1.5 bar (from memory), lie between this at 80 °C and at 95.
pub fn least_size(duty: &Duty) -> Result<f64, OutOfRange> {
    /// Up to this size in m³ the cold fill alone is the reserve.
    const SMALL: f64 = 0.015;
    let system = above_zero(VOLUME, duty.system_volume)?;
    let expanded = within(EXPANSION, duty.expansion, 0.0, 0.2)? * system;
    let column = not_negative(PRESSURE, duty.static_pressure)?;
    let charge = not_negative(CHARGE, duty.charge)?;
    let charge = charge.max(column + not_negative(("margin", "Pa"), duty.margin)?);
    let filled = charge + not_negative(("fill above the charge", "Pa"), duty.fill)?;
    let highest = highest_in_service(duty.safety_valve)?;
    let highest = above(("highest pressure in service", "Pa"), highest, filled)?;
    let least = expanded / share_taken(charge, filled, highest);
    if least <= SMALL {
        return Ok(least);
    }
    let reserve = (0.005 * system).max(0.003);
    let acceptance = (highest - charge) / (highest + AIR);
    Ok(least.max((expanded + reserve) / acceptance))
}

/// Share of a vessel that the water takes between two pressures, by Boyle's law; all pressures in Pa.
fn share_taken(charge: f64, filled: f64, highest: f64) -> f64 {
    (charge + AIR) * (1.0 / (filled + AIR) - 1.0 / (highest + AIR))
}

/// Water that a vessel takes from a cold fill up to the highest pressure in service, in m³; nothing where the
/// fill stands at that or above.
///
/// `V = V_n (p₀ + 1 bar)(1/(p_a + 1 bar) − 1/(p_e + 1 bar))`: `V_n` size of the vessel, `p₀` its charge, `p_a` the
/// cold fill and no less than the charge, `p_e` as for [`least_size`].
///
/// Valid for a safety valve above 0.5 bar.
///
/// ```
/// let takes = wetside_physics::vessel::takes(0.01, 0.8e5, 1.2e5, 3e5).unwrap();
/// assert!((1000.0 * takes - 3.0390).abs() < 1e-3);
/// ```
///
/// Source: Boyle's law.
pub fn takes(size: f64, charge: f64, filled: f64, safety_valve: f64) -> Result<f64, OutOfRange> {
    let size = not_negative(VOLUME, size)?;
    let charge = not_negative(CHARGE, charge)?;
    let highest = highest_in_service(safety_valve)?;
    let filled = not_negative(PRESSURE, filled)?.clamp(charge, charge.max(highest));
    Ok(size * share_taken(charge, filled, highest).max(0.0))
}

/// Highest pressure in service under a safety valve, in Pa.
///
/// `p_e = p_v − 0.5 bar` up to `p_v` of 5 bar, `0.9 p_v` above: `p_v` pressure at which the valve
/// opens.
///
/// Valid for a valve above 0.5 bar.
///
/// ```
/// let highest = wetside_physics::vessel::highest_in_service(3e5).unwrap();
/// assert!((highest - 2.5e5).abs() < 1e-6);
/// ```
///
/// Source: EN 12828 (from memory).
pub fn highest_in_service(safety_valve: f64) -> Result<f64, OutOfRange> {
    let valve = above(
        ("pressure of the safety valve", "Pa"),
        safety_valve,
        0.5 * BAR,
    )?;
    Ok(if valve <= 5.0 * BAR {
        valve - 0.5 * BAR
    } else {
        0.9 * valve
    })
}

/// Pressure to fill a cold system to, in Pa.
///
/// `p = max(p_s + 0.3 bar, p₀ + Δ)`: `p_s` water column above the gauge, `p₀` charge of the vessel,
/// `Δ` what the fill stands above the charge, 0.2 to 0.3 bar.
///
/// Valid for pressures of at least 0.
///
/// ```
/// let fill = wetside_physics::vessel::cold_fill(0.5e5, 1.0e5, 0.2e5).unwrap();
/// assert!((fill - 1.2e5).abs() < 1e-6);
/// ```
///
/// Source: practice of commissioning texts (second-hand).
pub fn cold_fill(static_pressure: f64, charge: f64, above_charge: f64) -> Result<f64, OutOfRange> {
    let column = not_negative(PRESSURE, static_pressure)? + 0.3 * BAR;
    let gas = not_negative(CHARGE, charge)? + not_negative(("margin", "Pa"), above_charge)?;
    Ok(column.max(gas))
}
