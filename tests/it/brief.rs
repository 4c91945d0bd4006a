//! The short report leaves out no finding, problem or gap, at any width and in every style.

use crate::examples::examples;
use crate::generate::packs;
use std::collections::{BTreeMap, BTreeSet};
use wetside_base::finding::Judgement;
use wetside_base::source::Source;
use wetside_engine::check::{Ask, check};
use wetside_report::starter;
use wetside_report::{Style, brief};

fn styles() -> Vec<Style> {
    let mut styles = Vec::new();
    for width in [40, 60, 100] {
        for (drawn, ascii) in [(true, false), (true, true), (false, false), (false, true)] {
            styles.push(Style {
                drawn,
                ascii,
                ..Style::wide(width)
            });
        }
    }
    styles
}

fn surveys() -> Vec<Source> {
    let mut surveys = examples();
    let fresh = starter::survey(
        &packs().vocabulary,
        &wetside_engine::interview::at_once(packs()),
    );
    surveys.push(Source::new("fresh.yaml".to_string(), fresh));
    surveys
}

/// The page as one line of words, so that no line break hides any of them.
fn words(page: &str) -> String {
    page.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// How often the page tells of each rule: its id on a line that begins with it, `, 3 times` counted.
fn told(page: &str) -> BTreeMap<String, usize> {
    let page = words(page);
    let mut told = BTreeMap::new();
    let mut rest: Vec<&str> = page.split(' ').collect();
    rest.push("");
    for at in 0..rest.len() - 1 {
        let rule = rest[at].trim_end_matches(',');
        let times = if rest[at].ends_with(',') && rest.get(at + 2) == Some(&"times") {
            rest[at + 1].parse().unwrap_or(1)
        } else {
            1
        };
        *told.entry(rule.to_string()).or_default() += times;
    }
    told
}

/// Every line that the page names: `line 7`, `lines 12, 14 to 16 and 20`.
fn lines_named(page: &str) -> BTreeSet<usize> {
    let words: Vec<&str> = page.split([' ', ',', ':']).collect();
    let number = |at: usize| words.get(at).and_then(|word| word.parse::<usize>().ok());
    let mut named = BTreeSet::new();
    for at in 0..words.len() {
        match (number(at), words.get(at + 1), number(at + 2)) {
            (Some(first), Some(&"to"), Some(last)) => named.extend(first..=last),
            (Some(line), ..) => {
                named.insert(line);
            }
            _ => {}
        }
    }
    named
}

fn missing(source: &Source, judgement: &Judgement, page: &str) -> Vec<String> {
    let told = told(page);
    let mut expected: BTreeMap<&str, usize> = BTreeMap::new();
    for finding in &judgement.findings {
        *expected.entry(&finding.rule).or_default() += finding.count();
    }
    let page = words(page);
    let rules = expected
        .iter()
        .filter(|(rule, count)| told.get(**rule) != Some(count))
        .map(|(rule, count)| format!("{rule}: {count}, told {:?}", told.get(*rule)));
    let named = lines_named(&page);
    let lines = judgement.outcomes().filter_map(|(finding, on)| {
        let line = source.line_of(on.place.start);
        (!named.contains(&line)).then(|| format!("{}: line {line}", finding.rule))
    });
    let gaps = judgement.gaps.iter().map(|gap| format!("`{}`", gap.fact));
    let gaps = gaps.filter(|gap| !page.contains(gap.as_str()));
    let problems = judgement.problems.iter().map(|one| one.kind.to_string());
    let problems = problems.filter(|kind| !page.contains(kind.as_str()));
    rules.chain(lines).chain(gaps).chain(problems).collect()
}

#[test]
fn the_short_report_leaves_nothing_out() {
    let mut wrong = Vec::new();
    for source in surveys() {
        let judgement = check(&source, packs(), &Ask::default());
        for style in styles() {
            let page = brief::survey(&source, &judgement, &style);
            let missing = missing(&source, &judgement, &page);
            wrong.extend(
                missing
                    .iter()
                    .map(|what| format!("{}: {what}", source.name)),
            );
            assert!(!style.ascii || page.is_ascii(), "{}", source.name);
            let wide = |line: &&str| {
                // A name that is longer than the page is left whole, for somebody may copy it.
                line.chars().count() > style.width && line.trim().contains(' ')
            };
            wrong.extend(page.lines().filter(wide).map(str::to_string));
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

/// A first look is told on a few pages of a telephone, not on fifty.
#[test]
fn the_short_report_is_short() {
    let source = surveys().pop().expect("the fresh survey");
    let judgement = check(&source, packs(), &Ask::default());
    let page = brief::survey(&source, &judgement, &Style::wide(60));
    assert!(page.lines().count() < 300, "{}", page.lines().count());
}
