//! Slips at the command line: each is told in plain words, with what to do, and ends with its own code.
//! The table is `tests/misuse/said.yaml`; what needs files of its own stands here.

use serde::Deserialize;
use std::fs;
use std::path::{Path, PathBuf};
use std::process::{Command, Output};

const CLEAN: &str = "examples/open-vented-gravity.yaml";

#[derive(Deserialize)]
struct Said {
    given: Vec<String>,
    says: String,
    help: String,
    code: i32,
}

fn run(given: &[&str]) -> Output {
    let mut command = Command::new(env!("CARGO_BIN_EXE_wetside"));
    command
        .args(given)
        .current_dir(env!("CARGO_MANIFEST_DIR"))
        .env_remove("LC_ALL")
        .env_remove("LANG");
    command.output().expect("the program starts")
}

/// Words as they would stand on one endless line.
fn one_line(bytes: &[u8]) -> String {
    let text = String::from_utf8(bytes.to_vec()).expect("the output is UTF-8");
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

fn folder(name: &str) -> PathBuf {
    let folder = PathBuf::from(env!("CARGO_TARGET_TMPDIR"))
        .join("misuse")
        .join(name);
    let _ = fs::remove_dir_all(&folder);
    fs::create_dir_all(&folder).expect("the folder can be made");
    folder
}

fn shown(path: &Path) -> String {
    path.display().to_string()
}

#[test]
fn a_slip_at_the_command_line_is_told_in_plain_words() {
    let table = fs::read_to_string("tests/misuse/said.yaml").expect("the table can be read");
    let table: Vec<Said> = serde_yaml::from_str(&table).expect("the table has its form");
    let mut wrong = Vec::new();
    for said in &table {
        let given: Vec<&str> = said.given.iter().map(String::as_str).collect();
        let output = run(&given);
        let told = one_line(&output.stderr);
        let expected = format!("wetside: {} {}", said.says, said.help);
        if told != expected.trim_end() || output.status.code() != Some(said.code) {
            wrong.push(format!(
                "{given:?}\n  {expected}\n  {told} ({:?})",
                output.status.code()
            ));
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn a_report_never_takes_the_place_of_the_survey_it_judges() {
    let folder = folder("own-survey");
    let survey = folder.join("house.yaml");
    let text = fs::read_to_string(CLEAN).expect("the example can be read");
    fs::write(&survey, &text).expect("the survey can be written");
    let round_about = folder.join("../own-survey/house.yaml");
    for output in [&survey, &round_about] {
        let given = [
            "check",
            &shown(&survey),
            "--output",
            &shown(output),
            "--replace",
        ];
        assert_eq!(run(&given).status.code(), Some(2), "{given:?}");
        assert_eq!(
            fs::read_to_string(&survey).ok().as_deref(),
            Some(text.as_str())
        );
    }
}

#[test]
fn one_pack_twice_is_refused() {
    let output = run(&["check", CLEAN, "--pack", "rules/gb-domestic"]);
    assert_eq!(output.status.code(), Some(21));
    let told = one_line(&output.stdout);
    assert!(told.starts_with("1 PROBLEM IN THE PACKS"), "{told}");
    assert!(
        told.contains("there is a pack `gb-domestic` among the packs to judge by already"),
        "{told}"
    );
    assert!(
        told.contains("rules/gb-domestic/pack.yaml:3:7 (pack-twice)"),
        "{told}"
    );
}

#[test]
fn a_folder_that_is_no_pack_is_one_problem() {
    for (folder, help) in [
        ("docs", "Name the folder that holds `pack.yaml`"),
        ("rules", "there is one in `rules/gb-domestic`"),
    ] {
        let output = run(&["check", CLEAN, "--pack", folder]);
        assert_eq!(output.status.code(), Some(21));
        let told = one_line(&output.stdout);
        assert!(told.starts_with("1 PROBLEM IN THE PACKS"), "{told}");
        assert!(told.contains(help), "{told}");
    }
}

#[test]
fn figures_of_a_faulty_survey_say_that_it_is_faulty() {
    let output = run(&["figures", "examples/cottage-slips-of-the-pen.yaml"]);
    assert_eq!(output.status.code(), Some(20));
    let told = one_line(&output.stderr);
    assert!(
        told.starts_with("wetside: 20 problems in the file"),
        "{told}"
    );
}

#[test]
fn a_folder_without_sheets_makes_no_table() {
    let folder = folder("no-sheets");
    let (sheets, tables) = (folder.join("sheets"), folder.join("tables"));
    fs::create_dir_all(&sheets).expect("the folder can be made");
    let given = [
        "exercise",
        "class",
        &shown(&sheets),
        "--exercises",
        "examples/course",
        "--into",
        &shown(&tables),
    ];
    let output = run(&given);
    assert_eq!(output.status.code(), Some(2));
    assert!(one_line(&output.stderr).contains("there is no sheet in"));
    assert!(!tables.exists());
}

#[test]
fn the_manual_has_a_page_for_each_command_below_another() {
    let page = |words: &[&str]| one_line(&run(words).stdout);
    assert!(page(&["manual", "exercise", "make"]).contains("wetside exercise make"));
    assert!(page(&["manual", "pack test"]).contains("wetside pack test"));
    let whole = page(&["manual"]);
    assert!(whole.contains("EXIT STATUS") && !whole.contains("SUBCOMMANDS"));
}

#[test]
fn a_file_that_holds_no_survey_is_one_problem() {
    let folder = folder("no-survey");
    for (name, text, says) in [
        ("empty.yaml", "", "this file holds no survey"),
        ("comment.yaml", "# the house\n", "this file holds no survey"),
        ("word.yaml", "hello\n", "this is no survey"),
        ("list.yaml", "- job\n- premises\n", "this is no survey"),
    ] {
        let path = folder.join(name);
        fs::write(&path, text).expect("the file can be written");
        let output = run(&["check", &shown(&path)]);
        assert_eq!(output.status.code(), Some(20), "{name}");
        let told = one_line(&output.stdout);
        assert!(
            told.contains("1 PROBLEM IN THE FILE") && told.contains(says),
            "{told}"
        );
        let output = run(&["steps", &shown(&path)]);
        let told = one_line(&output.stderr);
        assert!(told.contains("holds no survey"), "{told}");
    }
}

#[test]
fn slips_in_a_survey_that_once_passed_or_misled_are_told() {
    let folder = folder("slips");
    let clean = fs::read_to_string(CLEAN).expect("the example can be read");
    let slip = |key: &str, value: &str| {
        let begins = |line: &&str| line.trim_start().starts_with(&format!("{key}:"));
        let line = clean.lines().find(begins).expect("the example has it");
        let edge = &line[..line.len() - line.trim_start().len()];
        let path = folder.join(format!("{key}.yaml"));
        fs::write(&path, clean.replace(line, &format!("{edge}{key}: {value}")))
            .expect("the file can be written");
        let output = run(&["check", &shown(&path), "--width", "200"]);
        assert_eq!(output.status.code(), Some(20), "{key}: {value}");
        one_line(&output.stdout)
    };
    assert!(
        slip("pipe_materials", "[]").contains("NOT YET: find out first (1 problem in the file)")
    );
    let among = slip("pipe_materials", "[copper, unknown]");
    assert!(among.contains("Write `unknown` in place of the whole list"));
    let bare = slip("pipe_materials", "copper, steel");
    assert!(bare.contains("Write `[copper, steel]`, in square brackets."));
    let reason = slip("symptom", "unknown: nobody was at home");
    assert!(
        reason
            .contains("The reason of an unknown goes in braces: `{unknown: nobody was at home}`.")
    );
}

/// A rule without cases is one mistake, however it lacks them.
#[test]
fn a_rule_without_cases_is_one_problem() {
    let rule =
        fs::read_to_string("rules/gb-domestic/premises-and-people/nation-outside-the-pack.yaml");
    let rule = rule.expect("the rule can be read");
    let (words, _) = rule.split_once("cases:").expect("it has cases");
    for (name, cases) in [
        ("no-key", ""),
        ("none", "cases: []\n"),
        ("empty", "cases:\n"),
    ] {
        let pack = folder(name);
        fs::create_dir_all(pack.join("drain")).expect("the folder can be made");
        let head = "pack: mine\nedition: \"1\"\ntitle: mine\nscope: a test\n";
        fs::write(pack.join("pack.yaml"), head).expect("the head can be written");
        fs::write(pack.join("drain/dump.yaml"), format!("{words}{cases}"))
            .expect("the rule can be written");
        let output = run(&["pack", "test", &shown(&pack)]);
        let told = one_line(&output.stdout);
        assert!(told.starts_with("1 PROBLEM IN THE PACKS"), "{name}: {told}");
        assert_eq!(output.status.code(), Some(21), "{name}");
    }
}

/// The figures for programs say what is wrong in the file as the report of a check does.
#[test]
fn figures_for_programs_tell_the_problems() {
    let faulty = "examples/cottage-slips-of-the-pen.yaml";
    let problems = |command: &str| {
        let output = run(&[command, faulty, "--format", "json"]);
        let json: serde_json::Value =
            serde_json::from_slice(&output.stdout).expect("the document is JSON");
        json["surveys"][0]["problems"].clone()
    };
    let told = problems("figures");
    assert!(told.as_array().is_some_and(|all| !all.is_empty()), "{told}");
    assert_eq!(told, problems("check"));
}
