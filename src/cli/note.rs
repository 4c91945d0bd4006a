//! `wetside note`: one short line into the survey.

use super::exit::Exit;
use super::files::{self, Refusal, STANDARD_INPUT};
use super::packs::{self, shown};
use chrono::Local;
use clap::Args;
use std::fs;
use std::io::ErrorKind;
use std::path::{Path, PathBuf};
use wetside_base::source::Source;
use wetside_record::undo::History;
use wetside_record::{Beside, says_now};
use wetside_report::{Style, asking};
use wetside_units::DateTime;

/// Write a reading, a thing that was put back or a fact into the survey, in one short line
///
/// `wetside note house.yaml "front bedroom 420 ppm 38 C now"` adds a line to the flush log.
/// `wetside note house.yaml "primary check valve back in"` puts a thing back in the register.
/// `wetside note house.yaml "kitchen return valve found 1.25 turns open"` fills in a field.
/// `wetside note house.yaml stage flush` says that the job has got on.
/// `wetside note house.yaml bathroom rail condition new instead` takes the place of what is recorded.
/// A note is understood wholly or refused with a question; every other byte of the file stays. It writes over
/// nothing that is recorded but the stage, unless it ends with `instead`, and `--undo` takes the last one back.
#[derive(Args, Debug)]
pub(super) struct Arguments {
    /// The survey file
    #[arg(value_name = "SURVEY")]
    survey: String,
    /// The note, in quotes or not
    #[arg(value_name = "NOTE", required_unless_present = "undo")]
    note: Vec<String>,
    /// Take the time from the clock, as the word `now` in the note does
    #[arg(long)]
    now: bool,
    /// The time, as 10:42 or 2026-10-13T10:42
    #[arg(long, value_name = "TIME", conflicts_with = "now")]
    at: Option<String>,
    /// Who did it, for the register
    #[arg(long, value_name = "NAME")]
    by: Option<String>,
    /// Take the last note back
    #[arg(long, conflicts_with_all = ["note", "now", "at", "by"])]
    undo: bool,
    #[command(flatten)]
    setting: packs::Setting,
}

pub(super) fn run(arguments: &Arguments) -> Result<Exit, Refusal> {
    if arguments.survey == STANDARD_INPUT {
        let says = "a note is written into a file, and standard input is none";
        return Err(Refusal::new(says, "name the survey file"));
    }
    let path = Path::new(&arguments.survey);
    let _turn = turn(path);
    let source = files::text(&arguments.survey, "name the survey file")?;
    if arguments.undo {
        return undo(path, &source, &arguments.setting.look.on_screen());
    }
    let packs = arguments.setting.packs()?;
    let note = arguments.note.join(" ");
    if note.trim().eq_ignore_ascii_case("undo") {
        let says = "`undo` is no note";
        return Err(Refusal::new(says, "`--undo` takes the last note back"));
    }
    let beside = Beside {
        at: arguments.at.as_deref(),
        clock: (arguments.now || says_now(&note)).then(clock).flatten(),
        by: arguments.by.as_deref(),
    };
    let noted = wetside_record::note(&source, &packs, &note, &beside)
        .map_err(|why| Refusal::new(why.says, why.help))?;
    // A history that ends with a note that was never written does no harm: it fits no text.
    let mut history = history(path)?;
    history.push(&note, &source.text, &noted.source.text);
    keep(path, &history)?;
    files::change(&arguments.survey, &source.text, &noted.source.text)?;
    let style = arguments.setting.look.on_screen();
    let said = noted.says.iter().map(|line| asking::said(line, &style));
    shown(&said.collect::<String>())?;
    Ok(Exit::Clear)
}

fn undo(path: &Path, source: &Source, style: &Style) -> Result<Exit, Refusal> {
    let mut history = history(path)?;
    let Some((text, note)) = history.pop(&source.text) else {
        let name = &source.name;
        return Err(match history.last() {
            Some(last) => Refusal::new(
                format!("`{name}` was changed otherwise since the note `{last}`"),
                "a note is taken back only from the file as it left it; mend the line in an editor",
            ),
            None => Refusal::new(
                format!("no note can be taken back from `{name}`"),
                "none was written that is not taken back already",
            ),
        });
    };
    files::change(&source.name, &source.text, &text)?;
    keep(path, &history)?;
    shown(&asking::said(&format!("Taken back: {note}"), style))?;
    Ok(Exit::Clear)
}

/// Waits until no other note is being written into this folder, so that none forgets how the other is taken back; where
/// the system cannot tell, a survey that was changed in the meantime is still left alone.
fn turn(path: &Path) -> Option<fs::File> {
    let path = fs::canonicalize(path).ok()?;
    let folder = fs::File::open(path.parent()?).ok()?;
    folder.lock().ok().map(|()| folder)
}

/// The file beside a survey that remembers its notes.
fn beside(path: &Path) -> PathBuf {
    let path = fs::canonicalize(path).unwrap_or_else(|_| path.to_path_buf());
    let name = path.file_name().unwrap_or_default().to_string_lossy();
    path.with_file_name(format!(".{name}.notes"))
}

fn history(path: &Path) -> Result<History, Refusal> {
    let file = beside(path);
    match fs::read_to_string(&file) {
        Ok(text) => serde_json::from_str(&text).map_err(|_| {
            let says = format!(
                "`{}` does not hold the notes that it should",
                file.display()
            );
            Refusal::new(says, "move it away; then notes are remembered from here on")
        }),
        Err(error) if error.kind() == ErrorKind::NotFound => Ok(History::default()),
        Err(error) => {
            let says = format!("cannot read `{}`: {error}", file.display());
            Err(Refusal::new(says, "let it be read, or move it away"))
        }
    }
}

fn keep(path: &Path, history: &History) -> Result<(), Refusal> {
    let file = beside(path);
    if history.is_empty() {
        // What is left over takes nothing back.
        let _ = fs::remove_file(&file);
        return Ok(());
    }
    let text = serde_json::to_string(history).expect("every key is a word") + "\n";
    files::write(&file, &text, true, "")
}

/// The time on the wall of the house, to the minute.
fn clock() -> Option<DateTime> {
    let now = Local::now().format("%Y-%m-%dT%H:%M").to_string();
    DateTime::parse(&now).ok()
}
