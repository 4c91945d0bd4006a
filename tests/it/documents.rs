//! The document reader against the cases in `tests/documents`, against a second reader, and
//! against texts that nobody would write.
//!
//! A case has a `name`, a `text`, and what the reader makes of it: `problems`, one a line, as
//! `line:column kind` and the first line of the text pointed at; `reads`, the values as JSON;
//! `lost`, what was not read; `cuts`, the text under each key and value, one a line, as
//! `path | key | value`. A control character is shown as `?`, a line break as `⏎`.
//! What a case leaves out has to be empty; `cuts` may be left out.

use std::fmt::Write;
use std::fs;
use std::path::{Path, PathBuf};
use std::time::{Duration, Instant};

use proptest::prelude::*;
use serde_json::Value as Json;
use wetside::document::{
    MOST_MENDINGS, MOST_PROBLEMS, MOST_VALUES, Node, Reading, decode, read, to_json,
};
use wetside::source::{Source, Span};

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

/// Pieces of which odd documents are made.
fn piece() -> impl Strategy<Value = &'static str> {
    prop::sample::select(vec![
        "a", "b: ", "kind:", "- ", "-", "\n", "\n  ", "\n    ", "\n- ", "\nc: ", "[", "]", "{",
        "}", ", ", "\"", "'", "x y", "15 mm", "#", " # note", "é", "日本", "|\n  ", ">-\n  ", ": ",
        ":", "&x ", "*x", "!t ", "? ", "~", "null", "true", "017", "1.5", ".inf", "<<: ", "\t",
        "\r\n", "---\n", "...\n", "%", "@", "\\", "\u{feff}", "\u{7}", "\u{a0}",
    ])
}

fn odd_text() -> impl Strategy<Value = String> {
    prop::collection::vec(piece(), 0..14).prop_map(|pieces| pieces.concat())
}

/// `PROPTEST_CASES` asks for a longer search than the usual one.
fn cases_to_try() -> u32 {
    let asked = std::env::var("PROPTEST_CASES").ok();
    asked.and_then(|cases| cases.parse().ok()).unwrap_or(3000)
}

proptest! {
    #![proptest_config(ProptestConfig {
        failure_persistence: None,
        ..ProptestConfig::with_cases(cases_to_try())
    })]

    #[test]
    fn an_odd_text_is_read_soundly(text in odd_text()) {
        let source = Source::new("odd", text.as_str());
        let reading = read(&source);
        check_reading(&source, &reading);
        prop_assert_eq!(&reading, &read(&source));
        let alike = reading.problems.is_empty() && !reading.root.is_faulty();
        let other = second_opinion(&text).filter(|_| alike && differs(&text).is_none());
        if let Some(other) = other {
            prop_assert_eq!(other, to_json(&reading.root), "{:?}", text);
        }
    }
}

/// The texts of `hostile/texts.yaml`: name, text, and the kind of problem that is expected.
fn hostile_texts() -> Vec<(String, String, String)> {
    let file = folder().join("hostile/texts.yaml");
    let bytes = fs::read(file).expect("the hostile texts");
    let source = decode("texts.yaml", bytes).expect("UTF-8");
    let reading = read(&source);
    assert_eq!(problems(&source, &reading), "");
    let text_of = |case: &Node| {
        let count = |key| field(case, key).parse::<usize>().ok();
        let mut text = field(case, "before").to_owned();
        for i in 1..=count("times").expect("times") {
            let piece = field(case, "piece").replace("{i}", &i.to_string());
            let piece = piece.replace("{j}", &(i - 1).to_string());
            text.push_str(&piece.replace("{in}", &" ".repeat(i - 1)));
        }
        text + &field(case, "after").repeat(count("after_times").unwrap_or(1))
    };
    let entry = |case: &Node| {
        (
            field(case, "name").into(),
            text_of(case),
            field(case, "kind").into(),
        )
    };
    reading.root.items().iter().map(entry).collect()
}

#[test]
fn hostile_texts_are_read_in_a_moment() {
    // A test build takes less than two seconds for each; what must not happen is minutes.
    const LONGEST: Duration = Duration::from_secs(60);
    for (name, text, kind) in hostile_texts() {
        let source = Source::new(&name, text);
        let begun = Instant::now();
        let reading = read(&source);
        let took = begun.elapsed();
        println!("{name}: {took:?}");
        let kinds: Vec<&str> = reading
            .problems
            .iter()
            .map(|problem| problem.kind)
            .collect();
        let expected = match kind.as_str() {
            "" => kinds.is_empty(),
            kind => kinds.contains(&kind),
        };
        assert!(expected, "{name}: {kinds:?}");
        assert!(
            kinds.len() <= MOST_PROBLEMS + 1,
            "{name}: {} problems",
            kinds.len()
        );
        assert!(took < LONGEST, "{name} took {took:?}");
        check_reading(&source, &reading);
    }
}

#[test]
fn mending_ends_after_a_stated_count() {
    let source = Source::new("many", "a_key: [\n".repeat(MOST_MENDINGS + 20));
    let reading = read(&source);
    let unclosed = reading
        .problems
        .iter()
        .filter(|p| p.kind == "unclosed-bracket")
        .count();
    assert_eq!(unclosed, MOST_MENDINGS);
    let last = reading
        .problems
        .iter()
        .find(|p| p.kind == "rest-not-read")
        .expect("the rest");
    assert_eq!(source.line_of(last.span.start), MOST_MENDINGS + 1);
}

#[test]
fn a_document_is_read_up_to_its_limit() {
    let source = Source::new("wide", "- v\n".repeat(MOST_VALUES + 50));
    let reading = read(&source);
    let kinds: Vec<&str> = reading
        .problems
        .iter()
        .map(|problem| problem.kind)
        .collect();
    assert_eq!(kinds, ["too-many-values"]);
    assert!(reading.root.items().len() >= MOST_VALUES - 1);
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

const SOUND: &str = "\
job:
  reference: ALDER-14
  surveyed: 2026-10-06
  operator: {trained: yes, gas_registered: yes}
drain:
  route: foul gully
  hose_length: 8 m   # measured
supplies:
  - {id: heating spur, isolated: yes}
  - id: immersion
    isolated: unknown
circuit:
  note: \"one line: quoted\"
  age: about 45 years
  pipe_materials: [copper, steel]
";

/// However one character of a sound text is taken out, doubled or exchanged, most of the text is
/// read, and the problems are few and near.
#[test]
fn one_slip_costs_little() {
    let whole = Source::new("sound", SOUND);
    assert_eq!(problems(&whole, &read(&whole)), "");
    let (mut slips, mut kept, mut all, mut most) = (0, 0, 0, 0);
    let sound = leaves(&read(&whole).root);
    for at in 0..SOUND.len() {
        for new in [
            "", "\n", " ", "\t", "\"", "'", "[", "]", "{", "}", ":", ": ", "#", ",", "- ",
        ] {
            let text = format!("{}{new}{}", &SOUND[..at], &SOUND[at + 1..]);
            let source = Source::new("slip", text.as_str());
            let reading = read(&source);
            check_reading(&source, &reading);
            let left = leaves(&reading.root);
            slips += 1;
            all += sound.len();
            kept += sound.iter().filter(|leaf| left.contains(leaf)).count();
            most = most.max(reading.problems.len());
            if reading.problems.len() > 3 || left.len() < sound.len() - 6 {
                println!(
                    "{}: {} left\n{text}",
                    problems(&source, &reading),
                    left.len()
                );
            }
        }
    }
    println!("{slips} slips, {kept} of {all} values kept, at most {most} problems");
    assert!(kept * 100 >= all * 90, "{kept} of {all}");
    assert!(most <= 4, "{most} problems after one slip");
}

fn leaves(root: &Node) -> Vec<(String, String)> {
    let mut leaves = Vec::new();
    root.walk(&mut |found| {
        if let Some(text) = found.node.as_text() {
            let key = found.key.map_or(String::new(), |key| key.text.clone());
            leaves.push((key, text.to_owned()));
        }
    });
    leaves
}
