//! Doses: cleaner and inhibitor, and raising the strength of a full system.
//!
//! Contract: volumes in m³, strengths and rates as shares by volume. Two volumes must be kept apart:
//! what circulates during a flush, with the machine's tank, and what is wetted in service. The risk
//! of dosing too little goes with the upper end of a volume, of dosing too much with the lower.

use super::{OutOfRange, VOLUME, above, above_zero, not_negative, within};

const RATE: (&str, &str) = ("dose as a share of the water", "");
const STRENGTH: (&str, &str) = ("strength", "");

/// Product for a volume of water, in m³.
///
/// `V_p = r V`: `r` the share named on the label, often 0.01, `V` the water in m³.
///
/// Valid for a share from 0 to 1.
///
/// ```
/// let litres = 1000.0 * wetside_physics::dosing::product(0.01, 0.1).unwrap();
/// assert!((litres - 1.0).abs() < 1e-12);
/// ```
///
/// Source: arithmetic; the usual share is from memory, the label rules.
pub fn product(share: f64, water: f64) -> Result<f64, OutOfRange> {
    Ok(within(RATE, share, 0.0, 1.0)? * not_negative(VOLUME, water)?)
}

/// Product put in through a machine so that the system keeps its share, in m³.
///
/// `V_p = r (V + V_m)`: `V` water of the system, `V_m` of the machine and its hoses. What is in the
/// machine when it is taken away is lost.
///
/// Valid for a share from 0 to 1.
///
/// ```
/// let litres = 1000.0 * wetside_physics::dosing::product_through_machine(0.01, 0.1, 0.03).unwrap();
/// assert!((litres - 1.3).abs() < 1e-12);
/// ```
///
/// Source: mass balance.
pub fn product_through_machine(
    share: f64,
    system_water: f64,
    machine_water: f64,
) -> Result<f64, OutOfRange> {
    let water = not_negative(VOLUME, system_water)? + not_negative(VOLUME, machine_water)?;
    product(share, water)
}

/// Strength that an amount of product gives, as a share.
///
/// `c = V_p/V`: `V_p` product and `V` water in m³, product included.
///
/// Valid for a volume above 0 and product of at most the volume.
///
/// ```
/// let share = wetside_physics::dosing::strength(0.001, 0.125).unwrap();
/// assert!((share - 0.008).abs() < 1e-12);
/// ```
///
/// Source: the definition.
pub fn strength(product: f64, water: f64) -> Result<f64, OutOfRange> {
    let water = above_zero(VOLUME, water)?;
    Ok(within(("volume of the product", "m³"), product, 0.0, water)? / water)
}

/// Product for an empty system that is to be filled to a strength, in m³.
///
/// `V_x = V c₂/c₀`: `V` volume of the system in m³, `c₂` strength wanted, `c₀` strength of the
/// product.
///
/// Valid for a product not weaker than the strength wanted.
///
/// ```
/// let litres = 1000.0 * wetside_physics::dosing::into_empty(0.1, 0.30, 1.0).unwrap();
/// assert!((litres - 30.0).abs() < 1e-9);
/// ```
///
/// Source: mass balance; shrinkage on mixing is left out.
pub fn into_empty(volume: f64, wanted: f64, of_product: f64) -> Result<f64, OutOfRange> {
    exchange(volume, 0.0, wanted, of_product)
}

/// Water to drain and product to put in its place so that a full system gains a strength, in m³.
///
/// `V_x = V (c₂ − c₁)/(c₀ − c₁)`: `c₁` strength now, the rest as in [`into_empty`]. It supposes that
/// what is drained has the strength of the whole.
///
/// Valid for `0 ≤ c₁ ≤ c₂ ≤ c₀ ≤ 1` with `c₁` below `c₀`.
///
/// ```
/// let litres = 1000.0 * wetside_physics::dosing::exchange(0.1, 0.20, 0.30, 1.0).unwrap();
/// assert!((litres - 12.5).abs() < 1e-9);
/// ```
///
/// Source: mass balance.
pub fn exchange(volume: f64, now: f64, wanted: f64, of_product: f64) -> Result<f64, OutOfRange> {
    let now = within(STRENGTH, now, 0.0, 1.0)?;
    let product = above(("strength of the product", ""), of_product, now)?;
    within(("strength of the product", ""), product, now, 1.0)?;
    let wanted = within(("strength wanted", ""), wanted, now, product)?;
    Ok(not_negative(VOLUME, volume)? * (wanted - now) / (product - now))
}

/// Strength left after part of a system was drained and filled with water, as a share.
///
/// `c = c₁ (1 − V_x/V)`: `V_x` volume drained, `V` of the system, `c₁` strength before.
///
/// Valid for a drained volume of at most the system.
///
/// ```
/// let share = wetside_physics::dosing::after_topping_up(0.1, 0.02, 0.01).unwrap();
/// assert!((share - 0.008).abs() < 1e-12);
/// ```
///
/// Source: mass balance.
pub fn after_topping_up(volume: f64, drained: f64, before: f64) -> Result<f64, OutOfRange> {
    let volume = above_zero(VOLUME, volume)?;
    let drained = within(("volume drained", "m³"), drained, 0.0, volume)?;
    Ok(within(STRENGTH, before, 0.0, 1.0)? * (1.0 - drained / volume))
}
