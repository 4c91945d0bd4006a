//! `wetside exercise record`: what a centre keeps of all sittings.

use super::super::check::date;
use super::super::exit::Exit;
use super::super::files::{self, Refusal};
use super::super::packs::shown;
use super::super::terminal::Look;
use super::shared::{Exercises, text};
use clap::Args;
use std::path::{Path, PathBuf};
use wetside_base::problem::Problem;
use wetside_base::source::Source;
use wetside_report::pen::{Ink, Pen, number};
use wetside_report::trainer::{record, tables};
use wetside_trainer::Marked;
use wetside_trainer::class::record::{attempts, progress};
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

/// The record with this sitting, if it is asked for, and where it belongs.
pub(super) fn with_sitting<'a>(
    arguments: &'a Sitting,
    sheets: &[Marked],
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
    let mut rows = if path.exists() {
        let source = text(&name)?;
        tables::read_record(&source).map_err(|problem| in_row(&name, &source, problem))?
    } else {
        Vec::new()
    };
    if rows.iter().any(|row| row.sitting == sitting) {
        let says = format!("`{name}` has the sitting `{sitting}` already");
        let help = "give this sitting another name, or take its rows out of the record";
        return Err(Refusal::new(says, help));
    }
    for sheet in sheets {
        let (key, _) = &exercises[&sheet.exercise];
        rows.extend(attempts(sheet, key, sitting, &on.to_string()));
    }
    Ok(Some((path, tables::record(&rows))))
}

/// A row of a table that cannot be used.
pub(super) fn in_row(path: &str, source: &Source, problem: Problem) -> Refusal {
    let line = source.line_of(problem.span.start);
    Refusal::new(
        format!("line {line} of `{path}`: {}", problem.says),
        problem.help,
    )
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
    let source = text(&arguments.record)?;
    let rows = tables::read_record(&source);
    let rows = rows.map_err(|problem| in_row(&arguments.record, &source, problem))?;
    let progress = progress(&rows);
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
