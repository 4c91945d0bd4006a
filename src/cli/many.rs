//! Many surveys: which they are, and judging them on all cores.
//!
//! Contract: the order is that of the names; of a folder, that of the names of its files. One that cannot be
//! read keeps no other from being judged.

use super::files::{self, DEPARTURES, Refusal, STANDARD_INPUT};
use rayon::prelude::*;
use std::fs;
use std::path::Path;
use wetside_base::finding::Judgement;
use wetside_base::source::Source;
use wetside_engine::check::{Ask, Packs, check_bytes};

const HELP: &str = "name the survey files, folders of them, or `-` for standard input";

/// The names of surveys, with those of the files in folders in the place of the folders.
///
/// # Errors
/// When a folder cannot be read, or holds no survey.
pub(super) fn surveys(names: &[String]) -> Result<Vec<String>, Refusal> {
    let mut all = Vec::new();
    for name in names {
        if name == STANDARD_INPUT || !Path::new(name).is_dir() {
            all.push(name.clone());
            continue;
        }
        let entries = fs::read_dir(name).map_err(|error| files::cannot_read(name, &error, HELP))?;
        let mut held = Vec::new();
        for entry in entries {
            let path = entry
                .map_err(|error| files::cannot_read(name, &error, HELP))?
                .path();
            let shown = path.display().to_string();
            if shown.ends_with(".yaml") && !shown.ends_with(DEPARTURES) && path.is_file() {
                held.push(shown);
            }
        }
        if held.is_empty() {
            let says = format!("the folder `{name}` holds no survey");
            return Err(Refusal::new(
                says,
                "a survey is a file that ends in `.yaml`",
            ));
        }
        held.sort();
        all.extend(held);
    }
    Ok(all)
}

/// Judges surveys by their names, each with the departures beside it.
pub(super) fn judge(
    names: &[String],
    packs: &Packs,
    ask: &Ask,
) -> Vec<Result<(Source, Judgement), Refusal>> {
    let one = |name: &String| {
        let (shown, bytes) = files::survey(name, HELP)?;
        let beside = files::departures(name)?;
        Ok(check_bytes(shown, bytes, packs, ask, beside.as_ref()))
    };
    match names {
        // Threads would cost more than they save.
        [] | [_] => names.iter().map(one).collect(),
        names => names.par_iter().map(one).collect(),
    }
}
