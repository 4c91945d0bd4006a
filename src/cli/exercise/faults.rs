//! `wetside exercise faults`: the catalogue, and what each fault does to given surveys.

use super::super::exit::Exit;
use super::super::files::Refusal;
use super::super::packs::{Choice, shown};
use super::super::terminal::Look;
use super::{Shelf, loaded, text};
use crate::exercise::text::for_trainee;
use crate::exercise::{Fault, Look as Survey, plantings, prove};
use crate::report::pen::{Ink, Pen, number};
use crate::source::Source;
use clap::Args;
use std::collections::BTreeSet;

/// List the faults of the catalogue, and try them on clean surveys
///
/// With surveys, every fault is planted in every way into each of them, and held to what it promises.
#[derive(Args, Debug)]
pub struct Faults {
    /// Clean surveys to plant the faults in
    surveys: Vec<String>,
    #[command(flatten)]
    shelf: Shelf,
    #[command(flatten)]
    choice: Choice,
    #[command(flatten)]
    look: Look,
}

pub fn run(arguments: &Faults) -> Result<Exit, Refusal> {
    let (packs, catalogue) = match loaded(&arguments.choice, &arguments.shelf, &arguments.look)? {
        Ok(loaded) => loaded,
        Err(exit) => return Ok(exit),
    };
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
    let mut pen = Pen::new(arguments.look.on_screen());
    for fault in &catalogue.faults {
        pen.hanging(0, &format!("{}  ", fault.id), &about(fault), Ink::Usual);
        let mut reasons = BTreeSet::new();
        for base in &bases {
            let ways = plantings(fault, base, &packs);
            let sound = ways
                .iter()
                .filter(|way| match prove::alone(way, base, &packs) {
                    Ok(()) => true,
                    Err(defect) => {
                        reasons.insert(defect.says);
                        false
                    }
                });
            let sound = sound.count();
            pen.paragraph(
                4,
                &format!(
                    "{}: {sound} of {} hold.",
                    base.source.name,
                    number(ways.len(), "way", "ways")
                ),
            );
        }
        for reason in reasons {
            pen.hanging(4, "- ", &reason, Ink::Faint);
        }
    }
    pen.gap();
    pen.paragraph(
        0,
        &format!("{}.", number(catalogue.faults.len(), "fault", "faults")),
    );
    shown(&pen.finish())?;
    Ok(Exit::Clear)
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
