//! Figures for programs: values in words, ranges in base units.
//!
//! Contract: `schemas/figures.schema.json` describes the document; a test holds the two together.

use super::house::fate;
use super::plan::step;
use super::words::quantity;
use crate::json::problem;
use serde_json::{Value, json};
use wetside_base::problem::Problem;
use wetside_base::source::{Source, Span};
use wetside_engine::figures::explain::Worked;
use wetside_engine::figures::survey::word_of;
use wetside_engine::figures::tell::Told;
use wetside_engine::figures::view::Refused;
use wetside_house::Branch;
use wetside_house::Range;
use wetside_house::rinse::Cost;
use wetside_house::{AllOpen, NoNetwork};
use wetside_house::{Comparison, Connection};
use wetside_house::{Limit, Plan, Turn};
use wetside_units::{Interval, Kind};

/// The edition of the document for programs.
pub const EDITION: u32 = 1;

/// What is worked out of one survey.
pub struct Survey {
    pub source: Source,
    /// What is wrong in the file; what could not be read counts as not known.
    pub problems: Vec<Problem>,
    pub figures: Vec<Worked>,
    pub told: Result<Told, Refused>,
}

/// The figures of several surveys.
pub fn document(surveys: &[Survey]) -> String {
    let one = |survey: &Survey| {
        let figures = survey.figures.iter();
        let problems = survey.problems.iter();
        json!({
            "survey": survey.source.name,
            "problems": problems.map(|one| problem(&survey.source, one)).collect::<Vec<Value>>(),
            "figures": figures.map(|one| figure(&survey.source, one)).collect::<Vec<Value>>(),
            "house": match &survey.told {
                Ok(told) => house(told),
                Err(why) => json!({ "why_not": why.0 }),
            },
        })
    };
    let document = json!({
        "figures": EDITION,
        "surveys": surveys.iter().map(one).collect::<Vec<Value>>(),
    });
    format!("{document:#}\n")
}

fn figure(source: &Source, worked: &Worked) -> Value {
    let ends = worked.range.as_ref();
    json!({
        "name": worked.name,
        "about": worked.about,
        "says": worked.says,
        "value": worked.value.as_ref().ok(),
        "why_not": worked.value.as_ref().err(),
        "kind": ends.map(|(kind, _)| kind.name()),
        "low": ends.and_then(|(_, range)| end(range, true)),
        "high": ends.and_then(|(_, range)| end(range, false)),
        "formula": worked.formula,
        "lines": lines(source, &worked.lines),
        "supposing": worked.supposing,
    })
}

fn end(interval: &Interval, low: bool) -> Option<f64> {
    let end = if low { interval.low() } else { interval.high() };
    end.at().map(|at| at.to_f64())
}

fn lines(source: &Source, spans: &[Span]) -> Vec<usize> {
    let mut lines: Vec<usize> = spans
        .iter()
        .map(|span| source.line_of(span.start))
        .collect();
    lines.sort_unstable();
    lines.dedup();
    lines
}

/// A range in words and in base units; an end without limit is null. Both tell of the same range,
/// without the noise of the last digits, which depends on the order in which a survey lists things.
fn ranged(range: Range, kind: Kind) -> Value {
    let ends = range.to_interval(kind);
    json!({
        "value": quantity(range, kind),
        "kind": kind.name(),
        "low": ends.and_then(|range| end(&range, true)),
        "high": ends.and_then(|range| end(&range, false)),
    })
}

fn house(told: &Told) -> Value {
    json!({
        "convention": told.convention,
        "supposed": told.supposed,
        "branches": told.branches.iter().map(branch).collect::<Vec<Value>>(),
        "all_open": open(&told.open),
        "connections": told.connections.as_ref().map(connections),
        "floor_loop": told.floor.map(|(flow, speed)| json!({
            "flow": ranged(flow, Kind::VolumeFlow),
            "speed": ranged(speed, Kind::Velocity),
        })),
        "plan": plan(&told.plan),
    })
}

fn branch(branch: &Branch) -> Value {
    json!({
        "id": branch.id,
        "flow": ranged(branch.flow, Kind::VolumeFlow),
        "speed": ranged(branch.speed, Kind::Velocity),
        "speed_reversed": ranged(branch.speed_back, Kind::Velocity),
        "main_speed": ranged(branch.main_speed, Kind::Velocity),
        "fine_sludge": fate(branch.fine),
        "coarse_sludge": fate(branch.coarse),
        "change": ranged(branch.change, Kind::Time),
        "outlet": ranged(branch.outlet, Kind::GaugePressure),
    })
}

fn open(open: &Result<AllOpen, NoNetwork>) -> Value {
    let open = match open {
        Ok(open) => open,
        Err(none) => return json!({ "why_not": none.to_string() }),
    };
    let shares = open.branches.iter().map(|share| {
        json!({
            "id": share.id,
            "flow": ranged(share.flow, Kind::VolumeFlow),
            "speed": ranged(share.speed, Kind::Velocity),
            "fine_sludge": fate(share.fine),
            "coarse_sludge": fate(share.coarse),
            "outlet": ranged(share.outlet, Kind::GaugePressure),
        })
    });
    json!({
        "branches": shares.collect::<Vec<Value>>(),
        "machine_flow": ranged(open.machine_flow, Kind::VolumeFlow),
        "main_speed": ranged(open.main_speed, Kind::Velocity),
        "taken_by_shorts": ranged(open.taken_by_shorts, Kind::Share),
    })
}

fn connections(compared: &Comparison) -> Value {
    let point = |one: &Connection| {
        json!({
            "point": word_of(one.point),
            "slowest": one.slowest,
            "least_speed": ranged(one.least_speed, Kind::Velocity),
            "machine_flow": one.open.map(|open| ranged(open.machine_flow, Kind::VolumeFlow)),
            "main_speed": one.open.map(|open| ranged(open.main_speed, Kind::Velocity)),
            "weakest_pressure": one.open.map(|open| ranged(open.at_weakest, Kind::GaugePressure)),
        })
    };
    json!({
        "points": compared.points.iter().map(point).collect::<Vec<Value>>(),
        "best": word_of(compared.points[compared.best].point),
        "clearly": compared.clearly,
        "trade_differs": compared.trade_differs,
    })
}

fn cost(cost: &Cost) -> Value {
    json!({
        "time": ranged(cost.time, Kind::Time),
        "water": ranged(cost.water, Kind::Volume),
    })
}

fn plan(plan: &Plan) -> Value {
    let turn = |turn: &Turn| {
        json!({
            "id": turn.id,
            "time": ranged(turn.time, Kind::Time),
            "reversals": ranged(turn.reversals, Kind::Number),
            "changes": ranged(turn.changes, Kind::Number),
            "may_be_one_way": turn.one_way,
        })
    };
    let stages = plan
        .stages
        .iter()
        .map(|stage| json!({ "stage": step(stage.step), "cost": stage.cost.as_ref().map(cost) }));
    json!({
        "order": plan.order.iter().map(turn).collect::<Vec<Value>>(),
        "stages": stages.collect::<Vec<Value>>(),
        "total": cost(&plan.total),
        "dump": plan.dump.map(|(rate, limit)| json!({
            "rate": ranged(rate, Kind::VolumeFlow),
            "set_by": match limit {
                Limit::Mains => "mains",
                Limit::Hose => "dump hose",
                Limit::Drain => "drain",
            },
        })),
        "rinse_at_end": plan.rinse_at_end.as_ref().map(cost),
        "rinse_one_by_one": plan.rinse_one_by_one.as_ref().map(cost),
        "return": plan.return_shows.map(|shows| json!({
            "reads_clean": ranged(shows.reads_clean, Kind::Time),
            "is_clean": ranged(shows.is_clean, Kind::Time),
            "early": ranged(shows.early, Kind::Time),
        })),
    })
}
