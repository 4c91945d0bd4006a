//! What is not known yet, and what lies ahead.

use super::finding::{BODY, cited, place};
use super::pen::{Ink, Pen, closed, number, sentence};
use wetside_base::finding::{Finding, Gap, Question};
use wetside_base::source::Source;

/// Minimum facts that the survey does not speak of.
pub fn gaps(pen: &mut Pen, source: &Source, gaps: &[Gap]) {
    if gaps.is_empty() {
        return;
    }
    gaps_heading(pen, gaps.len());
    pen.paragraph(
        0,
        "Every survey is asked for these. `unknown` is an answer; leaving them out is not.",
    );
    for gap in gaps {
        pen.gap();
        asked(pen, source, " -  ", &gap.fact, &gap.asks, gap.span);
    }
}

/// The heading over the minimum facts.
pub fn gaps_heading(pen: &mut Pen, count: usize) {
    let heading = number(
        count,
        "minimum fact not recorded",
        "minimum facts not recorded",
    );
    pen.heading(&heading, '-', Ink::Strong);
}

/// How many facts there are to find out.
pub fn to_find_out(count: usize) -> String {
    number(count, "fact to find out", "facts to find out")
}

/// The shortest list of facts that would settle what is undecided and blocks.
pub fn questions(pen: &mut Pen, source: &Source, questions: &[Question]) {
    if questions.is_empty() {
        return;
    }
    pen.heading(&to_find_out(questions.len()), '-', Ink::Strong);
    pen.paragraph(
        0,
        "The fewest facts that could settle what is undecided and blocks.",
    );
    for (number, question) in (1..).zip(questions) {
        pen.gap();
        let lead = format!("{number:>2}  ");
        asked(
            pen,
            source,
            &lead,
            &question.fact,
            &question.asks,
            question.span,
        );
        if !question.rules.is_empty() {
            let body = if pen.style().drawn { BODY } else { 0 };
            pen.entry(body, "Would decide", &question.rules.join(", "));
        }
    }
}

fn asked(
    pen: &mut Pen,
    source: &Source,
    lead: &str,
    fact: &str,
    asks: &str,
    at: wetside_base::source::Span,
) {
    let drawn = pen.style().drawn;
    let (lead, body) = if drawn { (lead, BODY) } else { ("", 0) };
    pen.hanging(0, lead, &format!("`{fact}`"), Ink::Strong);
    pen.paragraph(body, &place(source, at));
    if !asks.is_empty() {
        pen.paragraph(body, &sentence(asks));
    }
}

/// What later stages would stop at, in short.
pub fn ahead(pen: &mut Pen, source: &Source, ahead: &[Finding]) {
    if ahead.is_empty() {
        return;
    }
    let heading = number(ahead.len(), "finding ahead", "findings ahead");
    pen.heading(&heading, '.', Ink::Strong);
    pen.paragraph(
        0,
        "Not due yet, but a later stage would stop at these as things stand.",
    );
    for finding in ahead {
        pen.gap();
        let drawn = pen.style().drawn;
        let (lead, body) = if drawn { (" -  ", BODY) } else { ("", 0) };
        let title = format!("By {}, {}: {}", finding.stage, finding.class, finding.title);
        pen.hanging(0, lead, &title, Ink::Strong);
        let rule = match &finding.element {
            Some(element) => format!("Rule {}, on `{element}`", finding.rule),
            None => format!("Rule {}", finding.rule),
        };
        pen.paragraph(body, &rule);
        pen.paragraph(body, &place(source, finding.place));
        if !finding.says.is_empty() {
            pen.paragraph(body, &sentence(&finding.says));
        }
        pen.entry(body, "Do", &closed(&finding.remedy));
        pen.entry(body, "Source", &cited(&finding.source));
    }
}
