//! Nothing that people may write either way can be seen in the result: the order of keys and lists,
//! the unit of a quantity, the order of rules and packs, and how often or where it is run.

use crate::generate::trees::{in_other_units, written};
use crate::generate::{Chance, Example, Read, examples, full, in_two, judged, packs};
use wetside_base::finding::{Finding, Judgement, On};
use wetside_base::source::Source;
use wetside_engine::check::{Ask, Packs, check};
use wetside_engine::pack::{PackFiles, load};
use wetside_report::{Style, json, text};

/// One line for each outcome. Of reasons that are not all told only the number is the same in any order.
fn without_lines(finding: &Finding) -> Vec<String> {
    let one = |on: &On| {
        let mut causes: Vec<&str> = on.causes.iter().map(|cause| cause.fact.as_str()).collect();
        causes.sort_unstable();
        causes.retain(|_| on.more_causes == 0);
        format!(
            "{} {:?} {} {} {causes:?} {} {} {:?} {}",
            finding.rule,
            on.element,
            finding.class,
            finding.outcome,
            on.causes.len() + on.more_causes,
            on.lines.len() + on.more_lines,
            finding.also_on,
            finding.more,
        )
    };
    finding.on.iter().map(one).collect()
}

/// A judgement without its lines, and in an order of its own.
fn essence(judgement: &Judgement) -> Vec<String> {
    let mut all = vec![format!(
        "{} {} {:?} {:?}",
        judgement.verdict, judgement.stage, judgement.as_of, judgement.counts
    )];
    all.extend(judgement.findings.iter().flat_map(without_lines));
    let ahead = judgement.ahead.iter().flat_map(without_lines);
    all.extend(ahead.map(|outcome| format!("ahead {outcome}")));
    all.extend(judgement.gaps.iter().map(|gap| format!("gap {}", gap.fact)));
    all.extend(
        judgement
            .problems
            .iter()
            .map(|problem| format!("problem {}", problem.kind)),
    );
    let mut waiting: Vec<&str> = judgement
        .questions
        .iter()
        .flat_map(|question| question.rules.iter().map(String::as_str))
        .collect();
    waiting.sort_unstable();
    waiting.dedup();
    all.push(format!("questions {waiting:?}"));
    all.sort();
    all
}

/// The first difference in words; nothing where there is none.
fn difference(a: &Judgement, b: &Judgement) -> Option<String> {
    let (a, b) = (essence(a), essence(b));
    let only =
        |these: &[String], those: &[String]| these.iter().find(|one| !those.contains(one)).cloned();
    (a != b).then(|| format!("{:?} against {:?}", only(&a, &b), only(&b, &a)))
}

#[test]
fn the_order_of_keys_and_lists_cannot_be_seen() {
    let times = if full() { 60 } else { 6 };
    let wrong = in_two(examples(), |example| {
        let root = wetside_document::read(&Source::new("survey.yaml", example.text.as_str())).root;
        let plain = judged(&written(&root, &mut None));
        let shuffles = (0..times).filter_map(|seed| {
            let text = written(&root, &mut Some(Chance::new(seed)));
            difference(&plain, &judged(&text))
                .map(|what| format!("{} {seed}: {what}", example.name))
        });
        let sound = wetside_document::read(&Source::new("survey.yaml", example.text.as_str()))
            .problems
            .is_empty();
        let rewritten = difference(&judged(&example.text), &plain).filter(|_| sound);
        rewritten
            .into_iter()
            .chain(shuffles)
            .collect::<Vec<String>>()
    });
    let wrong: Vec<String> = wrong.into_iter().flatten().collect();
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn another_unit_of_the_same_quantity_changes_nothing() {
    let times = if full() { 60 } else { 6 };
    let wrong = in_two(examples(), |example| {
        let read = Read::survey(&example.text);
        let plain = judged(&example.text);
        let rewritten = (0..times).filter_map(|seed| {
            let (text, count) = in_other_units(&read.source, &read.facts, &mut Chance::new(seed));
            assert!(
                count > 20,
                "{}: only {count} quantities could be rewritten",
                example.name
            );
            difference(&plain, &judged(&text))
                .map(|what| format!("{} {seed}: {what}", example.name))
        });
        rewritten.collect::<Vec<String>>()
    });
    let wrong: Vec<String> = wrong.into_iter().flatten().collect();
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn the_same_text_gives_the_same_bytes_in_every_run() {
    let print = |example: &Example| {
        let source = Source::new("survey.yaml", example.text.as_str());
        let judgement = judged(&example.text);
        let page = text::survey(&source, &judgement, &Style::wide(80));
        json::document(&[(source, judgement)], &[]) + &page
    };
    let once = in_two(examples(), print);
    let alone: Vec<String> = examples().iter().rev().map(print).rev().collect();
    for ((example, a), b) in examples().iter().zip(&once).zip(&alone) {
        assert!(
            a == b,
            "{} is told differently the second time",
            example.name
        );
    }
}

#[test]
fn the_order_of_the_files_of_a_pack_cannot_be_seen() {
    let mut files = wetside_rules::files();
    Chance::new(1).shuffle(&mut files.files);
    let mut shuffled = Packs::none();
    assert_eq!(shuffled.add(&files).len(), 0);
    for example in examples() {
        let source = Source::new("survey.yaml", example.text.as_str());
        let other = check(&source, &shuffled, &Ask::default());
        assert!(
            judged(&example.text) == other,
            "{} is judged differently",
            example.name
        );
    }
}

/// A rule without what it says of others, which may be in another half of the pack.
fn alone(text: &str) -> String {
    let mut linked = false;
    let kept = text.lines().filter(|line| {
        let inner = line.starts_with([' ', '-']);
        linked =
            (linked && inner) || line.starts_with("explains:") || line.starts_with("comes_before:");
        !linked
    });
    kept.map(|line| format!("{line}\n")).collect()
}

/// The built-in pack under another name, and of its rules those that `keep` keeps.
fn renamed(name: &str, keep: impl Fn(usize) -> bool) -> PackFiles {
    let files = wetside_rules::files().files.into_iter().enumerate();
    let shared = |path: &str| path == "pack.yaml" || path.starts_with("tables/");
    let kept = files
        .filter(|(at, (path, _))| shared(path) || keep(*at))
        .map(|(_, file)| file);
    let named = kept.map(|(path, text)| {
        if path == "pack.yaml" {
            (
                path,
                crate::examples::unlocked(&text)
                    .replacen("pack: gb-domestic", &format!("pack: {name}"), 1)
                    .into(),
            )
        } else {
            let text = alone(&text).into();
            (path, text)
        }
    });
    PackFiles {
        name: name.to_string(),
        files: named.collect(),
    }
}

fn together(files: &[&PackFiles]) -> Packs {
    let mut packs = Packs::none();
    for files in files {
        let (pack, problems) = load(files, &packs.vocabulary);
        assert_eq!(problems.len(), 0, "{problems:#?}");
        packs.push(pack);
    }
    packs
}

#[test]
fn the_order_of_packs_cannot_be_seen() {
    let (even, odd) = (
        renamed("even", |at| at % 2 == 0),
        renamed("odd", |at| at % 2 == 1),
    );
    let twin = renamed("even-again", |at| at % 2 == 0);
    let one_way = together(&[&even, &odd, &twin]);
    let other_way = together(&[&twin, &odd, &even]);
    let halves = together(&[&odd, &even]);
    for example in examples() {
        let source = Source::new("survey.yaml", example.text.as_str());
        let judged_by = |packs: &Packs| {
            let mut judgement = check(&source, packs, &Ask::default());
            (judgement.packs, judgement.basis.packs) = (Vec::new(), Vec::new());
            judgement
        };
        assert!(
            judged_by(&one_way) == judged_by(&other_way),
            "{} shows the order of packs",
            example.name
        );
        let whole = difference(&judged_by(packs()), &judged_by(&halves));
        assert!(
            whole.is_none(),
            "{}: two halves judge otherwise than the whole: {whole:?}",
            example.name
        );
    }
}
