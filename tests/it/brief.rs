//! The short report leaves out nothing that is broken or in the way, at any width and in every style; it is
//! short; and every report ends with its verdict.

use crate::examples::examples;
use crate::generate::packs;
use std::collections::{BTreeMap, BTreeSet};
use wetside_base::finding::{Judgement, Outcome, Verdict};
use wetside_base::source::Source;
use wetside_engine::check::{Ask, check};
use wetside_engine::interview::at_once;
use wetside_engine::schema;
use wetside_report::starter;
use wetside_report::{Style, brief, shown, text};

/// So many of the facts to find out, and of those not recorded, are told with their words.
const TOLD: usize = 6;

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
    let fresh = starter::survey(&schema::vocabulary(), &at_once(packs()));
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
    let words: Vec<&str> = page.split([' ', ',', ':', '.']).collect();
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

/// What the page ought to tell and does not: of what is broken each rule with its lines, every problem, and
/// of the facts to find out the first with their words, the rest by their lines.
fn missing(source: &Source, judgement: &Judgement, page: &str, ascii: bool) -> Vec<String> {
    let told = told(page);
    let broken = || {
        let all = judgement.findings.iter();
        all.filter(|one| one.outcome == Outcome::Broken)
    };
    let mut expected: BTreeMap<&str, usize> = BTreeMap::new();
    for finding in broken() {
        *expected.entry(&finding.rule).or_default() += finding.count();
    }
    let page = words(page);
    let rules = expected
        .iter()
        .filter(|(rule, count)| told.get(**rule) != Some(count))
        .map(|(rule, count)| format!("{rule}: {count}, told {:?}", told.get(*rule)));
    let named = lines_named(&page);
    let places = broken().flat_map(|finding| finding.on.iter().map(|on| on.place));
    let asked = judgement.questions.iter().map(|question| question.span);
    let places = places
        .chain(asked)
        .chain(judgement.gaps.iter().map(|gap| gap.span));
    let lines = places.filter_map(|place| {
        let line = source.line_of(place.start).min(source.line_count());
        (!named.contains(&line)).then(|| format!("line {line}"))
    });
    let asked = |fact: &String| judgement.questions.iter().any(|one| one.fact == *fact);
    let questions = judgement.questions.iter().take(TOLD);
    let questions = questions.map(|one| (&one.fact, &one.of, &one.answers));
    let gaps = judgement.gaps.iter().filter(|one| !asked(&one.fact));
    let gaps = gaps
        .take(TOLD)
        .map(|one| (&one.fact, &one.of, &one.answers));
    let facts = questions.chain(gaps).flat_map(|(fact, of, answers)| {
        let alone = format!("`{fact}`");
        let named = match of {
            // Alike ones are told together, by their field and their names.
            Some(of) if !page.contains(&alone) => {
                vec![format!("`{}` of ", of.field), of.thing.clone()]
            }
            _ => vec![alone],
        };
        named.into_iter().chain([answers.clone()])
    });
    let problems = judgement.problems.iter().map(|one| one.kind.to_string());
    let wanted = facts.chain(problems);
    let wanted = wanted.filter(|words| !page.contains(&shown(words, ascii)));
    rules.chain(lines).chain(wanted).collect()
}

#[test]
fn the_short_report_leaves_nothing_out() {
    let mut wrong = Vec::new();
    for source in surveys() {
        let judgement = check(&source, packs(), &Ask::default());
        for style in styles() {
            let page = brief::survey(&source, &judgement, &style);
            let missing = missing(&source, &judgement, &page, style.ascii);
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

/// An example in which something stands otherwise.
fn changed(name: &str, was: &str, is: &str) -> Source {
    let source = examples().into_iter().find(|one| one.name.ends_with(name));
    let source = source.expect("the example is there");
    assert!(source.text.contains(was), "{name}");
    Source::new(source.name.clone(), source.text.replace(was, is))
}

/// What is asked of every radiator is one entry with their names, and no fact is asked for twice.
#[test]
fn what_is_asked_of_things_that_are_alike_is_one_entry() {
    let was = "condition: sound";
    let source = changed("gauge-that-rises.yaml", was, "condition: unknown");
    let judgement = check(&source, packs(), &Ask::default());
    let page = words(&brief::survey(&source, &judgement, &Style::wide(80)));
    assert_eq!(page.matches("`emitters.condition` of").count(), 1, "{page}");
    assert!(!page.contains(": condition`"), "{page}");
    let things = judgement.questions.iter().filter_map(|one| one.of.as_ref());
    let things: Vec<_> = things.map(|of| of.thing.as_str()).collect();
    assert!(things.len() > 3, "{things:?}");
    for thing in things {
        assert!(page.contains(thing), "{thing}");
    }
}

/// What is recorded and decides nothing yet is to be read again: nobody is to find out what stands there.
#[test]
fn a_fact_that_is_recorded_is_read_again_and_not_found_out() {
    let was = "shut_off_pressure: 1.65 bar";
    let is = "shut_off_pressure: 2.2 bar";
    let source = changed("barn-on-its-first-water.yaml", was, is);
    let judgement = check(&source, packs(), &Ask::default());
    let mut asked = judgement.questions.iter();
    let asked = asked.find(|one| one.fact == "sealed.relief_setting");
    let answers = asked.map(|one| one.answers.as_str());
    let expected = "in bar; `3 bar` is recorded, read it again";
    assert_eq!(answers, Some(expected), "{:#?}", judgement.questions);
}

/// A first look fits two screens, and its last lines say the verdict and three things to do.
#[test]
fn the_report_on_a_fresh_survey_fits_two_screens() {
    let source = surveys().pop().expect("the fresh survey");
    let judgement = check(&source, packs(), &Ask::default());
    let page = brief::survey(&source, &judgement, &Style::wide(80));
    assert!(page.lines().count() <= 2 * 24, "{page}");
}

#[test]
fn a_report_ends_with_its_verdict_and_at_most_three_things_to_do() {
    for source in surveys() {
        let judgement = check(&source, packs(), &Ask::default());
        for form in [brief::survey, text::survey] {
            let page = form(&source, &judgement, &Style::wide(80));
            let verdict = page.lines().next().expect("a verdict");
            let end = page.rsplit("\n\n").next().expect("an end");
            assert_eq!(end.lines().next(), Some(verdict), "{}", source.name);
            // What a thing goes on with stands four columns in.
            let things = end.lines().skip(1).filter(|line| !line.starts_with("    "));
            let least = usize::from(judgement.verdict != Verdict::Clear);
            assert!((least..=3).contains(&things.count()), "{end}");
        }
    }
}

/// What the program shows on a terminal of eighty columns.
#[cfg(target_os = "linux")]
fn on_a_terminal(arguments: &[&str]) -> String {
    use rustix::pty::{OpenptFlags, grantpt, openpt, ptsname, unlockpt};
    use std::io::Read;
    let master = openpt(OpenptFlags::RDWR | OpenptFlags::NOCTTY).expect("a pseudo-terminal");
    let opened = grantpt(&master).and_then(|()| unlockpt(&master));
    opened.expect("it opens");
    let name = ptsname(&master, Vec::new()).expect("it has a name");
    let path = name.to_str().expect("a path");
    let slave = std::fs::File::options().write(true).open(path);
    let mut command = std::process::Command::new(env!("CARGO_BIN_EXE_wetside"));
    command
        .args(arguments)
        .current_dir(env!("CARGO_MANIFEST_DIR"))
        .env("NO_COLOR", "1")
        .env("COLUMNS", "80")
        .stdout(slave.expect("it opens"));
    let mut child = command.spawn().expect("the program starts");
    // The last hand on the terminal is then the program's, and its end is the end of what is read.
    drop(command);
    let (mut terminal, mut shown, mut part) = (std::fs::File::from(master), Vec::new(), [0; 4096]);
    while let Ok(read @ 1..) = terminal.read(&mut part) {
        shown.extend_from_slice(&part[..read]);
    }
    child.wait().expect("it ends");
    String::from_utf8(shown)
        .expect("it is UTF-8")
        .replace("\r\n", "\n")
}

/// Who reads on a terminal has the short report unless the long one is asked for; who reads elsewhere has the long
/// one, as `commands` holds.
#[cfg(target_os = "linux")]
#[test]
fn the_report_on_a_terminal_is_short_unless_the_long_one_is_asked_for() {
    let check = |options: &[&str]| {
        let call = ["check", "examples/guest-house-double-check.yaml"];
        on_a_terminal(&[&call[..], options].concat())
    };
    let (short, long) = (check(&[]), check(&["--long"]));
    assert!(
        short.contains("`--long`") && !short.contains("    Why: "),
        "{short}"
    );
    assert!(
        !long.contains("`--long`") && long.contains("    Why: "),
        "{long}"
    );
    assert!(short.lines().count() * 4 < long.lines().count());
}
