//! Many surveys at once: lists of them, lines of JSON, a log for reviewers, and a stop in between.

use serde_json::{Value, json};
use std::fs;
use std::io::{BufRead, BufReader, Write};
use std::path::Path;
use std::process::{Child, Command, Stdio};
use wetside_base::finding::Outcome;
use wetside_base::source::Source;
use wetside_engine::check::{Ask, check, outcomes};
use wetside_schemas::Which;

const CLEAR: &str = "examples/open-vented-gravity.yaml";
const STOPPED: &str = "examples/guest-house-double-check.yaml";

fn start(arguments: &[&str]) -> Child {
    let mut command = Command::new(env!("CARGO_BIN_EXE_wetside"));
    command
        .args(arguments)
        .current_dir(env!("CARGO_MANIFEST_DIR"));
    command
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped());
    command.spawn().expect("the program starts")
}

/// Exit code, output and complaints of a run with this on standard input.
fn run(arguments: &[&str], input: &str) -> (Option<i32>, String, String) {
    let mut child = start(arguments);
    let mut stdin = child.stdin.take().expect("it is a pipe");
    // A program that refuses its arguments reads nothing.
    let _ = stdin.write_all(input.as_bytes());
    drop(stdin);
    let output = child.wait_with_output().expect("it ends");
    let text = |bytes: Vec<u8>| String::from_utf8(bytes).expect("it is text");
    (
        output.status.code(),
        text(output.stdout),
        text(output.stderr),
    )
}

fn parsed(lines: &str) -> Vec<Value> {
    let parse = |line: &str| serde_json::from_str(line).expect("each line is JSON");
    lines.lines().map(parse).collect()
}

#[test]
fn a_list_gives_a_line_for_each_of_its_surveys_whatever_is_wrong_with_others() {
    let text = fs::read_to_string(CLEAR).expect("it is there");
    let held = json!({"name": "job 7", "survey": text});
    let list = format!("{STOPPED}\n\nno/such.yaml\n{{\"name\": 3}}\n{held}\n{CLEAR}");
    let (code, lines, told) = run(&["check", "--from", "-", "--lines"], &list);
    assert_eq!(code, Some(2), "{told}");
    let lines = parsed(&lines);
    let each = |key: &str| -> Vec<&Value> { lines.iter().map(|line| &line[key]).collect() };
    let names = [STOPPED, "no/such.yaml", "line 4", "job 7", CLEAR];
    assert_eq!(each("survey"), names);
    let (stop, clear) = (json!("do not start"), json!("clear"));
    let verdicts = [stop, Value::Null, Value::Null, clear.clone(), clear];
    assert_eq!(each("verdict"), verdicts.iter().collect::<Vec<_>>());
    assert!(lines[1]["unread"].is_string() && lines[2]["unread"].is_string());
    // The same survey comes to the same, whichever way it came.
    assert_eq!(lines[3]["findings"], lines[4]["findings"]);
    let all = "In all: 1 do not start and 2 clear to start the flush.";
    let told: Vec<&str> = told.split_whitespace().collect();
    assert!(told.join(" ").contains(all), "{told:?}");
}

#[test]
fn a_folder_gives_its_surveys_whatever_else_it_holds() {
    let archive = Path::new(env!("CARGO_TARGET_TMPDIR")).join("archive");
    let _ = fs::remove_dir_all(&archive);
    let inside = |path: &str| archive.join(path);
    fs::create_dir_all(inside("packs")).expect("there is room");
    for path in ["b.yaml", "a.YML", ".kept.yaml", "notes.md", "packs/c.yaml"] {
        fs::copy(CLEAR, inside(path)).expect("there is room");
    }
    fs::write(inside("b.departures.yaml"), "departures: []\n").expect("there is room");
    let folder = archive.to_str().expect("it is text");
    let (_, lines, told) = run(&["check", folder, "--lines"], "");
    let lines = parsed(&lines);
    let names: Vec<_> = lines.iter().map(|line| line["survey"].as_str()).collect();
    let held = ["a.YML", "b.yaml"].map(|path| inside(path).display().to_string());
    assert_eq!(
        names,
        held.each_ref().map(|name| Some(name.as_str())),
        "{told}"
    );
}

/// What is told of each rule is what the report counts.
#[test]
fn what_came_of_each_rule_is_what_the_report_counts() {
    for example in crate::generate::examples() {
        let source = Source::new(&example.name, example.text.as_str());
        let packs = crate::generate::packs();
        let judgement = check(&source, packs, &Ask::default());
        let (came, _) = outcomes(&source, packs, None);
        let due = came
            .iter()
            .filter(|came| came.rule.stage <= judgement.stage);
        let due: Vec<_> = due.flat_map(|came| &came.of).collect();
        let many = |outcome| due.iter().filter(|(_, one)| *one == outcome).count();
        let counts = &judgement.counts;
        let counted = [
            counts.met,
            counts.broken,
            counts.undecided,
            counts.not_applicable,
        ];
        assert_eq!(Outcome::ALL.map(many), counted, "{}", example.name);
    }
}

#[test]
fn an_interrupt_ends_the_work_and_tells_what_was_done() {
    const AT_ONCE: usize = 64;
    let mut child = start(&["check", "--from", "-", "--lines"]);
    let mut stdin = child.stdin.take().expect("it is a pipe");
    let mut out = BufReader::new(child.stdout.take().expect("it is a pipe")).lines();
    stdin
        .write_all(format!("{CLEAR}\n").repeat(AT_ONCE).as_bytes())
        .expect("it reads");
    for _ in 0..AT_ONCE {
        out.next().expect("there is a line").expect("it is text");
    }
    let pid = child.id().to_string();
    let stopped = Command::new("kill").args(["-INT", &pid]).status();
    assert!(stopped.is_ok_and(|status| status.success()));
    stdin
        .write_all(format!("{CLEAR}\n").repeat(3).as_bytes())
        .expect("it reads");
    drop(stdin);
    assert!(out.next().is_none(), "nothing is judged any more");
    let output = child.wait_with_output().expect("it ends");
    let told = String::from_utf8_lossy(&output.stderr);
    assert_eq!(output.status.code(), Some(130), "{told}");
    assert!(told.contains("interrupted after 64 surveys"), "{told}");
}

/// What the log speaks of.
const REVIEWED: &str = "examples/communal-flat-interface-unit.yaml";
const LOG: &str = "tests/reports/communal-flat.sarif";

fn fingerprints(log: &str) -> Vec<String> {
    let log: Value = serde_json::from_str(log).expect("it is JSON");
    let results = log["runs"][0]["results"]
        .as_array()
        .expect("there are some")
        .iter();
    let one = |result: &Value| result["partialFingerprints"]["wetside/v1"].to_string();
    let mut all: Vec<String> = results.map(one).collect();
    all.sort();
    all
}

/// The log is held to the schema of the standard by the tests of the crate `wetside-schemas`.
#[test]
fn a_log_for_reviewers_keeps_its_fingerprints_where_lines_move() {
    let (code, log, _) = run(&["check", REVIEWED, "--sarif"], "");
    assert_eq!(code, Some(12));
    if std::env::var_os("WETSIDE_WRITE_PAGES").is_some() {
        fs::write(LOG, &log).expect("it can be written");
    }
    assert_eq!(fs::read_to_string(LOG).ok().as_deref(), Some(log.as_str()));
    let all = fingerprints(&log);
    let mut once = all.clone();
    once.dedup();
    assert_eq!(all, once);
    let text = fs::read_to_string(REVIEWED).expect("it is there");
    let moved = json!({"name": REVIEWED, "survey": format!("# moved\n\n{text}")});
    let (_, other, _) = run(&["check", "--from", "-", "--sarif"], &moved.to_string());
    assert_ne!(log, other);
    assert_eq!(all, fingerprints(&other));
}

#[test]
fn every_schema_is_printed() {
    for which in Which::ALL {
        let Some(name) = which.name() else { continue };
        let (code, text, _) = run(&["schema", name], "");
        assert_eq!((code, text.as_str()), (Some(0), which.text()));
    }
}
