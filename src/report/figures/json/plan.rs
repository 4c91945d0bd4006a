//! The plan for programs.

use super::ranged::{Ranged, flow, ranged, time};
use crate::figures::plan::{helping, set_by, total, why};
use crate::json::each;
use serde::Serialize;
use wetside_engine::figures::tell;
use wetside_house::{self as house, Range};
use wetside_units::Kind;
use wetside_units::truth::Truth;

#[derive(Serialize)]
pub(super) struct Plan<'a> {
    order: Vec<Turn<'a>>,
    not_named: Option<Unnamed>,
    reversed_every: Ranged,
    stages: Vec<Stage>,
    total: Cost,
    dump: Option<Dump>,
    rinse_at_end: Option<Cost>,
    rinse_one_by_one: Option<Cost>,
    #[serde(rename = "return")]
    return_shows: Option<Return>,
}

#[derive(Serialize)]
struct Turn<'a> {
    id: &'a str,
    why_here: String,
    time: Ranged,
    reversals: Ranged,
    changes: Ranged,
    may_be_one_way: bool,
    works: Option<bool>,
    would_help: Option<Helping>,
}

#[derive(Serialize)]
struct Helping {
    says: String,
    flow: Ranged,
}

#[derive(Serialize)]
struct Unnamed {
    count: Ranged,
    time: Ranged,
}

#[derive(Serialize)]
struct Stage {
    stage: &'static str,
    cost: Cost,
}

#[derive(Serialize)]
struct Cost {
    time: Ranged,
    water: Ranged,
}

#[derive(Serialize)]
struct Dump {
    rate: Ranged,
    set_by: &'static str,
}

#[derive(Serialize)]
struct Return {
    reads_clean: Ranged,
    is_clean: Ranged,
    early: Ranged,
}

impl Cost {
    fn of((took, used): (Range, Range)) -> Cost {
        Cost {
            time: time(took),
            water: ranged(used, Kind::Volume),
        }
    }
}

impl<'a> Turn<'a> {
    fn new(turn: &'a house::Turn) -> Turn<'a> {
        Turn {
            id: &turn.id,
            why_here: why(turn.why),
            time: time(turn.time),
            reversals: ranged(turn.reversals, Kind::Number),
            changes: ranged(turn.changes, Kind::Number),
            may_be_one_way: turn.one_way,
            works: turn.works.is_decided().then(|| turn.works == Truth::Yes),
            would_help: turn.helps.as_ref().map(|(helps, then)| Helping {
                says: helping(helps, None),
                flow: flow(*then),
            }),
        }
    }
}

impl<'a> Plan<'a> {
    pub(super) fn new(told: &'a tell::Told) -> Plan<'a> {
        let (plan, (left, takes)) = (&told.plan, told.unnamed);
        Plan {
            order: each(&plan.order, Turn::new),
            not_named: (left.high > 0.0).then(|| Unnamed {
                count: ranged(left, Kind::Number),
                time: time(takes),
            }),
            reversed_every: time(plan.interval),
            stages: each(&told.day, |stage| Stage {
                stage: stage.says,
                cost: Cost::of((stage.time, stage.water)),
            }),
            total: Cost::of(total(&told.day)),
            dump: plan.dump.map(|(rate, limit)| Dump {
                rate: flow(rate),
                set_by: set_by(limit),
            }),
            rinse_at_end: plan.rinse_at_end.map(|one| Cost::of((one.time, one.water))),
            rinse_one_by_one: plan
                .rinse_one_by_one
                .map(|one| Cost::of((one.time, one.water))),
            return_shows: plan.return_shows.map(|shows| Return {
                reads_clean: time(shows.reads_clean),
                is_clean: time(shows.is_clean),
                early: time(shows.early),
            }),
        }
    }
}
