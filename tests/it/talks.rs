//! `wetside ask` as somebody uses it: through a pipe, as whole talks; on a terminal, where it is stopped.

use crate::examples::packs;
#[cfg(target_os = "linux")]
use crate::screen::Screen;
use std::fs;
use std::io::{BufRead, BufReader, Write};
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};
use wetside_base::facts::{Content, Facts};
use wetside_base::source::Source;
use wetside_base::vocabulary::{Shape, Type};
use wetside_engine::{read, run};
use wetside_schemas::Which;

/// A folder of its own, with a survey in it.
fn folder(name: &str, survey: &str) -> PathBuf {
    let folder = Path::new(env!("CARGO_TARGET_TMPDIR"))
        .join("talks")
        .join(name);
    let _ = fs::remove_dir_all(&folder);
    fs::create_dir_all(&folder).expect("the folder can be made");
    fs::write(folder.join("house.yaml"), survey).expect("it can be written");
    folder
}

fn example(name: &str) -> String {
    let path = Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("examples")
        .join(name);
    fs::read_to_string(path).expect("the example is there")
}

/// What the program says when these lines are typed, with the exit code at the end.
fn talk(folder: &Path, given: &[&str], typed: &str) -> String {
    let mut command = Command::new(env!("CARGO_BIN_EXE_wetside"));
    command.args(given).current_dir(folder);
    command
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped());
    let mut child = command.spawn().expect("the program starts");
    let mut input = child.stdin.take().expect("a pipe");
    input.write_all(typed.as_bytes()).expect("it listens");
    drop(input);
    let output = child.wait_with_output().expect("it ends");
    let text = |bytes: &[u8]| String::from_utf8(bytes.to_vec()).expect("UTF-8");
    let code = output.status.code().expect("it ends by itself");
    format!(
        "{}{}exit {code}\n",
        text(&output.stdout),
        text(&output.stderr)
    )
}

/// A house of which little is unknown.
fn nearly_known() -> String {
    let mut text = example("gauge-that-rises.yaml");
    for (known, open) in KNOWN {
        assert!(text.contains(known), "{known}");
        text = text.replace(known, open);
    }
    text
}

/// The same, with the state of its radiators.
fn with_radiators() -> String {
    nearly_known().replace("condition: sound", "condition: unknown")
}

const KNOWN: [(&str, &str); 2] = [
    (
        "  visible_leaks: no\n",
        "  visible_leaks: unknown   # under the floor?\n",
    ),
    ("  layout: two-pipe\n", ""),
];

/// The lines of the file that were not there before.
fn new_lines(folder: &Path, before: &str) -> String {
    let after = fs::read_to_string(folder.join("house.yaml")).expect("it is there");
    let before: Vec<&str> = before.lines().collect();
    let new = after.lines().filter(|line| !before.contains(line));
    new.map(|line| format!("now in the file:{line}\n"))
        .collect()
}

#[test]
fn a_talk_through_a_pipe_at_forty_columns() {
    let folder = folder("pipe", &nearly_known());
    let typed = "?\nthree-pipe\n1\nb\n2\n\nu look on Monday\n";
    let said = talk(&folder, &["ask", "house.yaml", "--width", "40"], typed);
    insta::assert_snapshot!(said + &new_lines(&folder, &nearly_known()));
}

#[test]
fn a_talk_about_things_that_are_alike() {
    let folder = folder("alike", &with_radiators());
    let typed = "sound except lounge: 2\nsound except kitchen: 2; room one: u\nn\nsound except kitchen: 2; room one: u\ny\nb\ne\n1\ns\nq\n";
    let said = talk(&folder, &["ask", "house.yaml"], typed);
    insta::assert_snapshot!(said + &new_lines(&folder, &with_radiators()));
}

#[test]
fn whatever_ends_a_talk_the_answers_are_there() {
    let folder = folder("ends", &nearly_known());
    // The last line is cut off, and nobody knows whether it is whole.
    let said = talk(&folder, &["ask", "house.yaml"], "two-pipe\nwhole ho");
    assert!(said.contains("1 answer is saved in house.yaml."), "{said}");
    assert!(said.ends_with("exit 12\n"), "{said}");
    let after = fs::read_to_string(folder.join("house.yaml")).expect("it is there");
    assert!(after.contains("\n  layout: two-pipe\n") && after.contains("visible_leaks: unknown"));
    let files = fs::read_dir(&folder).expect("it is there").count();
    assert_eq!(files, 1, "no draft is left over");
}

#[test]
fn nothing_is_written_over_what_somebody_else_wrote() {
    let folder = folder("meanwhile", &nearly_known());
    let file = folder.join("house.yaml");
    let mut command = Command::new(env!("CARGO_BIN_EXE_wetside"));
    command.args(["ask", "house.yaml"]).current_dir(&folder);
    command
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped());
    let mut child = command.spawn().expect("the program starts");
    let mut output = BufReader::new(child.stdout.take().expect("a pipe"));
    let mut line = Vec::new();
    while !line.ends_with(b"> ") {
        let read = output.read_until(b' ', &mut line).expect("it speaks");
        assert!(read > 0, "{}", String::from_utf8_lossy(&line));
    }
    let theirs = nearly_known() + "# somebody else was here\n";
    fs::write(&file, &theirs).expect("it can be written");
    let mut input = child.stdin.take().expect("a pipe");
    input.write_all(b"two-pipe\n").expect("it listens");
    drop((input, output));
    let output = child.wait_with_output().expect("it ends");
    let said = String::from_utf8_lossy(&output.stderr).into_owned();
    assert!(said.contains("was changed by somebody else"), "{said}");
    assert_eq!(output.status.code(), Some(2));
    assert_eq!(fs::read_to_string(&file).expect("it is there"), theirs);
}

/// People leave `except` out; and what only looks so is an answer.
#[test]
fn things_that_differ_may_stand_behind_a_semicolon() {
    let folder = folder("semicolon", &with_radiators());
    let typed = "Sound; kitchen: weeping\ny\nq\n";
    let said = talk(&folder, &["ask", "house.yaml"], typed);
    assert!(said.contains("  weeping: kitchen\n"), "{said}");
    let typed = "sound; loft: weeping\nq\n";
    fs::write(folder.join("house.yaml"), with_radiators()).expect("it can be written");
    let said = talk(&folder, &["ask", "house.yaml"], typed);
    assert!(said.contains("`sound; loft: weeping` is not one"), "{said}");
}

/// Nothing is asked that cannot be written, nor twice.
#[test]
fn what_has_no_place_in_a_faulty_file_is_not_asked() {
    let survey = "survey: 1\njob:\n  stage: survey\ncircuit:\n\tkind: sealed\n  foo: bar\n";
    let folder = folder("faulty", survey);
    let said = talk(&folder, &["ask", "house.yaml"], "sealed\n1\nq\n");
    assert!(said.contains("Some questions are left out"), "{said}");
    assert!(!said.contains("stands further in"), "{said}");
    // And what has one is.
    let survey = nearly_known().replace("  layout: two-pipe", "") + "strange: yes\n";
    fs::write(folder.join("house.yaml"), survey).expect("it can be written");
    let said = talk(&folder, &["ask", "house.yaml"], "two-pipe\nq\n");
    assert!(!said.contains("left out"), "{said}");
    assert!(said.contains("1 answer is saved"), "{said}");
}

#[test]
fn going_back_to_names_says_where_they_are_changed() {
    let survey = "survey: 1\njob:\n  stage: survey\ncircuit:\n  kind: sealed\n";
    let folder = folder("names", survey);
    let said = talk(&folder, &["ask", "house.yaml"], "1\nboiler\nb\nb\nq\n");
    assert!(said.contains("Names are changed in the file."), "{said}");
    let counted = said.matches("heat sources: count (").count();
    assert_eq!(counted, 2, "{said}");
}

/// Notes at the same time: each is written, and each can be taken back.
#[test]
fn notes_at_the_same_time_wait_for_each_other() {
    let folder = folder("race", &nearly_known());
    let notes = ["layout two-pipe", "visible leaks no"];
    std::thread::scope(|scope| {
        for note in notes {
            let folder = &folder;
            scope.spawn(move || {
                let said = talk(folder, &["note", "house.yaml", note], "");
                assert!(said.ends_with("exit 0\n"), "{said}");
            });
        }
    });
    for _ in notes {
        let said = talk(&folder, &["note", "house.yaml", "--undo"], "");
        assert!(said.contains("Taken back: "), "{said}");
    }
    let after = fs::read_to_string(folder.join("house.yaml")).expect("it is there");
    assert_eq!(after, nearly_known());
}

#[test]
fn what_is_refused_keeps_to_the_width_too() {
    let folder = folder("narrow", &nearly_known());
    let given = [
        "note",
        "house.yaml",
        "--width",
        "40",
        "strange words of nobody",
    ];
    let said = talk(&folder, &given, "");
    for line in said.lines() {
        assert!(line.chars().count() <= 40, "{line}");
    }
}

/// A telephone begins a line with a capital and ends it with a full stop.
#[test]
fn answers_are_taken_as_a_telephone_writes_them() {
    let folder = folder("telephone", &nearly_known());
    let typed = "Two-Pipe.\nB\n1)\nDon't know, no torch\nQ\n";
    let said = talk(&folder, &["ask", "house.yaml"], typed);
    assert!(!said.contains("is not one of"), "{said}");
    let new = "now in the file:  layout: two-pipe
now in the file:  visible_leaks: {unknown: no torch}   # under the floor?
";
    assert_eq!(new_lines(&folder, &nearly_known()), new);
}

/// Lines of a log are told by what they say, a radiator by its name whatever that is; on a list and in a talk.
#[test]
fn things_without_a_name_or_with_an_odd_one_are_asked_by_list() {
    let survey = example("cesspool-into-a-container.yaml")
        .replace("direction: forward, ", "")
        .replace("direction: reverse, ", "")
        .replace("id: hall,", "id: \"hall: old #2\",")
        .replace(
            "bottom: 52 °C}, flushed: yes",
            "bottom: 52 °C}, flushed: unknown",
        );
    let folder = folder("log", &survey);
    let given = ["ask", "house.yaml", "--stage", "prove"];
    let list = talk(&folder, &[&given[..], &["--list"]].concat(), "");
    assert!(
        list.contains("- at: 2026-09-29T10:25\n      branch: end bedroom\n"),
        "{list}"
    );
    let (list, _) = list.rsplit_once("exit ").expect("the code");
    let filled = list
        .replace("direction: unknown", "direction: reverse")
        .replace("flushed: unknown", "flushed: yes");
    fs::write(folder.join("list.yaml"), filled).expect("it can be written");
    let said = talk(
        &folder,
        &[&given[..], &["--from", "list.yaml"]].concat(),
        "",
    );
    let now = fs::read_to_string(folder.join("house.yaml")).expect("it is there");
    assert_eq!(
        now.matches("direction: reverse").count(),
        6,
        "{said}\n{now}"
    );
    assert!(
        now.contains("bottom: 52 °C}, flushed: yes"),
        "{said}\n{now}"
    );
    fs::write(folder.join("house.yaml"), survey).expect("it can be written");
    let skips = "s\n".repeat(40);
    let said = talk(&folder, &given, &skips).replace('\n', " ");
    assert!(
        said.contains("number 2 (2026-09-29T10:25 end bedroom)"),
        "{said}"
    );
}

#[test]
fn a_file_that_is_not_to_be_written_is_not() {
    let folder = folder("kept", &nearly_known());
    let file = folder.join("house.yaml");
    let mut kept = fs::metadata(&file).expect("it is there").permissions();
    kept.set_readonly(true);
    fs::set_permissions(&file, kept).expect("it is ours");
    for given in [
        &["ask", "house.yaml"][..],
        &["note", "house.yaml", "layout two-pipe"],
    ] {
        let said = talk(&folder, given, "two-pipe\n");
        assert!(said.contains("is marked as not to be written"), "{said}");
        assert!(said.ends_with("exit 2\n"), "{said}");
        assert_eq!(new_lines(&folder, &nearly_known()), "");
    }
}

#[test]
fn whoever_cannot_take_a_note_back_is_told_why() {
    let folder = folder("undo", &nearly_known());
    let note = |words: &[&str]| talk(&folder, &[&["note", "house.yaml"], words].concat(), "");
    assert!(note(&["undo"]).contains("`--undo` takes the last note back"));
    assert!(note(&["--undo"]).contains("none was written"));
    assert!(note(&["layout two-pipe"]).ends_with("exit 0\n"));
    let file = folder.join("house.yaml");
    let text = fs::read_to_string(&file).expect("it is there");
    fs::write(&file, text + "# mine\n").expect("it can be written");
    let said = note(&["--undo"]);
    assert!(said.contains("since the note `layout two-pipe`"), "{said}");
}

/// On a terminal of forty columns, stopped with the key for it.
#[cfg(target_os = "linux")]
#[test]
fn a_talk_on_a_terminal_is_stopped_by_its_key() {
    let folder = folder("terminal", &nearly_known());
    let mut screen = Screen::of(&folder, 40, &["ask", "house.yaml"]);
    screen.wait_for("circuit, layout");
    screen.wait_for("> ");
    screen.type_in(b"two-pipe\n");
    screen.wait_for("visible leaks");
    screen.wait_for("> ");
    screen.type_in(b"no\x03");
    let seen = screen.until_the_end();
    let after = fs::read_to_string(folder.join("house.yaml")).expect("it is there");
    assert!(after.contains("\n  layout: two-pipe\n"));
    assert!(after.contains("\n  visible_leaks: unknown "));
    for line in seen.lines() {
        assert!(line.chars().count() <= 40, "{line}");
    }
    assert!(!seen.contains('\u{1b}'), "{seen}");
}

/// The list has the shape of a survey, and once it is filled in its answers come to their places.
#[test]
fn a_list_is_filled_in_and_taken_over() {
    let folder = folder("list", &with_radiators());
    let said = talk(&folder, &["ask", "house.yaml", "--list"], "");
    let list = said
        .strip_suffix("exit 12\n")
        .expect("the code of the verdict");
    insta::assert_snapshot!(list);
    let source = Source::new("list", list);
    let reading = wetside_document::read(&source);
    let (_, problems) = read::read(&source, &reading, &packs().vocabulary);
    assert_eq!((reading.problems, problems), (vec![], vec![]));
    let filled = list
        .replace("layout: unknown", "layout: one-pipe")
        .replacen(
            "condition: unknown",
            "condition: {unknown: behind a cupboard}",
            1,
        )
        .replacen("condition: unknown", "condition: rust spots", 1);
    fs::write(folder.join("list.yaml"), &filled).expect("it can be written");
    let given = ["ask", "house.yaml", "--from", "list.yaml"];
    let said = talk(&folder, &given, "");
    assert!(said.contains("3 answers are saved"), "{said}");
    let new = "now in the file:  layout: one-pipe
now in the file:      condition: {unknown: behind a cupboard}
now in the file:      condition: rust spots
";
    assert_eq!(new_lines(&folder, &with_radiators()), new);
    let faulty = filled.replace("one-pipe", "three-pipe");
    fs::write(folder.join("list.yaml"), faulty).expect("it can be written");
    let said = talk(&folder, &given, "");
    assert!(
        said.contains("`three-pipe` is not one of the words"),
        "{said}"
    );
    assert_eq!(new_lines(&folder, &with_radiators()), new);
}

/// The questions for programs have the shape that their schema says, of a house nobody has seen and of another.
#[test]
fn the_questions_for_programs_keep_to_their_schema() {
    let folder = folder("json", &with_radiators());
    talk(&folder, &["new", "fresh.yaml"], "");
    for survey in ["fresh.yaml", "house.yaml"] {
        let said = talk(&folder, &["ask", survey, "--json"], "");
        let (document, _) = said.split_once("exit ").expect("the code");
        crate::shapes::assert_keys(document, Which::Ask.text());
        let value: serde_json::Value = serde_json::from_str(document).expect("it is JSON");
        assert_eq!(wetside_schemas::check(Which::Ask, &value), []);
        assert!(
            value["questions"]
                .as_array()
                .is_some_and(|all| all.len() > 1)
        );
    }
}

#[test]
fn a_second_flat_takes_over_what_stays_true_and_nothing_else() {
    let flat = example("communal-flat-interface-unit.yaml");
    let folder = folder("like", &flat);
    let said = talk(&folder, &["new", "second.yaml", "--like", "house.yaml"], "");
    assert!(
        said.ends_with("Next: wetside ask second.yaml\nexit 0\n"),
        "{said}"
    );
    let read = |text: String| {
        let source = Source::new("flat", text);
        read::survey(
            &source,
            &wetside_document::read(&source),
            &packs().vocabulary,
        )
        .0
    };
    let second = fs::read_to_string(folder.join("second.yaml")).expect("it is there");
    let (first, second) = (read(flat), read(second));
    let mut taken = 0;
    for (_, field) in packs().vocabulary.fields().filter(|(_, field)| field.stays) {
        let at = |facts: &Facts| {
            let fact = run::fact_at(&packs().vocabulary, facts, &field.path).expect("no list");
            format!("{:?}", facts.fact(fact).content)
        };
        assert_eq!(at(&first), at(&second), "{}", field.path);
        let fits = matches!(
            field.shape,
            Shape::Fact(Type::Choice(_) | Type::Quantity { .. })
        );
        assert!(
            fits && !field.path.starts_with("readings"),
            "{}",
            field.path
        );
        taken += 1;
    }
    assert!(taken > 10, "{taken}");
    for (_, held) in second.all() {
        let field = packs().vocabulary.field(held.field);
        let begun = ["survey", "job.stage"].contains(&field.path.as_str());
        if !field.stays && !begun {
            assert!(!matches!(held.content, Content::Known(_)), "{}", field.path);
        }
    }
}
