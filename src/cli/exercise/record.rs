//! `wetside exercise record`: what a centre keeps of all sittings.

use super::super::check::date;
use super::super::exit::Exit;
use super::super::files::{self, Refusal};
use super::super::packs::shown;
use super::super::terminal::Look;
use super::shared::{Exercises, on_record};
use clap::Args;
use std::path::{Path, PathBuf};
use wetside_report::pen::{Ink, Pen, number};
use wetside_report::trainer::{record, tables};
use wetside_trainer::Marked;
use wetside_trainer::class::record::{Attempt, attempts, progress, same_sitting};
use wetside_units::Date;

/// Where a class is put on record.
#[derive(Args, Debug)]
pub(super) struct Sitting {
    /// Add this sitting to the record of the centre, a file that is made where it is missing
    #[arg(long, value_name = "CSV", requires_all = ["sitting", "on"])]
    record: Option<PathBuf>,
    /// What the sitting is called in the record
    #[arg(long, value_name = "NAME", requires = "record")]
    sitting: Option<String>,
    /// The day of the sitting, as 2026-10-13
    #[arg(long, value_name = "DATE", value_parser = date, requires = "record")]
    on: Option<Date>,
}

impl Sitting {
    pub(super) fn is_asked(&self) -> bool {
        self.record.is_some()
    }
}

/// The record with this sitting, if it is asked for, and where it belongs. A sitting that is there already gives place
/// to the same one with changed marks.
pub(super) fn with_sitting<'a>(
    arguments: &'a Sitting,
    sheets: &[Marked],
    changed: bool,
    exercises: &Exercises,
) -> Result<Option<(&'a Path, String)>, Refusal> {
    let asked = arguments
        .record
        .as_deref()
        .zip(arguments.sitting.as_deref());
    let Some(((path, sitting), on)) = asked.zip(arguments.on) else {
        return Ok(None);
    };
    let name = path.display().to_string();
    let rows = if path.exists() {
        on_record(&name)?
    } else {
        Vec::new()
    };
    let (before, mut rows): (Vec<Attempt>, Vec<Attempt>) =
        rows.into_iter().partition(|row| row.sitting == sitting);
    let now = sheets.iter().flat_map(|sheet| {
        let (key, _) = &exercises[&sheet.exercise];
        attempts(sheet, key, sitting, &on.to_string())
    });
    let now: Vec<Attempt> = now.collect();
    let is_new = before.is_empty() || changed && same_sitting(&before, &now);
    if !is_new {
        let says = format!("`{name}` has the sitting `{sitting}` already");
        let help = "give this sitting another name; where marks of it are changed, mark the same sheets of the same day, with `--changes` of all that was changed so far";
        return Err(Refusal::new(says, help));
    }
    let again = |new: &&Attempt| rows.iter().any(|old| old.is_of_sheet(new));
    if let Some(again) = now.iter().find(again) {
        let says = format!(
            "`{name}` has `{}` for the exercise `{}` already, in another sitting",
            again.trainee, again.exercise
        );
        let help = "make other exercises for a second sitting: who has sat one knows it";
        return Err(Refusal::new(says, help));
    }
    rows.extend(now);
    Ok(Some((path, tables::record(&rows))))
}

/// Show what the record of a centre says
///
/// Who sat what and passed, what everybody is to practise next and when, and which faults taught something, over all
/// sittings in the record that `class` keeps.
#[derive(Args, Debug)]
pub(super) struct Record {
    /// The record
    record: String,
    /// The page to write
    #[arg(long, value_name = "HTML")]
    into: PathBuf,
    /// Write over a file of the same name
    #[arg(long)]
    replace: bool,
    #[command(flatten)]
    look: Look,
}

pub(super) fn show(arguments: &Record) -> Result<Exit, Refusal> {
    let progress = progress(&on_record(&arguments.record)?);
    let help = "name another page, or write `--replace`";
    files::write(
        &arguments.into,
        &record::page(&progress),
        arguments.replace,
        help,
    )?;
    let mut pen = Pen::new(arguments.look.on_screen());
    for person in &progress.people {
        let passed = person.sittings.iter().filter(|sat| sat.passed).count();
        let next = person.parts.first();
        let next = next.map_or(String::new(), |part| {
            format!("; next {}, on {}", part.part, part.again)
        });
        let sat = number(person.sittings.len(), "sitting", "sittings");
        let says = format!("{sat}, {passed} passed{next}");
        pen.hanging(0, &format!("{}  ", person.name), &says, Ink::Usual);
    }
    pen.gap();
    pen.paragraph(
        0,
        &format!("The record is in {}.", arguments.into.display()),
    );
    shown(&pen.finish())?;
    Ok(Exit::Clear)
}
