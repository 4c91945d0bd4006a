//! Many surveys: which they are, and working on them on all cores.
//!
//! Contract: the order is that of the names; of a folder, that of the names of its files. One that cannot be
//! read keeps no other from being judged. So many are held at once and no more, however many there are. An
//! interrupt ends the work between two surveys: what is done is told, and nothing is lost.

use super::files::{self, DEPARTURES, Refusal, STANDARD_INPUT};
use super::terminal::Progress;
use serde::Deserialize;
use signal_hook::consts::SIGINT;
use signal_hook::flag;
use std::fs::{self, File};
use std::io::{self, BufRead, BufReader, Read};
use std::iter;
use std::path::Path;
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};
use wetside_base::finding::Judgement;
use wetside_base::source::Source;
use wetside_engine::check::{Ask, Packs, check_bytes};
use wetside_engine::mutants::of_each;

const HELP: &str = "name the survey files, folders of them, or `-` for standard input";

/// So many surveys are held at once.
const AT_ONCE: usize = 64;

/// A survey as it was given.
pub(super) enum Given {
    /// A file, or standard input.
    Named(String),
    /// A line that holds the whole survey.
    Written(Line),
    /// A line that nobody can read.
    Faulty(String, Refusal),
}

/// A line of JSON in place of the name of a file.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct Line {
    name: String,
    survey: String,
}

/// How the work on many surveys ended.
pub(super) struct Done {
    pub count: usize,
    pub interrupted: bool,
}

impl Given {
    pub(super) fn name(&self) -> &str {
        match self {
            Given::Named(name) | Given::Faulty(name, _) => name,
            Given::Written(line) => &line.name,
        }
    }

    /// The survey as text and what it comes to, with the departures beside it, by each of some packs.
    pub(super) fn judged<const N: usize>(
        &self,
        packs: [&Packs; N],
        ask: &Ask,
    ) -> Result<[(Source, Judgement); N], Refusal> {
        let (name, bytes, beside) = match self {
            Given::Named(name) => {
                let (shown, bytes) = files::survey(name, HELP)?;
                (shown, bytes, files::departures(name)?)
            }
            Given::Written(line) => (line.name.as_str(), line.survey.clone().into(), None),
            Given::Faulty(_, refusal) => return Err(refusal.clone()),
        };
        Ok(packs.map(|packs| check_bytes(name, bytes.clone(), packs, ask, beside.as_ref())))
    }
}

/// The names of surveys, with those of the files in folders in the place of the folders.
pub(super) fn surveys(names: &[String]) -> Result<Vec<String>, Refusal> {
    let mut all = Vec::new();
    for name in names {
        if name == STANDARD_INPUT || !Path::new(name).is_dir() {
            all.push(name.clone());
            continue;
        }
        let mut held = Vec::new();
        collect(name, &mut held)?;
        if held.is_empty() {
            let says = format!("the folder `{name}` holds no survey");
            return Err(Refusal::new(
                says,
                "a survey is a file that ends in `.yaml` or `.yml`; name the folders within it that hold some",
            ));
        }
        held.sort();
        all.extend(held);
    }
    Ok(all)
}

/// The surveys in a folder; what is hidden is left out. Folders within it may hold anything, packs and courses too:
/// who means them names them.
fn collect(folder: &str, held: &mut Vec<String>) -> Result<(), Refusal> {
    let refuse = |error: &io::Error| files::cannot_read(folder, error, HELP);
    for entry in fs::read_dir(folder).map_err(|error| refuse(&error))? {
        let entry = entry.map_err(|error| refuse(&error))?;
        let shown = entry.path().display().to_string();
        let hidden = entry.file_name().as_encoded_bytes().starts_with(b".");
        if !hidden && is_survey(&shown) && entry.path().is_file() {
            held.push(shown);
        }
    }
    Ok(())
}

fn is_survey(name: &str) -> bool {
    let name = name.to_lowercase();
    let ending = [".yaml", ".yml"]
        .iter()
        .any(|ending| name.ends_with(ending));
    ending && !name.ends_with(DEPARTURES)
}

/// The surveys of a list, as its lines come in: the name of a file each, or a survey in JSON.
pub(super) fn listed(list: &str) -> Result<impl Iterator<Item = Given>, Refusal> {
    let reader: Box<dyn BufRead> = if list == STANDARD_INPUT {
        Box::new(io::stdin().lock())
    } else {
        let help = "name a file with the name of a survey on each line, or `-`";
        let file = File::open(list).map_err(|error| files::cannot_read(list, &error, help))?;
        Box::new(BufReader::new(file))
    };
    let mut reader = reader;
    let mut number = 0;
    let lines = iter::from_fn(move || {
        number += 1;
        let mut bytes = Vec::new();
        // A line that never ends is cut, and cannot be read.
        let read = (&mut reader)
            .take(files::MOST_BYTES)
            .read_until(b'\n', &mut bytes);
        match read {
            Ok(0) => None,
            Ok(_) => Some(given(number, &bytes)),
            Err(error) => {
                let help = "what came before it was judged";
                let refusal = files::cannot_read(&format!("line {number}"), &error, help);
                Some(Given::Faulty(format!("line {number}"), refusal))
            }
        }
    });
    Ok(lines.filter(|given| !given.name().is_empty()))
}

fn given(number: usize, bytes: &[u8]) -> Given {
    let faulty = |why: String| {
        let says = format!("line {number} of the list names no survey: {why}");
        let help =
            "a line is the name of a file, or JSON with `name` and `survey`, the text of a survey";
        Given::Faulty(format!("line {number}"), Refusal::new(says, help))
    };
    match str::from_utf8(bytes).map(str::trim) {
        Err(_) => faulty("it is not UTF-8".to_string()),
        Ok(line) if line.starts_with('{') => match serde_json::from_str(line) {
            Ok(line) => Given::Written(line),
            Err(error) => faulty(error.to_string()),
        },
        Ok(line) => Given::Named(line.to_string()),
    }
}

/// Works on each survey, on as many cores as there are, and takes what comes of it in their order.
pub(super) fn each<T: Send>(
    given: impl Iterator<Item = Given>,
    total: Option<usize>,
    work: impl Fn(&Given) -> T + Sync,
    mut take: impl FnMut(&Given, T) -> Result<(), Refusal>,
) -> Result<Done, Refusal> {
    let stop = interrupts();
    let interrupted = || stop.load(Ordering::Relaxed);
    let mut progress = Progress::new(total);
    let mut given = given.fuse();
    let mut count = 0;
    while !interrupted() {
        let some: Vec<Given> = given.by_ref().take(AT_ONCE).collect();
        let work = |one: &Given| (!interrupted()).then(|| work(one));
        let came = match some.as_slice() {
            [] => break,
            // Threads would cost more than they save.
            [one] => vec![work(one)],
            some => of_each(some, work),
        };
        for (one, came) in some.iter().zip(came) {
            if let Some(came) = came {
                count += 1;
                take(one, came)?;
            }
        }
        progress.tell(count);
    }
    Ok(Done {
        count,
        interrupted: interrupted(),
    })
}

/// Set at the first interrupt; a second one ends the program at once, as one without this would.
fn interrupts() -> Arc<AtomicBool> {
    let stop = Arc::new(AtomicBool::new(false));
    // Where it cannot be heard, an interrupt ends the program as it always did.
    let code = i32::from(super::Exit::Interrupted.code());
    let _ = flag::register_conditional_shutdown(SIGINT, code, stop.clone());
    let _ = flag::register(SIGINT, stop.clone());
    stop
}
