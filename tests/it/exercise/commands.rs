//! The command line as a trainer and a trainee use it.

use std::fs;
use std::path::{Path, PathBuf};
use std::process::{Command, Output};

pub(super) fn run(folder: &Path, arguments: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_wetside"))
        .args(arguments)
        .current_dir(folder)
        .output()
        .expect("the program runs")
}

pub(super) fn said(output: &Output) -> String {
    format!(
        "{}{}",
        String::from_utf8_lossy(&output.stdout),
        String::from_utf8_lossy(&output.stderr)
    )
}

/// An empty folder of this test.
pub(super) fn folder(name: &str) -> PathBuf {
    let folder = PathBuf::from(env!("CARGO_TARGET_TMPDIR")).join(name);
    let _ = fs::remove_dir_all(&folder);
    fs::create_dir_all(&folder).expect("it can be made");
    folder
}

#[test]
fn a_course_from_making_to_the_tables_of_the_class() {
    let folder = folder("exercise-course");
    let survey = PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("tests/exercise/clean.yaml");
    let survey = survey.to_str().expect("a plain path");
    let make = [
        "exercise",
        "make",
        survey,
        "--into",
        "one",
        "--seed",
        "9",
        "--surveys",
        "2",
        "--faults",
        "2",
    ];
    let made = run(&folder, &make);
    assert_eq!(made.status.code(), Some(0), "{}", said(&made));
    assert_eq!(
        run(&folder, &make).status.code(),
        Some(2),
        "nothing is written over"
    );
    // What stood there is kept, a sheet that somebody has filled in among it.
    let replaced = run(&folder, &[&make[..], &["--replace"]].concat());
    assert_eq!(replaced.status.code(), Some(0), "{}", said(&replaced));
    assert!(
        folder
            .join("one-before-1/trainees/exercise-01.yaml")
            .exists()
    );
    assert!(!folder.join("one/one").exists());
    let mut again = make;
    again[4] = "two";
    assert_eq!(run(&folder, &again).status.code(), Some(0));
    for part in [
        "trainees/exercise-01.yaml",
        "trainees/exercise-02-answers.yaml",
        "trainees/exercise-01.html",
        "trainer/exercise-02-key.yaml",
    ] {
        let text = |of: &str| fs::read(folder.join(of).join(part)).expect("it was written");
        assert_eq!(text("one"), text("two"), "{part}");
    }

    fs::create_dir(folder.join("sheets")).expect("it can be made");
    let blank = fs::read_to_string(folder.join("one/trainees/exercise-01-answers.yaml"))
        .expect("it was written");
    let sheet = folder.join("sheets/ann.yaml");
    fs::write(&sheet, &blank).expect("it can be written");
    let mark = [
        "exercise",
        "mark",
        "sheets/ann.yaml",
        "--survey",
        "one/trainees/exercise-01.yaml",
        "--key",
        "one/trainer/exercise-01-key.yaml",
    ];
    let unfilled = run(&folder, &mark);
    assert_eq!(unfilled.status.code(), Some(20), "{}", said(&unfilled));
    assert!(
        said(&unfilled).contains("`trainee` is not filled in"),
        "{}",
        said(&unfilled)
    );
    fs::write(
        &sheet,
        blank
            .replace("trainee: to be filled in", "trainee: Ann")
            .replace("verdict: to be filled in", "verdict: not yet"),
    )
    .expect("it can be written");
    let marked = run(&folder, &mark);
    assert_eq!(marked.status.code(), Some(0), "{}", said(&marked));
    assert!(said(&marked).contains("0 of 2 found"), "{}", said(&marked));

    let class = [
        "exercise",
        "class",
        "sheets",
        "--exercises",
        "one",
        "--into",
        "tables",
    ];
    let summed = run(&folder, &class);
    assert_eq!(summed.status.code(), Some(0), "{}", said(&summed));
    assert!(folder.join("tables/class.html").exists());
    fs::write(folder.join("tables/feedback/zed.html"), "of another run").expect("it can be");
    let compared = run(
        &folder,
        &[
            &class[..],
            &["--replace", "--other-marker", "tables/marks.csv"],
        ]
        .concat(),
    );
    // What an earlier run wrote is not left among it.
    assert!(!folder.join("tables/feedback/zed.html").exists());
    assert!(folder.join("tables-before-1/feedback/zed.html").exists());
    assert!(
        said(&compared).contains("100 % alike"),
        "{}",
        said(&compared)
    );
    let other = [
        "exercise",
        "mark",
        "sheets/ann.yaml",
        "--survey",
        "one/trainees/exercise-02.yaml",
        "--key",
        "one/trainer/exercise-01-key.yaml",
    ];
    assert_eq!(run(&folder, &other).status.code(), Some(20));
}

#[test]
fn exercises_by_hand_and_refusals() {
    let folder = folder("exercise-by-hand");
    let data = PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("tests/exercise");
    let (marked, clean) = (data.join("marked.yaml"), data.join("clean.yaml"));
    let (marked, clean) = (
        marked.to_str().expect("a plain path"),
        clean.to_str().expect("a plain path"),
    );
    let made = run(
        &folder,
        &[
            "exercise", "by-hand", marked, marked, "--from", clean, "--into", "made",
        ],
    );
    assert_eq!(made.status.code(), Some(0), "{}", said(&made));
    assert!(folder.join("made/trainer/exercise-02-key.yaml").exists());
    let unclean = run(&folder, &["exercise", "make", marked, "--into", "x"]);
    assert_eq!(unclean.status.code(), Some(2));
    // Where the line is broken hangs on the length of the path.
    let told: Vec<String> = said(&unclean)
        .split_whitespace()
        .map(str::to_string)
        .collect();
    assert!(told.join(" ").contains("not clean"), "{told:?}");
    let guessed = [
        "exercise",
        "course",
        "x",
        "--class",
        "y",
        "--seed",
        "123456789",
        "--into",
        "x",
    ];
    let guessed = run(&folder, &guessed);
    assert_eq!(guessed.status.code(), Some(2), "a seed that can be guessed");
    assert!(said(&guessed).contains("--seed"), "{}", said(&guessed));
    let faults = run(&folder, &["exercise", "faults"]);
    assert_eq!(faults.status.code(), Some(0), "{}", said(&faults));
    assert!(said(&faults).contains("zone-valve-forgotten"));
    assert!(said(&faults).contains("by difficulty: easy "));
}

/// A fault that does not do what it says is shown with the reason, and the command ends as for a faulty pack.
#[test]
fn a_catalogue_that_does_not_hold_is_told() {
    let folder = folder("exercise-faults");
    fs::create_dir_all(folder.join("faults/state")).expect("it can be made");
    let fault = |id: &str, needs: &str, rule: &str| {
        let text = format!(
            "title: water comes over the vent\nfamily: state\npart: vent-and-feed\nneeds: {needs}\nedit:\n  - {{set: vent.pumps_over, to: yes}}\nraises:\n  - {{rule: {rule}, at: vent.pumps_over}}\nmay_raise: [sludge-will-come-back]\nsee: {{lines: 1}}\n"
        );
        fs::write(folder.join(format!("faults/state/{id}.yaml")), text).expect("it can be written");
    };
    let survey =
        PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("examples/open-vented-gravity.yaml");
    let survey = survey.to_str().expect("a plain path");
    let tried = ["exercise", "faults", survey, "--catalogue", "faults"];
    let said_of = |rule: &str| {
        fault("elsewhere", "circuit.kind is 'sealed'", rule);
        fault("here", "circuit.kind is 'open vented'", rule);
        let output = run(&folder, &tried);
        (output.status.code(), said(&output))
    };
    let (code, says) = said_of("vent-pumps-over");
    assert_eq!(code, Some(0), "{says}");
    assert!(says.contains("cannot be planted here."), "{says}");
    assert!(
        says.contains("0 faults fail in some way; 1 cannot be planted"),
        "{says}"
    );
    let (code, says) = said_of("flush-too-hot-for-the-floor");
    assert_eq!(code, Some(21), "{says}");
    assert!(says.contains("0 of 1 way holds."), "{says}");
    assert!(says.contains("1 fault fails in some way"), "{says}");
}
