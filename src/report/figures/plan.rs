//! The plan of a flush, in words.

use super::house::rows;
use super::words::quantity;
use crate::pen::{Ink, Pen, closed};
use wetside_engine::figures::explain::Worked;
use wetside_engine::figures::tell::Told;
use wetside_house::Range;
use wetside_house::rinse::{Cost, Return};
use wetside_house::{Limit, Plan, Stage, Step, Turn};
use wetside_units::Kind;

/// The plan, with the doses and limits that are figures of the survey.
pub(super) fn plan(pen: &mut Pen, told: &Told, figures: &[Worked]) {
    let plan = &told.plan;
    pen.heading("the plan", '-', Ink::Usual);
    stages(pen, plan);
    order(pen, plan);
    pen.gap();
    dump(pen, plan);
    doses(pen, figures);
    limits(pen, figures);
    rinse(pen, plan);
}

/// What each stage takes.
pub(super) fn stages(pen: &mut Pen, plan: &Plan) {
    let mut all: Vec<Vec<String>> = plan.stages.iter().map(stage).collect();
    let known = plan.stages.iter().all(|stage| stage.cost.is_some());
    let name = if known {
        "in all"
    } else {
        "in all that is known"
    };
    let total = &plan.total;
    all.push(vec![
        name.to_string(),
        quantity(total.time, Kind::Time),
        quantity(total.water, Kind::Volume),
    ]);
    rows(pen, &["stage", "time", "fresh water"], &all);
}

fn stage(stage: &Stage) -> Vec<String> {
    let name = step(stage.step).to_string();
    match &stage.cost {
        None => vec![name, "not known".to_string(), String::new()],
        Some(cost) => {
            let water = if cost.water == Range::point(0.0) {
                String::new()
            } else {
                quantity(cost.water, Kind::Volume)
            };
            vec![name, quantity(cost.time, Kind::Time), water]
        }
    }
}

/// A stage in words.
pub(super) fn step(step: Step) -> &'static str {
    match step {
        Step::FirstRound => "plain water round, all open",
        Step::FirstDump => "dump of the first black water",
        Step::Warming => "warming up",
        Step::AllOpen => "cleaner round, all open",
        Step::Branches => "one branch at a time",
        Step::FloorLoops => "floor loops, one at a time",
        Step::AllOpenAgain => "all open again",
        Step::Rinse => "rinse, one dilution at the end",
        Step::Proof => "samples and readings",
    }
}

/// The branches in their turns.
pub(super) fn order(pen: &mut Pen, plan: &Plan) {
    if plan.order.is_empty() {
        return;
    }
    pen.gap();
    pen.paragraph(
        0,
        "Upper floors first, one branch at a time, reversed every 1 to 2 minutes:",
    );
    let all: Vec<Vec<String>> = (1..).zip(&plan.order).map(turn).collect();
    rows(
        pen,
        &["branch", "time", "reversals", "changes of its water"],
        &all,
    );
}

fn turn((at, turn): (usize, &Turn)) -> Vec<String> {
    let reversals = if turn.one_way {
        "may be one-way".to_string()
    } else {
        quantity(turn.reversals, Kind::Number)
    };
    vec![
        format!("{at}. {}", turn.id),
        quantity(turn.time, Kind::Time),
        reversals,
        quantity(turn.changes, Kind::Number),
    ]
}

/// How fast the dump can go on average.
pub(super) fn dump(pen: &mut Pen, plan: &Plan) {
    let words = match plan.dump {
        Some((rate, limit)) => {
            let rate = quantity(rate, Kind::VolumeFlow);
            let sets = if limit == Limit::Mains { "set" } else { "sets" };
            format!("{rate} on average; the {} {sets} it", set_by(limit))
        }
        None => "not worked out: `water_supply.flow` is not known".to_string(),
    };
    pen.entry(0, "Dump", &closed(&words));
}

/// What sets how fast the dump can go.
pub(super) fn set_by(limit: Limit) -> &'static str {
    match limit {
        Limit::Mains => "mains",
        Limit::Hose => "dump hose",
        Limit::Drain => "drain",
    }
}

fn of<'a>(figures: &'a [Worked], name: &str) -> Result<&'a str, &'a str> {
    let found = figures.iter().find(|figure| figure.name == name);
    match found.map(|figure| &figure.value) {
        Some(Ok(value)) => Ok(value),
        Some(Err(why)) => Err(why),
        None => Err("there is no such figure"),
    }
}

/// Cleaner and inhibitor, each on its own volume.
fn doses(pen: &mut Pen, figures: &[Worked]) {
    for (word, dose, containers, volume) in [
        (
            "Cleaner",
            "cleaner_dose",
            "cleaner_containers",
            "flush_volume",
        ),
        (
            "Inhibitor",
            "inhibitor_dose",
            "inhibitor_containers",
            "inhibitor_basis",
        ),
    ] {
        let words = match (of(figures, dose), of(figures, containers)) {
            (Err(why), _) => format!("not worked out: {why}"),
            (Ok(dose), Ok(count)) => {
                let on = of(figures, volume).unwrap_or("its volume");
                let noun = if count == "1" {
                    "container"
                } else {
                    "containers"
                };
                format!("{dose} on {on}, which is {count} whole {noun}")
            }
            (Ok(dose), Err(why)) => {
                let on = of(figures, volume).unwrap_or("its volume");
                format!("{dose} on {on}; how many containers is not worked out: {why}")
            }
        };
        pen.entry(0, word, &closed(&words));
    }
}

/// Temperature and electricity.
fn limits(pen: &mut Pen, figures: &[Worked]) {
    let by = of(figures, "temperature_ceiling_by");
    let words = match (of(figures, "temperature_ceiling"), by) {
        (Ok(ceiling), Ok(by)) => format!("{ceiling}; the limit of the {by} sets it"),
        (Ok(ceiling), Err(_)) => format!("{ceiling}; which part sets it is not certain"),
        (Err(why), _) => format!("not worked out: {why}"),
    };
    pen.entry(0, "Hottest water", &closed(&words));
    let words = match of(figures, "motor_current") {
        Ok(current) => format!("{current} once the machine runs, several times that as it starts"),
        Err(why) => format!("not worked out: {why}"),
    };
    pen.entry(0, "Electrical load", &closed(&words));
}

/// One dilution at the end against one per emitter, and what the return tells.
pub(super) fn rinse(pen: &mut Pen, plan: &Plan) {
    let cost = |cost: &Cost| {
        let (water, time) = (
            quantity(cost.water, Kind::Volume),
            quantity(cost.time, Kind::Time),
        );
        format!("{water} in {time}")
    };
    let words = match (&plan.rinse_at_end, &plan.rinse_one_by_one) {
        (Some(end), Some(each)) => format!(
            "one dilution at the end takes {}; one for each emitter takes {}, which is {} more",
            cost(end),
            cost(each),
            quantity(between(end.water, each.water), Kind::Volume)
        ),
        (Some(end), None) => format!("one dilution at the end takes {}", cost(end)),
        (None, _) => {
            "not worked out: it takes the readings of system and mains, the flow of the mains \
                      and the volume that goes round"
                .to_string()
        }
    };
    pen.entry(0, "Rinse", &closed(&words));
    if let Some(shows) = &plan.return_shows {
        pen.entry(0, "Return", &closed(&early(shows)));
    }
}

/// The least is set against the least and the greatest against the greatest, for they share their
/// numbers.
fn between(less: Range, more: Range) -> Range {
    let ends = [more.low - less.low, more.high - less.high];
    Range::new(ends[0].min(ends[1]).max(0.0), ends[0].max(ends[1]).max(0.0))
}

/// Seconds that nobody waits for.
const NOTICED: f64 = 10.0;

fn early(shows: &Return) -> String {
    if shows.early.high < NOTICED {
        return "with everything open it reads clean when the system is".to_string();
    }
    let early = Range::new(shows.early.low.max(0.0), shows.early.high);
    format!(
        "with everything open it reads clean after {}, {} before the system is: go on for that long, or \
         read each branch on its own",
        quantity(shows.reads_clean, Kind::Time),
        quantity(early, Kind::Time)
    )
}
