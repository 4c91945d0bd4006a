//! The rules of the house: what may import what, and what stands nowhere.

use std::collections::BTreeMap;
use std::fs;
use std::path::{Path, PathBuf};

/// The modules of the library, lowest first, each with what it may use. A module uses nothing that
/// is not in its row; the binary and the command line may use everything.
const MAY_USE: &[(&str, &[&str])] = &[
    ("source", &[]),
    ("truth", &[]),
    ("suggest", &[]),
    ("units", &["truth"]),
    ("physics", &[]),
    ("problem", &["source"]),
    ("vocabulary", &["units"]),
    ("finding", &["source", "problem", "truth"]),
    ("document", &["source", "problem", "suggest"]),
    ("markers", &["source", "finding"]),
    (
        "facts",
        &[
            "source",
            "problem",
            "suggest",
            "units",
            "vocabulary",
            "document",
        ],
    ),
    (
        "figures",
        &["source", "units", "physics", "vocabulary", "facts"],
    ),
    (
        "lang",
        &[
            "source",
            "problem",
            "suggest",
            "truth",
            "units",
            "vocabulary",
            "facts",
        ],
    ),
    (
        "schema",
        &[
            "source",
            "problem",
            "suggest",
            "units",
            "vocabulary",
            "document",
        ],
    ),
    (
        "pack",
        &[
            "source",
            "problem",
            "suggest",
            "units",
            "vocabulary",
            "document",
            "schema",
            "finding",
            "lang",
        ],
    ),
    (
        "run",
        &[
            "source",
            "problem",
            "truth",
            "units",
            "vocabulary",
            "facts",
            "finding",
            "lang",
            "pack",
        ],
    ),
    (
        "gaps",
        &["truth", "vocabulary", "facts", "finding", "lang", "run"],
    ),
    (
        "cases",
        &[
            "source",
            "problem",
            "units",
            "vocabulary",
            "document",
            "schema",
            "facts",
            "finding",
            "lang",
            "pack",
            "run",
            "figures",
        ],
    ),
    (
        "check",
        &[
            "source",
            "problem",
            "suggest",
            "units",
            "vocabulary",
            "document",
            "schema",
            "facts",
            "finding",
            "lang",
            "pack",
            "run",
            "gaps",
            "figures",
        ],
    ),
    (
        "exercise",
        &[
            "source",
            "problem",
            "suggest",
            "truth",
            "units",
            "vocabulary",
            "document",
            "schema",
            "facts",
            "finding",
            "lang",
            "pack",
            "run",
            "figures",
            "markers",
            "check",
        ],
    ),
    ("starter", &["vocabulary"]),
    (
        "report",
        &["source", "problem", "finding", "units", "figures"],
    ),
];

/// Modules at the edge: nobody but the binary uses them.
const EDGE: &[&str] = &["cli"];

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

/// The library's files: module, path for messages, text.
fn sources() -> Vec<(String, String, String)> {
    let src = root().join("src");
    let mut files = Vec::new();
    rust_files(&src, &mut files);
    let read = |path: &PathBuf| {
        let inside = path.strip_prefix(&src).expect("it lies below");
        let first = inside
            .iter()
            .next()
            .expect("it has a name")
            .to_string_lossy();
        let module = first.trim_end_matches(".rs").to_string();
        let text = fs::read_to_string(path).expect("it can be read");
        (module, inside.to_string_lossy().into_owned(), text)
    };
    files.iter().map(read).collect()
}

/// The part of a file that is not its tests.
fn own(text: &str) -> &str {
    text.split("#[cfg(test)]").next().unwrap_or_default()
}

#[test]
fn modules_use_only_what_their_row_allows() {
    let rows: BTreeMap<&str, &[&str]> = MAY_USE.iter().copied().collect();
    let mut wrong = String::new();
    for (module, file, text) in sources() {
        if module == "main" || module == "lib" || EDGE.contains(&module.as_str()) {
            continue;
        }
        let Some(row) = rows.get(module.as_str()) else {
            wrong.push_str(&format!("{file}: `{module}` has no row in the table\n"));
            continue;
        };
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
fn every_row_is_a_module_and_points_downwards() {
    let modules: Vec<String> = sources().into_iter().map(|(module, ..)| module).collect();
    for (at, (module, row)) in MAY_USE.iter().enumerate() {
        assert!(
            modules.iter().any(|known| known == module),
            "`{module}` is no module"
        );
        for used in *row {
            let below = MAY_USE[..at].iter().any(|(lower, _)| lower == used);
            assert!(below, "`{module}` may use `{used}`, which is not below it");
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
    for (module, file, text) in sources() {
        if EDGE.contains(&module.as_str()) || module == "main" {
            continue;
        }
        for word in worldly {
            assert!(!own(&text).contains(word), "{file} mentions {word}");
        }
    }
}

#[test]
fn one_file_knows_the_yaml_parser_and_one_the_schema_library() {
    let holding = |word: &str| -> Vec<String> {
        let found = sources()
            .into_iter()
            .filter(|(_, _, text)| own(text).contains(word));
        found.map(|(_, file, _)| file).collect()
    };
    let parser = holding("granit_parser");
    assert!(
        parser.len() == 1 && parser[0].starts_with("document/"),
        "{parser:?}"
    );
    assert_eq!(holding("jsonschema::"), Vec::<String>::new());
}

/// Files that may be longer than the rest, each for a reason told in DEVELOPERS.md.
const LONG: &[&str] = &[];

#[test]
fn files_are_short_and_say_what_they_are() {
    let mut wrong = String::new();
    for (_, file, text) in sources() {
        let lines = own(&text).lines().count();
        if lines > 425 && !LONG.contains(&file.as_str()) {
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
    for (module, file, text) in sources() {
        if !["lang", "run", "pack", "gaps", "check", "document", "schema"]
            .contains(&module.as_str())
        {
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
