//! What would narrow the figures, in words.

use super::words::plain;
use crate::pen::{Ink, Pen, sentence};
use wetside_engine::figures::advice::{Advice, Brings, Narrowed, Settle};

pub(super) fn advice(pen: &mut Pen, all: &[Advice]) {
    if all.is_empty() {
        return;
    }
    pen.heading("what would narrow them most", '-', Ink::Usual);
    for one in all {
        pen.hanging(0, "- ", &sentence(&words(one)), Ink::Usual);
    }
}

/// What to do, and what each figure comes to then: of the branches the one that gains most.
pub(super) fn words(advice: &Advice) -> String {
    let what = match &advice.settle {
        Settle::Fact {
            name,
            now: Some(now),
        } => format!("measure `{name}`, now {now}"),
        Settle::Fact { name, now: None } => format!("record `{name}`"),
        Settle::Read(flow, pressure) => {
            format!(
                "read a flow and its pressure on the machine and record `{flow}` and `{pressure}`"
            )
        }
        Settle::Shut(id) => format!("shut {id} for the turns"),
    };
    let of_branch = |brings: &&Brings| matches!(brings.figure, Narrowed::Branch(_));
    let branches = advice.brings.iter().filter(of_branch);
    let most = branches
        .clone()
        .max_by(|one, other| one.gain().total_cmp(&other.gain()));
    let figures = advice.brings.iter().filter(|brings| !of_branch(brings));
    let told: Vec<String> = most.into_iter().chain(figures).map(brings).collect();
    let more = match branches.count() {
        0 | 1 => String::new(),
        2 => ", and of one more branch by less".to_string(),
        count => format!(", and of {} more branches by less", count - 1),
    };
    format!("{what}: {}{more}", told.join("; "))
}

fn brings(brings: &Brings) -> String {
    let figure = match &brings.figure {
        Narrowed::Branch(id) => format!("the flow of {id}"),
        Narrowed::Figure(name) => format!("the {}", plain(name)),
    };
    let fold = |fold: f64| match fold {
        endless if endless.is_infinite() => "anything".to_string(),
        narrow if narrow < 1.05 => "one number".to_string(),
        narrow if narrow < 10.0 => format!("{narrow:.1}-fold"),
        wide => format!("{wide:.0}-fold"),
    };
    let (now, then) = (fold(brings.now), fold(brings.then));
    format!("{figure} narrows from {now} to {then}")
}
