//! The papers of a survey: every example makes them, they are whole pages, and nothing in a survey is markup.

use crate::examples::{examples, packs};
use crate::figures::words::field;
use std::collections::BTreeSet;
use std::fs;
use std::path::PathBuf;
use std::process::{Command, Output};
use wetside_base::finding::{Class, Outcome, Stage, Verdict};
use wetside_base::source::Source;
use wetside_base::vocabulary::{Shape, Type};
use wetside_engine::check::{Ask, check};
use wetside_engine::interview::at_once;
use wetside_engine::schema;
use wetside_report::figures::{CURVES, Survey, curve};
use wetside_report::starter;
use wetside_sheet::{Papers, papers, survey};

fn surveys() -> Vec<Source> {
    let fresh = starter::survey(&schema::vocabulary(), &at_once(packs()));
    let fresh = Source::new("fresh.yaml".to_string(), fresh);
    examples().into_iter().chain([fresh]).collect()
}

fn made(source: &Source) -> Papers {
    papers(source, packs(), &Ask::default(), None)
}

fn paper<'a>(papers: &'a Papers, name: &str) -> &'a str {
    let found = papers.papers.iter().find(|paper| paper.name == name);
    &found.expect("the paper is made").text
}

#[test]
fn every_field_that_papers_show_is_in_the_schema() {
    for (of, path) in survey::fields() {
        field(of, path);
    }
}

#[test]
fn every_word_with_a_meaning_on_paper_is_in_the_schema() {
    let vocabulary = crate::figures::vocabulary();
    for (of, path, words, all) in survey::words() {
        let Shape::Fact(Type::Choice(known)) = &vocabulary.field(field(of, path)).shape else {
            panic!("`{path}` of {of:?} has no words");
        };
        let known: BTreeSet<&str> = known.iter().map(|word| vocabulary.word(*word)).collect();
        let meant: BTreeSet<&str> = words.iter().copied().collect();
        assert!(meant.is_subset(&known), "`{path}`: {meant:?}");
        assert!(
            !all || meant == known,
            "`{path}`: {meant:?}, and not {known:?}"
        );
    }
}

/// Elements that have no end.
const VOID: [&str; 4] = ["meta", "br", "!DOCTYPE", "hr"];

/// The start tags of a page with what stands in them; every element is closed where it should be.
fn tags(page: &str) -> Vec<String> {
    let (mut open, mut all): (Vec<String>, Vec<String>) = (Vec::new(), Vec::new());
    for piece in page.split('<').skip(1) {
        let (tag, _) = piece.split_once('>').expect("a tag ends");
        let name = tag
            .trim_start_matches('/')
            .split(' ')
            .next()
            .unwrap_or_default();
        if tag.starts_with('/') {
            assert_eq!(open.pop().as_deref(), Some(name));
        } else {
            all.push(tag.to_string());
            if !VOID.contains(&name) {
                open.push(name.to_string());
            }
        }
    }
    assert_eq!(open, Vec::<String>::new());
    all
}

fn named<'a>(tags: &'a [String], name: &str) -> impl Iterator<Item = &'a String> {
    let start = format!("{name} ");
    tags.iter()
        .filter(move |tag| **tag == start.trim_end() || tag.starts_with(&start))
}

fn attribute<'a>(tag: &'a str, name: &str) -> Option<&'a str> {
    let (_, rest) = tag.split_once(&format!(" {name}=\""))?;
    rest.split('"').next()
}

#[test]
fn every_paper_is_a_whole_page_that_asks_for_nothing() {
    for source in surveys() {
        let papers = made(&source);
        let names: Vec<&str> = papers.papers.iter().map(|paper| paper.name).collect();
        assert_eq!(
            names,
            [
                "job.html",
                "customer.html",
                "water-record.html",
                "label.html"
            ]
        );
        for one in &papers.papers {
            let place = format!("{}, {}", source.name, one.name);
            let tags = tags(&one.text);
            for landmark in ["html", "h1", "header", "main", "footer"] {
                assert_eq!(named(&tags, landmark).count(), 1, "{place}: {landmark}");
            }
            assert!(one.text.contains("default-src 'none'"), "{place}");
            assert_eq!(named(&tags, "script").count(), 0, "{place}");
            let outward = |tag: &&String| {
                let href = attribute(tag, "href").is_some_and(|to| !to.starts_with('#'));
                href || [" src=", " style=", " onload=", " onclick="]
                    .iter()
                    .any(|one| tag.contains(one))
            };
            assert_eq!(tags.iter().find(outward), None, "{place}");
            let ids: Vec<&str> = tags.iter().filter_map(|tag| attribute(tag, "id")).collect();
            let once: BTreeSet<&str> = ids.iter().copied().collect();
            assert_eq!(once.len(), ids.len(), "{place}: an id stands there twice");
            let to = tags
                .iter()
                .filter_map(|tag| attribute(tag, "href"))
                .map(|to| &to[1..]);
            let by = tags
                .iter()
                .filter_map(|tag| attribute(tag, "aria-labelledby"));
            for id in to.chain(by.flat_map(|ids| ids.split(' '))) {
                assert!(once.contains(id), "{place}: nothing has the id `{id}`");
            }
            assert_eq!(
                named(&tags, "section").count(),
                named(&tags, "h2").count(),
                "{place}"
            );
        }
    }
}

#[test]
fn the_same_survey_gives_the_same_papers() {
    for source in surveys().iter().take(4) {
        assert_eq!(made(source).papers, made(source).papers, "{}", source.name);
    }
}

#[test]
fn papers_are_complete_exactly_when_the_survey_is_clear_for_hand_back() {
    let mut complete = 0;
    for source in surveys() {
        let ask = Ask {
            stage: Some(Stage::HandBack),
            ..Ask::default()
        };
        let clear = check(&source, packs(), &ask).verdict == Verdict::Clear;
        let papers = made(&source);
        let says = |name: &str, words: &str| paper(&papers, name).contains(words);
        let place = &source.name;
        assert_eq!(
            says("job.html", "<strong>Complete</strong>"),
            clear,
            "{place}"
        );
        assert_eq!(
            says("job.html", "<strong>Not complete</strong>"),
            !clear,
            "{place}"
        );
        assert_eq!(says("customer.html", "Not finished"), !clear, "{place}");
        assert_eq!(says("water-record.html", "Not finished"), !clear, "{place}");
        assert_eq!(
            says("label.html", "do not fix this label yet"),
            !clear,
            "{place}"
        );
        complete += usize::from(clear);
    }
    assert!(complete > 0);
}

/// A text as it stands on a page.
fn escaped(text: &str) -> String {
    let text = text.replace('&', "&amp;").replace('<', "&lt;");
    text.replace('>', "&gt;").replace('"', "&quot;")
}

#[test]
fn the_job_sheet_tells_what_is_broken_and_what_is_to_be_found_out() {
    for source in surveys() {
        let papers = made(&source);
        let page = paper(&papers, "job.html");
        let judgement = &papers.judgement;
        let blocks = judgement.findings.iter().filter(|one| {
            one.class == Class::Hazard
                || one.class == Class::Preparation && one.outcome == Outcome::Broken
        });
        for (number, finding) in (1..).zip(blocks) {
            let place = format!("{}: {}", source.name, finding.rule);
            assert!(
                page.contains(&format!("<p class=\"rule\">{}</p>", finding.rule)),
                "{place}"
            );
            // Drawn, or told to belong to no part.
            let told = page.matches(&format!("{number} (")).count();
            assert!(
                told > 0,
                "{place}: number {number} stands nowhere beside a part"
            );
        }
        for question in &judgement.questions {
            assert!(
                page.contains(&escaped(&question.answers)),
                "{}",
                question.fact
            );
        }
    }
}

/// A field of every radiator is one row of the sheet, with room for each of them.
#[test]
fn what_is_asked_of_things_that_are_alike_is_one_row() {
    let plain = surveys().into_iter();
    let mut plain = plain.filter(|one| one.name.ends_with("gauge-that-rises.yaml"));
    let plain = plain.next_back().expect("the example is there");
    let text = plain.text.replace("condition: sound", "condition: unknown");
    let papers = made(&Source::new(plain.name, text));
    let page = paper(&papers, "job.html");
    let (_, asked) = page.split_once("id=\"find-out\"").expect("the section");
    let (asked, _) = asked.split_once("</section>").expect("its end");
    assert_eq!(asked.matches("emitters.condition").count(), 1, "{asked}");
    let rows = asked
        .split("<tr>")
        .filter(|row| row.contains("emitters.condition"));
    let row = rows.last().expect("the row");
    let things = papers.judgement.questions.iter();
    let things: Vec<_> = things.filter_map(|one| one.of.as_ref()).collect();
    assert!(things.len() > 3);
    assert_eq!(
        row.matches("class=\"blank\"").count(),
        things.len(),
        "{row}"
    );
}

const HOSTILE: &str = "</bdi><script>alert(1)</script>\\\"'><img src=x onerror=alert(2)>&amp;";

#[test]
fn what_a_survey_says_is_never_markup() {
    let plain = examples()
        .into_iter()
        .find(|one| one.name.ends_with("heat-pump-underfloor.yaml"));
    let plain = plain.expect("the example is there");
    let mut text = plain.text.clone();
    let mut changed = 0;
    for (word, end) in [
        ("reference: ", "\n"),
        ("found: ", ","),
        ("branch: ", ","),
        ("id: ", ","),
        ("id: ", "\n"),
        ("note: ", "}"),
        ("meter: ", "\n"),
    ] {
        let mut out = String::new();
        let mut rest = text.as_str();
        while let Some((before, after)) = rest.split_once(word) {
            let (line, next) = after.split_at(after.find('\n').unwrap_or(after.len()));
            let (_, tail) = line
                .split_once(end.trim_end_matches('\n'))
                .unwrap_or(("", ""));
            let holds =
                end == "\n" && !line.contains([',', '}', '#']) || end != "\n" && line.contains(end);
            out.push_str(before);
            out.push_str(word);
            if holds {
                changed += 1;
                let tail = if end == "\n" {
                    String::new()
                } else {
                    format!("{end}{tail}")
                };
                out.push_str(&format!("\"{HOSTILE}\\u202E{changed}\"{tail}"));
            } else {
                out.push_str(line);
            }
            rest = next;
        }
        out.push_str(rest);
        text = out;
    }
    assert!(changed > 20, "{changed}");
    let name = "<script>alert(3)</script>.yaml";
    let papers = made(&Source::new(name, text));
    let shown = papers
        .papers
        .iter()
        .map(|paper| paper.text.matches("&lt;script&gt;").count());
    assert!(shown.sum::<usize>() > 30);
    for one in &papers.papers {
        assert!(!one.text.contains('\u{202e}'), "{}", one.name);
        let tags = tags(&one.text);
        for element in ["script", "img"] {
            assert_eq!(named(&tags, element).count(), 0, "{}", one.name);
        }
        assert!(
            !tags.iter().any(|tag| tag.contains(" onerror=")),
            "{}",
            one.name
        );
    }
}

#[test]
fn the_job_sheet_has_every_curve_of_the_figures_or_says_why_not() {
    let (mut drawn, mut open) = (0, 0);
    for source in surveys() {
        let papers = made(&source);
        let page = paper(&papers, "job.html");
        let told = Survey::new(source.clone(), crate::figures::vocabulary()).told;
        let mut here = 0;
        for name in CURVES {
            let place = format!("{}: {name}", source.name);
            match curve(&told, name) {
                Ok(drawing) => {
                    here += 1;
                    drawn += 1;
                    assert_eq!(page.matches(&drawing.svg).count(), 1, "{place}");
                    assert!(page.contains(&escaped(&drawing.says)), "{place}");
                    let numbers = drawing.numbers.into_iter().flat_map(|(_, all)| all);
                    for one in numbers {
                        let item = format!("<li>{}</li>", escaped(&one));
                        assert!(page.contains(&item), "{place}: {one}");
                    }
                }
                Err(why) if told.is_ok() => {
                    open += 1;
                    let says = format!("The {name} is <bdi>{}</bdi>.", escaped(&why));
                    assert!(page.contains(&says), "{place}: {says}");
                }
                Err(_) => assert!(page.contains("<p>None is drawn"), "{place}"),
            }
        }
        assert_eq!(page.matches("<figure class=\"curve\">").count(), here);
    }
    assert!(drawn > 40 && open > 0, "{drawn} drawn, {open} not");
}

#[test]
fn a_name_in_a_curve_is_never_markup() {
    let plain = examples()
        .into_iter()
        .find(|one| one.name.ends_with("open-vented-gravity.yaml"));
    let text = plain.expect("the example is there").text;
    let text = text.replace("id: box room\n", &format!("id: \"{HOSTILE}\"\n"));
    let papers = made(&Source::new("hostile.yaml", text));
    let page = paper(&papers, "job.html");
    let bars = page.split("<figure class=\"curve\">").nth(1);
    let (bars, _) = bars
        .and_then(|rest| rest.split_once("</svg>"))
        .expect("the day is drawn");
    assert!(bars.contains("&lt;script&gt;"), "{bars}");
    assert_eq!(named(&tags(page), "script").count(), 0);
}

fn wetside(arguments: &[&str]) -> Output {
    let mut command = Command::new(env!("CARGO_BIN_EXE_wetside"));
    command
        .args(arguments)
        .current_dir(env!("CARGO_MANIFEST_DIR"));
    command.output().expect("the program starts")
}

#[test]
fn papers_are_written_all_or_none_and_never_over_others() {
    let folder = PathBuf::from(env!("CARGO_TARGET_TMPDIR")).join("papers");
    let _ = fs::remove_dir_all(&folder);
    let into = folder.display().to_string();
    let call = [
        "sheet",
        "examples/heat-pump-underfloor.yaml",
        "--into",
        &into,
    ];
    let listed = || {
        let entries = fs::read_dir(&folder).expect("the folder is there");
        entries.count()
    };
    assert_eq!(wetside(&call).status.code(), Some(0));
    assert_eq!(listed(), 4);
    let job = fs::read_to_string(folder.join("job.html")).expect("it is written");

    fs::remove_file(folder.join("customer.html")).expect("it was there");
    fs::write(folder.join("label.html"), "kept").expect("it can be written");
    assert_eq!(wetside(&call).status.code(), Some(2));
    assert_eq!(listed(), 3, "none of them is written where one is there");
    assert_eq!(
        fs::read_to_string(folder.join("label.html")).expect("it is there"),
        "kept"
    );

    assert_eq!(
        wetside(&[&call[..], &["--replace"]].concat()).status.code(),
        Some(0)
    );
    assert_eq!(listed(), 4);
    assert_eq!(
        fs::read_to_string(folder.join("job.html")).expect("it is there"),
        job
    );
    let faulty = folder.join("faulty").display().to_string();
    let output = wetside(&[
        "sheet",
        "examples/cottage-slips-of-the-pen.yaml",
        "--into",
        &faulty,
    ]);
    assert_eq!(output.status.code(), Some(20));
    assert!(
        folder.join("faulty/job.html").is_file(),
        "a faulty survey has its papers too"
    );
}
