//! What the README and the trainer's guide show is what the program says.
//!
//! A `console` block begins with a command; below it stands what must appear in the output, in that
//! order. A line `…` stands for any lines.

use std::fs;
use std::path::{Path, PathBuf};
use std::process::Command;

fn root() -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR"))
}

/// The commands shown in a page, each with the output shown below it.
fn sessions(page: &str) -> Vec<(String, String)> {
    let blocks = page.split("```console\n").skip(1);
    let block = |block: &str| {
        let block = block.split("```").next().unwrap_or_default();
        let (command, output) = block.split_once('\n').unwrap_or((block, ""));
        (
            command.trim_start_matches("$ ").to_string(),
            output.to_string(),
        )
    };
    blocks.map(block).collect()
}

/// Runs a command of the page in a folder where the examples lie as in the project.
fn run(command: &str, folder: &Path) -> String {
    let mut words = command.split_whitespace();
    assert_eq!(words.next(), Some("wetside"), "{command}");
    let output = Command::new(env!("CARGO_BIN_EXE_wetside"))
        .args(words)
        .current_dir(folder)
        .output()
        .expect("the program runs");
    String::from_utf8(output.stdout).expect("it writes text")
}

/// Whether the shown pieces stand in the output, in order, those at the ends at its ends.
fn shows(shown: &str, output: &str) -> Result<(), String> {
    let pieces: Vec<&str> = shown.split("…\n").collect();
    let mut rest = output;
    for (at, piece) in pieces.iter().enumerate() {
        let found = rest
            .find(piece)
            .ok_or_else(|| format!("not in the output, or not in this order:\n{piece}"))?;
        if at == 0 && found != 0 {
            return Err(format!("the output does not begin with:\n{piece}"));
        }
        rest = &rest[found + piece.len()..];
    }
    match pieces.last() {
        Some(last) if !last.is_empty() && !rest.is_empty() => {
            Err(format!("the output goes on:\n{rest}"))
        }
        _ => Ok(()),
    }
}

#[test]
fn the_readme_shows_what_the_program_says() {
    held_to_what_is_said("README.md");
}

#[test]
fn the_trainers_guide_shows_what_the_program_says() {
    held_to_what_is_said("docs/trainers-guide.md");
}

/// Runs the commands of a page, one after another in one folder.
fn held_to_what_is_said(name: &str) {
    let page = fs::read_to_string(root().join(name)).expect("the page is there");
    let own = format!(
        "wetside-{}-{}",
        name.replace(['/', '.'], "-"),
        std::process::id()
    );
    let folder = std::env::temp_dir().join(own);
    fs::create_dir_all(&folder).expect("a folder can be made");
    for part in ["examples", "rules"] {
        copy(&root().join(part), &folder.join(part));
    }
    let sessions = sessions(&page);
    assert!(sessions.len() > 4);
    let wrong: Vec<String> = sessions
        .iter()
        .filter_map(|(command, shown)| {
            let output = run(command, &folder);
            shows(shown, &output)
                .err()
                .map(|why| format!("$ {command}\n{why}\n--- it says:\n{output}"))
        })
        .collect();
    fs::remove_dir_all(&folder).expect("the folder can be taken away");
    assert!(wrong.is_empty(), "\n{}", wrong.join("\n"));
}

fn copy(from: &Path, to: &Path) {
    fs::create_dir_all(to).expect("a folder can be made");
    for entry in fs::read_dir(from).expect("it is there") {
        let path = entry.expect("it can be listed").path();
        let target = to.join(path.file_name().expect("it has a name"));
        if path.is_dir() {
            copy(&path, &target);
        } else {
            fs::copy(&path, &target).expect("it can be copied");
        }
    }
}

/// The exit codes of the README are those that the program prints.
#[test]
fn the_readme_lists_the_exit_codes() {
    let page = fs::read_to_string(root().join("README.md")).expect("the README is there");
    let help = run("wetside check --help", &root());
    let codes = help
        .split("Exit codes:\n")
        .nth(1)
        .expect("the help lists them");
    for line in codes.lines().take_while(|line| line.starts_with(' ')) {
        let (code, meaning) = line
            .trim()
            .split_once("  ")
            .expect("a code and its meaning");
        assert!(page.contains(&format!("| {code} | {meaning} |")), "{line}");
    }
}
