//! The folder of a pack: its texts, and whatever else lies there.
//!
//! Contract: every file below it is read or named as a problem; nothing vanishes.

use super::files::{Refusal, cannot_read, read};
use std::path::{Path, PathBuf};
use std::sync::Arc;
use std::{fs, io};
use wetside_base::problem::Problem;
use wetside_base::source::{Source, Span};
use wetside_engine::pack::{PACK_FILE, PackFiles, PackProblem};

/// Folders within folders of a pack.
const DEEPEST: usize = 8;
/// Files of a pack.
const MOST_FILES: usize = 10_000;

/// The texts of a pack, in the order of their paths, and what is not read: every file in its folder is one or
/// the other. `help` says which folder to name.
pub(super) fn pack(folder: &Path, help: &str) -> Result<(PackFiles, Vec<PackProblem>), Refusal> {
    let (files, no_text, passed) = read_all(folder, help, false)?;
    if !files.files.iter().any(|(path, _)| path == PACK_FILE) {
        // It is the wrong folder, whatever else it holds.
        return Ok((files, Vec::new()));
    }
    let mut problems = passed;
    problems.extend(no_text);
    // A folder lists what it holds in an order that is not the same everywhere.
    problems.sort_by(|a, b| a.source.name.cmp(&b.source.name));
    Ok((files, problems))
}

/// The texts below a folder, in the order of their paths, and those that are no text. Whatever else lies there
/// is nobody's concern.
pub(super) fn texts(folder: &Path, help: &str) -> Result<(PackFiles, Vec<PackProblem>), Refusal> {
    let (files, no_text, _) = read_all(folder, help, true)?;
    Ok((files, no_text))
}

/// The texts below a folder, those that are no text, and what else lies there and is passed over.
fn read_all(
    folder: &Path,
    help: &str,
    follow_links: bool,
) -> Result<(PackFiles, Vec<PackProblem>, Vec<PackProblem>), Refusal> {
    let mut found = Found {
        help,
        follow_links,
        paths: Vec::new(),
        passed: Vec::new(),
    };
    found.collect(folder, 0)?;
    found.paths.sort();
    let mut files = PackFiles {
        name: folder.display().to_string(),
        files: Vec::new(),
    };
    let mut no_text = Vec::new();
    for path in found.paths {
        let shown = path.display().to_string();
        let bytes = read(&path).map_err(|error| {
            cannot_read(&shown, &error, "every file in the folder must be readable")
        })?;
        match wetside_document::decode(&shown, bytes) {
            Ok(source) => files
                .files
                .push((within(folder, &path), source.text.into())),
            Err(problem) => no_text.push(of_file(shown, problem)),
        }
    }
    Ok((files, no_text, found.passed))
}

/// A problem of a file of which only the name is known.
fn of_file(shown: String, problem: Problem) -> PackProblem {
    let source = Arc::new(Source::new(shown, ""));
    PackProblem { source, problem }
}

fn within(folder: &Path, path: &Path) -> String {
    let inside = path.strip_prefix(folder).unwrap_or(path);
    let parts: Vec<_> = inside.iter().map(|part| part.to_string_lossy()).collect();
    parts.join("/")
}

/// What lies below a folder.
struct Found<'h> {
    help: &'h str,
    follow_links: bool,
    paths: Vec<PathBuf>,
    passed: Vec<PackProblem>,
}

impl Found<'_> {
    fn collect(&mut self, folder: &Path, depth: usize) -> Result<(), Refusal> {
        let shown = folder.display().to_string();
        let help = self.help;
        let refuse = |error: io::Error| cannot_read(&shown, &error, help);
        if depth > DEEPEST || self.paths.len() > MOST_FILES {
            let says = format!("the folder `{shown}` holds more than is read of one folder");
            return Err(Refusal::new(says, help));
        }
        for entry in fs::read_dir(folder).map_err(refuse)? {
            let path = entry.map_err(refuse)?.path();
            if let Some((says, help)) = passed_over(&path, self.follow_links) {
                let problem = Problem::new("not-read", Span::default(), says, help);
                self.passed
                    .push(of_file(path.display().to_string(), problem));
            } else if path.is_dir() {
                self.collect(&path, depth + 1)?;
            } else if path.extension().is_some_and(|ending| ending == "yaml") {
                self.paths.push(path);
            }
        }
        Ok(())
    }
}

/// Why something in the folder of a pack is not read, and what to do; nothing where it is read, or is a page
/// for people (`.md`).
fn passed_over(path: &Path, follow_links: bool) -> Option<(&'static str, &'static str)> {
    let name = path.file_name()?.to_string_lossy();
    let ending = path.extension().unwrap_or_default().to_string_lossy();
    if path.is_symlink() && !follow_links {
        return Some((
            "this is a link, and links are not followed",
            "put what it leads to into the folder of the pack itself",
        ));
    }
    if name.starts_with('.') {
        return Some((
            "what is hidden is not read",
            "give it a name without a dot in front, or keep the pack in a folder of its own that holds nothing else",
        ));
    }
    let lower = ending.to_lowercase();
    if path.is_dir() || ["yaml", "md"].contains(&ending.as_ref()) {
        return None;
    }
    Some(if lower == "yaml" || lower == "yml" {
        (
            "only files that end in `.yaml` are read",
            "give it that ending, in small letters",
        )
    } else {
        (
            "this is no file of a pack",
            "a pack holds files that end in `.yaml`, and pages for people that end in `.md`; keep anything else beside its folder",
        )
    })
}
