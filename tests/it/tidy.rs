//! The rules of the house: what may import what, and what stands nowhere.

mod circles;
mod code;
mod foreign;
mod unused;

use std::collections::BTreeMap;
use std::fs;
use std::path::{Path, PathBuf};

/// The crates of the program, lowest first, each with those of the program that it may use.
const CRATES: &[(&str, &[&str])] = &[
    ("schemas", &[]),
    ("src/units", &[]),
    ("src/physics", &[]),
    ("src/house", &["units", "physics"]),
    ("src/base", &["units"]),
    ("src/document", &["base"]),
    ("src/edit", &["base", "document"]),
    ("src/lang", &["units", "base"]),
    (
        "src/engine",
        &[
            "schemas", "units", "physics", "house", "base", "document", "edit", "lang",
        ],
    ),
    ("rules", &["engine"]),
    (
        "src/trainer",
        &[
            "rules", "schemas", "units", "base", "document", "edit", "lang", "engine",
        ],
    ),
    (
        "src/record",
        &["units", "house", "base", "lang", "engine", "edit"],
    ),
    (
        "src/report",
        &["units", "house", "base", "edit", "engine", "trainer"],
    ),
    ("src/sheet", &["units", "house", "base", "engine", "report"]),
    (
        "src/page",
        &[
            "rules", "units", "base", "document", "engine", "record", "report", "sheet",
        ],
    ),
];

/// The modules of the engine, lowest first, each with those of the engine that it may use.
const ENGINE: &[(&str, &[&str])] = &[
    ("expectations", &[]),
    ("schema", &[]),
    ("read", &[]),
    ("figures", &[]),
    ("digest", &[]),
    ("pack", &["digest", "schema"]),
    ("run", &["pack"]),
    ("gaps", &["run"]),
    ("moved", &["pack", "run"]),
    ("agreements", &["pack", "run", "gaps"]),
    (
        "cases",
        &["schema", "read", "figures", "pack", "run", "agreements"],
    ),
    ("mutants", &["figures", "pack", "run", "cases"]),
    ("analysis", &["digest", "pack", "mutants", "cases"]),
    ("layers", &["pack", "run", "mutants"]),
    (
        "comparison",
        &["cases", "digest", "layers", "mutants", "pack", "run"],
    ),
    ("departures", &["digest", "schema", "pack", "run"]),
    ("interview", &["read", "pack", "run", "gaps", "check"]),
    (
        "check",
        &[
            "schema",
            "read",
            "figures",
            "pack",
            "run",
            "gaps",
            "departures",
            "layers",
            "moved",
            "agreements",
        ],
    ),
];

/// What a folder may not mention beyond what its crate cannot reach anyway.
const ABSENT: &[(&str, &[&str])] = &[
    (
        "engine/figures/",
        &["finding", "wetside_lang", "wetside_document"],
    ),
    (
        "engine/read/",
        &["finding", "wetside_lang", "wetside_physics"],
    ),
    (
        "engine/schema/",
        &["finding", "wetside_lang", "wetside_physics"],
    ),
    ("engine/pack/", &["wetside_base::facts", "wetside_physics"]),
    ("engine/run/", &["wetside_document", "wetside_physics"]),
];

fn root() -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR"))
}

fn rust_files(folder: &Path, files: &mut Vec<PathBuf>) {
    let mut entries: Vec<PathBuf> = fs::read_dir(folder)
        .expect("the folder is there")
        .map(|entry| entry.expect("it can be listed").path())
        .collect();
    entries.sort();
    for path in entries {
        if path.is_dir() {
            rust_files(&path, files);
        } else if path.extension().is_some_and(|ending| ending == "rs") {
            files.push(path);
        }
    }
}

/// The files of the program: path below `src`, text.
fn sources() -> Vec<(String, String)> {
    let src = root().join("src");
    let mut files = Vec::new();
    rust_files(&src, &mut files);
    let read = |path: &PathBuf| {
        let inside = path.strip_prefix(&src).expect("it lies below");
        let text = fs::read_to_string(path).expect("it can be read");
        (inside.to_string_lossy().into_owned(), text)
    };
    files.iter().map(read).collect()
}

/// Whether a file belongs to the command line, which alone knows the world.
fn at_the_edge(file: &str) -> bool {
    file.starts_with("cli/") || file == "main.rs"
}

/// The part of a file that is not its tests.
fn own(text: &str) -> &str {
    text.split("#[cfg(test)]").next().unwrap_or_default()
}

#[test]
fn crates_depend_only_on_those_below_them() {
    for (at, (folder, row)) in CRATES.iter().enumerate() {
        let manifest = root().join(folder).join("Cargo.toml");
        let text = fs::read_to_string(&manifest).expect("it can be read");
        let mut used: Vec<&str> = text
            .lines()
            .filter_map(|line| line.strip_prefix("wetside-")?.split('.').next())
            .collect();
        let mut allowed = row.to_vec();
        used.sort_unstable();
        used.dedup();
        allowed.sort_unstable();
        assert_eq!(used, allowed, "{folder}");
        for name in *row {
            let below = CRATES[..at].iter().any(|(lower, _)| lower.ends_with(name));
            assert!(below, "{folder} may use `{name}`, which is not below it");
        }
    }
}

/// A crate without tests of its own is not built once more for them, and one without examples in its comments is
/// not searched for some; whoever adds the first has to say so.
#[test]
fn manifests_say_which_crates_have_tests_and_examples_of_their_own() {
    for (folder, _) in CRATES {
        let folder = root().join(folder);
        let manifest = fs::read_to_string(folder.join("Cargo.toml")).expect("it can be read");
        let mut files = Vec::new();
        rust_files(&folder, &mut files);
        let texts: String = files
            .iter()
            .map(|file| fs::read_to_string(file).expect("it can be read"))
            .collect();
        let left_out = |what: &str| {
            manifest
                .lines()
                .any(|line| line == format!("{what} = false"))
        };
        let is_example = |line: &str| {
            let comment = line.trim_start();
            comment.starts_with("/// ```") || comment.starts_with("//! ```")
        };
        let mut fences = texts.lines().filter(|line| is_example(line)).step_by(2);
        let example = fences.any(|line| line.ends_with("```"));
        let name = folder.display();
        assert_ne!(
            left_out("test"),
            texts.contains("#[cfg(test)]"),
            "{name}: test"
        );
        assert_ne!(left_out("doctest"), example, "{name}: doctest");
    }
}

#[test]
fn modules_of_the_engine_use_only_what_their_row_allows() {
    let rows: BTreeMap<&str, &[&str]> = ENGINE.iter().copied().collect();
    let mut wrong = String::new();
    for (file, text) in sources() {
        let Some(inside) = file.strip_prefix("engine/") else {
            continue;
        };
        if inside == "lib.rs" {
            continue;
        }
        let module = inside.split(['/', '.']).next().unwrap_or_default();
        let row = rows[module];
        for used in own(&text).split("crate::").skip(1) {
            let name: String = used
                .chars()
                .take_while(|c| c.is_alphanumeric() || *c == '_')
                .collect();
            if !name.is_empty() && name != module && !row.contains(&name.as_str()) {
                wrong.push_str(&format!("{file}: `{module}` may not use `{name}`\n"));
            }
        }
    }
    assert!(wrong.is_empty(), "\n{wrong}");
}

#[test]
fn what_a_folder_must_not_know_is_absent() {
    for (file, text) in sources() {
        let rows = ABSENT.iter().filter(|(folder, _)| file.starts_with(folder));
        for word in rows.flat_map(|(_, words)| *words) {
            let code = own(&text)
                .lines()
                .filter(|line| !line.trim_start().starts_with("//"));
            for line in code {
                assert!(!line.contains(word), "{file} mentions `{word}`: {line}");
            }
        }
    }
}

#[test]
fn only_the_command_line_touches_the_world() {
    let worldly = [
        "std::fs",
        "std::env",
        "std::io",
        "std::time",
        "std::process",
        "println!",
        "eprintln!",
        "print!(",
    ];
    for (file, text) in sources() {
        if at_the_edge(&file) {
            continue;
        }
        for word in worldly {
            // What is laid out is written to memory, by a trait that has its name from files.
            let memory = (file.as_str(), word) == ("report/layout.rs", "std::io");
            assert!(
                memory || !own(&text).contains(word),
                "{file} mentions {word}"
            );
        }
    }
}

#[test]
fn one_file_knows_the_yaml_parser_and_one_the_schema_library() {
    let holding = |word: &str| -> Vec<String> {
        let found = sources()
            .into_iter()
            .filter(|(_, text)| own(text).contains(word));
        found.map(|(file, _)| file).collect()
    };
    let parser = holding("granit_parser");
    assert!(
        parser.len() == 1 && parser[0].starts_with("document/"),
        "{parser:?}"
    );
    assert_eq!(holding("jsonschema::"), Vec::<String>::new());
}

#[test]
fn files_are_short_and_say_what_they_are() {
    let mut wrong = String::new();
    for (file, text) in sources() {
        let lines = own(&text).lines().count();
        if lines > 400 {
            wrong.push_str(&format!("{file} has {lines} lines of its own\n"));
        }
        if !text.starts_with("//!") {
            wrong.push_str(&format!("{file} does not begin by saying what it is\n"));
        }
    }
    assert!(wrong.is_empty(), "\n{wrong}");
}

/// No rule, limit or part of the trade has a name in the code that judges.
#[test]
fn judging_knows_no_heating() {
    let words = [
        "radiator", "boiler", "backflow", "cylinder", "sludge", "pump",
    ];
    let judging = [
        "lang/",
        "document/",
        "engine/run",
        "engine/pack",
        "engine/gaps",
        "engine/check",
        "engine/schema",
    ];
    for (file, text) in sources() {
        if !judging.iter().any(|part| file.starts_with(part)) {
            continue;
        }
        let code = own(&text)
            .lines()
            .filter(|line| !line.trim_start().starts_with("//"));
        for (at, line) in code.enumerate() {
            let outside_quotes: String = line.split('"').step_by(2).collect();
            for word in words {
                assert!(
                    !outside_quotes.contains(word),
                    "{file}: `{word}` in line {at} of its code: {line}"
                );
            }
        }
    }
}

#[test]
fn the_top_level_holds_what_it_should() {
    let wanted = [
        "Cargo.lock",
        "Cargo.toml",
        "DEVELOPERS.md",
        "LICENSE",
        "README.md",
        "docs",
        "examples",
        "rules",
        "schemas",
        "src",
        "tests",
    ];
    let entries = fs::read_dir(root()).expect("the project is there");
    for entry in entries {
        let name = entry
            .expect("it can be listed")
            .file_name()
            .to_string_lossy()
            .into_owned();
        let allowed = name.starts_with('.') || name == "target" || wanted.contains(&name.as_str());
        assert!(allowed, "`{name}` does not belong at the top level");
    }
}
