//! `wetside exercise faults`: the catalogue, and what each fault does to given surveys.

use super::super::exit::Exit;
use super::super::files::Refusal;
use super::super::packs::{Setting, shown};
use super::shared::{Shelf, loaded, text};
use clap::Args;
use std::collections::{BTreeMap, BTreeSet};
use wetside_base::source::Source;
use wetside_report::pen::{Ink, Pen, number};
use wetside_trainer::text::for_trainee;
use wetside_trainer::{Fault, Look as Survey, plantings, prove};

/// List the faults of the catalogue, and try them on clean surveys
///
/// With surveys, every fault is planted in every way into each of them, and held to what it promises. A way
/// that does not hold makes the command end as for a faulty pack.
#[derive(Args, Debug)]
pub(super) struct Faults {
    /// Clean surveys to plant the faults in
    surveys: Vec<String>,
    #[command(flatten)]
    shelf: Shelf,
    #[command(flatten)]
    setting: Setting,
}

pub(super) fn run(arguments: &Faults) -> Result<Exit, Refusal> {
    let (packs, catalogue) = loaded(&arguments.setting, &arguments.shelf)?;
    let mut bases = Vec::new();
    for path in &arguments.surveys {
        let survey = text(path)?;
        let base = Survey::at(
            Source::new(survey.name.clone(), for_trainee(&survey)),
            &packs,
        );
        prove::base(&base).map_err(|defect| {
            Refusal::new(format!("`{path}`: {}", defect.says), "name clean surveys")
        })?;
        bases.push(base);
    }
    let mut pen = Pen::new(arguments.setting.look.on_screen());
    let (mut failing, mut nowhere) = (0, 0);
    for fault in &catalogue.faults {
        pen.hanging(0, &format!("{}  ", fault.id), &about(fault), Ink::Usual);
        let (ways, sound) = tried(fault, &bases, &mut pen);
        failing += usize::from(sound < ways);
        nowhere += usize::from(ways == 0);
    }
    counted(&catalogue.faults, &mut pen);
    if !bases.is_empty() {
        let fail = number(failing, "fault fails", "faults fail");
        let words =
            format!("{fail} in some way; {nowhere} cannot be planted in any of these surveys.");
        pen.gap();
        pen.paragraph(0, &words);
    }
    shown(&pen.finish())?;
    Ok(match failing {
        0 => Exit::Clear,
        _ => Exit::FaultyPack,
    })
}

/// How many ways there are to plant a fault, and how many of them keep its promises.
fn tried(fault: &Fault, bases: &[Survey<'_>], pen: &mut Pen) -> (usize, usize) {
    let mut all = (0, 0);
    let mut reasons = BTreeSet::new();
    for base in bases {
        let ways = plantings(fault, base);
        let proved = ways.iter().map(|way| prove::alone(way, base));
        let mut sound = 0;
        for proof in proved {
            match proof {
                Ok(()) => sound += 1,
                Err(defect) => {
                    reasons.insert(defect.says);
                }
            }
        }
        let says = match ways.len() {
            0 => "cannot be planted here".to_string(),
            1 => format!("{sound} of 1 way holds"),
            many => format!("{sound} of {many} ways hold"),
        };
        pen.paragraph(4, &format!("{}: {says}.", base.source.name));
        all = (all.0 + ways.len(), all.1 + sound);
    }
    for reason in reasons {
        pen.hanging(4, "- ", &reason, Ink::Faint);
    }
    all
}

/// What the catalogue holds, by family, part and difficulty.
fn counted(faults: &[Fault], pen: &mut Pen) {
    let by = |of: &dyn Fn(&Fault) -> String| {
        let mut counts: BTreeMap<String, usize> = BTreeMap::new();
        for fault in faults {
            *counts.entry(of(fault)).or_default() += 1;
        }
        let words = counts.iter().map(|(name, count)| format!("{name} {count}"));
        words.collect::<Vec<_>>().join(", ")
    };
    pen.gap();
    pen.paragraph(0, &format!("{}.", number(faults.len(), "fault", "faults")));
    let words = |fault: &Fault| fault.family.words().to_string();
    pen.hanging(4, "by family: ", &by(&words), Ink::Usual);
    pen.hanging(4, "by part: ", &by(&|fault| fault.part.clone()), Ink::Usual);
    let hard = |fault: &Fault| fault.difficulty().word().to_string();
    pen.hanging(4, "by difficulty: ", &by(&hard), Ink::Usual);
}

fn about(fault: &Fault) -> String {
    format!(
        "{} ({}, {}, {})",
        fault.title,
        fault.part,
        fault.family.words(),
        fault.difficulty().word()
    )
}
