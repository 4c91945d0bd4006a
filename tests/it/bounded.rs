//! What a check costs and how long its reports are, of surveys with long lists: counted in bytes.

use crate::generate::packs;
use serde_json::Value;
use wetside_base::source::Source;
use wetside_engine::check::{Ask, check};
use wetside_report::{Style, brief, json, text};

/// A list of so many things of which nothing but the name is written.
fn names_only(list: &str, count: usize) -> Source {
    let (group, list) = list.split_once('.').unwrap_or(("", list));
    let (head, edge) = if group.is_empty() {
        (String::new(), "")
    } else {
        (format!("{group}:\n"), "  ")
    };
    let items: String = (1..=count)
        .map(|at| format!("{edge}    - id: thing {at}\n"))
        .collect();
    let text =
        format!("survey: 1\n{head}{edge}{list}:\n{edge}  count: {count}\n{edge}  items:\n{items}");
    Source::new("names.yaml", text)
}

/// A sound house with so many radiators, all of them fully recorded.
fn complete(count: usize) -> Source {
    let example = include_str!("../../examples/combination-microbore.yaml");
    let (before, rest) = example
        .split_once("\nemitters:\n")
        .expect("it lists emitters");
    let mut items = rest.split("\n    - ");
    let first = items.nth(1).expect("the list has a first radiator");
    let (_, fields) = first.split_once(',').expect("its name comes first");
    let end = rest
        .lines()
        .skip(1)
        .skip_while(|line| line.is_empty() || line.starts_with(' '));
    let after: Vec<&str> = end.collect();
    let items: String = (1..=count)
        .map(|at| format!("    - {{id: radiator {at},{fields}\n"))
        .collect();
    let text = format!(
        "{before}\nemitters:\n  count: {count}\n  items:\n{items}{}\n",
        after.join("\n")
    );
    Source::new("complete.yaml", text)
}

/// Bytes asked of the allocator in a check with its reports in every form.
fn allocated(source: &Source) -> u64 {
    let check_and_report = || {
        let judged = [(source.clone(), check(source, packs(), &Ask::default()))];
        text::surveys(&judged, text::survey, &Style::wide(80));
        text::surveys(&judged, brief::survey, &Style::wide(60));
        json::document(&judged, &[]);
    };
    allocation_counter::measure(check_and_report).bytes_total
}

/// Of three texts the second stretch may cost no more a byte than the first, but for a tenth.
fn assert_no_steeper(what: &str, texts: [Source; 3]) {
    let costs = texts.each_ref().map(allocated);
    let lengths = texts.each_ref().map(|source| source.text.len() as u64);
    let slope = |at: usize| (costs[at + 1] - costs[at]) / (lengths[at + 1] - lengths[at]);
    assert!(
        10 * slope(1) <= 11 * slope(0),
        "{what}: {costs:?} bytes for texts of {lengths:?}"
    );
}

const LISTS: [&str; 4] = [
    "emitters",
    "heat_sources",
    "controls",
    "electrical.supplies",
];

#[test]
fn work_grows_no_steeper_than_a_list_of_names() {
    packs();
    for list in LISTS {
        assert_no_steeper(list, [40, 300, 1_000].map(|count| names_only(list, count)));
    }
}

#[test]
fn work_grows_no_steeper_than_a_fully_recorded_house() {
    packs();
    assert_no_steeper("complete", [40, 80, 160].map(complete));
}

/// The most bytes that a finding takes in JSON, however many things it was found on.
const LONGEST_FINDING: usize = 100_000;

#[test]
fn a_long_list_has_a_short_report_that_counts_everything() {
    for list in LISTS {
        let source = names_only(list, 2_000);
        let judgement = check(&source, packs(), &Ask::default());
        let counts = judgement.counts;
        let judged = [(source, judgement)];
        let page = text::surveys(&judged, text::survey, &Style::wide(80));
        // Each rule tells its own once: some five hundred of them, and no more for a longer list.
        assert!(page.len() < 250_000, "{list}: {} bytes", page.len());
        let document = json::document(&judged, &[]);
        let document: Value = serde_json::from_str(&document).expect("it is JSON");
        let findings = document["surveys"][0]["findings"].as_array();
        let findings = findings.expect("they are a list");
        for finding in findings {
            let length = finding.to_string().len();
            assert!(
                length < LONGEST_FINDING,
                "{list}: {length} bytes: {}",
                finding["rule"]
            );
        }
        let told = findings.iter().map(|finding| {
            let count = |key: &str| finding[key].as_array().map_or(0, Vec::len);
            let more = finding["more"].as_u64().expect("it is a number");
            1 + count("others") + count("also_on") + usize::try_from(more).expect("it is small")
        });
        assert_eq!(told.sum::<usize>(), counts.broken + counts.undecided);
        assert!(counts.undecided > 50, "{list}");
    }
}
