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
/// the other.
///
/// # Errors
/// When the folder or a file in it cannot be read; `help` says which folder to name.
pub(super) fn pack(folder: &Path, help: &str) -> Result<(PackFiles, Vec<PackProblem>), Refusal> {
    let mut problems = Vec::new();
    let mut pass = |path: &Path, (says, help): (&str, &str)| {
        let source = Arc::new(Source::new(path.display().to_string(), ""));
        let problem = Problem::new("not-read", Span::default(), says, help);
        problems.push(PackProblem { source, problem });
    };
    let (files, no_text) = read_all(folder, help, false, &mut pass)?;
    if !files.files.iter().any(|(path, _)| path == PACK_FILE) {
        // It is the wrong folder, whatever else it holds.
        return Ok((files, Vec::new()));
    }
    problems.extend(no_text);
    // A folder lists what it holds in an order that is not the same everywhere.
    problems.sort_by(|a, b| a.source.name.cmp(&b.source.name));
    Ok((files, problems))
}

/// The texts below a folder, in the order of their paths, and those that are no text. Whatever else lies there
/// is nobody's concern.
///
/// # Errors
/// When the folder or a file in it cannot be read; `help` says which folder to name.
pub(super) fn texts(folder: &Path, help: &str) -> Result<(PackFiles, Vec<PackProblem>), Refusal> {
    read_all(folder, help, true, &mut |_, _| {})
}

fn read_all(
    folder: &Path,
    help: &str,
    follow_links: bool,
    pass: &mut dyn FnMut(&Path, (&str, &str)),
) -> Result<(PackFiles, Vec<PackProblem>), Refusal> {
    let mut paths = Vec::new();
    let mut pass = |path: &Path| {
        let why = passed_over(path, follow_links);
        why.inspect(|why| pass(path, *why)).is_some()
    };
    collect(folder, help, 0, &mut paths, &mut pass)?;
    paths.sort();
    let mut files = PackFiles {
        name: folder.display().to_string(),
        files: Vec::new(),
    };
    let mut problems = Vec::new();
    for path in paths {
        let shown = path.display().to_string();
        let bytes = read(&path).map_err(|error| {
            cannot_read(&shown, &error, "every file in the folder must be readable")
        })?;
        match wetside_document::decode(&shown, bytes) {
            Ok(source) => files
                .files
                .push((within(folder, &path), source.text.into())),
            Err(problem) => {
                let source = Arc::new(Source::new(shown, ""));
                problems.push(PackProblem { source, problem });
            }
        }
    }
    Ok((files, problems))
}

fn within(folder: &Path, path: &Path) -> String {
    let inside = path.strip_prefix(folder).unwrap_or(path);
    let parts: Vec<_> = inside.iter().map(|part| part.to_string_lossy()).collect();
    parts.join("/")
}

fn collect(
    folder: &Path,
    help: &str,
    depth: usize,
    paths: &mut Vec<PathBuf>,
    pass: &mut dyn FnMut(&Path) -> bool,
) -> Result<(), Refusal> {
    let shown = folder.display().to_string();
    let refuse = |error: &io::Error| cannot_read(&shown, error, help);
    if depth > DEEPEST || paths.len() > MOST_FILES {
        let says = format!("the folder `{shown}` holds more than is read of one folder");
        return Err(Refusal::new(says, help));
    }
    for entry in fs::read_dir(folder).map_err(|error| refuse(&error))? {
        let path = entry.map_err(|error| refuse(&error))?.path();
        if pass(&path) {
            continue;
        }
        if path.is_dir() {
            collect(&path, help, depth + 1, paths, pass)?;
        } else if path.extension().is_some_and(|ending| ending == "yaml") {
            paths.push(path);
        }
    }
    Ok(())
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
