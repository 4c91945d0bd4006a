//! No two files of a crate use each other, straight or by way of others.
//!
//! A file uses another when it names it in a path that begins with `crate`, `self`, `super` or a child
//! that it declares. A name that a file hands on by `use` or `pub use` counts as a use of the file
//! that it comes from. To declare a child with `mod`, and to hand on what is in it, is no use.

use std::collections::{BTreeMap, BTreeSet};

use super::code::{Crate, Piece, crates};

/// The place of a file in its crate, as a path: `figures/house/mod.rs` is `[figures, house]`.
fn module<'a>(crate_folder: &str, path: &'a str) -> Vec<&'a str> {
    let inside = match crate_folder {
        "" => path.trim_start_matches("src/"),
        folder => &path[folder.len() + 1..],
    };
    let mut parts: Vec<&str> = inside.trim_end_matches(".rs").split('/').collect();
    if matches!(
        *parts.last().expect("a path has a part"),
        "mod" | "lib" | "main"
    ) {
        parts.pop();
    }
    parts
}

/// Where a path stands.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Stands {
    InCode,
    /// Its last name is taken over by `use`.
    Taken,
    /// Its last name is handed on by `pub use`.
    HandedOn,
}

/// A path in a file's code.
struct Named<'a> {
    parts: Vec<&'a str>,
    used_as: Option<&'a str>,
    stands: Stands,
}

/// All paths of some code that have more than one part, with the branches of their trees.
fn paths(code: &[Piece]) -> Vec<Named<'_>> {
    let mut found = Vec::new();
    let mut at = 0;
    let mut stands = Stands::InCode;
    while at < code.len() {
        match &code[at] {
            Piece::Word(word) if word == "use" => {
                let before = at.checked_sub(1).map(|before| &code[before]);
                let public = before.is_some_and(|one| one.is(')') || one.word() == Some("pub"));
                stands = if public {
                    Stands::HandedOn
                } else {
                    Stands::Taken
                };
            }
            Piece::Sign(';') => stands = Stands::InCode,
            Piece::Word(_) if at < 2 || !code[at - 1].is(':') || !code[at - 2].is(':') => {
                let end = branch(code, at, &[], stands, &mut found);
                at = end.max(at + 1);
                continue;
            }
            _ => {}
        }
        at += 1;
    }
    found
}

/// Reads a path from a word on, and gives the place behind it.
fn branch<'a>(
    code: &'a [Piece],
    from: usize,
    stem: &[&'a str],
    stands: Stands,
    found: &mut Vec<Named<'a>>,
) -> usize {
    let mut parts = stem.to_vec();
    let mut at = from;
    while let Some(word) = code.get(at).and_then(Piece::word) {
        parts.push(word);
        at += 1;
        let goes_on = code.get(at).is_some_and(|sign| sign.is(':'))
            && code.get(at + 1).is_some_and(|sign| sign.is(':'));
        if !goes_on {
            break;
        }
        at += 2;
        if stands != Stands::InCode && code.get(at).is_some_and(|sign| sign.is('{')) {
            at += 1;
            while code.get(at).is_some_and(|sign| !sign.is('}')) {
                at = branch(code, at, &parts, stands, found).max(at + 1);
                at += usize::from(code.get(at).is_some_and(|sign| sign.is(',')));
            }
            return at + 1;
        }
    }
    let mut used_as = parts.last().copied();
    if stands != Stands::InCode && code.get(at).and_then(Piece::word) == Some("as") {
        used_as = code.get(at + 1).and_then(Piece::word);
        at += 2;
    }
    if parts.len() > 1 {
        found.push(Named {
            parts,
            used_as,
            stands,
        });
    }
    at
}

/// The files of a crate, each with those it uses, as places in the list of its files.
fn uses(one: &Crate) -> Vec<BTreeSet<usize>> {
    let modules: Vec<Vec<&str>> = one
        .files
        .iter()
        .map(|file| module(&one.folder, &file.path))
        .collect();
    let places: BTreeMap<&[&str], usize> = modules
        .iter()
        .enumerate()
        .map(|(at, module)| (module.as_slice(), at))
        .collect();
    let named: Vec<Vec<Named>> = one.files.iter().map(|file| paths(&file.code)).collect();
    // From the root of the crate, or nothing where the path leads out of it.
    let absolute = |at: usize, parts: &[&str]| -> Option<Vec<String>> {
        let mut base: Vec<&str> = modules[at].clone();
        let mut rest = parts;
        match rest[0] {
            "crate" => base.clear(),
            "self" => {}
            "super" => {
                base.pop();
                while rest.get(1) == Some(&"super") {
                    base.pop();
                    rest = &rest[1..];
                }
            }
            child => {
                let mut below = base.clone();
                below.push(child);
                places.get(below.as_slice())?;
                base = below;
            }
        }
        base.extend(&rest[1..]);
        Some(base.into_iter().map(str::to_string).collect())
    };
    // What each file takes over from others, by the name it has there.
    let mut handed: Vec<BTreeMap<&str, Vec<String>>> = vec![BTreeMap::new(); one.files.len()];
    for (at, paths) in named.iter().enumerate() {
        for path in paths.iter().filter(|path| path.stands != Stands::InCode) {
            if let (Some(name), Some(whole)) = (path.used_as, absolute(at, &path.parts)) {
                handed[at].insert(name, whole);
            }
        }
    }
    let resolve = |path: &[String]| -> Option<usize> {
        let mut path = path.to_vec();
        for _ in 0..8 {
            let longest = (0..=path.len()).rev().find_map(|length| {
                let start: Vec<&str> = path[..length].iter().map(String::as_str).collect();
                places.get(start.as_slice()).map(|place| (*place, length))
            });
            let (place, length) = longest?;
            let next = path
                .get(length)
                .and_then(|name| handed[place].get(name.as_str()));
            match next {
                Some(whole) if *whole != path => path = whole.clone(),
                _ => return Some(place),
            }
        }
        None
    };
    let mut uses = vec![BTreeSet::new(); one.files.len()];
    for (at, paths) in named.iter().enumerate() {
        for path in paths.iter().filter(|path| path.stands != Stands::HandedOn) {
            let target = absolute(at, &path.parts).and_then(|whole| resolve(&whole));
            uses[at].extend(target.filter(|target| *target != at));
        }
    }
    uses
}

/// The files that can be reached from a file.
fn reached(uses: &[BTreeSet<usize>], from: usize) -> BTreeSet<usize> {
    let mut found = BTreeSet::new();
    let mut ahead: Vec<usize> = uses[from].iter().copied().collect();
    while let Some(next) = ahead.pop() {
        if found.insert(next) {
            ahead.extend(&uses[next]);
        }
    }
    found
}

#[test]
fn no_file_uses_itself_by_way_of_others() {
    let mut circles = BTreeMap::new();
    for one in &crates() {
        let uses = uses(one);
        let reached: Vec<_> = (0..uses.len()).map(|at| reached(&uses, at)).collect();
        for at in (0..uses.len()).filter(|at| reached[*at].contains(at)) {
            let back = uses[at].iter().filter(|next| reached[**next].contains(&at));
            let by: Vec<&str> = back.map(|next| one.files[*next].path.as_str()).collect();
            circles.insert(one.files[at].path.clone(), by.join(", "));
        }
    }
    let mut wrong = String::new();
    for (file, by) in &circles {
        wrong.push_str(&format!("{file} uses itself by way of {by}\n"));
    }
    assert!(wrong.is_empty(), "\n{wrong}");
}
