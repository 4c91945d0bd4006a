//! The document reader against the cases in `tests/documents` and against a second reader.
//!
//! A case has a `name`, a `text`, and what the reader makes of it: `problems`, one a line, as
//! `line:column kind` and the first line of the text pointed at; `reads`, the values as JSON;
//! `lost`, what was not read; `cuts`, the text under each key and value, one a line, as
//! `path | key | value`. A control character is shown as `?`, a line break as `⏎`.
//! What a case leaves out has to be empty; `cuts` may be left out.

mod odd;

use std::fmt::Write;
use std::fs;
use std::path::{Path, PathBuf};

use serde_json::Value as Json;
use wetside_base::source::{Source, Span};
use wetside_document::{CoreWord, Entry, Node, Reading, Value, core_word, decode, read};

/// The values of a tree without their places, as another reader has them.
pub(crate) fn to_json(node: &Node) -> Json {
    match &node.value {
        Value::Scalar(scalar) => match core_word(scalar) {
            Some(CoreWord::Truth(truth)) => Json::Bool(truth),
            Some(CoreWord::Number(number)) => Json::Number(number),
            None => scalar.text.as_str().into(),
        },
        Value::List(items) => items.iter().map(to_json).collect(),
        Value::Map(entries) => {
            let pair = |entry: &Entry| (entry.key.text.to_string(), to_json(&entry.value));
            Json::Object(entries.iter().map(pair).collect())
        }
        Value::Empty | Value::Broken => Json::Null,
    }
}

fn folder() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/documents")
}

fn shown(text: &str) -> String {
    let hidden = |c: char| c.is_control() || "\u{200b}\u{2028}\u{202e}\u{feff}\u{a0}".contains(c);
    text.replace("\r\n", "⏎")
        .replace('\n', "⏎")
        .replace(hidden, "?")
}

fn problems(source: &Source, reading: &Reading) -> String {
    reading
        .problems
        .iter()
        .fold(String::new(), |mut all, problem| {
            let cut = shown(source.slice(problem.span));
            let place = source.place(problem.span.start);
            writeln!(all, "{place} {} {cut}", problem.kind).expect("a string takes everything");
            all
        })
}

fn lost(source: &Source, reading: &Reading) -> String {
    let cuts = reading
        .lost
        .iter()
        .map(|span| shown(source.slice(*span)) + "\n");
    cuts.collect()
}

fn cuts(source: &Source, root: &Node) -> String {
    fn add(source: &Source, path: &str, key: &str, node: &Node, all: &mut String) {
        let cut = shown(source.slice(node.span));
        let name = if path.is_empty() { "/" } else { path };
        writeln!(all, "{name} | {key} | {cut}").expect("a string takes everything");
        for (at, item) in node.items().iter().enumerate() {
            add(source, &format!("{path}/{at}"), "", item, all);
        }
        for entry in node.entries() {
            let path = format!("{path}/{}", entry.key.text);
            add(
                source,
                &path,
                &shown(source.slice(entry.key.span)),
                &entry.value,
                all,
            );
        }
    }
    let mut all = String::new();
    add(source, "", "", root, &mut all);
    all
}

/// Every case of every file in the folder, read by the reader that they test.
fn cases() -> Vec<(String, Node)> {
    let mut files: Vec<PathBuf> = fs::read_dir(folder())
        .expect("the folder of cases")
        .map(|entry| entry.expect("a file").path())
        .filter(|path| {
            path.extension()
                .is_some_and(|extension| extension == "yaml")
        })
        .collect();
    files.sort();
    let mut cases = Vec::new();
    for file in files {
        let bytes = fs::read(&file).expect("a file of cases");
        let source = decode(&file.display().to_string(), bytes).expect("UTF-8");
        let reading = read(&source);
        assert_eq!(problems(&source, &reading), "", "in {}", source.name);
        assert_eq!(second_opinion(&source.text), Some(to_json(&reading.root)));
        for case in reading.root.items() {
            let name = case.get("name").and_then(|entry| entry.value.as_text());
            cases.push((name.expect("a name").to_owned(), case.clone()));
        }
    }
    cases
}

fn field<'a>(case: &'a Node, key: &str) -> &'a str {
    case.get(key)
        .and_then(|entry| entry.value.as_text())
        .unwrap_or_default()
}

/// What another reader makes of a text, if it reads it at all.
fn second_opinion(text: &str) -> Option<Json> {
    serde_yaml::from_str(text.strip_prefix('\u{feff}').unwrap_or(text)).ok()
}

#[test]
fn every_case_reads_as_it_says() {
    const KEYS: [&str; 6] = ["name", "text", "problems", "reads", "lost", "cuts"];
    let mut wrong = String::new();
    for (name, case) in cases() {
        for entry in case.entries() {
            assert!(
                KEYS.contains(&entry.key.text.as_str()),
                "{name}: {}",
                entry.key.text
            );
        }
        let source = Source::new(&name, field(&case, "text"));
        let reading = read(&source);
        let mut compare = |what: &str, is: &str, should: &str| {
            if is != should {
                write!(
                    wrong,
                    "{name}: {what}\n--- is\n{is}\n--- should be\n{should}\n"
                )
                .expect("a string takes everything");
            }
        };
        compare(
            "problems",
            &problems(&source, &reading),
            field(&case, "problems"),
        );
        compare("lost", &lost(&source, &reading), field(&case, "lost"));
        compare(
            "reads",
            &to_json(&reading.root).to_string(),
            field(&case, "reads"),
        );
        if case.get("cuts").is_some() {
            compare("cuts", &cuts(&source, &reading.root), field(&case, "cuts"));
        }
        check_reading(&source, &reading);
    }
    assert!(wrong.is_empty(), "{wrong}");
}

#[test]
fn every_problem_is_worded_for_people() {
    for (name, case) in cases() {
        let source = Source::new(&name, field(&case, "text"));
        for problem in read(&source).problems {
            let says = &problem.says;
            let first = says.chars().next().expect("words");
            assert!(
                first.is_lowercase() || first == '`' || first.is_numeric(),
                "{says}"
            );
            assert!(!says.ends_with('.') && !problem.help.is_empty(), "{says}");
            assert!(!says.contains(char::is_control), "{says:?}");
            assert!(!source.slice(problem.span).contains('\n'), "{name}: {says}");
        }
    }
}

/// Texts that the two readers read differently, and why.
fn differs(text: &str) -> Option<&'static str> {
    let words = [
        (
            "\n\t",
            "the other refuses a line set in with a tab, even inside quotes",
        ),
        (
            "-\t",
            "the other refuses a tab after the dash of a list item",
        ),
        (
            "0b",
            "the other takes numbers in base two, which YAML 1.2 has not",
        ),
        (
            "-0x",
            "the other takes a sign before a number in base sixteen, YAML 1.2 does not",
        ),
    ];
    let found = words.iter().find(|(word, _)| text.contains(word));
    found.map(|(_, reason)| *reason)
}

#[test]
fn another_reader_agrees() {
    let mut agreed = 0;
    for (name, case) in cases() {
        let text = field(&case, "text");
        let reading = read(&Source::new(&name, text));
        if reading.problems.is_empty() && differs(text).is_none() {
            assert_eq!(second_opinion(text), Some(to_json(&reading.root)), "{name}");
            agreed += 1;
        }
    }
    assert!(agreed > 10, "only {agreed} cases to compare");
}

/// What holds of every reading of every text.
fn check_reading(source: &Source, reading: &Reading) {
    let text = source.text.as_str();
    let inside = |span: Span| {
        text.get(span.range())
            .expect("a span on character boundaries")
    };
    for problem in &reading.problems {
        inside(problem.span);
        problem.also.iter().for_each(|label| {
            inside(label.span);
        });
    }
    let places: Vec<Span> = reading
        .problems
        .iter()
        .map(|problem| problem.span)
        .collect();
    assert!(places.is_sorted(), "problems in order of place");
    reading.lost.iter().for_each(|lost| {
        inside(*lost);
    });
    let faulty = !reading.problems.is_empty();
    reading.root.walk(&mut |found| {
        inside(found.node.span);
        let is_root = std::ptr::eq(found.node, &raw const reading.root);
        assert!(
            faulty || is_root || !found.node.is_faulty(),
            "a fault without a problem"
        );
        if let Some(key) = found.key {
            inside(key.span);
        }
        let whole = found.node.span;
        let mut children = found.node.items().iter().map(|item| item.span).chain(
            found
                .node
                .entries()
                .iter()
                .map(|entry| entry.key.span.to(entry.value.span)),
        );
        assert!(
            faulty || children.all(|span| whole.to(span) == whole),
            "a value outside"
        );
    });
    assert!(
        !reading.lost.is_empty() <= faulty,
        "lost text without a problem"
    );
}

#[test]
fn bytes_that_are_no_utf8_are_refused_with_their_place() {
    let says = |bytes: &[u8]| decode("survey", bytes.to_vec()).map_err(|problem| problem.says);
    assert!(says(b"\xff\xfea\0:\0").is_err_and(|says| says.contains("UTF-16")));
    assert!(says(b"\xfe\xff\0a").is_err_and(|says| says.contains("UTF-16")));
    assert!(says(b"a\0:\0 \0").is_err_and(|says| says.contains("UTF-16")));
    assert!(says(b"\xff\xfe\0\0a\0\0\0").is_err_and(|says| says.contains("UTF-32")));
    let latin = says(b"kind: house\nwhere: caf\xe9\n").expect_err("Latin-1");
    assert!(
        latin.contains("line 2") && latin.contains("byte 23") && latin.contains("`E9`"),
        "{latin}"
    );
    assert_eq!(
        says("\u{feff}kind: café".as_bytes()).map(|source| source.text.len()),
        Ok(14)
    );
    assert!(says(&vec![b' '; (8 << 20) + 1]).is_err_and(|says| says.contains("8 MiB")));
}
