//! The document reader against texts that nobody would write, and sound texts with one slip.

use std::fs;
use std::path::PathBuf;

use proptest::prelude::*;
use serde_json::Value as Json;
use wetside_base::problem::MOST_TOLD;
use wetside_base::source::Source;
use wetside_document::{MOST_MENDINGS, MOST_VALUES, Node, decode, read};
use wetside_engine::check::{Ask, Packs, check};

use crate::generate::in_two;

use super::{check_reading, differs, field, folder, problems, second_opinion, to_json};

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
        let piece = field(case, "piece");
        for i in 1..=count("times").expect("times") {
            if piece.contains('{') {
                let piece = piece.replace("{i}", &i.to_string());
                let piece = piece.replace("{j}", &(i - 1).to_string());
                text.push_str(&piece.replace("{in}", &" ".repeat(i - 1)));
            } else {
                text.push_str(piece);
            }
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

/// What reading a text may take, a fixed part and one for each byte: far less than what grows with
/// the square of the text.
fn allowed(bytes: usize) -> (u64, u64) {
    let bytes = u64::try_from(bytes).expect("a small number");
    let times = 100_000 + 10 * bytes;
    let at_once = (2 << 20) + 300 * bytes;
    (times, at_once.min(200 << 20))
}

/// Counted are requests for memory and the most that is held at once; how long it takes is seen by
/// hand, with `wetside check` of what `WETSIDE_HOSTILE=folder` has this test write.
#[test]
fn hostile_texts_are_read_with_bounded_work() {
    let packs = Packs::none();
    let written = std::env::var_os("WETSIDE_HOSTILE").map(PathBuf::from);
    let wrong = in_two(&hostile_texts(), |(name, text, kind)| {
        if let Some(folder) = &written {
            let file = folder.join(format!("{}.yaml", name.replace(' ', "-")));
            fs::write(file, text).expect("the text can be written");
        }
        let source = Source::new(name, text.as_str());
        bounded(&source, kind, &packs)
    });
    assert!(wrong.iter().all(String::is_empty), "{}", wrong.concat());
}

/// What is wrong with the reading of one text.
fn bounded(source: &Source, kind: &str, packs: &Packs) -> String {
    let (mut reading, mut told) = (None, 0);
    let read_alone = allocation_counter::measure(|| reading = Some(read(source)));
    let judged = allocation_counter::measure(|| {
        told = check(source, packs, &Ask::default()).problems.len();
    });
    let reading = reading.expect("it was read");
    check_reading(source, &reading);
    let (times, at_once) = allowed(source.text.len());
    let mut wrong = String::new();
    for (what, took) in [("read", read_alone), ("judged", judged)] {
        if took.count_total > times || took.bytes_max > at_once {
            wrong += &format!("{}, {what}: {took:?}\n", source.name);
        }
    }
    // Those that are told, the rest counted, and that the stage is missing.
    if !(1..=MOST_TOLD + 2).contains(&told) {
        wrong += &format!("{}: {told} problems\n", source.name);
    }
    let kinds: Vec<&str> = reading.problems.iter().map(|one| one.kind).collect();
    let expected = kinds.is_empty() && kind.is_empty() || kinds.contains(&kind);
    if !expected {
        let few = &kinds[..kinds.len().min(3)];
        wrong += &format!("{}: {few:?} and not {kind}\n", source.name);
    }
    wrong
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
            let key = found.key.map_or(String::new(), |key| key.text.to_string());
            leaves.push((key, text.to_owned()));
        }
    });
    leaves
}

/// Text that a careless writer or reader of YAML would get wrong.
fn awkward_text() -> impl Strategy<Value = String> {
    let word = prop::sample::select(vec![
        "yes",
        "off",
        "null",
        "~",
        "true",
        "1.10",
        "017",
        "15 mm",
        "a: b",
        "a #3",
        "- x",
        "it's",
        "\"q\"",
        "[x",
        "{",
        "@",
        "%",
        "é 日本",
        "C:\\dir",
        "two\nlines",
        "end\n",
        " blank ",
        "x:",
        "#",
        ":",
        "-",
        "?",
        "*a",
        "&b",
        "!c",
        "> 3",
        "|",
        "2026-10-01",
        "<<",
        ".inf",
        "\t",
    ]);
    prop::collection::vec(word, 0..4).prop_map(|words| words.join(" "))
}

/// A key over several lines is refused, and so is a merge key, so none is written.
fn awkward_key() -> impl Strategy<Value = String> {
    awkward_text().prop_map(|text| text.replace('\n', " ").replace("<<", "<"))
}

fn values() -> impl Strategy<Value = Json> {
    let leaf = prop_oneof![
        4 => awkward_text().prop_map(Json::from),
        1 => any::<i64>().prop_map(Json::from),
        1 => (-1e6..1e6).prop_map(Json::from),
    ];
    leaf.prop_recursive(4, 40, 5, |inner| {
        prop_oneof![
            prop::collection::vec(inner.clone(), 0..5).prop_map(Json::from),
            prop::collection::btree_map(awkward_key(), inner, 0..5)
                .prop_map(|map| Json::Object(map.into_iter().collect())),
        ]
    })
}

proptest! {
    #![proptest_config(ProptestConfig {
        failure_persistence: None,
        ..ProptestConfig::with_cases(cases_to_try() / 4)
    })]

    #[test]
    fn what_another_program_writes_is_read_back(value in values()) {
        let text = serde_yaml::to_string(&value).expect("values can be written");
        let source = Source::new("written", text.as_str());
        let reading = read(&source);
        prop_assert_eq!(problems(&source, &reading), "", "{}", text);
        prop_assert_eq!(to_json(&reading.root), value, "{}", text);
        check_reading(&source, &reading);
    }
}
