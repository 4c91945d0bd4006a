//! Heat: what a system stores, how long it takes to warm, the flow that carries a power, and the blending
//! of hot water with cold before it is let go.
//!
//! Contract: temperatures in °C, powers in W, heat capacities in J/K, times in s. One temperature
//! stands for the whole system. `None` means never, at this power. Two waters
//! that are blended count as equally dense and equally good at holding heat, which is right to about 2 %
//! between 10 and 80 °C.

use super::{CELSIUS, OutOfRange, VOLUME, above, above_zero, finite, not_negative, water, within};

/// A warming from one temperature to another under constant power.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Warming {
    /// Heat capacity of everything warmed, in J/K.
    pub capacity: f64,
    /// Power put in, in W.
    pub power: f64,
    /// Temperature of the air around, in °C.
    pub ambient: f64,
    pub from: f64,
    pub to: f64,
}

const HOT: (&str, &str) = ("temperature of the effluent", "°C");
const COLD: (&str, &str) = ("temperature of the cold water", "°C");
const LIMIT: (&str, &str) = ("temperature limit", "°C");
const POWER: (&str, &str) = ("power", "W");
const CAPACITY: (&str, &str) = ("heat capacity", "J/K");
const DIFFERENCE: (&str, &str) = ("temperature difference", "K");

/// Heat capacity of a volume of water, in J/K.
///
/// `C = V ρ c`: `V` the volume in m³, `ρ` and `c` density and heat capacity at the temperature given.
///
/// Valid from 0 to 100 °C; take the middle of a warming.
///
/// ```
/// let water = wetside_physics::heat::capacity(0.1, 37.5).unwrap();
/// assert!((water / 415_060.0 - 1.0).abs() < 1e-3);
/// ```
///
/// Source: the definition.
pub fn capacity(volume: f64, celsius: f64) -> Result<f64, OutOfRange> {
    let volume = not_negative(VOLUME, volume)?;
    Ok(volume * water::density(celsius)? * water::heat_capacity(celsius)?)
}

/// Time to warm up against a loss that grows with the temperature, in s.
///
/// `t = (C/U) ln((P − U (T₀ − T_a))/(P − U (T₁ − T_a)))`, or `C (T₁ − T₀)/P` without loss: `C` heat
/// capacity in J/K, `P` power in W, `U` loss in W per K above the air at `T_a`, from `T₀` to `T₁`.
/// `None` when the loss eats the power before the end.
///
/// Valid for a power above 0, a loss of at least 0 and an end not below the start.
///
/// ```
/// use wetside_physics::heat::{Warming, warming_time};
/// let house = Warming { capacity: 497_112.5, power: 18e3, ambient: 20.0, from: 15.0, to: 60.0 };
/// assert!((warming_time(&house, 120.0).unwrap().unwrap() / 60.0 - 23.678).abs() < 1e-3);
/// ```
///
/// Source: the heat balance of one mass (textbook, from memory).
pub fn warming_time(warming: &Warming, loss: f64) -> Result<Option<f64>, OutOfRange> {
    let (capacity, power) = checked(warming)?;
    let loss = not_negative(("heat loss", "W/K"), loss)?;
    if warming.from == warming.to {
        return Ok(Some(0.0));
    }
    let left = power - loss * (warming.to - warming.ambient);
    if left <= 0.0 {
        return Ok(None);
    }
    // ln(1 + x) keeps its digits where the loss is small, and meets the case without loss.
    let share = loss * (warming.to - warming.from) / left;
    if share == 0.0 {
        return Ok(Some(capacity * (warming.to - warming.from) / power));
    }
    Ok(Some(capacity / loss * share.ln_1p()))
}

/// Temperature that a warming reaches in a time, in °C, and no further than its end.
///
/// `T = T_a + P/U + (T₀ − T_a − P/U) exp(−U t/C)`, or `T₀ + P t/C` without loss: letters as for
/// [`warming_time`], `t` the time in s.
///
/// Valid as [`warming_time`] is, for a time of at least 0.
///
/// ```
/// use wetside_physics::heat::{Warming, warmed};
/// let hall = Warming { capacity: 1.76e6, power: 2.4e3, ambient: 10.0, from: 10.0, to: 50.0 };
/// assert!((warmed(&hall, 0.0, 1800.0).unwrap() - 12.45).abs() < 0.01);
/// ```
///
/// Source: the heat balance of one mass (textbook, from memory).
pub fn warmed(warming: &Warming, loss: f64, time: f64) -> Result<f64, OutOfRange> {
    let (capacity, power) = checked(warming)?;
    let loss = not_negative(("heat loss", "W/K"), loss)?;
    let time = not_negative(("time", "s"), time)?;
    let left = power - loss * (warming.from - warming.ambient);
    let exponent = -loss * time / capacity;
    // Without loss it goes on rising as it began.
    let slower = if exponent == 0.0 {
        1.0
    } else {
        exponent.exp_m1() / exponent
    };
    Ok((warming.from + left * time / capacity * slower).min(warming.to))
}

/// Flow that carries a power at a temperature difference, in m³/s.
///
/// `Q = P/(ρ c ΔT)`: `P` power in W, `ΔT` difference between flow and return in K, `ρ` and `c`
/// density and heat capacity of the fluid in kg/m³ and J/(kg K).
///
/// Valid for a power of at least 0 and a difference above 0.
///
/// ```
/// let flow = wetside_physics::heat::flow_for(8000.0, 5.0, 994.0, 4178.0).unwrap();
/// assert!((60_000.0 * flow - 23.1).abs() < 0.1); // litres a minute for a heat pump of 8 kW
/// ```
///
/// Source: the heat balance.
pub fn flow_for(
    power: f64,
    difference: f64,
    density: f64,
    heat_capacity: f64,
) -> Result<f64, OutOfRange> {
    let difference = above_zero(DIFFERENCE, difference)?;
    let per_kelvin = above_zero(super::DENSITY, density)?
        * above_zero(("heat capacity", "J/(kg K)"), heat_capacity)?;
    Ok(not_negative(POWER, power)? / (per_kelvin * difference))
}

/// Cold water needed for each part of hot effluent, without unit.
///
/// `r = (T − T_l)/(T_l − T_c)`: `T` temperature of the effluent, `T_l` limit, `T_c` of the cold
/// water, in °C. 0 when the effluent is within the limit.
///
/// Valid from 0 to 100 °C with cold water below the limit.
///
/// ```
/// // A limit of 43 °C, effluent at 60 °C, mains at 10 °C.
/// let parts = wetside_physics::heat::cold_per_hot(60.0, 43.0, 10.0).unwrap();
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

fn checked(warming: &Warming) -> Result<(f64, f64), OutOfRange> {
    let capacity = above_zero(CAPACITY, warming.capacity)?;
    let power = above_zero(POWER, warming.power)?;
    finite(("temperature of the air", "°C"), warming.ambient)?;
    let from = within(CELSIUS, warming.from, 0.0, 100.0)?;
    within(("temperature at the end", "°C"), warming.to, from, 100.0)?;
    above(("temperature of the air", "°C"), warming.ambient, -60.0)?;
    Ok((capacity, power))
}
