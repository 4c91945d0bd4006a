//! The problems of a file, survey or pack alike.

use super::Style;
use super::draw::Mark;
use super::finding::{BODY, marked, place};
use super::pen::{Ink, Pen, number, sentence};
use wetside_base::finding::Beside;
use wetside_base::problem::Problem;
use wetside_base::source::{Source, Span};

/// The problems of one survey under their heading, as a part of its report.
pub fn of_survey(pen: &mut Pen, source: &Source, problems: &[Problem]) {
    if problems.is_empty() {
        return;
    }
    heading(pen, problems.len());
    let explains =
        "Wrong in what is written, not in the heating. What could not be read counts as not known.";
    pen.paragraph(0, explains);
    for (number, problem) in (1..).zip(problems) {
        pen.gap();
        one(pen, source, problem, number);
    }
}

/// The problems of the file of departures beside a survey.
pub(crate) fn of_departures(pen: &mut Pen, beside: Option<&Beside>) {
    let Some(beside) = beside.filter(|beside| !beside.problems.is_empty()) else {
        return;
    };
    let count = beside.problems.len();
    let heading = number(
        count,
        "problem in the departures",
        "problems in the departures",
    );
    pen.heading(&heading, '~', Ink::Wait);
    pen.paragraph(0, "A departure with a problem departs from nothing.");
    for (number, problem) in (1..).zip(&beside.problems) {
        pen.gap();
        one(pen, &beside.source, problem, number);
    }
}

/// The heading over the problems of one survey.
pub fn heading(pen: &mut Pen, count: usize) {
    let heading = number(count, "problem in the file", "problems in the file");
    pen.heading(&heading, '~', Ink::Wait);
}

/// The problems of packs, each with the file that it stands in.
pub fn of_packs(problems: &[(&Source, &Problem)], style: &Style) -> String {
    let mut pen = Pen::new(*style);
    let heading = number(
        problems.len(),
        "problem in the packs",
        "problems in the packs",
    );
    pen.heading(&heading, '~', Ink::Wait);
    for (number, (source, problem)) in (1..).zip(problems) {
        pen.gap();
        one(&mut pen, source, problem, number);
    }
    pen.finish()
}

/// One problem: what is wrong, where, the lines, what to do.
pub fn one(pen: &mut Pen, source: &Source, problem: &Problem, number: usize) {
    let drawn = pen.style().drawn;
    let (lead, body) = if drawn { ("~~~ ", BODY) } else { ("", 0) };
    pen.hanging(
        0,
        lead,
        &format!("Problem {number}: {}", problem.says),
        Ink::Wait,
    );
    // Of a file that is not read, only the name is known.
    let whole = source.text.is_empty() && problem.span == Span::default();
    let at = if whole {
        source.name.clone()
    } else {
        place(source, problem.span)
    };
    pen.paragraph(body, &format!("{at} ({})", problem.kind));
    let first = Mark {
        span: problem.span,
        words: String::new(),
    };
    let also = problem.also.iter().map(|label| Mark {
        span: label.span,
        words: label.words.clone(),
    });
    let also: Vec<Mark> = also.collect();
    // Of a file that could not be read, or is not there, nothing can be drawn.
    if !source.text.is_empty() {
        marked(pen, source, &first, &also);
    }
    if !problem.help.is_empty() {
        pen.paragraph(body, &sentence(&problem.help));
    }
}
