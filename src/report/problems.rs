//! The problems of a file, survey or pack alike.

use super::Style;
use super::finding::{marked, place};
use super::pen::{Ink, Pen, number, sentence};
use wetside_base::finding::Beside;
use wetside_base::problem::{Label, Problem};
use wetside_base::source::{Source, Span};

/// The problems of one survey under their heading, as a part of its report.
pub(crate) fn of_survey(pen: &mut Pen, source: &Source, problems: &[Problem]) {
    if problems.is_empty() {
        return;
    }
    heading(pen, problems.len());
    let explains =
        "Wrong in what is written, not in the heating. What could not be read counts as not known.";
    pen.paragraph(0, explains);
    each(pen, problems.iter().map(|problem| (source, problem)));
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
    let problems = beside.problems.iter();
    each(pen, problems.map(|problem| (&beside.source, problem)));
}

/// The heading over the problems of one survey.
pub(crate) fn heading(pen: &mut Pen, count: usize) {
    let heading = number(count, "problem in the file", "problems in the file");
    pen.heading(&heading, '~', Ink::Wait);
}

/// The problems of packs, each with the file that it stands in.
pub fn of_packs(problems: &[(&Source, &Problem)], style: &Style) -> String {
    let called = ["problem in the packs", "problems in the packs"];
    under(called, problems, style)
}

/// Problems under what one of them and several of them are called.
pub fn under(called: [&str; 2], problems: &[(&Source, &Problem)], style: &Style) -> String {
    let mut pen = Pen::new(*style);
    let heading = number(problems.len(), called[0], called[1]);
    pen.heading(&heading, '~', Ink::Wait);
    each(&mut pen, problems.iter().copied());
    pen.finish()
}

fn each<'a>(pen: &mut Pen, problems: impl Iterator<Item = (&'a Source, &'a Problem)>) {
    for (number, (source, problem)) in (1..).zip(problems) {
        pen.gap();
        one(pen, source, problem, number);
    }
}

/// One problem: what is wrong, where, the lines, what to do.
fn one(pen: &mut Pen, source: &Source, problem: &Problem, number: usize) {
    let says = format!("Problem {number}: {}", problem.says);
    pen.item("~~~ ", &says, Ink::Wait);
    // Of a file that is not read, only the name is known.
    let whole = source.text.is_empty() && problem.span == Span::default();
    let at = if whole {
        source.name.clone()
    } else {
        place(source, problem.span)
    };
    pen.paragraph(pen.body(), &format!("{at} ({})", problem.kind));
    let first = Label {
        span: problem.span,
        words: String::new(),
    };
    // Of a file that could not be read, or is not there, nothing can be drawn.
    if !source.text.is_empty() {
        marked(pen, source, &first, &problem.also);
    }
    if !problem.help.is_empty() {
        pen.paragraph(pen.body(), &sentence(&problem.help));
    }
}
