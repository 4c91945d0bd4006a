//! The plan of a flush, in words.

use super::house::rows;
use super::limits::limits;
use super::words::{of, quantity, rough};
use crate::pen::{Ink, Pen, closed, row, sentence};
use wetside_engine::figures::day::{CLEANING, Stage, TURNS, WARMING};
use wetside_engine::figures::explain::Worked;
use wetside_engine::figures::tell::Told;
use wetside_house::rinse::{Cost, Return};
use wetside_house::{Help, Limit, Plan, Range, Turn, Why};
use wetside_units::Kind;
use wetside_units::truth::Truth;

/// The plan, with the doses and limits that are figures of the survey.
pub(super) fn plan(pen: &mut Pen, told: &Told, figures: &[Worked]) {
    pen.heading("the plan", '-', Ink::Usual);
    stages(pen, told);
    order(pen, told);
    pen.gap();
    dump(pen, told);
    doses(pen, told, figures);
    limits(pen, figures);
    rinse(pen, &told.plan);
}

/// What each stage takes, and the day from door to door.
pub(super) fn stages(pen: &mut Pen, told: &Told) {
    rows(pen, &["stage", "time", "fresh water"], &day(told));
    if let (Some(time), Some(water)) = (told.likely.time, told.likely.water) {
        let (time, water) = (
            rough(time.range, Kind::Time),
            rough(water.range, Kind::Volume),
        );
        pen.gap();
        pen.paragraph(
            0,
            &format!("Likely, nine days in ten: {time} and {water} of fresh water."),
        );
    }
}

/// The day in words: of each stage its name, time and fresh water, and last of all of them together.
pub fn day(told: &Told) -> Vec<Vec<String>> {
    let mut all: Vec<Vec<String>> = told.day.iter().map(stage).collect();
    let (time, water) = total(&told.day);
    all.push(vec![
        "in all, from door to door".to_string(),
        quantity(time, Kind::Time),
        quantity(water, Kind::Volume),
    ]);
    all
}

/// Time and fresh water of a whole day.
pub(super) fn total(day: &[Stage]) -> (Range, Range) {
    let nothing = (Range::point(0.0), Range::point(0.0));
    day.iter().fold(nothing, |(time, water), stage| {
        (time.plus(stage.time), water.plus(stage.water))
    })
}

fn stage(stage: &Stage) -> Vec<String> {
    let amount = |range: Range, kind: Kind| match range {
        Range::FROM_NOTHING => "not known".to_string(),
        known => quantity(known, kind),
    };
    let time = match stage.time.high {
        0.0 if stage.says == WARMING => "none: flushed cold".to_string(),
        _ => amount(stage.time, Kind::Time),
    };
    let water = match stage.water.high {
        0.0 => String::new(),
        _ => amount(stage.water, Kind::Volume),
    };
    vec![stage.says.to_string(), time, water]
}

/// How the branches have their turns.
pub fn how(plan: &Plan) -> String {
    format!(
        "{}. Upper floors first, on each the dirtiest and then the farthest. Shut every emitter but the \
         first; then open both valves of the next before those of the last are shut, and reverse every {}.",
        sentence(TURNS).trim_end_matches('.'),
        quantity(plan.interval, Kind::Time)
    )
}

/// The branches in their turns.
pub(super) fn order(pen: &mut Pen, told: &Told) {
    let plan = &told.plan;
    if plan.order.is_empty() {
        return;
    }
    pen.gap();
    pen.paragraph(0, &how(plan));
    pen.gap();
    let likely = told.likely.turns.iter().copied();
    let likely = likely.chain(std::iter::repeat(None));
    let turns = (1..).zip(&plan.order).zip(likely);
    let mut all: Vec<Vec<String>> = turns.map(|(each, likely)| turn(each, likely)).collect();
    let (left, time) = told.unnamed;
    if left.high > 0.0 {
        let count = quantity(left, Kind::Number);
        let name = format!("{count} not named");
        all.push(vec![name, String::new(), quantity(time, Kind::Time)]);
    }
    let heads = [
        "branch",
        "why here",
        "time",
        "reversals",
        "changes of its water",
    ];
    rows(pen, &heads, &all);
    for words in troubles(&plan.order) {
        pen.gap();
        pen.paragraph(0, &words);
    }
}

/// A turn by what is likely of its branch, where something is.
fn turn((at, turn): (usize, &Turn), likely: Option<(Range, Range)>) -> Vec<String> {
    let (time, changes) = likely.unwrap_or((turn.time, turn.changes));
    let reversals = if turn.one_way {
        "may be one-way".to_string()
    } else {
        quantity(turn.reversals, Kind::Number)
    };
    let changes = match turn.works {
        Truth::Yes => rough(changes, Kind::Number),
        Truth::No => "too few".to_string(),
        Truth::Undecided => "perhaps too few".to_string(),
    };
    vec![
        format!("{at}. {}", turn.id),
        why(turn.why),
        quantity(time, Kind::Time),
        reversals,
        changes,
    ]
}

/// Why a branch stands where it does.
pub(super) fn why(why: Why) -> String {
    match why {
        Why::DropFeed => "fed from above".to_string(),
        Why::ColdFoot(by) => {
            let by = quantity(by, Kind::TemperatureDifference);
            format!("foot colder by {by}")
        }
        Why::Far => "longer tails".to_string(),
        Why::Name => "by name".to_string(),
    }
}

/// The routes that may not work, those alike in one sentence, with what would make them work.
pub fn troubles(order: &[Turn]) -> Vec<String> {
    let mut alike: Vec<(Truth, &[Help], Vec<&Turn>)> = Vec::new();
    for turn in order {
        let Some((helps, _)) = &turn.helps else {
            continue;
        };
        let same = |(works, all, _): &&mut (Truth, &[Help], Vec<&Turn>)| {
            *works == turn.works && *all == helps.as_slice()
        };
        match alike.iter_mut().find(same) {
            Some((.., turns)) => turns.push(turn),
            None => alike.push((turn.works, helps, vec![turn])),
        }
    }
    alike.into_iter().map(trouble).collect()
}

fn trouble((works, helps, turns): (Truth, &[Help], Vec<&Turn>)) -> String {
    let names: Vec<&str> = turns.iter().map(|turn| turn.id.as_str()).collect();
    let flows = turns.iter().filter_map(|turn| turn.helps.as_ref());
    let flow = flows.map(|(_, flow)| *flow).reduce(Range::hull);
    let now = turns.iter().map(|turn| turn.flow).reduce(Range::hull);
    let now = quantity(now.unwrap_or(Range::point(0.0)), Kind::VolumeFlow);
    let how = match works {
        Truth::No => "does not work as the valves stand",
        _ => "may not work as the valves stand",
    };
    format!(
        "This route {how} for {}: {now} go through it, and its water is to change three times in half an \
         hour. {}",
        row(&names),
        sentence(&helping(helps, flow)),
    )
}

pub(super) fn helping(helps: &[Help], flow: Option<Range>) -> String {
    let what: Vec<String> = helps
        .iter()
        .filter_map(|help| match help {
            Help::Shut(around) => Some(format!("shut {}", row(around))),
            Help::Block => Some("block the main under it".to_string()),
            Help::TakeOff => None,
        })
        .collect();
    let then = flow.map_or(String::new(), |flow| {
        let flow = quantity(flow, Kind::VolumeFlow);
        format!(": its flow is then {flow}")
    });
    let off = helps.contains(&Help::TakeOff);
    match (what.is_empty(), off) {
        (true, _) => "take it off and flush it by itself".to_string(),
        (false, true) => format!(
            "{}{then}; where that is still too little, take it off and flush it by itself",
            what.join(" and ")
        ),
        (false, false) => format!("{}{then}", what.join(" and ")),
    }
}

/// How fast the dump can go on average.
pub(super) fn dump(pen: &mut Pen, told: &Told) {
    let words = match told.plan.dump {
        Some((rate, limit)) => {
            let sets = if limit == Limit::Mains { "set" } else { "sets" };
            let words = format!(
                "{} on average; the {} {sets} it",
                quantity(rate, Kind::VolumeFlow),
                set_by(limit)
            );
            match told.hose.filter(|hose| hose.low < rate.high) {
                Some(hose) => format!(
                    "{words}. Without the pump the dump hose passes {}; where that is less than runs in, the tank overflows",
                    quantity(hose, Kind::VolumeFlow)
                ),
                None => words,
            }
        }
        None => "not worked out: `water_supply.flow` is not known".to_string(),
    };
    pen.entry(0, "Dump", &closed(&words));
}

/// What sets how fast the dump can go.
pub(super) fn set_by(limit: Limit) -> &'static str {
    match limit {
        Limit::Mains => "mains",
        Limit::Drain => "drain",
    }
}

const CLEANER: &str = "Cleaner";

/// Cleaner and inhibitor, each on its own volume.
fn doses(pen: &mut Pen, told: &Told, figures: &[Worked]) {
    let cleans = told.day.iter().any(|stage| stage.says == CLEANING);
    for (word, dose, containers, volume) in [
        (
            CLEANER,
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
        let on = of(figures, volume).unwrap_or("its volume");
        let words = match (of(figures, dose), of(figures, containers)) {
            _ if word == CLEANER && !cleans => "none".to_string(),
            (Err(why), _) => format!("not worked out: {why}"),
            (Ok(dose), Ok("1")) => format!("{dose} on {on}, which is 1 whole container"),
            (Ok(dose), Ok(count)) => {
                format!("{dose} on {on}, which is {count} whole containers")
            }
            (Ok(dose), Err(why)) => {
                format!("{dose} on {on}; how many containers is not worked out: {why}")
            }
        };
        pen.entry(0, word, &closed(&words));
    }
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
/// Seconds that nobody goes on for only to be sure.
const WAITED_FOR: f64 = 1800.0;

fn early(shows: &Return) -> String {
    if shows.early.high < NOTICED {
        return "with everything open it reads clean when the system is".to_string();
    }
    let early = Range::new(shows.early.low.max(0.0), shows.early.high);
    let then = if early.high > WAITED_FOR {
        "read each branch on its own"
    } else {
        "go on for that long, or read each branch on its own"
    };
    format!(
        "with everything open it reads clean after {}, {} before the system is: {then}",
        quantity(shows.reads_clean, Kind::Time),
        quantity(early, Kind::Time)
    )
}
