//! One heading lost, or one block set in wrongly, is one problem at the line where it is to be mended,
//! and nothing that stood under it is taken for something else.
//!
//! The text is taken apart here by hand, so that the reader would have to be wrong in the same way.

use crate::documents::to_json;
use crate::generate::{Example, Read, examples, in_two};
use std::fmt::Write;
use wetside_base::facts::Content;
use wetside_base::source::Source;
use wetside_document::read;
use wetside_engine::check::{Ask, Packs, check};

/// How one heading, or what stands under it, goes wrong.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Slip {
    Deleted,
    /// The block was taken into use, its heading was left a remark.
    LeftRemark,
    /// The heading and its block by so many spaces.
    Whole(i8),
    /// The block alone.
    Under(i8),
}

const SLIPS: [Slip; 10] = [
    Slip::Deleted,
    Slip::LeftRemark,
    Slip::Whole(1),
    Slip::Whole(2),
    Slip::Whole(-1),
    Slip::Whole(-2),
    Slip::Under(1),
    Slip::Under(2),
    Slip::Under(-1),
    Slip::Under(-2),
];

/// A line that ends in its colon, and the lines set in below it.
struct Heading {
    at: usize,
    /// The first line behind the block.
    end: usize,
    /// Whether no key of its group stands before it.
    first: bool,
}

fn indent(line: &str) -> usize {
    line.len() - line.trim_start_matches(' ').len()
}

fn is_written(line: &str) -> bool {
    let line = line.trim_start();
    !line.is_empty() && !line.starts_with('#')
}

fn headings(lines: &[&str]) -> Vec<Heading> {
    let heads = |line: &str| {
        is_written(line)
            && line
                .split(" #")
                .next()
                .unwrap_or("")
                .trim_end()
                .ends_with(':')
    };
    let behind = |at: usize| {
        let below = |line: &&str| !is_written(line) || indent(line) > indent(lines[at]);
        let end = at
            + 1
            + lines[at + 1..]
                .iter()
                .take_while(|line| below(line))
                .count();
        // Blank lines and remarks at the end belong to what comes next.
        at + 1
            + lines[at + 1..end]
                .iter()
                .rposition(|line| is_written(line))
                .map_or(0, |last| last + 1)
    };
    let is_first = |at: usize| {
        let above = lines[..at].iter().rev().find(|line| is_written(line));
        above.is_none_or(|above| indent(above) < indent(lines[at]))
    };
    let found = (0..lines.len()).filter(|at| heads(lines[*at]) && behind(*at) > at + 1);
    found
        .map(|at| Heading {
            at,
            end: behind(at),
            first: is_first(at),
        })
        .collect()
}

impl Slip {
    /// The text with the slip in it; nothing where there is no room for it.
    fn of(self, lines: &[&str], heading: &Heading) -> Option<String> {
        let (from, by) = match self {
            Slip::Deleted | Slip::LeftRemark => (heading.end, 0),
            Slip::Whole(by) => (heading.at, by),
            Slip::Under(by) => (heading.at + 1, by),
        };
        let mut text = String::new();
        for (at, line) in lines.iter().enumerate() {
            if self == Slip::Deleted && at == heading.at {
                continue;
            }
            if self == Slip::LeftRemark && at == heading.at {
                writeln!(text, "# {line}").expect("a string takes everything");
                continue;
            }
            let shifted = (from..heading.end).contains(&at) && is_written(line);
            let by = if shifted { by } else { 0 };
            let room = indent(line).checked_add_signed(isize::from(by))?;
            writeln!(text, "{}{}", " ".repeat(room), line.trim_start())
                .expect("a string takes everything");
        }
        Some(text)
    }

    /// The lines, from 1, at which it can be mended.
    fn right(self, lines: &[&str], heading: &Heading) -> Vec<usize> {
        let written = |from: usize| {
            (from..lines.len())
                .find(|at| is_written(lines[*at]))
                .map(|at| at + 1)
        };
        match self {
            Slip::Deleted => written(heading.at + 1)
                .map(|line| line - 1)
                .into_iter()
                .collect(),
            Slip::LeftRemark => written(heading.at + 1).into_iter().collect(),
            // Of two blocks that do not line up, the second may be the one to be moved.
            Slip::Whole(_) if heading.first => [Some(heading.at + 1), written(heading.end)]
                .into_iter()
                .flatten()
                .collect(),
            Slip::Whole(_) => vec![heading.at + 1],
            Slip::Under(_) => [Some(heading.at + 1), written(heading.at + 1)]
                .into_iter()
                .flatten()
                .collect(),
        }
    }
}

fn problems(text: &str, packs: &Packs) -> Vec<(usize, String)> {
    let source = Source::new("survey.yaml", text);
    let problems = check(&source, packs, &Ask::default()).problems;
    let told = |one: &wetside_base::problem::Problem| {
        let place = source.place(one.span.start);
        (
            place.line,
            format!("{place} {}: {} / {}", one.kind, one.says, one.help),
        )
    };
    problems.iter().map(told).collect()
}

/// Facts that the text with the slip knows and the whole text does not, or knows otherwise.
fn invented(text: &str, whole: &str, packs: &Packs) -> Vec<String> {
    let known = |text: &str| {
        let read = Read::by(text, &packs.vocabulary);
        let scene = read.scene(&packs.vocabulary, None);
        let facts = scene
            .facts
            .all()
            .filter_map(|(id, fact)| match &fact.content {
                Content::Known(value) => Some(format!(
                    "{} {value:?}",
                    wetside_engine::run::fact_name(scene, id)
                )),
                _ => None,
            });
        facts.collect::<std::collections::BTreeSet<String>>()
    };
    let whole = known(whole);
    known(text).difference(&whole).cloned().collect()
}

/// What came of one slip.
struct Outcome {
    slip: Option<Slip>,
    told: usize,
    right: bool,
    invented: Vec<String>,
    page: String,
}

fn outcome(example: &Example, heading: &Heading, slip: Slip, packs: &Packs) -> Option<Outcome> {
    let lines: Vec<&str> = example.text.lines().collect();
    let text = slip.of(&lines, heading)?;
    let tree = |text: &str| to_json(&read(&Source::new("survey.yaml", text)).root);
    if tree(&text) == tree(&example.text) {
        // A block that stands further in as a whole says the same.
        return None;
    }
    let right = slip.right(&lines, heading);
    let what = format!(
        "{slip:?} `{}`, line {}",
        lines[heading.at].trim(),
        heading.at + 1
    );
    Some(Outcome {
        slip: Some(slip),
        ..told(example, &text, &right, &what, packs)
    })
}

/// What is told of a changed text and was not told of the whole one.
fn told(example: &Example, text: &str, right: &[usize], what: &str, packs: &Packs) -> Outcome {
    let says = |told: &str| told.split_once(' ').map(|(_, says)| says.to_string());
    let before = problems(&example.text, packs);
    let known: Vec<_> = before.iter().map(|(_, told)| says(told)).collect();
    let mut fresh = problems(text, packs);
    fresh.retain(|(_, told)| !known.contains(&says(told)));
    let told: Vec<&str> = fresh.iter().map(|(_, told)| told.as_str()).collect();
    Outcome {
        slip: None,
        told: fresh.len(),
        right: fresh.first().is_some_and(|(line, _)| right.contains(line)),
        page: format!(
            "{} {what} of {right:?}:\n  {}\n",
            example.name,
            told.join("\n  ")
        ),
        invented: invented(text, &example.text, packs),
    }
}

/// Each plain line of a group, moved to the head of the next group that has no field of its name.
fn misplaced(example: &Example, packs: &Packs) -> Vec<Outcome> {
    let lines: Vec<&str> = example.text.lines().collect();
    let groups: Vec<Heading> = headings(&lines);
    let groups: Vec<&Heading> = groups
        .iter()
        .filter(|one| indent(lines[one.at]) == 0)
        .collect();
    let name = |line: &str| {
        line.trim()
            .split(':')
            .next()
            .unwrap_or_default()
            .to_string()
    };
    let mut found = Vec::new();
    for pair in groups.windows(2) {
        let [from, into] = [pair[0], pair[1]];
        let other = name(lines[into.at]);
        let plain =
            |at: &usize| indent(lines[*at]) == 2 && is_written(lines[*at]) && is_whole(&lines, *at);
        for at in (from.at + 1..from.end).filter(plain) {
            let fits = packs
                .vocabulary
                .find(&format!("{other}.{}", name(lines[at])));
            // A key that stands there twice is a slip of the example's own.
            let same = |line: &&&str| name(line) == name(lines[at]);
            let twice = lines[from.at..from.end].iter().filter(same).count() > 1;
            let of_a_list = lines[into.at + 1].trim().starts_with("count");
            if fits.is_some() || twice || of_a_list {
                continue;
            }
            let mut moved = lines.clone();
            moved.insert(into.at + 1, lines[at]);
            moved.remove(at);
            let what = format!("`{}` moved into `{other}`", lines[at].trim());
            let text = moved.join("\n") + "\n";
            found.push(told(example, &text, &[into.at + 1], &what, packs));
        }
    }
    found
}

/// Whether a line says all of its key: a value that no line below belongs to.
fn is_whole(lines: &[&str], at: usize) -> bool {
    let value = lines[at].split(" #").next().unwrap_or_default().trim_end();
    let next = lines.get(at + 1).map_or(0, |line| indent(line));
    !value.ends_with([':', '>', '|']) && next <= indent(lines[at])
}

fn outcomes(example: &Example, packs: &Packs) -> Vec<Outcome> {
    let lines: Vec<&str> = example.text.lines().collect();
    let headings = headings(&lines);
    let slips = headings
        .iter()
        .flat_map(|heading| SLIPS.map(|slip| (heading, slip)));
    slips
        .filter_map(|(heading, slip)| outcome(example, heading, slip, packs))
        .collect()
}

#[test]
fn a_lost_heading_or_a_slipped_block_is_one_problem() {
    let packs = Packs::none();
    let all: Vec<Outcome> = in_two(examples(), |example| outcomes(example, &packs))
        .into_iter()
        .flatten()
        .collect();
    for slip in SLIPS {
        let of_it = || all.iter().filter(|one| one.slip == Some(slip));
        let one = of_it().filter(|one| one.told == 1).count();
        println!("{slip:?}: {} tried, {one} told once", of_it().count());
    }
    all_but_few_told_once(&all, 1000);
}

#[test]
fn a_line_in_a_wrong_group_is_one_problem() {
    let packs = Packs::none();
    let all = in_two(examples(), |example| misplaced(example, &packs));
    let all: Vec<Outcome> = all.into_iter().flatten().collect();
    all_but_few_told_once(&all, 500);
}

/// One problem in at least 95 of 100, the right line in all, and nothing taken for something else.
fn all_but_few_told_once(all: &[Outcome], at_least: usize) {
    let page = |wrong: &dyn Fn(&&Outcome) -> bool| -> String {
        all.iter()
            .filter(wrong)
            .map(|one| format!("{}{}", one.page, one.invented.join("\n")))
            .collect()
    };
    let one = all.iter().filter(|one| one.told == 1).count();
    println!("{one} of {} told once", all.len());
    assert!(all.len() > at_least, "{}", all.len());
    assert!(
        one * 100 >= all.len() * 95,
        "{one} of {}:\n{}",
        all.len(),
        page(&|one| one.told != 1)
    );
    assert!(
        all.iter().all(|one| one.told > 0 && one.right),
        "another line:\n{}",
        page(&|one| !one.right)
    );
    assert!(
        all.iter().all(|one| one.invented.is_empty()),
        "taken for something else:\n{}",
        page(&|one| !one.invented.is_empty())
    );
}
