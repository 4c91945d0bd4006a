//! The report in short, for a small screen: the verdict, then an entry of a line or two for each finding.
//!
//! Contract: it tells of the same findings, problems and gaps as the long report, in the same groups
//! and order, and leaves out their drawings, reasons and counsel alone. A finding on several elements
//! names their lines, and how many they are.

use super::finding::{PARTS, Part, body, doubt, group};
use super::follows::{consequence, consequences};
use super::pen::{Ink, Pen, closed};
use super::{Style, line_numbers, open, verdict};
use wetside_base::finding::{Finding, Judgement};
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
    gaps(&mut pen, source, judgement);
    rest(&mut pen, judgement);
    verdict::foot(&mut pen, judgement);
    pen.finish()
}

/// The findings of one group.
fn findings(pen: &mut Pen, source: &Source, findings: &[Finding], part: &Part) {
    for finding in group(pen, findings, part) {
        let times = match finding.count() {
            1 => String::new(),
            count => format!(", {count} times"),
        };
        let told = Entry {
            lead: part.lead,
            word: part.word,
            doubt: doubt(finding),
            lines: lines(source, finding.on.iter().map(|on| on.place)),
            says: &finding.title,
            name: &format!("{}{times}", finding.rule),
        };
        told.write(pen, part.ink);
        for follows in consequences(findings, finding) {
            pen.entry(body(pen), "Follows", &consequence(source, follows));
        }
    }
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

fn gaps(pen: &mut Pen, source: &Source, judgement: &Judgement) {
    if judgement.gaps.is_empty() {
        return;
    }
    open::gaps_heading(pen, judgement.gap_count());
    for gap in &judgement.gaps {
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
    open::more_gaps(pen, judgement);
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
            pen.inked(body(pen), name, Ink::Faint);
        }
    }
}

/// What the long report has beside all this.
fn rest(pen: &mut Pen, judgement: &Judgement) {
    let mut counted = Vec::new();
    if !judgement.questions.is_empty() {
        let questions = judgement.questions.len() + judgement.more_questions;
        counted.push(open::to_find_out(questions));
    }
    if !judgement.read_as.is_empty() {
        counted.push(open::words_read(judgement));
    }
    if !judgement.unlikely.is_empty() {
        counted.push(open::worth_a_look(judgement));
    }
    if !judgement.ahead.is_empty() {
        counted.push(open::lies_ahead(&judgement.ahead));
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
