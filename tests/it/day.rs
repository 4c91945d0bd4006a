//! A whole day in an invented house, by the commands alone: `docs/a-day.md` is what a terminal shows of it.
//!
//! `tests/day/semi.yaml` has what is run and typed, each answer under the question that it is for.
//! `WETSIDE_WRITE_PAGES=1 cargo test --test it day::` writes the page anew.

use crate::screen::Screen;
use serde::Deserialize;
use std::collections::BTreeMap;
use std::fs;
use std::path::{Path, PathBuf};
use wetside_base::finding::Verdict;
use wetside_base::source::Source;
use wetside_engine::check::{Ask, check};

/// A stretch of the day.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Part {
    part: String,
    says: String,
    commands: Vec<Line>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct Line {
    pub(crate) run: String,
    /// What is typed, by the question.
    #[serde(default)]
    typed: BTreeMap<String, Typed>,
}

/// One answer, or several, one after another.
#[derive(Deserialize)]
#[serde(untagged)]
pub(crate) enum Typed {
    Once(String),
    Several(Vec<String>),
}

/// What a stretch comes to.
#[derive(Default)]
pub(crate) struct Count {
    commands: usize,
    questions: usize,
    typed: usize,
    shown: usize,
}

const COLUMNS: u16 = 80;

/// The words of a command line, those in quotes as one.
fn words(line: &str) -> Vec<String> {
    let parts = line.split('"').enumerate();
    let words = parts.flat_map(|(at, part)| match at % 2 {
        0 => part.split_whitespace().map(str::to_string).collect(),
        _ => vec![part.to_string()],
    });
    words.collect()
}

/// Runs a line, and answers what it asks.
pub(crate) fn run(folder: &Path, line: Line, count: &mut Count) -> String {
    at_width(folder, line, count, COLUMNS)
}

fn at_width(folder: &Path, line: Line, count: &mut Count, columns: u16) -> String {
    let words = words(&line.run);
    let words: Vec<&str> = words.iter().map(String::as_str).collect();
    let mut screen = Screen::of(folder, columns, &words);
    let mut typed: BTreeMap<String, Vec<String>> = BTreeMap::new();
    for (question, answers) in line.typed {
        let answers = match answers {
            Typed::Once(answer) => vec![answer],
            Typed::Several(answers) => answers.into_iter().rev().collect(),
        };
        typed.insert(question, answers);
    }
    let mut question = String::new();
    while let Some(shown) = screen.prompted() {
        count.typed += 1;
        if shown.ends_with("not to> ") {
            screen.type_in(b"y\n");
            continue;
        }
        // The head of a question stands behind an empty line, and may be broken.
        let block = shown.rsplit("\r\n\r\n").next().unwrap_or_default();
        let block = block.replace("\r\n", " ");
        if let Some((name, _)) = block.split_once(" (")
            && block.contains("): question ")
        {
            question = name.to_string();
            count.questions += 1;
        }
        let answer = typed.get_mut(&question).and_then(Vec::pop);
        let answer =
            answer.unwrap_or_else(|| panic!("what is the answer to `{question}`? {shown}"));
        screen.type_in(format!("{answer}\n").as_bytes());
    }
    typed.retain(|_, answers| !answers.is_empty());
    assert!(typed.is_empty(), "not asked: {typed:?}");
    screen.until_the_end()
}

fn parts() -> Vec<Part> {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let text = fs::read_to_string(root.join("tests/day/semi.yaml")).expect("it is there");
    serde_yaml::from_str(&text).expect("the day has its form")
}

fn empty(name: &str) -> PathBuf {
    let folder = Path::new(env!("CARGO_TARGET_TMPDIR")).join(name);
    let _ = fs::remove_dir_all(&folder);
    fs::create_dir_all(&folder).expect("the folder can be made");
    folder
}

fn page() -> String {
    let folder = empty("day");
    let mut body = String::new();
    let mut table = String::new();
    let mut whole = Count::default();
    for part in parts() {
        body += &format!("\n## {}\n\n{}", part.part, part.says);
        let mut count = Count::default();
        for line in part.commands {
            let command = line.run.clone();
            let shown = run(&folder, line, &mut count);
            count.commands += 1;
            count.shown += shown.lines().count();
            body += &format!("\n```console\n$ wetside {command}\n{shown}```\n");
        }
        let row = |of: &str, count: &Count| {
            let Count {
                commands,
                questions,
                typed,
                shown,
            } = count;
            format!(
                "| {of} | {commands} | {questions} | {} | {shown} |\n",
                commands + typed
            )
        };
        table += &row(&part.part, &count);
        whole.commands += count.commands;
        whole.questions += count.questions;
        whole.typed += count.typed;
        whole.shown += count.shown;
        if part.part == "Hand-back" {
            table += &row("**the day**", &whole);
        }
    }
    let survey = fs::read_to_string(folder.join("semi.yaml")).expect("it is there");
    let judged = check(
        &Source::new("semi.yaml", survey),
        crate::examples::packs(),
        &Ask::default(),
    );
    assert_eq!(judged.verdict, Verdict::Clear);
    format!("{HEAD}{table}{body}")
}

const HEAD: &str = "\
# A day

An invented house from nothing known to handed over, by the commands alone, as a terminal of 80 columns shows it.
`>` stands before what is typed. A test runs this day on a pseudo-terminal and holds this page to every byte that
the program says; `WETSIDE_WRITE_PAGES=1 cargo test --test it day::` writes it anew from `tests/day/semi.yaml`.

| | commands | questions | lines typed | lines read |
|---|---|---|---|---|
";

#[test]
fn a_day_by_the_commands_alone_is_as_the_page_has_it() {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("docs/a-day.md");
    let page = page();
    if std::env::var_os("WETSIDE_WRITE_PAGES").is_some() {
        fs::write(&path, &page).expect("the page can be written");
    }
    let written = fs::read_to_string(&path).expect("the page is there");
    let advice = "run `WETSIDE_WRITE_PAGES=1 cargo test --test it day::`, and read what changed";
    let apart = first_apart(&written, &page);
    assert_eq!(
        apart, None,
        "docs/a-day.md is not what the program says: {advice}"
    );
}

/// The other ways to run the commands of the day, once it is over.
const BESIDE: [&str; 7] = [
    "check semi.yaml --long",
    "check semi.yaml --stage flush --long",
    "ask semi.yaml --stage upkeep --list",
    "figures semi.yaml",
    "steps semi.yaml",
    "new --like semi.yaml flat.yaml",
    "sheet semi.yaml --into papers",
];

#[test]
fn every_command_of_the_day_keeps_to_a_narrow_terminal() {
    const NARROW: u16 = 40;
    let folder = empty("narrow-day");
    let beside = BESIDE.map(|run| Line {
        run: run.to_string(),
        typed: BTreeMap::new(),
    });
    let lines = parts().into_iter().flat_map(|part| part.commands);
    let mut wide = Vec::new();
    for line in lines.chain(beside) {
        let command = line.run.clone();
        let shown = at_width(&folder, line, &mut Count::default(), NARROW);
        let shown = shown.lines();
        let beyond = shown.filter(|shown| shown.chars().count() > usize::from(NARROW));
        // What is typed is not ours. One word is left whole, behind whatever is drawn; so is a line of a survey, and a
        // command to copy.
        let whole = |shown: &&str| {
            let words =
                shown.trim_start_matches(|sign: char| !sign.is_alphanumeric() && sign != '#');
            !words.contains(' ')
                || ["> ", "Next: wetside "]
                    .iter()
                    .any(|lead| shown.starts_with(lead))
                || (command.contains("--list") && !words.starts_with('#'))
        };
        let broken = beyond.filter(|shown| !whole(shown));
        wide.extend(broken.map(|shown| format!("{command}: {shown}")));
    }
    assert!(wide.is_empty(), "{wide:#?}");
}

/// The first line, by its number, that two texts do not share, as each of them has it.
fn first_apart(one: &str, other: &str) -> Option<(usize, String, String)> {
    let line = |text: &str, at| text.lines().nth(at).unwrap_or("(its end)").to_string();
    let lines = one.lines().count().max(other.lines().count());
    let mut apart = (0..lines).map(|at| (at + 1, line(one, at), line(other, at)));
    apart.find(|(_, one, other)| one != other)
}
