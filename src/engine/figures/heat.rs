//! Figures of heat: warming up, cooling the dump, the flow of a heat pump, and what must not be hotter.

use super::antifreeze::holds_heat;
use super::day::waited;
use super::emitters::sum;
use super::estimate::output;
use super::survey::{self, Antifreeze, HeatedBy, SourceKind};
use super::table::{Figure, Input, MASS_BALANCE, NO_SOURCE, Source};
use super::table::{convention, fact, figure, figures, gathered, source};
use super::view::{Gathered, Refused, View};
use wetside_base::facts::FactId;
use wetside_house::{Range, celsius};
use wetside_physics::glycol::{self, Glycol};
use wetside_physics::heat::{Warming, capacity, cold_per_hot, flow_for, warmed, warming_time};
use wetside_units::Kind;

/// The sewer's limit of 43 °C in kelvin.
const SEWER: (f64, f64) = (316.15, 316.15);
const SEWER_SOURCE: Source = source("Water Industry Act 1991, section 111", "read");

pub(super) const FIGURES: &[Figure] = figures! {
    "heat_up_time": Time,
        "How long the water takes from the mains' temperature to the one planned for cleaning.";
        "t = (C/U) ln(P/(P − U (T − T_0))), C = V_flush g ρ c (1 + m); for ever where the loss eats the \
         power, 0 where the water is warm enough",
        source("heat balance of one mass, the rooms as cold as the mains", "from memory");
        [
            fact("T", survey::PLANNED_TEMPERATURE),
            fact("T_0", survey::MAINS_TEMPERATURE).down(),
            gathered("P", "power of what heats the water", Kind::Power, heater).down(),
            figure("V_flush", "flush_volume"),
            METAL,
            LOSS,
            DILUTED,
        ]
        => { |to, from, power, volume, metal, loss, holds| {
            heat_up([to, from].map(celsius), power, holds * volume, metal, loss)?
        } };

    "warmed_to": Temperature,
        "How hot the water is once the cleaner has gone round and nobody waits any longer for it to warm; no more \
         than is planned for cleaning.";
        "T_1 = min(T, T_0 + (P/U)(1 − exp(−U t/C))), C as for the time that it takes",
        source("heat balance of one mass, the rooms as cold as the mains", "from memory");
        [
            fact("T", survey::PLANNED_TEMPERATURE),
            fact("T_0", survey::MAINS_TEMPERATURE),
            gathered("P", "power of what heats the water", Kind::Power, heater),
            figure("V_flush", "flush_volume").down(),
            METAL.down(),
            LOSS.down(),
            DILUTED.down(),
            gathered("t", "the round of cleaner, and the longest that anybody waits after it", Kind::Time, waited),
        ]
        => { |to, from, power, volume, metal, loss, holds, time| {
            let [to, cold] = [to, from].map(celsius);
            if to <= cold || power <= 0.0 {
                from
            } else {
                ICE + warmed(&warming([to, cold], power, holds * volume, metal)?, loss, time)?
            }
        } };

    "cold_per_hot": Number,
        "Parts of cold water to each part of the hot dump that bring it down to the sewer's limit: 0.1 is one \
         bucket of cold to ten of hot.";
        "r = (T − T_l)/(T_l − T_c), 0 where it is cool enough", source("heat balance", "arithmetic");
        [
            fact("T", survey::FLUSH_TEMPERATURE),
            fact("T_c", survey::MAINS_TEMPERATURE),
            convention("T_l", "hottest liquid that may do no harm in a public sewer", Kind::Temperature,
                SEWER, SEWER_SOURCE).down(),
        ]
        => { |hot, cold, limit| cold_per_hot(celsius(hot), celsius(limit), celsius(cold))? };

    "cold_beside_dump": VolumeFlow,
        "Cold water to run into the drain beside the hot dump, so that both together are no hotter than the \
         sewer's limit.";
        "q_c = r q_out", MASS_BALANCE;
        [figure("r", "cold_per_hot"), fact("q_out", survey::DUMP_FLOW)]
        => { |parts, dumped| parts * dumped };

    "heat_pump_flow": VolumeFlow,
        "The flow that carries the heat pump's output at its usual difference of temperatures; nothing \
         without a heat pump.";
        "Q = P/(g ρ c ΔT), ρ c of water at 35 °C", source("heat balance", "arithmetic");
        [
            gathered("P", "output of the heat pumps", Kind::Power, heat_pumps),
            convention("ΔT", "difference between flow and return of a heat pump", Kind::TemperatureDifference,
                (5.0, 7.0), NO_SOURCE).down(),
            HOLDS.down(),
        ]
        => { |power, difference, holds| flow_for(power, difference, 994.0, holds * 4178.0)? };

    "freezing_point": Temperature,
        "Where the water freezes with the antifreeze that is now in it.";
        "T = T_f(w(φ)) + δ, w the strength by mass", source("correlations of Melinder", "from memory");
        [
            gathered("φ", "strength of the antifreeze by volume; nothing in plain water", Kind::Share,
                strength).down(),
            gathered("e", "0 for propylene glycol, 1 for ethylene glycol", Kind::Number, ethylene).either(),
            APART,
        ]
        => { |share, ethylene, apart| freezing(share, ethylene, apart)? };

    "freezing_as_found": Temperature,
        "Where the water freezes with the antifreeze that was found in it.";
        "T = T_f(w(φ)) + δ, w the strength by mass", source("correlations of Melinder", "from memory");
        [
            gathered("φ", "strength of the antifreeze that was found, by volume", Kind::Share,
                |view, root| strength_at(view, root, survey::GLYCOL_STRENGTH)).down(),
            gathered("e", "0 for propylene glycol, 1 for ethylene glycol", Kind::Number, ethylene).either(),
            APART,
        ]
        => { |share, ethylene, apart| freezing(share, ethylene, apart)? };
};

const METAL: Input = convention(
    "m",
    "heat that the metal takes as a share of what the water takes",
    Kind::Share,
    (0.10, 0.25),
    source(
        "150 kg of steel and 30 kg of copper to 100 L",
        "from memory",
    ),
);
const LOSS: Input = convention(
    "U",
    "heat lost to the rooms, W for each kelvin",
    Kind::Number,
    (0.0, 100.0),
    NO_SOURCE,
);

const HOLDS: Input = gathered(
    "g",
    "heat that the water holds with the antifreeze in it, as a share of what plain water does",
    Kind::Share,
    holds_heat,
);

const DILUTED: Input = gathered(
    "g",
    "heat that the water holds while antifreeze is washed out of it, as a share of what plain water does",
    Kind::Share,
    |view, root| {
        let mut holds = holds_heat(view, root);
        holds.range = holds.range.map(|range| range.hull(Range::point(1.0)));
        holds
    },
);

const APART: Input = convention(
    "δ",
    "how far handbooks lie apart",
    Kind::TemperatureDifference,
    (-1.5, 2.2),
    source("two handbooks of glycol", "second-hand"),
);

/// Kelvin at which water with a share of one glycol or the other freezes; plain water at 0 °C.
fn freezing(share: f64, ethylene: f64, apart: f64) -> Result<f64, Refused> {
    if share == 0.0 {
        return Ok(ICE);
    }
    let kind = if ethylene > 0.5 {
        Glycol::Ethylene
    } else {
        Glycol::Propylene
    };
    let point = glycol::freezing_point(kind, glycol::mass_strength(kind, share)?)?;
    Ok(ICE + (point + apart).min(0.0))
}

/// Kelvin of melting ice.
const ICE: f64 = 273.15;

fn strength(view: &View<'_>, root: FactId) -> Gathered {
    strength_at(view, root, survey::ANTIFREEZE_STRENGTH)
}

fn strength_at(view: &View<'_>, root: FactId, path: &str) -> Gathered {
    let (kind, antifreeze) = view.choice(root, &survey::ANTIFREEZE);
    let there = antifreeze.map(|antifreeze| antifreeze != Antifreeze::None);
    Gathered::if_there((kind, there), || view.taken(root, path))
}

fn ethylene(view: &View<'_>, root: FactId) -> Gathered {
    let (kind, antifreeze) = view.choice(root, &survey::ANTIFREEZE);
    let range = match antifreeze {
        Some(Antifreeze::None | Antifreeze::Propylene) => Range::point(0.0),
        Some(Antifreeze::Ethylene) => Range::point(1.0),
        None => Range::new(0.0, 1.0),
    };
    Gathered::of(range, vec![kind])
}

/// Seconds to warm a volume up, at a power and against a loss, its metal taking a share of what it takes.
fn heat_up(
    [to, from]: [f64; 2],
    power: f64,
    volume: f64,
    metal: f64,
    loss: f64,
) -> Result<f64, Refused> {
    if to <= from {
        return Ok(0.0);
    }
    if power <= 0.0 {
        return Ok(f64::INFINITY);
    }
    let warming = warming([to, from], power, volume, metal)?;
    Ok(warming_time(&warming, loss)?.unwrap_or(f64::INFINITY))
}

/// The warming of a volume with its metal, the rooms as cold as it is at first.
fn warming([to, from]: [f64; 2], power: f64, volume: f64, metal: f64) -> Result<Warming, Refused> {
    Ok(Warming {
        capacity: capacity(volume, CAPACITY_AT)? * (1.0 + metal),
        power,
        ambient: from,
        from,
        to,
    })
}

/// Temperature at which the heat capacity of water is taken; from 10 to 60 °C it differs by 1 %.
const CAPACITY_AT: f64 = 30.0;

/// What heats the water during the flush.
fn heater(view: &View<'_>, root: FactId) -> Gathered {
    let (id, by) = view.choice(root, &survey::HEAT_BY);
    let mut power = match by {
        Some(HeatedBy::HeatSource) => output(view, root),
        Some(HeatedBy::Machine) => view.taken(root, survey::MACHINE_POWER),
        Some(HeatedBy::Nothing) => {
            let why = "nothing warms the water: `flush.heat_by` is `none`";
            Gathered::refused(why, Vec::new())
        }
        None => Gathered::refused(view.open(id), Vec::new()),
    };
    power.facts.insert(0, id);
    power
}

/// The output of all heat pumps together; nothing where there is none.
fn heat_pumps(view: &View<'_>, root: FactId) -> Gathered {
    sum(view, view.at(root, survey::HEAT_SOURCES), |source| {
        let (kind, what) = view.choice(source, &survey::SOURCE_KIND);
        let mut output = view.taken(source, survey::OUTPUT);
        match what {
            Some(SourceKind::HeatPump) => {}
            Some(_) => return Gathered::nothing(vec![kind]),
            None => {
                let most = output.range.map_or(f64::INFINITY, |output| output.high);
                output.range = Ok(Range::new(0.0, most));
            }
        }
        output.facts.push(kind);
        output
    })
}
