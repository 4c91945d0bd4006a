//! The report in short, for a terminal: the verdict, what stands in the way with what to do, the facts to
//! find out with the words to answer, and the verdict again.
//!
//! Contract: every broken finding, every problem and everything that keeps the verdict from being better is
//! told or counted. What is undecided is told by the facts that would settle it, most decisive first, and not
//! rule by rule; of long lists the first are told and the lines of the rest named. Drawings, reasons and
//! sources are left to the long report. Nothing is decided here.

use super::finding::{accepted, consequence, consequences, group, remedies, says};
use super::first;
use super::open::{self, Asked};
use super::parts::{PARTS, Part};
use super::pen::{Ink, Pen, closed, number, numbers, row, sentence};
use super::{Style, line_numbers, verdict};
use wetside_base::finding::{Class, Finding, Judgement, Outcome};
use wetside_base::problem::Problem;
use wetside_base::source::{Source, Span};

/// Of the facts to find out, and of those not recorded, so many are told: with the rest of the page a first
/// look then fits two screens.
const ASKED: usize = 6;
/// What a finding on several things has to do in different words is told so many times.
const REMEDIES: usize = 3;

/// The short report on one survey.
pub fn survey(source: &Source, judgement: &Judgement, style: &Style) -> String {
    let mut pen = Pen::new(*style);
    verdict::head(&mut pen, source, judgement);
    for part in &PARTS {
        findings(&mut pen, source, &judgement.findings, part);
    }
    problems(&mut pen, source, &judgement.problems);
    super::problems::of_departures(&mut pen, judgement.beside.as_ref());
    questions(&mut pen, source, judgement);
    gaps(&mut pen, source, judgement);
    unlikely(&mut pen, source, judgement);
    rest(&mut pen, judgement);
    pen.gap();
    verdict::count(&mut pen, judgement);
    verdict::foot(&mut pen, source, judgement);
    pen.finish()
}

/// The broken findings of one group.
fn findings(pen: &mut Pen, source: &Source, findings: &[Finding], part: &Part) {
    let held = part.of(findings);
    let held = held
        .filter(|one| one.outcome == Outcome::Broken || part.departed)
        .collect();
    for finding in group(pen, part, held) {
        let places = finding.on.iter().map(|on| on.place);
        let (title, word) = (&finding.title, part.word);
        entry(pen, source, part.lead, word, places, title, part.ink);
        if finding.departure.is_some() {
            accepted(pen, finding);
        } else {
            if let [_] = finding.on.as_slice() {
                says(pen, finding);
            }
            let more = remedies(pen, finding, REMEDIES);
            if more > 0 {
                let more = number(more, "more order", "more orders");
                pen.paragraph(pen.body(), &format!("And {more}, on the other lines."));
            }
        }
        let times = match finding.count() {
            1 => String::new(),
            count => format!(", {count} times"),
        };
        pen.inked(pen.body(), &format!("{}{times}", finding.rule), Ink::Faint);
        for follows in consequences(findings, finding) {
            pen.entry(pen.body(), "Follows", &consequence(source, follows));
        }
    }
}

fn problems(pen: &mut Pen, source: &Source, problems: &[Problem]) {
    if problems.is_empty() {
        return;
    }
    super::problems::heading(pen, problems.len());
    for problem in problems {
        let (at, says) = ([problem.span], &problem.says);
        entry(pen, source, "~~~ ", "Problem", at, says, Ink::Wait);
        pen.paragraph(pen.body(), &sentence(&problem.help));
        pen.inked(pen.body(), problem.kind, Ink::Faint);
    }
}

/// The facts that would settle what is undecided, those on which most hangs first.
fn questions(pen: &mut Pen, source: &Source, judgement: &Judgement) {
    let questions = &judgement.questions;
    if questions.is_empty() {
        return;
    }
    let count = questions.len() + judgement.more_questions;
    pen.heading(&open::to_find_out(count), '-', Ink::Wait);
    if let Some(settles) = verdict::waiting(judgement) {
        pen.paragraph(
            0,
            &format!("With each the words or the unit to answer with. They settle {settles}."),
        );
    }
    let asked = open::decisive(judgement);
    for one in asked.iter().take(ASKED) {
        fact(pen, source, one, &hangs(judgement, one));
    }
    more(pen, source, &asked, judgement.more_questions);
}

/// How much hangs on a fact.
fn hangs(judgement: &Judgement, asked: &Asked<'_>) -> String {
    let all = || first::waiting(judgement, asked);
    let hazards = first::hazards(judgement, asked);
    let steps = all().filter(|one| one.class == Class::Preparation).count();
    let counted = [(hazards, "hazard", "hazards"), (steps, "step", "steps")];
    match numbers(&counted).as_slice() {
        [] => String::new(),
        counted if asked.things.is_empty() => format!(" for {}", row(counted)),
        counted => format!(", for {}", row(counted)),
    }
}

/// Minimum facts that the survey does not speak of, beside those that are asked for already.
fn gaps(pen: &mut Pen, source: &Source, judgement: &Judgement) {
    if judgement.gaps.is_empty() {
        return;
    }
    open::gaps_heading(pen, judgement.gap_count());
    let beside = open::beside(judgement);
    let told: usize = beside.iter().map(|one| one.spans.len()).sum();
    let above = judgement.gaps.len() - told;
    if above > 0 {
        pen.paragraph(0, &format!("Of these {above} stand above."));
    }
    for gap in beside.iter().take(ASKED) {
        fact(pen, source, gap, "");
    }
    more(pen, source, &beside, judgement.more_gaps);
}

/// What is worth another look, but for what is confirmed, and for what hazards wait for: that is asked already.
fn unlikely(pen: &mut Pen, source: &Source, judgement: &Judgement) {
    let told = judgement.unlikely.iter();
    let told = told.filter(|one| one.confirmed.is_none() && one.hazards.is_empty());
    let told: Vec<_> = told.collect();
    if told.is_empty() {
        return;
    }
    pen.heading(&open::worth_a_look(told.len()), '.', Ink::Strong);
    for one in told.iter().take(ASKED) {
        entry(
            pen,
            source,
            " -  ",
            "Look again",
            [one.span],
            &one.says,
            Ink::Strong,
        );
    }
    if told.len() > ASKED {
        let more = told.len() - ASKED;
        pen.paragraph(
            pen.body(),
            &format!("And {more} more in the long report (`--long`)."),
        );
    }
}

/// A fact to find out, and the words or the unit to answer with.
fn fact(pen: &mut Pen, source: &Source, asked: &Asked<'_>, hangs: &str) {
    let says = format!("{}{hangs}", asked.named());
    let places = asked.spans.iter().copied();
    entry(pen, source, " ?  ", "Find out", places, &says, Ink::Wait);
    if !asked.answers.is_empty() {
        pen.paragraph(pen.body(), asked.answers);
    }
}

/// Those that are not told, by their lines.
fn more(pen: &mut Pen, source: &Source, asked: &[Asked<'_>], untold: usize) {
    let others: Vec<Span> = asked
        .iter()
        .skip(ASKED)
        .flat_map(|one| one.spans.iter().copied())
        .collect();
    let count = others.len() + untold;
    if count == 0 {
        return;
    }
    let words = match line_numbers::told(source, others) {
        Some(lines) => format!("And {count} more, on {lines}."),
        None => format!("And {count} more."),
    };
    pen.paragraph(pen.body(), &words);
}

/// One entry: where, and what is wrong or asked there.
fn entry(
    pen: &mut Pen,
    source: &Source,
    lead: &str,
    word: &str,
    places: impl IntoIterator<Item = Span>,
    says: &str,
    ink: Ink,
) {
    let lines = line_numbers::told(source, places).unwrap_or_default();
    if pen.style().drawn {
        let place = lines.replacen('l', "L", 1);
        pen.hanging(0, lead, &format!("{place}: {says}"), ink);
    } else {
        pen.paragraph(0, &format!("{word}, {lines}: {}", closed(says)));
    }
}

/// What the long report has beside all this.
fn rest(pen: &mut Pen, judgement: &Judgement) {
    let mut counted = Vec::new();
    if let Some(undecided) = verdict::unsettled(judgement) {
        counted.push(undecided);
    }
    if !judgement.read_as.is_empty() {
        counted.push(open::words_read(judgement));
    }
    if !judgement.ahead.is_empty() {
        counted.push(open::lies_ahead(&judgement.ahead));
    }
    if counted.is_empty() && judgement.findings.is_empty() {
        return;
    }
    pen.gap();
    let counted: String = counted.iter().map(|one| format!("{one}, ")).collect();
    let and = if counted.is_empty() { "" } else { "and " };
    let words = format!(
        "The long report (`--long`) has {counted}{and}of every entry the lines that it rests on, why, and \
         who says so."
    );
    pen.paragraph(0, &words);
}
