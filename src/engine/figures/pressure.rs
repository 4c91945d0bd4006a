//! Figures of pressure: under the pump, at rest with an open tank, and in a sealed system.
//!
//! The worst is taken throughout: the pump against a closed valve, and water at its heaviest.

use super::antifreeze::antifreeze_grows;
use super::emitters::floors_above;
use super::survey;
use super::table::{DEFINITION, Figure, Input, NO_SOURCE, Source, Work};
use super::table::{convention, fact, figure, figures, gathered, source, usual};
use super::view::{Gathered, Refused, View};
use wetside_base::facts::FactId;
use wetside_house::convention::{self as convention_of, STOREY};
use wetside_house::{PARTS, Range, celsius};
use wetside_physics::vessel::{Duty, cold_fill, expansion, least_size, takes};
use wetside_physics::{GRAVITY, water};
use wetside_units::Kind;

const HYDROSTATICS: Source = source("hydrostatics, water at 1,000 kg/m³", "arithmetic");
const PUMP: Input = fact("p_0", survey::SHUT_OFF_PRESSURE);
const PLATE: Input = usual(
    "k",
    "what its plate may be off by, as a factor",
    Kind::Number,
    &convention_of::PLATE,
);
const HEIGHT: Input = fact("h", survey::HEIGHT_ABOVE_LOWEST);
const LEVEL: Input = usual(
    "l",
    "level in its tank above its floor",
    Kind::Length,
    &convention_of::TANK_LEVEL,
);
const FILL: Input = convention(
    "Δ",
    "fill above the charge of the vessel",
    Kind::PressureDifference,
    (0.2e5, 0.3e5),
    source("filling instructions for sealed circuits", "read"),
);
const GROWS: Input = gathered(
    "g",
    "how many times as much as water it grows, by the antifreeze and its strength",
    Kind::Number,
    antifreeze_grows,
);
/// Pascals under a metre of cold water.
const METRE: f64 = 1000.0 * GRAVITY;

pub(super) const FIGURES: &[Figure] = figures! {
    "pressure_at_lowest": GaugePressure,
        "The most that the pump puts on the lowest part of the circuit: against a closed valve, with the \
         water that stands between the machine's tank and that part. The tank is open, so water above the \
         machine adds nothing.";
        "p = k p_0 + ρ g (h + l)", HYDROSTATICS;
        [PUMP, PLATE, HEIGHT, LEVEL]
        => { |pump, plate, height, level| plate * pump + METRE * (height + level) };

    "pressure_at_weakest": GaugePressure,
        "The most that the pump puts on the weakest part.";
        "p = k p_0 + ρ g (h + l − h_w)", HYDROSTATICS;
        [fact("h_w", survey::WEAKEST_HEIGHT).down(), PUMP, PLATE, HEIGHT, LEVEL]
        => { |weakest, pump, plate, height, level| plate * pump + METRE * (height + level - weakest) };

    "weakest_margin": PressureDifference,
        "What the weakest part is rated for beyond the pressure on it.";
        "Δp = p_rated − p_w", DEFINITION;
        [
            fact("p_rated", survey::WEAKEST_RATED),
            figure("p_w", "pressure_at_weakest").down(),
        ]
        => { |rated, pressure| rated - pressure };

    "relief_margin": PressureDifference,
        "How far the pressure at the lowest part stays below the setting of the safety valve.";
        "Δp = p_relief − p_lowest", DEFINITION;
        [
            fact("p_relief", survey::RELIEF_SETTING),
            figure("p_lowest", "pressure_at_lowest").down(),
        ]
        => { |relief, lowest| relief - lowest };

    "pressure_at_highest": GaugePressure,
        "The pressure at the top of the highest emitter with the pump stopped and the valves open. Below \
         nothing the water hangs by suction, and air comes in where it can; at −0.99 bar the column parts.";
        "p = −ρ g h, h = n H + r and at most h_s, and no lower than where the column of water parts",
        HYDROSTATICS;
        [
            gathered("n", "floors between the machine and the highest emitter", Kind::Number,
                |view, root| or_any(floors_above(view, root))),
            usual("H", "height of a storey", Kind::Length, &STOREY).either(),
            convention("r", "top of an emitter above the water in a tank on the same floor", Kind::Length,
                (0.0, 1.5), NO_SOURCE).down(),
            gathered("h_s", "the highest point of the water above that in the tank, by the static height",
                Kind::Length, |view, root| or_any(static_rise(view, root))),
        ]
        => { Work::Bounded {
            bounds: at_highest,
            method: "what the floors and the static height both allow",
        } };

    "cold_fill": GaugePressure,
        "The pressure to fill a sealed system to when cold.";
        "p = max(ρ g h + 0.3 bar, p_v + Δ)",
        source("filling instructions for sealed circuits", "second-hand");
        [
            fact("p_v", survey::VESSEL_CHARGE),
            fact("h", survey::STATIC_HEIGHT),
            FILL,
        ]
        => { |charge, height, above| cold_fill(METRE * height, charge, above)? };

    "expansion": Volume,
        "Water by which the system grows from cold to its hottest.";
        "V_e = g V_total (ρ(10 °C)/ρ(T) − 1)",
        source("conservation of mass; density by Kell, 1975", "from memory");
        [
            figure("V_total", "total_volume"),
            fact("T", survey::DESIGN_TEMPERATURE),
            GROWS,
        ]
        => { |total, hottest, times| total * times * grows(hottest)? };

    "vessel_least": Volume,
        "The least expansion vessel that serves the system, with a reserve of water.";
        "V = V_e/((p_0 + 1 bar)(1/(p_0 + Δ + 1 bar) − 1/(p_e + 1 bar))), p_0 the charge and at least \
         ρ g h + 0.2 bar, p_e the relief setting less 0.5 bar, or nine tenths of it above 5 bar; above 15 L \
         with 0.5 % of the water or 3 L to spare",
        source("Boyle's law, the reserve by the form of EN 12828", "from memory");
        [
            figure("V_total", "total_volume"),
            fact("T", survey::DESIGN_TEMPERATURE),
            GROWS,
            fact("h", survey::STATIC_HEIGHT),
            gathered("p_0", "measured charge of the vessel", Kind::GaugePressure,
                |view, root| view.amount(root, survey::VESSEL_CHARGE)),
            FILL,
            fact("p_relief", survey::RELIEF_SETTING).down(),
        ]
        => { |total, hottest, times, height, charge, fill, relief| {
            let duty = Duty {
                system_volume: total,
                expansion: times * grows(hottest)?,
                static_pressure: METRE * height,
                margin: 0.2e5,
                charge,
                fill,
                safety_valve: relief,
            };
            least_size(&duty)?
        } };

    "vessel_takes": Volume,
        "Water that the vessel takes from the cold fill as it was recorded up to the highest pressure in service.";
        "V = V_n (p_0 + 1 bar)(1/(p_a + 1 bar) − 1/(p_e + 1 bar)), p_a no less than p_0, p_e the relief setting \
         less 0.5 bar, or nine tenths of it above 5 bar",
        source("Boyle's law; the highest pressure by EN 12828", "from memory");
        [
            fact("V_n", survey::VESSEL_SIZE),
            fact("p_0", survey::VESSEL_CHARGE).either(),
            fact("p_a", survey::COLD_FILL).down(),
            fact("p_relief", survey::RELIEF_SETTING),
        ]
        => { Work::Bounded {
            bounds: vessel_takes,
            method: "it takes most where the fill stands just at the charge",
        } };
};

/// The range, or anything where there is none.
fn or_any(mut gathered: Gathered) -> Gathered {
    gathered.range = Ok(gathered.range.unwrap_or(ANY));
    gathered
}

const ANY: Range = Range::new(f64::NEG_INFINITY, f64::INFINITY);
/// How high a gauge or a connection sits above its floor, in m.
///
/// Source: common practice, no source.
const GAUGE: Range = Range::new(0.0, 1.5);

/// The highest point of the water above that in the machine's tank, in m, by the recorded static height:
/// it is measured from the gauge or the connection, on the floor of the connection. Pipes may stand
/// above every emitter, so it is the most that the top of one may be.
fn static_rise(view: &View<'_>, root: FactId) -> Gathered {
    let facts = [
        survey::STATIC_HEIGHT,
        survey::CONNECTION_FLOOR,
        survey::MACHINE_STOREY,
    ];
    let facts = facts.map(|path| view.at(root, path));
    Gathered::by(facts.to_vec(), || {
        let [height, connection, machine] = facts.map(|id| view.range(id));
        let floors = connection?.high - machine?.low;
        let storeys = [STOREY.range.low, STOREY.range.high].map(|high| floors * high);
        let most = height?.high + GAUGE.high - convention_of::TANK_LEVEL.range.low;
        Ok(Range::new(
            f64::NEG_INFINITY,
            most + storeys[0].max(storeys[1]),
        ))
    })
}

fn at_highest(ranges: &[Range]) -> Result<Range, Refused> {
    let [floors, storey, top, by_height] = *ranges else {
        return Err("it takes four numbers".into());
    };
    let high = |floors: f64, end: f64| if floors == 0.0 { 0.0 } else { floors * end };
    let by_floors = Range::new(
        high(floors.low, storey.low).min(high(floors.low, storey.high)) + top.low,
        high(floors.high, storey.low).max(high(floors.high, storey.high)) + top.high,
    );
    let rise = by_floors.within(by_height).ok_or_else(|| {
        Refused::from("`circuit.static_height` does not fit the floors of the emitters")
    })?;
    if rise == ANY {
        return Ok(ANY);
    }
    Ok(Range::new(
        (-METRE * rise.high).max(PARTS),
        (-METRE * rise.low).max(PARTS),
    ))
}

fn vessel_takes(ranges: &[Range]) -> Result<Range, Refused> {
    let [size, charge, filled, relief] = *ranges else {
        return Err("it takes four numbers".into());
    };
    let least = |charge| takes(size.low, charge, filled.high, relief.low);
    let best = filled.low.clamp(charge.low, charge.high);
    let most = takes(size.high, best, filled.low, relief.high)?;
    Ok(Range::new(
        least(charge.low)?.min(least(charge.high)?),
        most,
    ))
}

/// The share by which water grows from 10 °C to a temperature in kelvin; none below.
fn grows(hot: f64) -> Result<f64, Refused> {
    let hot = celsius(hot).max(10.0);
    Ok(expansion(water::density(10.0)?, water::density(hot)?)?)
}
