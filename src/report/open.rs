//! What is not known yet, and what lies ahead.

use super::finding::{self, cited, place};
use super::pen::{Ink, Pen, number, row, sentence};
use wetside_base::finding::{Finding, Gap, Judgement, OfThing, Question};
use wetside_base::source::{Source, Span};

/// Minimum facts that the survey does not speak of.
pub(crate) fn gaps(pen: &mut Pen, source: &Source, judgement: &Judgement) {
    if judgement.gaps.is_empty() {
        return;
    }
    gaps_heading(pen, judgement.gap_count());
    pen.paragraph(
        0,
        "Every survey is asked for these. `unknown` is an answer; leaving them out is not.",
    );
    for gap in &judgement.gaps {
        pen.gap();
        asked(pen, source, " -  ", &Asked::from(gap));
    }
    // Of the same field in a long list only the first are told.
    if judgement.more_gaps > 0 {
        pen.gap();
        let more = judgement.more_gaps;
        let words = format!("And {more} more, of the same fields in further elements.");
        pen.paragraph(0, &words);
    }
}

/// The heading over the minimum facts.
pub(crate) fn gaps_heading(pen: &mut Pen, count: usize) {
    let heading = number(
        count,
        "minimum fact not recorded",
        "minimum facts not recorded",
    );
    pen.heading(&heading, '-', Ink::Strong);
}

/// How many facts there are to find out.
pub(crate) fn to_find_out(count: usize) -> String {
    number(count, "fact to find out", "facts to find out")
}

/// The shortest list of facts that would settle what is undecided and blocks.
pub(crate) fn questions(pen: &mut Pen, source: &Source, judgement: &Judgement) {
    let questions = &judgement.questions;
    if questions.is_empty() {
        return;
    }
    let more = judgement.more_questions;
    pen.heading(&to_find_out(questions.len() + more), '-', Ink::Strong);
    pen.paragraph(
        0,
        "The fewest facts that could settle what is undecided and blocks.",
    );
    for (number, question) in (1..).zip(questions) {
        pen.gap();
        let lead = format!("{number:>2}  ");
        asked(pen, source, &lead, &Asked::from(question));
        if !question.rules.is_empty() {
            pen.entry(pen.body(), "Would decide", &question.rules.join(", "));
        }
    }
    if more > 0 {
        pen.gap();
        pen.paragraph(0, &format!("And {more} more, on which less hangs."));
    }
}

/// A fact that somebody has to find out, and how it may be answered; perhaps of several things that are alike.
pub struct Asked<'a> {
    /// As people name it; of several things their field.
    pub fact: &'a str,
    /// These things, where there are several.
    pub things: Vec<&'a str>,
    pub asks: &'a str,
    pub answers: &'a str,
    pub spans: Vec<Span>,
    /// The rules that wait for it.
    pub(crate) rules: Vec<&'a str>,
    of: Option<&'a OfThing>,
}

impl Asked<'_> {
    /// What it is called, and of which things.
    pub(crate) fn named(&self) -> String {
        match self.things.as_slice() {
            [] => format!("`{}`", self.fact),
            things => format!("`{}` of {}", self.fact, row(things)),
        }
    }
}

/// The same with what is asked of things that are alike told together, where its first stood.
pub(crate) fn alike<'a>(all: impl Iterator<Item = Asked<'a>>) -> Vec<Asked<'a>> {
    let mut told: Vec<Asked<'a>> = Vec::new();
    for one in all {
        let is_alike = |other: &&mut Asked<'_>| {
            let fields = other.of.zip(one.of);
            fields.is_some_and(|(other, one)| other.field == one.field)
                && other.answers == one.answers
        };
        let Some(other) = told.iter_mut().find(is_alike) else {
            told.push(one);
            continue;
        };
        if let (Some(first), true) = (other.of, other.things.is_empty()) {
            other.fact = &first.field;
            other.things.push(&first.thing);
        }
        other.things.extend(one.of.map(|of| of.thing.as_str()));
        other.spans.extend(one.spans);
        for rule in one.rules {
            if !other.rules.contains(&rule) {
                other.rules.push(rule);
            }
        }
    }
    told
}

/// The facts that would settle what is undecided, those on which most hangs first.
pub(crate) fn decisive(judgement: &Judgement) -> Vec<Asked<'_>> {
    alike(judgement.questions.iter().map(Asked::from))
}

/// The minimum facts that are not asked for by what waits for them.
pub(crate) fn beside(judgement: &Judgement) -> Vec<Asked<'_>> {
    let asked = |fact: &String| judgement.questions.iter().any(|one| one.fact == *fact);
    let gaps = judgement.gaps.iter().filter(|gap| !asked(&gap.fact));
    alike(gaps.map(Asked::from))
}

/// All that is to be found out.
pub fn facts_to_find_out(judgement: &Judgement) -> Vec<Asked<'_>> {
    let mut all = decisive(judgement);
    all.extend(beside(judgement));
    all
}

impl<'a> From<&'a Gap> for Asked<'a> {
    fn from(gap: &'a Gap) -> Asked<'a> {
        Asked {
            fact: &gap.fact,
            things: Vec::new(),
            asks: &gap.asks,
            answers: &gap.answers,
            spans: vec![gap.span],
            rules: Vec::new(),
            of: gap.of.as_ref(),
        }
    }
}

impl<'a> From<&'a Question> for Asked<'a> {
    fn from(question: &'a Question) -> Asked<'a> {
        Asked {
            fact: &question.fact,
            things: Vec::new(),
            asks: &question.asks,
            answers: &question.answers,
            spans: vec![question.span],
            rules: question.rules.iter().map(String::as_str).collect(),
            of: question.of.as_ref(),
        }
    }
}

fn asked(pen: &mut Pen, source: &Source, lead: &str, asked: &Asked<'_>) {
    pen.item(lead, &format!("`{}`", asked.fact), Ink::Strong);
    for span in &asked.spans {
        pen.paragraph(pen.body(), &place(source, *span));
    }
    if !asked.asks.is_empty() {
        pen.paragraph(pen.body(), &sentence(asked.asks));
    }
    if !asked.answers.is_empty() {
        pen.entry(pen.body(), "Answers", asked.answers);
    }
}

/// How many words of the trade were read as words of a survey.
pub(crate) fn words_read(judgement: &Judgement) -> String {
    let count = judgement.read_as.len();
    number(count, "word read as one of ours", "words read as ours")
}

/// Words of the trade, and the words of ours that they were read as.
pub(crate) fn read_as(pen: &mut Pen, source: &Source, judgement: &Judgement) {
    if judgement.read_as.is_empty() {
        return;
    }
    pen.heading(&words_read(judgement), '.', Ink::Strong);
    for one in &judgement.read_as {
        let words = format!("{}, {}", one.words, place(source, one.span));
        pen.item(" -  ", &words, Ink::Usual);
    }
}

/// How much is worth another look.
pub(crate) fn worth_a_look(count: usize) -> String {
    number(
        count,
        "answer worth another look",
        "answers worth another look",
    )
}

/// What hardly any system gives, and what of it the survey confirms.
pub(crate) fn unlikely(pen: &mut Pen, source: &Source, judgement: &Judgement) {
    if judgement.unlikely.is_empty() {
        return;
    }
    let count = judgement.unlikely.len() + judgement.more_unlikely;
    pen.heading(&worth_a_look(count), '.', Ink::Strong);
    pen.paragraph(
        0,
        "Look again; if one is right, name it in the list `confirmed` with the reason. Until then its \
         numbers rule out no hazard.",
    );
    for one in &judgement.unlikely {
        pen.gap();
        pen.item(" -  ", &one.says, Ink::Strong);
        pen.paragraph(pen.body(), &place(source, one.span));
        if let Some(reason) = &one.confirmed {
            pen.entry(pen.body(), "Confirmed", reason);
        }
        if !one.hazards.is_empty() {
            pen.entry(pen.body(), "Not ruled out", &one.hazards.join(", "));
        }
    }
    if judgement.more_unlikely > 0 {
        pen.gap();
        pen.paragraph(0, &format!("And {} more.", judgement.more_unlikely));
    }
}

/// How much lies ahead.
pub(crate) fn lies_ahead(ahead: &[Finding]) -> String {
    let count = ahead.iter().map(Finding::count).sum();
    number(count, "finding ahead", "findings ahead")
}

/// What later stages would stop at, in short.
pub(crate) fn ahead(pen: &mut Pen, source: &Source, ahead: &[Finding]) {
    if ahead.is_empty() {
        return;
    }
    pen.heading(&lies_ahead(ahead), '.', Ink::Strong);
    pen.paragraph(
        0,
        "Not due yet, but a later stage would stop at these as things stand.",
    );
    for finding in ahead {
        pen.gap();
        let title = format!("By {}, {}: {}", finding.stage, finding.class, finding.title);
        pen.item(" -  ", &title, Ink::Strong);
        finding::judged(pen, source, finding);
        finding::says(pen, finding);
        finding::remedies(pen, finding, finding::DRAWN);
        pen.entry(pen.body(), "Source", &cited(&finding.source));
    }
}
