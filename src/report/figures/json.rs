//! Figures for programs: values in words, ranges in base units.
//!
//! Contract: `schemas/figures.schema.json` describes the document; a test holds the two together. Each
//! object of the document is a struct with its keys in their order.

mod plan;
mod ranged;

use super::Survey;
use super::advice::words;
use super::house::{fate, ranks_of};
use crate::json::{Problem, each};
use crate::layout::written;
use plan::Plan;
use ranged::{Liked, Ranged, flow, high, liked, low, pressure, ranged, speed, time};
use serde::Serialize;
use std::collections::BTreeSet;
use wetside_base::source::{Source, Span};
use wetside_engine::figures::explain::Worked;
use wetside_engine::figures::survey::word_of;
use wetside_engine::figures::tell;
use wetside_house as house;
use wetside_units::Kind;

/// The edition of the document for programs.
pub(crate) const EDITION: u32 = 1;

/// The figures of several surveys.
pub fn document(surveys: &[Survey]) -> String {
    written(&Document {
        figures: EDITION,
        surveys: each(surveys, OfSurvey::new),
    })
}

#[derive(Serialize)]
struct Document<'a> {
    figures: u32,
    surveys: Vec<OfSurvey<'a>>,
}

/// Something worked out, or why it is not.
#[derive(Serialize)]
#[serde(untagged)]
enum Worth<T> {
    Worked(T),
    Not { why_not: String },
}

impl<T> Worth<T> {
    fn of(worked: Result<T, String>) -> Worth<T> {
        worked.map_or_else(|why_not| Worth::Not { why_not }, Worth::Worked)
    }
}

#[derive(Serialize)]
struct OfSurvey<'a> {
    survey: &'a str,
    problems: Vec<Problem<'a>>,
    figures: Vec<Figure<'a>>,
    house: Worth<House<'a>>,
}

impl<'a> OfSurvey<'a> {
    fn new(survey: &'a Survey) -> OfSurvey<'a> {
        let source = &survey.source;
        OfSurvey {
            survey: &source.name,
            problems: each(&survey.problems, |one| Problem::new(source, one)),
            figures: each(&survey.figures, |one| Figure::new(source, one)),
            house: Worth::of(
                survey
                    .told
                    .as_ref()
                    .map(House::new)
                    .map_err(|why| why.0.clone()),
            ),
        }
    }
}

#[derive(Serialize)]
struct Figure<'a> {
    name: &'a str,
    about: &'a str,
    says: &'a str,
    value: Option<&'a str>,
    why_not: Option<&'a str>,
    kind: Option<&'static str>,
    low: Option<f64>,
    high: Option<f64>,
    likely: Option<Liked>,
    formula: &'a str,
    lines: BTreeSet<usize>,
    supposing: Option<&'a str>,
}

impl<'a> Figure<'a> {
    fn new(source: &Source, worked: &'a Worked) -> Figure<'a> {
        let ends = worked.range.as_ref();
        let line = |span: &Span| source.line_of(span.start);
        Figure {
            name: &worked.name,
            about: worked.about,
            says: worked.says,
            value: worked.value.as_deref().ok(),
            why_not: worked.value.as_ref().err().map(String::as_str),
            kind: ends.map(|(kind, _)| kind.name()),
            low: ends.and_then(|(_, range)| low(range)),
            high: ends.and_then(|(_, range)| high(range)),
            likely: ends.and_then(|(kind, _)| liked(worked.likely, *kind)),
            formula: worked.formula,
            lines: worked.lines.iter().map(line).collect(),
            supposing: worked.supposing.as_deref(),
        }
    }
}

#[derive(Serialize)]
struct House<'a> {
    convention: &'a str,
    supposed: &'a [String],
    branches: Vec<Branch<'a>>,
    likely_waits: &'a [String],
    advice: Vec<Advice>,
    all_open: Worth<AllOpen<'a>>,
    connections: Option<Connections<'a>>,
    floor_loop: Option<FloorLoop>,
    plan: Plan<'a>,
}

impl<'a> House<'a> {
    fn new(told: &'a tell::Told) -> House<'a> {
        House {
            convention: told.convention,
            supposed: &told.supposed,
            branches: Branch::all(told),
            likely_waits: &told.likely.waits,
            advice: each(&told.advice, Advice::new),
            all_open: Worth::of(
                told.open
                    .as_ref()
                    .map(AllOpen::new)
                    .map_err(|why| why.to_string()),
            ),
            connections: told.connections.as_ref().map(Connections::new),
            floor_loop: told.floor.map(|(of_loop, in_it)| FloorLoop {
                flow: flow(of_loop),
                speed: speed(in_it),
            }),
            plan: Plan::new(told),
        }
    }
}

#[derive(Serialize)]
struct FloorLoop {
    flow: Ranged,
    speed: Ranged,
}

#[derive(Serialize)]
struct Branch<'a> {
    id: &'a str,
    flow: Ranged,
    speed: Ranged,
    speed_reversed: Ranged,
    main_speed: Ranged,
    fine_sludge: String,
    coarse_sludge: String,
    change: Ranged,
    outlet: Ranged,
    likely: Option<LikelyOf>,
}

/// What is likely of a branch, for people and never for a rule.
#[derive(Serialize)]
struct LikelyOf {
    rank: Option<usize>,
    flow: Option<Liked>,
    speed: Option<Liked>,
    change: Option<Liked>,
    outlet: Option<Liked>,
    open_speed: Option<Liked>,
    open_outlet: Option<Liked>,
}

impl LikelyOf {
    fn new(rank: Option<usize>, of: &house::LikelyBranch) -> LikelyOf {
        LikelyOf {
            rank,
            flow: liked(of.flow, Kind::VolumeFlow),
            speed: liked(of.speed, Kind::Velocity),
            change: liked(of.change, Kind::Time),
            outlet: liked(of.outlet, Kind::GaugePressure),
            open_speed: liked(of.open_speed, Kind::Velocity),
            open_outlet: liked(of.open_outlet, Kind::GaugePressure),
        }
    }
}

impl<'a> Branch<'a> {
    fn all(told: &'a tell::Told) -> Vec<Branch<'a>> {
        let likely = &told.likely.house.branches;
        let mut ranks = vec![None; likely.len()];
        for (rank, at) in ranks_of(told) {
            if let Some(slot) = ranks.get_mut(at) {
                *slot = rank;
            }
        }
        let likely = likely.iter().zip(ranks);
        let likely = likely.map(|(of, rank)| of.flow.map(|_| LikelyOf::new(rank, of)));
        let likely = likely.chain(std::iter::repeat_with(|| None));
        let all = told.branches.iter().zip(likely);
        all.map(|(branch, likely)| Branch::new(branch, likely))
            .collect()
    }

    fn new(branch: &'a house::Branch, likely: Option<LikelyOf>) -> Branch<'a> {
        Branch {
            id: &branch.id,
            flow: flow(branch.flow),
            speed: speed(branch.speed),
            speed_reversed: speed(branch.speed_back),
            main_speed: speed(branch.main_speed),
            fine_sludge: fate(branch.fine),
            coarse_sludge: fate(branch.coarse),
            change: time(branch.change),
            outlet: pressure(branch.outlet),
            likely,
        }
    }
}

/// What would narrow the figures.
#[derive(Serialize)]
struct Advice {
    says: String,
}

impl Advice {
    fn new(advice: &wetside_engine::figures::advice::Advice) -> Advice {
        Advice {
            says: words(advice),
        }
    }
}

#[derive(Serialize)]
struct AllOpen<'a> {
    branches: Vec<Share<'a>>,
    machine_flow: Ranged,
    main_speed: Ranged,
    taken_by_shorts: Ranged,
}

impl<'a> AllOpen<'a> {
    fn new(open: &'a house::AllOpen) -> AllOpen<'a> {
        AllOpen {
            branches: open.branches.iter().map(Share::new).collect(),
            machine_flow: flow(open.machine_flow),
            main_speed: speed(open.main_speed),
            taken_by_shorts: ranged(open.taken_by_shorts, Kind::Share),
        }
    }
}

#[derive(Serialize)]
struct Share<'a> {
    id: &'a str,
    flow: Ranged,
    speed: Ranged,
    fine_sludge: String,
    coarse_sludge: String,
    outlet: Ranged,
}

impl<'a> Share<'a> {
    fn new(share: &'a house::Share) -> Share<'a> {
        Share {
            id: &share.id,
            flow: flow(share.flow),
            speed: speed(share.speed),
            fine_sludge: fate(share.fine),
            coarse_sludge: fate(share.coarse),
            outlet: pressure(share.outlet),
        }
    }
}

#[derive(Serialize)]
struct Connections<'a> {
    points: Vec<Point<'a>>,
    best: &'static str,
    clearly: bool,
    trade_differs: bool,
}

#[derive(Serialize)]
struct Point<'a> {
    point: &'static str,
    slowest: &'a str,
    least_speed: Ranged,
    machine_flow: Option<Ranged>,
    main_speed: Option<Ranged>,
    weakest_pressure: Option<Ranged>,
}

impl<'a> Connections<'a> {
    fn new(compared: &'a house::Comparison) -> Connections<'a> {
        Connections {
            points: each(&compared.points, |one| Point {
                point: word_of(one.point),
                slowest: &one.slowest,
                least_speed: speed(one.least_speed),
                machine_flow: one.open.map(|open| flow(open.machine_flow)),
                main_speed: one.open.map(|open| speed(open.main_speed)),
                weakest_pressure: one.open.map(|open| pressure(open.at_weakest)),
            }),
            best: word_of(compared.points[compared.best].point),
            clearly: compared.clearly,
            trade_differs: compared.trade_differs,
        }
    }
}
