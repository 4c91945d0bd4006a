//! The head and the foot of a report: the verdict in words, the count, the caution, and the verdict again
//! with what to do first, where the eye is at the end.

use super::first;
use super::pen::{Ink, Pen, number, numbers, row};
use wetside_base::finding::{Class, Identity, Judgement, Outcome, Verdict};
use wetside_base::source::Source;
use wetside_engine::digest::short;

/// The program and its version, as reports name what judged.
pub(crate) const ENGINE: &str = concat!("wetside ", env!("CARGO_PKG_VERSION"));

/// The lines that every verdict ends with.
pub const CAUTION: &str = "This is an aid to a competent person and takes nobody's place. Local codes and the maker's \
     instructions stand above it. Gas work and work on fixed electrical wiring are for those licensed \
     to do them. A rule that nobody has written is not judged here: no finding is no proof of safety.";

/// The verdict first, then what was judged.
pub(crate) fn head(pen: &mut Pen, source: &Source, judgement: &Judgement) {
    pen.inked(0, &headline(judgement), ink(judgement.verdict));
    let date = match &judgement.as_of {
        Some(date) => format!(" as of {date}"),
        None => " with no date to judge by".to_string(),
    };
    let packs = by(&judgement.packs);
    let stage = judgement.stage;
    let what = format!(
        "Survey {}, judged for the stage {stage}{date}, by {packs}.",
        source.name
    );
    pen.paragraph(0, &what);
    if !judgement.basis.left_out.is_empty() {
        let left_out = row(&judgement.basis.left_out);
        pen.paragraph(
            0,
            &format!("Left out, though the program carries it: {left_out}."),
        );
    }
    if let Some(rest) = besides(judgement) {
        pen.paragraph(0, &rest);
    }
}

pub(crate) fn ink(verdict: Verdict) -> Ink {
    match verdict {
        Verdict::Clear => Ink::Go,
        Verdict::Prepare | Verdict::FindOut => Ink::Wait,
        Verdict::DoNotStart => Ink::Stop,
    }
}

/// The verdict as a sentence, with what makes it so.
pub fn headline(judgement: &Judgement) -> String {
    let tally = Tally::of(judgement);
    let told = judgement.verdict.at(judgement.stage);
    match judgement.verdict {
        Verdict::Clear => {
            let told = told.replacen("clear", "CLEAR", 1);
            match tally.departed {
                0 => told,
                count => {
                    let departed = number(count, "rule departed from", "rules departed from");
                    format!("{told}, with {departed}")
                }
            }
        }
        Verdict::DoNotStart => format!(
            "{}: {}",
            told.to_uppercase(),
            number(tally.hazards, "hazard", "hazards")
        ),
        Verdict::Prepare => format!(
            "NOT YET: prepare first ({})",
            number(tally.steps, "step", "steps")
        ),
        Verdict::FindOut => match numbers(&tally.open()).as_slice() {
            [] => "NOT YET: find out first".to_string(),
            open => format!("NOT YET: find out first ({})", row(open)),
        },
    }
}

/// What the headline does not name already.
fn besides(judgement: &Judgement) -> Option<String> {
    let tally = Tally::of(judgement);
    let headline = judgement.verdict;
    let mut rest = Vec::new();
    if headline != Verdict::FindOut {
        rest.extend(tally.open());
    }
    if headline != Verdict::Prepare {
        rest.push((tally.steps, "step to prepare", "steps to prepare"));
    }
    rest.push((tally.advisories, "advisory", "advisories"));
    if headline != Verdict::Clear {
        rest.push((tally.departed, "rule departed from", "rules departed from"));
    }
    let parts = numbers(&rest);
    (!parts.is_empty()).then(|| format!("Also {}.", row(&parts)))
}

/// What blocks and is undecided.
pub(crate) fn waiting(judgement: &Judgement) -> Option<String> {
    let undecided = |class| undecided(judgement, class);
    let steps = undecided(Class::Preparation);
    let parts = [
        (undecided(Class::Hazard), "hazard", "hazards"),
        (steps, "step that is assumed", "steps that are assumed"),
    ];
    let parts = numbers(&parts);
    (!parts.is_empty()).then(|| row(&parts))
}

/// What is undecided and never in the way.
pub(crate) fn unsettled(judgement: &Judgement) -> Option<String> {
    let count = undecided(judgement, Class::Advisory);
    let words = || number(count, "undecided advisory", "undecided advisories");
    (count > 0).then(words)
}

fn undecided(judgement: &Judgement, class: Class) -> usize {
    let all = judgement.findings.iter();
    let all = all.filter(|one| one.class == class && one.outcome == Outcome::Undecided);
    let all = all.filter(|one| one.departure.is_none());
    all.map(|one| one.count()).sum()
}

/// How many findings of each group.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
struct Tally {
    hazards: usize,
    undecided: usize,
    steps: usize,
    advisories: usize,
    problems: usize,
    gaps: usize,
    unlikely: usize,
    departed: usize,
}

impl Tally {
    /// What is to be found out.
    fn open(&self) -> [(usize, &'static str, &'static str); 4] {
        [
            (self.undecided, "hazard undecided", "hazards undecided"),
            (self.problems, "problem in the file", "problems in the file"),
            (
                self.gaps,
                "minimum fact not recorded",
                "minimum facts not recorded",
            ),
            (
                self.unlikely,
                "unlikely number to confirm",
                "unlikely numbers to confirm",
            ),
        ]
    }

    fn of(judgement: &Judgement) -> Tally {
        let unlikely = judgement.unlikely.iter();
        let in_the_way = unlikely.filter(|one| !one.hazards.is_empty());
        let mut tally = Tally {
            problems: judgement.problem_count(),
            gaps: judgement.gap_count(),
            unlikely: in_the_way.count(),
            ..Tally::default()
        };
        for finding in &judgement.findings {
            let of = match (finding.class, finding.outcome) {
                _ if finding.departure.is_some() => &mut tally.departed,
                (Class::Hazard, Outcome::Undecided) => &mut tally.undecided,
                (Class::Hazard, _) => &mut tally.hazards,
                (Class::Preparation, _) => &mut tally.steps,
                (Class::Advisory, _) => &mut tally.advisories,
            };
            *of += finding.count();
        }
        tally
    }
}

/// How many outcomes of each kind, so that silence is not taken for health.
pub(crate) fn count(pen: &mut Pen, judgement: &Judgement) {
    let counts = judgement.counts;
    let judged = counts.judged();
    let sentence = format!(
        "{} judged for the stage {}: {} met, {} broken, {} undecided, {} not applicable. {} due only at later stages.",
        number(judged, "outcome", "outcomes"),
        judgement.stage,
        counts.met,
        counts.broken,
        counts.undecided,
        counts.not_applicable,
        number(counts.later, "rule is", "rules are"),
    );
    pen.paragraph(0, &sentence);
    if judged == 0 {
        pen.paragraph(0, "Nothing was judged, so nothing is known to be safe.");
    } else if counts.met_that_block == 0 {
        let words = "Nothing that can stop the work was met, so nothing is known to be safe.";
        pen.paragraph(0, words);
    }
    pen.paragraph(0, &basis(judgement));
}

/// What judged, so that a report can be held against it later.
fn basis(judgement: &Judgement) -> String {
    let pack = |one: &Identity| {
        let over = one.builds_on.as_ref();
        let over = over.map_or(String::new(), |lower| format!(" over {lower}"));
        let (name, edition) = (&one.pack, &one.edition);
        let changes = match one.changes.len() {
            0 => String::new(),
            count => format!(", {}", number(count, "change", "changes")),
        };
        format!(
            "{name} {edition}{over} (content {}{changes})",
            short(&one.digest)
        )
    };
    let packs: Vec<String> = judgement.basis.packs.iter().map(pack).collect();
    format!("Judged by {}, with {ENGINE}.", by(&packs))
}

fn by(packs: &[String]) -> String {
    match packs {
        [] => "no pack".to_string(),
        packs => row(packs),
    }
}

/// The caution, and the verdict again with what to do first.
pub(crate) fn foot(pen: &mut Pen, source: &Source, judgement: &Judgement) {
    pen.gap();
    pen.entry(0, "Caution", CAUTION);
    pen.gap();
    pen.inked(0, &headline(judgement), ink(judgement.verdict));
    for (number, thing) in (1..).zip(first::things(source, judgement)) {
        pen.hanging(0, &format!("{number:>2}  "), &thing, Ink::Strong);
    }
}
