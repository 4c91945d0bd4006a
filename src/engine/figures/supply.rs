//! Figures of the electrical supply of the machine.

use super::survey::{self, HeatedBy};
use super::table::{DEFINITION, Figure, Input, Source};
use super::table::{convention, fact, figure, figures, gathered, source};
use super::view::{Gathered, View};
use wetside_base::facts::FactId;
use wetside_house::Range;
use wetside_physics::lead::{CORDS, Cord};
use wetside_units::Kind;

const REGULATIONS: Source = source(
    "Electricity Safety, Quality and Continuity Regulations 2002",
    "from memory",
);
const PUBLIC_VOLTAGE: f64 = 230.0;
const AWAY: Input = convention(
    "δ",
    "how far the supply may be from its nominal voltage, less 6 or plus 10 %",
    Kind::Share,
    (0.94, 1.10),
    REGULATIONS,
)
.down();
const FACTOR: Input = gathered(
    "cos φ",
    "power factor of the machine: 0.7 to 1, and 0.9 to 1 where most of its power heats the water (from memory)",
    Kind::Number,
    power_factor,
)
.down();

pub(super) const FIGURES: &[Figure] = figures! {
    "motor_current": Current,
        "What the machine draws once it runs. A motor draws several times as much as it starts.";
        "I = P/(δ U cos φ)", DEFINITION;
        [
            fact("P", survey::MACHINE_POWER),
            gathered("U", "nominal voltage of the machine's supply", Kind::Voltage, nominal).down(),
            AWAY,
            FACTOR,
        ]
        => { |power, voltage, away, factor| power / (voltage * away * factor) };

    "plug_current": Current,
        "What the plug in the socket carries once the machine runs: with a transformer what that takes from the \
         mains, which the fuse of its plug stands for.";
        "I = P/(η δ U cos φ)", DEFINITION;
        [
            fact("P", survey::MACHINE_POWER),
            gathered("η", "what a transformer passes on of what it takes: 0.93 to 1 (from memory), and 1 without one",
                Kind::Share, passes_on).down(),
            convention("U", "nominal voltage of the public supply", Kind::Voltage, (PUBLIC_VOLTAGE, PUBLIC_VOLTAGE),
                REGULATIONS).down(),
            AWAY,
            FACTOR,
        ]
        => { |power, passed, voltage, away, factor| power / (passed * voltage * away * factor) };

    "lead_loss": Voltage,
        "Voltage lost in the extension lead while the machine runs.";
        "ΔU = u I, u by length and section of the lead", source("BS 7671, table 4F3B", "read");
        [
            gathered("u", "volts lost in the lead for each ampere", Kind::Number, lead),
            figure("I", "motor_current"),
        ]
        => { |lost, current| lost * current };
};

/// That of the public supply, or what a transformer makes of it.
fn nominal(view: &View<'_>, root: FactId) -> Gathered {
    let (kind, transformer) = view.choice(root, &survey::SUPPLIED_THROUGH);
    let given = view.at(root, survey::TRANSFORMER_VOLTAGE);
    let public = Range::point(PUBLIC_VOLTAGE);
    let (range, facts) = match transformer {
        Some(false) => (Ok(public), vec![kind]),
        Some(true) => (view.range(given), vec![kind, given]),
        None => (
            view.range(given).map(|given| given.hull(public)),
            vec![kind, given],
        ),
    };
    Gathered { range, facts }
}

/// The share of its power that a transformer passes on, where there is one.
fn passes_on(view: &View<'_>, root: FactId) -> Gathered {
    let (kind, transformer) = view.choice(root, &survey::SUPPLIED_THROUGH);
    let least = if transformer == Some(false) {
        1.0
    } else {
        0.93
    };
    Gathered::of(Range::new(least, 1.0), vec![kind])
}

/// Small motors, and heaters: a machine that heats the water is mostly heater.
fn power_factor(view: &View<'_>, root: FactId) -> Gathered {
    let (id, by) = view.choice(root, &survey::HEAT_BY);
    let least = if by == Some(HeatedBy::Machine) {
        0.9
    } else {
        0.7
    };
    Gathered::of(Range::new(least, 1.0), vec![id])
}

/// Volts that the lead loses for each ampere; none without a lead.
fn lead(view: &View<'_>, root: FactId) -> Gathered {
    Gathered::if_there(view.choice(root, &survey::LEAD_USED), || {
        let [length, section] =
            [survey::LEAD_LENGTH, survey::LEAD_SECTION].map(|path| view.at(root, path));
        Gathered::by(vec![length, section], || {
            let (length, section) = (view.range(length)?, view.range(section)?);
            Ok(Range::new(
                drop_of(section.high).low * length.low,
                drop_of(section.low).high * length.high,
            ))
        })
    })
}

/// Volts lost for each ampere and metre of a cord, by the rows of the table on either side of its
/// section: a thicker cord never loses more.
fn drop_of(section: f64) -> Range {
    let same = |cord: &Cord| (cord.area / section - 1.0).abs() < 1e-9;
    let thicker = CORDS.iter().find(|cord| same(cord) || cord.area > section);
    let thinner = CORDS.iter().rfind(|cord| same(cord) || cord.area < section);
    Range::new(
        thicker.map_or(0.0, |cord| cord.drop),
        thinner.map_or(f64::INFINITY, |cord| cord.drop),
    )
}
