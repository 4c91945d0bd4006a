//! The report in short, for a small screen: the verdict, then an entry of a line or two for each finding.
//!
//! Contract: it tells of the same findings, problems and gaps as the long report, in the same groups
//! and order, and leaves out their drawings, reasons and counsel alone. Findings of one rule that say
//! the same share an entry, which names the lines of all and how many there are.

use super::finding::{BODY, PARTS, Part, doubt};
use super::pen::{Ink, Pen, closed, number};
use super::{Style, line_numbers, open, verdict};
use wetside_base::finding::{Finding, Gap, Judgement};
use wetside_base::problem::Problem;
use wetside_base::source::{Source, Span};

/// The short report on one survey.
pub fn survey(source: &Source, judgement: &Judgement, style: &Style) -> String {
    let mut pen = Pen::new(*style);
    verdict::head(&mut pen, source, judgement);
    for part in &PARTS {
        findings(&mut pen, source, &judgement.findings, part);
    }
    problems(&mut pen, source, &judgement.problems);
    gaps(&mut pen, source, &judgement.gaps);
    rest(&mut pen, judgement);
    verdict::foot(&mut pen, judgement);
    pen.finish()
}

/// The findings of one group, those of one rule together where the first of them stands.
fn findings(pen: &mut Pen, source: &Source, findings: &[Finding], part: &Part) {
    let mut alike: Vec<Vec<&Finding>> = Vec::new();
    for finding in findings.iter().filter(|finding| part.holds(finding)) {
        match alike
            .iter_mut()
            .find(|held| says_the_same(held[0], finding))
        {
            Some(held) => held.push(finding),
            None => alike.push(vec![finding]),
        }
    }
    let count = alike.iter().map(Vec::len).sum();
    if count == 0 {
        return;
    }
    pen.heading(&(part.heading)(count), part.rule, part.ink);
    for held in alike {
        let first = held[0];
        let lines = lines(source, held.iter().map(|finding| finding.place));
        let times = match held.len() {
            1 => String::new(),
            count => format!(", {count} times"),
        };
        let told = Entry {
            lead: part.lead,
            word: part.word,
            doubt: doubt(first),
            lines,
            says: &first.title,
            name: &format!("{}{times}", first.rule),
        };
        told.write(pen, part.ink);
    }
}

fn says_the_same(one: &Finding, other: &Finding) -> bool {
    one.rule == other.rule
        && one.pack == other.pack
        && one.outcome == other.outcome
        && one.title == other.title
}

fn problems(pen: &mut Pen, source: &Source, problems: &[Problem]) {
    if problems.is_empty() {
        return;
    }
    super::problems::heading(pen, problems.len());
    for problem in problems {
        let told = Entry {
            lead: "~~~ ",
            word: "Problem",
            doubt: "",
            lines: lines(source, [problem.span]),
            says: &problem.says,
            name: problem.kind,
        };
        told.write(pen, Ink::Wait);
    }
}

fn gaps(pen: &mut Pen, source: &Source, gaps: &[Gap]) {
    if gaps.is_empty() {
        return;
    }
    open::gaps_heading(pen, gaps.len());
    for gap in gaps {
        let told = Entry {
            lead: " -  ",
            word: "Not recorded",
            doubt: "",
            lines: lines(source, [gap.span]),
            says: &format!("`{}`", gap.fact),
            name: "",
        };
        told.write(pen, Ink::Strong);
    }
}

fn lines(source: &Source, places: impl IntoIterator<Item = Span>) -> String {
    line_numbers::told(source, places).unwrap_or_default()
}

/// What one entry says: where, what is wrong, and by what name that is known.
struct Entry<'a> {
    /// What stands for the class where things are drawn.
    lead: &'a str,
    /// The word for it where they are not.
    word: &'a str,
    doubt: &'a str,
    lines: String,
    says: &'a str,
    name: &'a str,
}

impl Entry<'_> {
    fn write(&self, pen: &mut Pen, ink: Ink) {
        let Entry {
            lead,
            word,
            doubt,
            lines,
            says,
            name,
        } = self;
        let drawn = pen.style().drawn;
        if drawn {
            let place = lines.replacen('l', "L", 1);
            pen.hanging(0, lead, &format!("{place}{doubt}: {says}"), ink);
        } else {
            pen.paragraph(0, &format!("{word}{doubt}, {lines}: {}", closed(says)));
        }
        if !name.is_empty() {
            pen.inked(if drawn { BODY } else { 0 }, name, Ink::Faint);
        }
    }
}

/// What the long report has beside all this.
fn rest(pen: &mut Pen, judgement: &Judgement) {
    let mut counted = Vec::new();
    if !judgement.questions.is_empty() {
        counted.push(open::to_find_out(judgement.questions.len()));
    }
    if !judgement.ahead.is_empty() {
        counted.push(number(
            judgement.ahead.len(),
            "finding ahead",
            "findings ahead",
        ));
    }
    pen.gap();
    let counted: String = counted.iter().map(|one| format!("{one}, ")).collect();
    let and = if counted.is_empty() { "" } else { "and " };
    let words = format!(
        "The long report has {counted}{and}of every entry the lines that it rests on, what to do, why, \
         and who says so."
    );
    pen.paragraph(0, &words);
}
