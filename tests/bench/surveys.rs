//! The work that the benchmarks measure, one kind a call, so that an instruction counter can look
//! at it alone. `tests/bench/run` calls it; `README.md` beside it says what is measured.
//!
//! ```text
//! surveys events FILE TIMES       the bare events of a text, by the YAML library
//! surveys check FILE TIMES        the same text judged by the built-in pack
//! surveys report FILE TIMES       the same with its report for programs
//! surveys load TIMES              schema and pack made ready from the embedded text
//! surveys many FILE TIMES         surveys judged in one process: how many in a second
//! surveys house FILE RADIATORS    writes FILE's house with so many radiators, without comments
//! ```

#![expect(clippy::print_stdout, reason = "it writes what it measured")]

use std::hint::black_box;
use std::time::Instant;
use std::{env, fs, process};

use granit_parser::Parser;
use wetside_base::source::Source;
use wetside_engine::check::{Ask, Packs, check};
use wetside_report::json;

const USAGE: &str = "surveys events|check|report|many|house FILE NUMBER, or surveys load NUMBER";

fn main() {
    let words: Vec<String> = env::args()
        .skip(1)
        .filter(|word| word != "--bench")
        .collect();
    let words: Vec<&str> = words.iter().map(String::as_str).collect();
    match words[..] {
        ["load", times] => load(number(times)),
        ["events", file, times] => events(&read(file), number(times)),
        ["check", file, times] => checks(&read(file), number(times), measured_check),
        ["report", file, times] => checks(&read(file), number(times), measured_report),
        ["many", file, times] => many(&read(file), number(times)),
        ["house", file, radiators] => print!("{}", house(&read(file), number(radiators))),
        _ => fail(USAGE),
    }
}

fn fail(says: &str) -> ! {
    println!("{says}");
    process::exit(2)
}

fn number(word: &str) -> usize {
    word.parse().unwrap_or_else(|_| fail(USAGE))
}

fn read(file: &str) -> String {
    fs::read_to_string(file).unwrap_or_else(|fault| fail(&format!("{file}: {fault}")))
}

// The counter counts inside the functions that begin with `measured`, and nowhere else. Each case
// does its work once before, so that what is made once in a process is not counted.

/// Reads every event of the text, and makes nothing of them.
#[inline(never)]
fn measured_events(text: &str) -> usize {
    Parser::new_from_str(text)
        .map(|event| event.expect("the text is sound"))
        .filter(|(event, _)| matches!(black_box(event), granit_parser::Event::Scalar(..)))
        .count()
}

#[inline(never)]
fn measured_check(source: &Source, packs: &Packs) -> usize {
    black_box(check(source, packs, &Ask::default()))
        .findings
        .len()
}

#[inline(never)]
fn measured_report(source: &Source, packs: &Packs) -> usize {
    let judgement = check(source, packs, &Ask::default());
    let judged = [(source.clone(), judgement)];
    black_box(json::document(&judged, &[])).len()
}

#[inline(never)]
fn measured_load() -> usize {
    black_box(wetside_rules::packs()).packs.len()
}

fn events(text: &str, times: usize) {
    report(times, || measured_events(text));
}

fn checks(text: &str, times: usize, measured: fn(&Source, &Packs) -> usize) {
    let packs = wetside_rules::packs();
    let source = Source::new("survey.yaml", text);
    black_box(check(&source, &packs, &Ask::default()));
    report(times, || measured(&source, &packs));
}

fn load(times: usize) {
    report(times, measured_load);
}

/// The microseconds that the quickest of so many turns takes.
fn report(times: usize, work: impl Fn() -> usize) {
    let turn = |_| {
        let start = Instant::now();
        black_box(work());
        start.elapsed()
    };
    let quickest = (0..times).map(turn).min().unwrap_or_default();
    println!("{:.1}", quickest.as_secs_f64() * 1e6);
}

/// Surveys in a second, each a text of its own.
fn many(text: &str, times: usize) {
    let packs = wetside_rules::packs();
    let sources: Vec<Source> = (0..times)
        .map(|at| {
            Source::new(
                format!("{at}.yaml"),
                text.replace("reference: ", &format!("reference: {at}-")),
            )
        })
        .collect();
    let start = Instant::now();
    let findings: usize = sources
        .iter()
        .map(|source| measured_check(source, &packs))
        .sum();
    black_box(findings);
    println!("{:.0}", times as f64 / start.elapsed().as_secs_f64());
}

/// The survey with so many radiators, which repeat its own, and without comments and empty lines.
fn house(text: &str, radiators: usize) -> String {
    let lines: Vec<&str> = text
        .lines()
        .map(without_comment)
        .filter(|line| !line.is_empty())
        .collect();
    let place = |from: usize, wanted: &dyn Fn(&str) -> bool| {
        let found = lines[from..].iter().position(|line| wanted(line));
        found.map_or(lines.len(), |at| from + at)
    };
    let head = place(0, &|line| line == "emitters:");
    let first = place(head, &|line| line == "  items:") + 1;
    let end = place(first, &|line| !line.starts_with("    "));
    let items: Vec<&[&str]> = split_before(&lines[first..end], |line| line.starts_with("    - "));
    if items.is_empty() {
        fail("this survey lists no emitters");
    }
    let mut written: Vec<String> = lines[..head].iter().map(|line| line.to_string()).collect();
    written.extend([
        "emitters:".to_string(),
        format!("  count: {radiators}"),
        "  items:".to_string(),
    ]);
    for at in 0..radiators {
        let item = items[at % items.len()];
        let round = at / items.len() + 1;
        written.push(renamed(item[0], round));
        written.extend(item[1..].iter().map(|line| line.to_string()));
    }
    written.extend(lines[end..].iter().map(|line| line.to_string()));
    written.join("\n") + "\n"
}

/// The first line of an element, whose name begins it, with a number behind the name.
fn renamed(line: &str, round: usize) -> String {
    let end = line.find(',').unwrap_or(line.len());
    match round {
        1 => line.to_string(),
        _ => format!("{} {round}{}", &line[..end], &line[end..]),
    }
}

fn without_comment(line: &str) -> &str {
    let content = if line.trim_start().starts_with('#') {
        ""
    } else {
        line.split(" #").next().unwrap_or(line)
    };
    content.trim_end()
}

fn split_before<'a, 't>(lines: &'a [&'t str], begins: impl Fn(&str) -> bool) -> Vec<&'a [&'t str]> {
    let starts: Vec<usize> = (0..lines.len()).filter(|at| begins(lines[*at])).collect();
    let ends = starts.iter().skip(1).copied().chain([lines.len()]);
    starts
        .iter()
        .copied()
        .zip(ends)
        .map(|(start, end)| &lines[start..end])
        .collect()
}
