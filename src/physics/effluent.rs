//! Effluent: blending hot or strong water with clean water before it is let go.
//!
//! Contract: both waters count as equally dense and equally good at holding heat, which is right to
//! about 2 % between 10 and 80 °C.

use super::{OutOfRange, above, finite, not_negative, within};

const HOT: (&str, &str) = ("temperature of the effluent", "°C");
const COLD: (&str, &str) = ("temperature of the cold water", "°C");
const LIMIT: (&str, &str) = ("temperature limit", "°C");

/// Cold water needed for each part of hot effluent, without unit.
///
/// `r = (T − T_l)/(T_l − T_c)`: `T` temperature of the effluent, `T_l` limit, `T_c` of the cold
/// water, in °C. 0 when the effluent is within the limit.
///
/// Valid from 0 to 100 °C with cold water below the limit.
///
/// ```
/// // A limit of 43 °C, effluent at 60 °C, mains at 10 °C.
/// let parts = wetside_physics::effluent::cold_per_hot(60.0, 43.0, 10.0).unwrap();
/// assert!((parts - 0.515).abs() < 0.001);
/// ```
///
/// Source: the heat balance.
pub fn cold_per_hot(hot: f64, limit: f64, cold: f64) -> Result<f64, OutOfRange> {
    let hot = within(HOT, hot, 0.0, 100.0)?;
    let cold = within(COLD, cold, 0.0, 100.0)?;
    let limit = above(LIMIT, within(LIMIT, limit, 0.0, 100.0)?, cold)?;
    Ok(((hot - limit) / (limit - cold)).max(0.0))
}

/// Temperature or concentration of a blend.
///
/// `x = (q₁ x₁ + q₂ x₂)/(q₁ + q₂)`: `q` flows or volumes in one unit, `x` the temperatures in °C or
/// the concentrations in one unit.
///
/// Valid for amounts of at least 0, not both 0.
///
/// ```
/// let celsius = wetside_physics::effluent::blend((1.0, 60.0), (0.515, 10.0)).unwrap();
/// assert!((celsius - 43.0).abs() < 0.01);
/// ```
///
/// Source: the heat or mass balance.
pub fn blend(
    (first, first_value): (f64, f64),
    (second, second_value): (f64, f64),
) -> Result<f64, OutOfRange> {
    let amount = ("amount", "");
    let (first, second) = (not_negative(amount, first)?, not_negative(amount, second)?);
    let all = super::above_zero(("amount of both together", ""), first + second)?;
    let value = ("value to blend", "");
    let sum = first * finite(value, first_value)? + second * finite(value, second_value)?;
    Ok(sum / all)
}

/// Clean water needed for each part of strong effluent, without unit.
///
/// `r = (C − C_l)/(C_l − C_c)`: `C` concentration of the effluent, `C_l` limit, `C_c` of the clean
/// water, in one unit. 0 when the effluent is within the limit.
///
/// Valid for concentrations of at least 0 with clean water below the limit. Whether thinning is
/// allowed as a way to meet a limit is for the law to say.
///
/// ```
/// let parts = wetside_physics::effluent::clean_per_strong(2500.0, 1000.0, 300.0).unwrap();
/// assert!((parts - 2.142857).abs() < 1e-6);
/// ```
///
/// Source: the mass balance.
pub fn clean_per_strong(strong: f64, limit: f64, clean: f64) -> Result<f64, OutOfRange> {
    let concentration = ("concentration", "");
    let clean = not_negative(concentration, clean)?;
    let strong = not_negative(concentration, strong)?;
    let limit = above(("limit of the concentration", ""), limit, clean)?;
    Ok(((strong - limit) / (limit - clean)).max(0.0))
}
