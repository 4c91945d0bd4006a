//! The branch card: the turns in their order, with the valves, the reading to reach, and room for what is read.
//!
//! Contract: order and times come finished from the plan; where there is none the emitters stand in the order of
//! the survey, and why there is no plan is said. Nobody's clock is guessed: times run from the door.

use super::given::Job;
use super::page::{quoted, said, table, words};
use super::scene::{Emitter, Scene, Valve};
use super::survey::EMITTERS;
use maud::{Markup, html};
use wetside_engine::figures::day::TURNS;
use wetside_house::Range;
use wetside_report::figures::{clock, how, minutes, troubles};

/// The head of the card; the last are left empty.
const HEAD: [&str; 9] = [
    "Branch",
    "Floor",
    "Hours from the door",
    "Takes",
    "Flow valve: found, set",
    "Return valve: found, set",
    "Clock: from, to",
    "Forward: ppm, °C",
    "Reverse: ppm, °C",
];
const EMPTY: usize = 3;

pub(crate) fn card(job: &Job<'_>, scene: &Scene<'_>) -> Markup {
    let plan = job.told.as_ref().map(|told| &told.plan);
    // The turns begin when all that comes before them is done.
    let before = job.told.iter().flat_map(|told| &told.day);
    let before = before.take_while(|stage| stage.says != TURNS);
    let mut begins = before.fold(Range::point(0.0), |sum, stage| sum.plus(stage.time));
    let rows: Vec<Vec<Markup>> = if let Ok(plan) = &plan {
        let turn = plan.order.iter().map(|turn| {
            let at = clock(begins);
            begins = begins.plus(turn.time);
            let emitter = scene.emitters.iter().find(|one| one.name == turn.id);
            row(&turn.id, emitter, &at, &minutes(turn.time))
        });
        turn.collect()
    } else {
        let each = scene.emitters.iter();
        each.map(|one| row(&one.name, Some(one), "not planned", "not planned"))
            .collect()
    };
    html! {
        @if let Err(why) = &plan { p { "No order is worked out: " (quoted(&why.0)) ". The branches stand as they are listed." } }
        @if let Ok(plan) = &plan {
            p { (quoted(&how(plan))) }
            @for one in troubles(&plan.order) { p { strong { "Look first: " } (quoted(&one)) } }
        }
        p { (target(job)) }
        div.write { (table("One branch at a time", &HEAD, &rows)) }
        @if job.view.list(EMITTERS).1 { p { "The survey does not say that these are all." } }
    }
}

/// The reading to reach.
fn target(job: &Job<'_>) -> Markup {
    html! {
        @match (job.figure("tds_low"), job.figure("tds_high")) {
            (Ok(low), Ok(high)) => { "A branch is clean between " (low) " and " (high) ", read on the meter that read the mains." }
            (Err(why), _) | (_, Err(why)) => { "The reading to reach is not worked out: " (quoted(why)) "." }
        }
    }
}

fn row(name: &str, emitter: Option<&Emitter<'_>>, begins: &str, takes: &str) -> Vec<Markup> {
    let stood = |valve: Option<&Valve>| {
        html! {
            @if let Some(valve) = valve { (said(&valve.found)) ", " (said(&valve.set)) }
        }
    };
    let mut cells = vec![
        words(name),
        html! { @if let Some(one) = emitter { (said(&one.floor)) } },
        html! { (begins) },
        html! { (takes) },
        stood(emitter.map(|one| &one.flow)),
        stood(emitter.map(|one| &one.back)),
    ];
    cells.extend((0..EMPTY).map(|_| html! {}));
    cells
}
