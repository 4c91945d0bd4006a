//! Nothing stands unused: what a crate makes public has a caller in another crate of the program, and
//! what a manifest depends on is named in the code.

use std::collections::{BTreeMap, BTreeSet};

use super::code::{Crate, Piece, crates, file, files_below, root};

/// What is public without a caller in another crate, by crate, and why it stays.
const KEPT: &[(&str, &[&str], &str)] = &[
    (
        "wetside_physics",
        &[
            "friction_factor",
            "head_loss",
            "highest_in_service",
            "sinking_speed",
        ],
        "parts of formulas in use, each held to its own reference table",
    ),
    (
        "wetside_units",
        &["is_negative", "written_range"],
        "exact numbers, with which tests reckon apart from the program",
    ),
    (
        "wetside_units",
        &["UNITS"],
        "the page of units is written from it",
    ),
    (
        "wetside_lang",
        &["MOST_LINKS", "MOST_SET_WORDS", "MOST_TOKENS", "token"],
        "bounds, which tests try to exceed",
    ),
    (
        "wetside_schemas",
        &[
            "ANSWERS", "FAULT", "KEY", "REPORT", "RULE", "SURVEY", "is_valid",
        ],
        "the schemas of the files, to which tests hold what is read and written",
    ),
    (
        "wetside_document",
        &["MOST_MENDINGS", "MOST_VALUES"],
        "bounds, which tests try to exceed",
    ),
    (
        "wetside_house",
        &["at_the_end", "one_by_one"],
        "two ways to rinse, each held to its own reference",
    ),
    (
        "wetside_engine",
        &["comes_before"],
        "which of two findings comes first: tests let the orders of those two differ",
    ),
    (
        "wetside_engine",
        &["agreements", "contradictions", "doubted", "judge_in_doubt"],
        "what is in doubt and what becomes of rules then, which the law of refinement is held to",
    ),
    (
        "wetside_engine",
        &["CHOICES", "FIELDS"],
        "the fields and words that figures read, held to the schema",
    ),
    (
        "wetside_engine",
        &["derive", "derive_wanted", "everything", "has_of_elements"],
        "figures apart from a judgement, for their laws",
    ),
    (
        "wetside_trainer",
        &["without_comments"],
        "what exercises are made from, which tests make again apart from the program",
    ),
];

/// Words that make an item.
const ITEMS: [&str; 8] = [
    "fn", "struct", "enum", "trait", "const", "static", "type", "mod",
];

/// The names of what the code makes public, with the sort of each.
fn made_public(code: &[Piece]) -> Vec<(&str, &str)> {
    let mut found = Vec::new();
    for (at, piece) in code.iter().enumerate() {
        if piece.word() != Some("pub") || code.get(at + 1).is_some_and(|next| next.is('(')) {
            continue;
        }
        let mut words = code[at + 1..].iter().map_while(Piece::word).peekable();
        let mut sort = None;
        // `pub const fn name` is a function.
        while let Some(word) = words.next_if(|word| ITEMS.contains(word) || *word == "unsafe") {
            sort = Some(word);
        }
        if let (Some(sort), Some(name)) = (sort, words.next()) {
            found.push((sort, name));
        }
    }
    found
}

/// The words in what the code promises to others: the signatures of public functions, the types of
/// public fields and constants, all of a public enum or trait.
fn promised(code: &[Piece]) -> BTreeSet<&str> {
    let mut words = BTreeSet::new();
    for (at, piece) in code.iter().enumerate() {
        if piece.word() != Some("pub") || code.get(at + 1).is_some_and(|next| next.is('(')) {
            continue;
        }
        let whole = matches!(code[at + 1].word(), Some("enum" | "trait"));
        let mut depth = 0;
        for (beyond, piece) in code[at + 1..].iter().enumerate() {
            match piece {
                Piece::Sign('{') if !whole => break,
                Piece::Sign('(' | '[' | '{') => depth += 1,
                Piece::Sign(')' | ']' | '}') if depth == 0 => break,
                Piece::Sign('}') if depth == 1 && whole => break,
                Piece::Sign(')' | ']' | '}') => depth -= 1,
                Piece::Sign(';' | '=') if depth == 0 => break,
                Piece::Word(word) if beyond > 1 => {
                    words.insert(word.as_str());
                }
                Piece::Word(_) | Piece::Sign(_) => {}
            }
        }
    }
    words
}

/// Whether others can reach into a file: every module above it is declared public, or what is in it is
/// handed on. Of the rest the compiler says itself what is public for nobody.
fn open_to_others(one: &Crate) -> impl Fn(&str) -> bool {
    let mut open = BTreeSet::from(["lib".to_string()]);
    for file in &one.files {
        for (at, piece) in file.code.iter().enumerate() {
            let said = |beyond: usize| file.code.get(at + beyond).and_then(Piece::word);
            if piece.word() == Some("pub") && said(1) == Some("mod") {
                open.extend(said(2).map(str::to_string));
            }
            if piece.word() == Some("pub") && said(1) == Some("use") {
                let path = file.code[at..].iter().take_while(|piece| !piece.is(';'));
                open.extend(path.filter_map(Piece::word).map(str::to_string));
            }
        }
    }
    let folder = one.folder.clone();
    move |path: &str| {
        let inside = path
            .trim_start_matches(folder.as_str())
            .trim_end_matches(".rs");
        let parts = inside
            .split('/')
            .filter(|part| !matches!(*part, "" | "src" | "mod"));
        !folder.is_empty() && parts.into_iter().all(|part| open.contains(part))
    }
}

fn words_of(one: &Crate) -> BTreeSet<&str> {
    let code = one.files.iter().flat_map(|file| &file.code);
    code.filter_map(Piece::word).collect()
}

#[test]
fn what_is_public_has_a_caller_in_another_crate() {
    let crates = crates();
    let words: Vec<BTreeSet<&str>> = crates.iter().map(words_of).collect();
    let mut kept: BTreeMap<(&str, &str), bool> = BTreeMap::new();
    for (owner, names, _) in KEPT {
        kept.extend(names.iter().map(|name| ((*owner, *name), false)));
    }
    let mut wrong = String::new();
    for (at, one) in crates.iter().enumerate() {
        let elsewhere =
            |name| (0..words.len()).any(|other| other != at && words[other].contains(name));
        let promised: BTreeSet<&str> = one
            .files
            .iter()
            .flat_map(|file| promised(&file.code))
            .collect();
        let open = open_to_others(one);
        for file in one.files.iter().filter(|file| open(&file.path)) {
            for (sort, name) in made_public(&file.code) {
                let type_of_others =
                    ["struct", "enum", "trait", "type"].contains(&sort) && promised.contains(name);
                if name == "main" || elsewhere(name) || type_of_others {
                    continue;
                }
                match kept.get_mut(&(one.name.as_str(), name)) {
                    Some(seen) => *seen = true,
                    None => wrong.push_str(&format!("{}: `{sort} {name}`\n", file.path)),
                }
            }
        }
    }
    assert!(
        wrong.is_empty(),
        "public, and no other crate calls it:\n{wrong}"
    );
    let idle: Vec<_> = kept.iter().filter(|(_, seen)| !**seen).collect();
    assert!(idle.is_empty(), "kept without need: {idle:?}");
}

/// The names under a heading of a manifest, and whether each is taken from the workspace.
fn listed(manifest: &str, heading: &str) -> Vec<String> {
    let after = manifest.lines().skip_while(|line| *line != heading).skip(1);
    let rows = after.take_while(|line| !line.starts_with('['));
    let name = |line: &str| line.split(['.', ' ', '=']).next().map(str::to_string);
    rows.filter(|line| line.contains('='))
        .filter_map(name)
        .collect()
}

/// What a manifest depends on in a browser alone.
const BROWSERS: &str = "[target.'cfg(target_arch = \"wasm32\")'.dependencies]";

#[test]
fn every_dependency_is_named_in_the_code() {
    let mut asked = BTreeSet::new();
    let mut wrong = String::new();
    let mut judge = |manifest: &str, heading, words: &BTreeSet<&str>, folder: &str| {
        for name in listed(manifest, heading) {
            if !words.contains(name.replace('-', "_").as_str()) {
                wrong.push_str(&format!("{folder}/Cargo.toml {heading}: {name}\n"));
            }
            asked.insert(name);
        }
    };
    let manifest_in = |folder: &str| {
        let path = root().join(folder).join("Cargo.toml");
        std::fs::read_to_string(path).expect("a crate has a manifest")
    };
    for one in &crates() {
        let manifest = manifest_in(&one.folder);
        let words = words_of(one);
        judge(&manifest, "[dependencies]", &words, &one.folder);
        judge(&manifest, "[build-dependencies]", &words, &one.folder);
        judge(&manifest, BROWSERS, &words, &one.folder);
        let whole = one.folder.is_empty() || !manifest.contains("[dev-dependencies]");
        assert!(
            whole,
            "{}: only the program's own tests use libraries of their own",
            one.folder
        );
        let judged = manifest.contains("[lints]\nworkspace = true")
            || one.folder == "src/page" && spells_the_lints_out(&manifest, &manifest_in(""));
        assert!(
            judged,
            "{}: its manifest does not take over the lints",
            one.folder
        );
    }
    let tests: Vec<_> = files_below(&root().join("tests"), ".rs")
        .iter()
        .map(|path| file(path))
        .collect();
    let words = tests.iter().flat_map(|file| &file.code);
    let words: BTreeSet<&str> = words.filter_map(Piece::word).collect();
    let manifest = manifest_in("");
    judge(&manifest, "[dev-dependencies]", &words, "");
    assert!(wrong.is_empty(), "not named in the code:\n{wrong}");
    let offered: BTreeSet<String> = listed(&manifest, "[workspace.dependencies]")
        .into_iter()
        .collect();
    assert_eq!(
        offered, asked,
        "the workspace's list, and what its crates ask for"
    );
}

/// Whether a manifest has every lint of the workspace but the one on unsafe code, which what a page exports needs.
fn spells_the_lints_out(manifest: &str, workspace: &str) -> bool {
    let lints = workspace
        .lines()
        .skip_while(|line| *line != "[workspace.lints.rust]");
    let lints = lints.take_while(|line| *line != "[lints]");
    let mut lints = lints.filter(|line| !line.starts_with('#'));
    lints.all(|line| {
        line == "unsafe_code = \"forbid\"" || manifest.contains(&line.replace("workspace.", ""))
    })
}
