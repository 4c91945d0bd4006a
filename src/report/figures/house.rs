//! The branches of a house and its points of connection, as tables or lists.

use super::table;
use super::words::{cell, likely_cell, quantity, rough};
use crate::line_numbers;
use crate::pen::{Ink, Pen, closed, row, sentence};
use std::collections::BTreeSet;
use wetside_base::source::{Source, Span};
use wetside_engine::figures::explain::Worked;
use wetside_engine::figures::house::words;
use wetside_engine::figures::survey::word_of;
use wetside_engine::figures::tell::Told;
use wetside_house::{
    Branch, Comparison, Connection, Fate, IndexRun, LikelyBranch, PARTS, Range, Share, WithAllOpen,
    ranked,
};
use wetside_units::Kind;

/// Below so many columns a list reads better than a table.
const LEAST_FOR_TABLE: usize = 72;

/// A table where there is room for one, otherwise each row as a sentence after its first cell.
pub(super) fn rows(pen: &mut Pen, heads: &[&str], rows: &[Vec<String>]) {
    let style = *pen.style();
    let room = style.columns();
    if style.drawn
        && room >= LEAST_FOR_TABLE
        && let Some(drawn) = table::lines(heads, rows, room, style.ascii)
    {
        pen.block(0, &drawn);
        return;
    }
    for row in rows {
        let Some((name, cells)) = row.split_first() else {
            continue;
        };
        let cells = heads.iter().skip(1).zip(cells);
        let told: Vec<String> = cells
            .filter(|(_, cell)| !cell.is_empty())
            .map(|(head, cell)| match head.split_once(", ") {
                Some((what, unit)) if cell.ends_with(|c: char| c.is_ascii_digit() || c == ')') => {
                    format!("{what} {cell} {unit}")
                }
                Some((what, _)) => format!("{what} {cell}"),
                None => format!("{head} {cell}"),
            })
            .collect();
        pen.entry(0, name, &closed(&told.join("; ")));
    }
}

const BRANCH_HEADS: [&str; 8] = [
    "branch",
    "flow alone, L/min",
    "speed alone, m/s",
    "reversed, m/s",
    "speed all open, m/s",
    "coarse sludge",
    "one change",
    "outlet, bar",
];

const LIKELY_HEADS: [&str; 7] = [
    "worst first",
    "flow alone, L/min",
    "speed alone, m/s",
    "speed all open, m/s",
    "coarse sludge",
    "one change",
    "outlet, bar",
];

const LIKELY: &str = "Before the brackets the likely value, in them a likely range: it holds about nine in ten of the houses \
     that the survey may stand for, as far as the conventions hold. Branches of one number are alike, within a \
     tenth of their speed. Rules go by the sure ranges alone: `--explain branches` shows them.";

/// What is likely of each branch, the worst first, and where the head goes on the way through it.
pub(super) fn likely(pen: &mut Pen, source: &Source, told: &Told, figures: &[Worked]) {
    pen.heading("the branches", '-', Ink::Usual);
    let of_each = &told.likely.house.branches;
    let nothing = LikelyBranch::default();
    let likely = |at: usize| of_each.get(at).unwrap_or(&nothing);
    let shares = told.open.as_ref().ok().map(|open| &open.branches);
    let all: Vec<Vec<String>> = ranks_of(told)
        .into_iter()
        .map(|(rank, at)| {
            let share = shares.and_then(|shares| shares.get(at));
            likely_row(rank, &told.branches[at], likely(at), share)
        })
        .collect();
    rows(pen, &LIKELY_HEADS, &all);
    pen.gap();
    if of_each.iter().any(|branch| branch.speed.is_some()) {
        pen.paragraph(0, LIKELY);
    }
    for (why, others) in once(&told.likely.waits) {
        let why = why.trim_end_matches('.');
        let others = match others {
            0 => String::new(),
            1 => "; so it is with 1 other".to_string(),
            many => format!("; so it is with {many} others"),
        };
        pen.paragraph(0, &format!("Sure ranges alone, since {why}{others}."));
    }
    let reversed = told.branches.iter();
    let reversed = reversed.filter(|one| one.speed_back != one.speed);
    let reversed: Vec<&str> = reversed.map(|one| one.id.as_str()).collect();
    if !reversed.is_empty() {
        let words = format!(
            "Reversed, {} may have less or nothing: a one-way valve may stand in the way.",
            row(&reversed)
        );
        pen.paragraph(0, &words);
    }
    remarks(pen, told);
    if let Some(run) = &told.index_run {
        pen.paragraph(0, &index_run(run));
    }
    from_lines(pen, source, figures);
}

/// Each reason once, and of how many other emitters the same is open.
fn once(waits: &[String]) -> Vec<(&String, usize)> {
    let what = |why: &str| why.split_once(": ").map(|(_, what)| what.to_string());
    let mut all: Vec<(&String, usize)> = Vec::new();
    for why in waits {
        let same = |(one, _): &&mut (&String, usize)| {
            *one == why || what(one).is_some() && what(one) == what(why)
        };
        match all.iter_mut().find(same) {
            Some((_, others)) => *others += 1,
            None => all.push((why, 0)),
        }
    }
    all
}

/// Rank and place of each branch by its likely speed alone, the worst first.
pub(super) fn ranks_of(told: &Told) -> Vec<(Option<usize>, usize)> {
    let likely = &told.likely.house.branches;
    let speed = |at: usize| likely.get(at)?.speed.map(|speed| speed.value);
    let speeds: Vec<Option<f64>> = (0..told.branches.len()).map(speed).collect();
    ranked(&speeds)
}

fn likely_row(
    rank: Option<usize>,
    branch: &Branch,
    likely: &LikelyBranch,
    share: Option<&Share>,
) -> Vec<String> {
    let speed = |likely, sure| likely_cell(likely, sure, Kind::Velocity, Some("m/s"));
    vec![
        rank.map_or(branch.id.clone(), |rank| format!("{rank}. {}", branch.id)),
        likely_cell(likely.flow, branch.flow, Kind::VolumeFlow, Some("L/min")),
        speed(likely.speed, branch.speed),
        share.map_or(String::new(), |share| speed(likely.open_speed, share.speed)),
        fate(branch.coarse).replace("partly carried to", "partly to"),
        likely_cell(likely.change, branch.change, Kind::Time, None),
        likely_cell(
            likely.outlet,
            branch.outlet,
            Kind::GaugePressure,
            Some("bar"),
        ),
    ]
}

/// Where the head goes, in kPa by part.
fn index_run(run: &IndexRun) -> String {
    let kilopascals = |pascals: f64| format!("{:.0}", pascals / 1000.0);
    let parts = run.parts.iter();
    let parts: Vec<String> = parts
        .map(|(part, lost)| format!("{part} {}", kilopascals(*lost)))
        .collect();
    let all: f64 = run.parts.iter().map(|(_, lost)| lost).sum();
    format!(
        "The index run, through {} at {}, loses {} kPa at the middle of the ranges: {}.",
        run.id,
        cell(Range::point(run.flow), Kind::VolumeFlow, "L/min") + " L/min",
        kilopascals(all),
        row(&parts)
    )
}

/// Each branch alone and with everything open, by the sure ranges.
pub(super) fn branches(pen: &mut Pen, source: &Source, told: &Told, figures: &[Worked]) {
    pen.heading("one branch at a time", '-', Ink::Usual);
    let convention = format!(
        "All other branches shut. By convention {}.",
        told.convention
    );
    pen.paragraph(0, &convention);
    let shares = told.open.as_ref().map(|open| &open.branches);
    let all: Vec<Vec<String>> = told
        .branches
        .iter()
        .map(|branch| {
            let mut open = shares.iter().flat_map(|shares| shares.iter());
            branch_row(branch, open.find(|share| share.id == branch.id))
        })
        .collect();
    pen.gap();
    rows(pen, &BRANCH_HEADS, &all);
    pen.gap();
    remarks(pen, told);
    from_lines(pen, source, figures);
}

fn from_lines(pen: &mut Pen, source: &Source, figures: &[Worked]) {
    if let Some(lines) = line_numbers::told(source, behind(figures, "branches")) {
        pen.paragraph(0, &format!("From {lines}."));
    }
}

/// What the tables of the branches mean, and what is told of all of them.
fn remarks(pen: &mut Pen, told: &Told) {
    let mut branches = told.branches.iter();
    let parts = branches.any(|branch| branch.outlet.low <= PARTS);
    let words = "Coarse sludge is magnetite of 100 µm in the tails. The outlet's pressure below 0 draws air in";
    let more = if parts {
        "; at -0.99 bar the column of water parts."
    } else {
        "."
    };
    pen.paragraph(0, &format!("{words}{more}"));
    if let Some((flow, speed)) = told.floor {
        let flow = quantity(flow, Kind::VolumeFlow);
        let speed = quantity(speed, Kind::Velocity);
        let words = format!("The longest loop of the floor alone: {flow}, {speed}.");
        pen.paragraph(0, &words);
    }
    open(pen, told);
}

fn branch_row(branch: &Branch, share: Option<&Share>) -> Vec<String> {
    let speed = |range| cell(range, Kind::Velocity, "m/s");
    vec![
        branch.id.clone(),
        cell(branch.flow, Kind::VolumeFlow, "L/min"),
        speed(branch.speed),
        if branch.speed_back == branch.speed {
            "the same".to_string()
        } else {
            speed(branch.speed_back)
        },
        share.map_or(String::new(), |share| speed(share.speed)),
        fate(branch.coarse).replace("partly carried to", "partly to"),
        rough(branch.change, Kind::Time),
        cell(branch.outlet, Kind::GaugePressure, "bar"),
    ]
}

pub(super) fn fate(fate: Fate) -> String {
    match fate.known() {
        Some(known) => words(known).to_string(),
        None => format!("{} to {}", words(fate.worst), words(fate.best)),
    }
}

fn open(pen: &mut Pen, told: &Told) {
    let words = match &told.open {
        Ok(open) => {
            let mut words = format!(
                "Everything open: {} through the machine, {} in the busiest main",
                quantity(open.machine_flow, Kind::VolumeFlow),
                quantity(open.main_speed, Kind::Velocity),
            );
            if open.taken_by_shorts.high > 0.0 {
                let taken = quantity(open.taken_by_shorts, Kind::Share);
                words.push_str(&format!(", {taken} of it past the branches"));
            }
            if let Some((id, pressure)) = &open.lowest {
                let pressure = quantity(*pressure, Kind::GaugePressure);
                words.push_str(&format!("; lowest pressure at {id}, {pressure}"));
            }
            words
        }
        Err(none) => format!("Everything open is not worked out: {none}"),
    };
    pen.paragraph(0, &closed(&words));
}

/// The lines behind the elements of a list.
fn behind(figures: &[Worked], list: &str) -> Vec<Span> {
    let of = figures.iter().filter(|figure| figure.about == list);
    of.flat_map(|figure| figure.lines.iter().copied()).collect()
}

const POINT_HEADS: [&str; 6] = [
    "point in the trade's order",
    "slowest branch",
    "its speed alone, m/s",
    "all open, L/min",
    "busiest main, m/s",
    "lowest parts, bar",
];

/// The points at which the machine could be connected.
pub(super) fn connections(pen: &mut Pen, source: &Source, told: &Told, figures: &[Worked]) {
    let Some(compared) = &told.connections else {
        return;
    };
    pen.heading("points of connection", '-', Ink::Usual);
    let all: Vec<Vec<String>> = compared.points.iter().map(point_row).collect();
    rows(pen, &POINT_HEADS, &all);
    pen.gap();
    pen.paragraph(0, &verdict(compared));
    let branches = behind(figures, "branches");
    let mut more = behind(figures, "connections");
    let seen: BTreeSet<Span> = branches.iter().copied().collect();
    more.retain(|span| !seen.contains(span));
    match (branches.is_empty(), line_numbers::told(source, more)) {
        (true, Some(lines)) => pen.paragraph(0, &format!("From {lines}.")),
        (false, Some(lines)) => {
            pen.paragraph(0, &format!("From the lines of the branches, and {lines}."));
        }
        (_, None) => {}
    }
}

fn point_row(point: &Connection) -> Vec<String> {
    let open = |of: fn(&WithAllOpen) -> String| point.open.as_ref().map_or(String::new(), of);
    vec![
        word_of(point.point).to_string(),
        point.slowest.clone(),
        cell(point.least_speed, Kind::Velocity, "m/s"),
        open(|open| cell(open.machine_flow, Kind::VolumeFlow, "L/min")),
        open(|open| cell(open.main_speed, Kind::Velocity, "m/s")),
        open(|open| cell(open.at_weakest, Kind::GaugePressure, "bar")),
    ]
}

/// Which point is best, and whether the trade would take another.
pub(super) fn verdict(compared: &Comparison) -> String {
    let best = word_of(compared.points[compared.best].point);
    let Some(first) = compared.points.first().map(|one| word_of(one.point)) else {
        return String::new();
    };
    let sure = match (compared.points.len(), compared.clearly) {
        (1, _) => return sentence(&format!("there is no other point than {best}")),
        (_, true) => "whatever their joints",
        (_, false) => "but another may be as fast, according to the fittings",
    };
    let trade = match (compared.trade_differs, best == first) {
        (_, true) => format!("The trade would take {first} too (common practice, no source)"),
        (true, _) => format!(
            "The trade would take {first} all the same: the two differ (common practice, no source)"
        ),
        (false, _) => format!(
            "The trade would take {first} (common practice, no source), and nothing clear speaks against it"
        ),
    };
    format!(
        "In numbers {best} is best, by its slowest branch at the middle of the ranges, {sure}. {trade}."
    )
}
