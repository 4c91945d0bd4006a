//! The program as it is called: exit codes, files, streams.

use std::fs;
use std::io::Write;
use std::path::PathBuf;
use std::process::{Command, Output, Stdio};

const CLEAR: &str = "examples/open-vented-gravity.yaml";
const STOPPED: &str = "examples/guest-house-double-check.yaml";
const FAULTY: &str = "examples/cottage-slips-of-the-pen.yaml";

fn wetside(arguments: &[&str]) -> Command {
    let mut command = Command::new(env!("CARGO_BIN_EXE_wetside"));
    command
        .args(arguments)
        .current_dir(env!("CARGO_MANIFEST_DIR"));
    for name in [
        "NO_COLOR",
        "CLICOLOR_FORCE",
        "CLICOLOR",
        "COLUMNS",
        "LC_ALL",
        "LANG",
    ] {
        command.env_remove(name);
    }
    command
}

fn run(arguments: &[&str]) -> Output {
    wetside(arguments).output().expect("the program starts")
}

fn out(output: &Output) -> String {
    String::from_utf8(output.stdout.clone()).expect("the output is UTF-8")
}

fn err(output: &Output) -> String {
    String::from_utf8(output.stderr.clone()).expect("the output is UTF-8")
}

fn code(arguments: &[&str]) -> Option<i32> {
    run(arguments).status.code()
}

/// An empty folder of the test's own.
fn folder(name: &str) -> PathBuf {
    let folder = PathBuf::from(env!("CARGO_TARGET_TMPDIR")).join(name);
    let _ = fs::remove_dir_all(&folder);
    fs::create_dir_all(&folder).expect("the folder can be made");
    folder
}

fn in_folder(folder: &std::path::Path, name: &str) -> String {
    folder.join(name).display().to_string()
}

#[test]
fn each_verdict_and_each_fault_has_its_own_code() {
    assert_eq!(code(&["check", CLEAR]), Some(0));
    assert_eq!(code(&["check", STOPPED]), Some(12));
    assert_eq!(code(&["check", FAULTY]), Some(20));
    assert_eq!(code(&["check", CLEAR, STOPPED]), Some(12));
    // A slip of the pen in one hides no danger in another.
    assert_eq!(code(&["check", STOPPED, FAULTY]), Some(12));
    assert_eq!(code(&["check", STOPPED, "no-such-file.yaml"]), Some(2));
    assert_eq!(code(&["check", "src"]), Some(2));
    assert_eq!(code(&["check", CLEAR, "--stage", "rinse"]), Some(2));
    assert_eq!(code(&["check", CLEAR, "--as-of", "2026-13-01"]), Some(2));
    assert_eq!(code(&["check", CLEAR, "--without-built-in"]), Some(2));
    assert_eq!(code(&["check"]), Some(2));
    assert_eq!(code(&["rule", "no-such-rule"]), Some(2));
    assert_eq!(code(&[]), Some(2));
    assert_eq!(code(&["--help"]), Some(0));
}

#[test]
fn a_survey_that_cannot_be_read_keeps_no_other_from_being_judged() {
    let output = run(&["check", "no-such-file.yaml", STOPPED]);
    assert!(out(&output).starts_with("DO NOT START"));
    assert!(err(&output).contains("no such file"));
}

#[test]
fn a_file_that_is_no_text_is_a_faulty_survey() {
    let file = in_folder(&folder("no-text"), "photo.yaml");
    fs::write(&file, [0xFF, 0xD8, 0xFF, 0xE0]).expect("it can be written");
    let output = run(&["check", &file]);
    assert_eq!(output.status.code(), Some(20));
    assert!(out(&output).starts_with("NOT YET: find out first (1 problem in the file)"));
    assert!(out(&output).contains("UTF-8"));
}

/// A pipe that nobody writes to would be waited for for ever.
#[test]
fn what_is_no_ordinary_file_is_refused() {
    let folder = folder("pipes");
    let pipe = in_folder(&folder, "pipe.yaml");
    let made = Command::new("mkfifo").arg(&pipe).status();
    assert!(made.expect("pipes can be made").success());
    let refused = |arguments: &[&str]| {
        let output = run(arguments);
        assert_eq!(output.status.code(), Some(2), "{arguments:?}");
        assert!(
            err(&output).contains("no ordinary file"),
            "{}",
            err(&output)
        );
    };
    refused(&["check", &pipe]);
    refused(&["figures", &pipe]);
    refused(&["check", CLEAR, "--pack", &folder.display().to_string()]);
    refused(&["check", CLEAR, "--output", &pipe]);
    refused(&["check", CLEAR, "--replace", "--output", &pipe]);
}

#[test]
fn a_survey_comes_by_standard_input_too() {
    let mut child = wetside(&["check", "-"])
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .spawn()
        .expect("the program starts");
    let survey = fs::read(CLEAR).expect("the example is there");
    child
        .stdin
        .take()
        .expect("a pipe")
        .write_all(&survey)
        .expect("it is read");
    let output = child.wait_with_output().expect("it ends");
    assert_eq!(output.status.code(), Some(0));
    assert!(out(&output).contains("Survey standard input"));
    assert_eq!(code(&["check", "-", "-"]), Some(2));
}

#[test]
fn the_same_call_gives_the_same_bytes_whatever_surrounds_it() {
    let plain = run(&["check", STOPPED]);
    let surrounded = wetside(&["check", STOPPED])
        .env("COLUMNS", "47")
        .env("LANG", "C")
        .env("NO_COLOR", "1")
        .output()
        .expect("the program starts");
    assert_eq!(out(&plain), out(&surrounded));
    assert!(!out(&plain).contains('\u{1b}'));
    assert!(out(&run(&["check", STOPPED, "--colour", "always"])).contains('\u{1b}'));
}

#[test]
fn a_report_is_written_whole_and_never_over_another() {
    let folder = folder("reports");
    let file = in_folder(&folder, "report.json");
    let call = ["check", STOPPED, "--format", "json", "--output", &file];
    let first = run(&call);
    assert_eq!(first.status.code(), Some(12));
    assert!(out(&first).contains("DO NOT START"));
    let written = fs::read_to_string(&file).expect("it was written");
    let value: serde_json::Value = serde_json::from_str(&written).expect("it is JSON");
    assert_eq!(value["report"], 2);

    fs::write(&file, "kept").expect("it can be written");
    let refused = run(&call);
    assert_eq!(refused.status.code(), Some(2));
    assert!(err(&refused).contains("--replace"));
    assert_eq!(fs::read_to_string(&file).expect("it is there"), "kept");

    assert_eq!(code(&[&call[..], &["--replace"]].concat()), Some(12));
    assert_eq!(fs::read_to_string(&file).expect("it is there"), written);
    let left: Vec<_> = fs::read_dir(&folder).expect("it is there").collect();
    assert_eq!(left.len(), 1, "no draft is left behind");

    let nowhere = in_folder(&folder, "no/such/report.txt");
    assert_eq!(code(&["check", CLEAR, "--output", &nowhere]), Some(2));
}

#[test]
fn a_new_survey_can_be_checked_at_once_and_takes_no_file_s_place() {
    let file = in_folder(&folder("new"), "job.yaml");
    assert_eq!(code(&["new", &file]), Some(0));
    assert_eq!(code(&["check", &file]), Some(11));
    let before = fs::read_to_string(&file).expect("it was written");
    let refused = run(&["new", &file]);
    assert_eq!(refused.status.code(), Some(2));
    assert!(err(&refused).contains("is there already"));
    assert_eq!(fs::read_to_string(&file).expect("it is there"), before);
    assert_eq!(out(&run(&["new"])), before);
}

#[test]
fn a_faulty_pack_judges_nothing() {
    let folder = folder("pack");
    fs::create_dir_all(folder.join("drain")).expect("the folder can be made");
    let head = "pack: ours\nedition: \"1\"\ntitle: ours\nscope: ours\n";
    fs::write(folder.join("pack.yaml"), head).expect("it can be written");
    fs::write(
        folder.join("drain/odd.yaml"),
        "title: odd\nmust: drian.route is\n",
    )
    .expect("it can be written");
    let folder = folder.display().to_string();
    let text = run(&["check", CLEAR, "--pack", &folder]);
    assert_eq!(text.status.code(), Some(21));
    assert!(!out(&text).contains("CLEAR"));
    assert!(err(&text).contains("nothing was done"));
    let json = run(&["check", CLEAR, "--pack", &folder, "--format", "json"]);
    assert_eq!(json.status.code(), Some(21));
    let value: serde_json::Value = serde_json::from_str(&out(&json)).expect("it is JSON");
    assert_eq!(
        wetside_schemas::check(wetside_schemas::Which::Report, &value),
        []
    );
    assert_eq!(value["verdict"], serde_json::Value::Null);
    assert_eq!(code(&["pack", "test", &folder]), Some(21));
    assert_eq!(code(&["pack", "test", "no-such-folder"]), Some(2));
}

#[test]
fn the_pack_in_the_folder_is_the_pack_in_the_program() {
    let inside = run(&["pack", "test"]);
    let outside = run(&["pack", "test", "rules/gb-domestic"]);
    assert_eq!(inside.status.code(), Some(0), "{}", out(&inside));
    assert_eq!(out(&inside), out(&outside));
}

#[test]
fn a_reader_that_goes_away_ends_the_showing_quietly() {
    let mut child = wetside(&[
        "check", STOPPED, STOPPED, STOPPED, STOPPED, "--format", "json",
    ])
    .stdout(Stdio::piped())
    .stderr(Stdio::piped())
    .spawn()
    .expect("the program starts");
    drop(child.stdout.take());
    let output = child.wait_with_output().expect("it ends");
    assert_eq!(output.status.code(), Some(12));
    assert_eq!(err(&output), "");
}

#[test]
fn rules_are_listed_and_explained() {
    let listed = out(&run(&[
        "rules", "--class", "hazard", "--stage", "set-up", "--by", "part",
    ]));
    assert!(listed.contains("house-backflow-below-category-three"));
    assert!(!listed.contains("advisory"));
    let told = out(&run(&["rule", "house-backflow-below-category-three"]));
    for part in [
        "Must: ",
        "Do: ",
        "Why: ",
        "Source: ",
        "house_fluid_category",
        "CASES",
    ] {
        assert!(told.contains(part), "{part}");
    }
    let near = run(&["rule", "house-backflow-below-category-tree"]);
    assert!(err(&near).contains("did you mean `house-backflow-below-category-three`?"));
    assert!(err(&run(&["rules", "--part", "drian"])).contains("did you mean `drain`?"));
}

#[test]
fn the_program_writes_its_own_pages() {
    assert!(out(&run(&["manual"])).contains(".TH wetside"));
    assert!(out(&run(&["manual", "check"])).contains("wetside\\-check"));
    assert_eq!(code(&["manual", "chek"]), Some(2));
    for shell in ["bash", "zsh", "fish", "powershell", "elvish"] {
        assert!(
            out(&run(&["completions", shell])).contains("check"),
            "{shell}"
        );
    }
}
