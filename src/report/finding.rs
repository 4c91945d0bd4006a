//! One finding, and the findings grouped by class.

use super::draw::{Mark, lines, told};
use super::line_numbers;
use super::pen::{Ink, Pen, closed, number, sentence};
use wetside_base::finding::{Cause, CauseKind, Citation, Class, Finding, Outcome, PackLine};
use wetside_base::problem::Label;
use wetside_base::source::{Source, Span};

/// Columns that the body of an item stands in from its lead.
pub const BODY: usize = 4;

/// The most lines that a finding draws, and the most reasons that it tells in full. What a rule asks of
/// every radiator can rest on a hundred lines; of the rest the numbers are told, and the document for
/// programs has all of them.
const DRAWN: usize = 8;

/// A group of findings: what its heading says and how it is told apart without colour.
pub struct Part {
    class: Class,
    undecided: bool,
    pub heading: fn(usize) -> String,
    explains: &'static str,
    /// The line under the heading.
    pub rule: char,
    /// What stands before each finding.
    pub lead: &'static str,
    /// The word for one finding of the group.
    pub word: &'static str,
    pub ink: Ink,
}

/// The groups in the order of a report.
pub const PARTS: [Part; 4] = [
    Part {
        class: Class::Hazard,
        undecided: false,
        heading: |count| number(count, "hazard", "hazards"),
        explains: "The work must not start, or go on, while any of these stands.",
        rule: '=',
        lead: "!!! ",
        word: "Hazard",
        ink: Ink::Stop,
    },
    Part {
        class: Class::Hazard,
        undecided: true,
        heading: |count| number(count, "hazard undecided", "hazards undecided"),
        explains: "Too little is known to rule these out, so they block until somebody has looked.",
        rule: '=',
        lead: "??? ",
        word: "Undecided hazard",
        ink: Ink::Wait,
    },
    Part {
        class: Class::Preparation,
        undecided: false,
        heading: |count| number(count, "step to prepare", "steps to prepare"),
        explains: "Each must be done first. A step is assumed where too little is known to leave it out.",
        rule: '-',
        lead: "[ ] ",
        word: "Step",
        ink: Ink::Wait,
    },
    Part {
        class: Class::Advisory,
        undecided: false,
        heading: |count| number(count, "advisory", "advisories"),
        explains: "Worth knowing; never in the way.",
        rule: '.',
        lead: " -  ",
        word: "Advisory",
        ink: Ink::Strong,
    },
];

impl Part {
    pub fn holds(&self, finding: &Finding) -> bool {
        let apart = self.class == Class::Hazard;
        let same = !apart || (finding.outcome == Outcome::Undecided) == self.undecided;
        finding.class == self.class && same
    }
}

/// What is said of a finding that is undecided, where its group holds broken ones too.
pub fn doubt(finding: &Finding) -> &'static str {
    match (finding.outcome, finding.class) {
        (Outcome::Undecided, Class::Preparation) => " (assumed)",
        (Outcome::Undecided, Class::Advisory) => " (undecided)",
        _ => "",
    }
}

/// Every finding under the heading of its class, in the order given.
pub fn findings(pen: &mut Pen, source: &Source, findings: &[Finding]) {
    for part in &PARTS {
        let held: Vec<&Finding> = findings
            .iter()
            .filter(|finding| part.holds(finding))
            .collect();
        if held.is_empty() {
            continue;
        }
        pen.heading(&(part.heading)(held.len()), part.rule, part.ink);
        pen.paragraph(0, part.explains);
        let mut before: Option<&Finding> = None;
        for (number, finding) in (1..).zip(held) {
            pen.gap();
            one(pen, source, finding, part, number, before);
            before = Some(finding);
        }
    }
}

/// Whether two findings would show the very same lines with the same words.
fn rests_on_the_same(one: &Finding, other: &Finding) -> bool {
    one.place == other.place && one.place_words == other.place_words && one.lines == other.lines
}

/// Whether two findings of one rule are open for the very same reasons.
fn waits_for_the_same(one: &Finding, other: &Finding) -> bool {
    one.rule == other.rule && !one.causes.is_empty() && one.causes == other.causes
}

/// One finding; what it shares with the one `before` it is not said again.
fn one(
    pen: &mut Pen,
    source: &Source,
    finding: &Finding,
    part: &Part,
    number: usize,
    before: Option<&Finding>,
) {
    let how = doubt(finding);
    let drawn = pen.style().drawn;
    let lead = if drawn { part.lead } else { "" };
    pen.hanging(
        0,
        lead,
        &format!("{} {number}{how}: {}", part.word, finding.title),
        part.ink,
    );
    let body = if drawn { BODY } else { 0 };
    let judged = match &finding.element {
        Some(element) => format!("Rule {}, on `{element}`", finding.rule),
        None => format!("Rule {}", finding.rule),
    };
    pen.paragraph(body, &judged);
    pen.paragraph(body, &place(source, finding.place));
    let as_before = before.is_some_and(|before| waits_for_the_same(before, finding));
    if before.is_some_and(|before| rests_on_the_same(before, finding)) {
        pen.paragraph(body, "It rests on the same lines as the one above.");
    } else if as_before {
        numbered(pen, source, "It rests on", &finding.lines, body);
    } else {
        evidence(pen, source, finding);
    }
    // What keeps it undecided says more than that it cannot be told.
    if !finding.says.is_empty() && finding.causes.is_empty() {
        pen.paragraph(body, &sentence(&finding.says));
    }
    if as_before {
        pen.paragraph(body, "It waits for the same facts as the one above.");
    } else {
        reasons(pen, source, &finding.causes, body);
    }
    counsel(pen, finding, before, body);
}

/// What to do and why, who says so, and where in the pack.
fn counsel(pen: &mut Pen, finding: &Finding, before: Option<&Finding>, body: usize) {
    let advice = |finding: &Finding| (finding.remedy.clone(), finding.because.clone());
    let alike = |before: &Finding| before.rule == finding.rule && advice(before) == advice(finding);
    if before.is_some_and(alike) {
        pen.paragraph(body, "What to do, why, and who says so: as above.");
        return;
    }
    pen.entry(body, "Do", &closed(&finding.remedy));
    pen.entry(body, "Why", &closed(&finding.because));
    pen.entry(body, "Source", &cited(&finding.source));
    pen.entry(
        body,
        "In the pack",
        &closed(&in_the_pack(&finding.pack_lines)),
    );
    if let Some(caution) = &finding.caution {
        pen.entry(body, "Caution", &closed(caution));
    }
}

/// What keeps it undecided.
fn reasons(pen: &mut Pen, source: &Source, causes: &[Cause], body: usize) {
    let (first, more) = causes.split_at(causes.len().min(DRAWN));
    for cause in first {
        pen.entry(body, "Undecided", &closed(&why(source, cause)));
    }
    if !more.is_empty() {
        let facts = number(more.len(), "more fact", "more facts");
        let on =
            line_numbers::told(source, more.iter().map(|cause| cause.span)).unwrap_or_default();
        pen.entry(body, "Undecided", &format!("{facts}, on {on}."));
    }
}

/// The lines that the outcome rests on, drawn or told.
fn evidence(pen: &mut Pen, source: &Source, finding: &Finding) {
    let first = Mark {
        span: finding.place,
        words: finding.place_words.clone(),
    };
    let (drawn, more) = finding.lines.split_at(finding.lines.len().min(DRAWN));
    let others = drawn.iter().map(|line| Mark {
        span: line.span,
        words: line.words.clone(),
    });
    let others: Vec<Mark> = others.collect();
    marked(pen, source, &first, &others);
    if !more.is_empty() {
        let body = if pen.style().drawn { BODY } else { 0 };
        numbered(pen, source, "Beside these it rests on", more, body);
    }
}

/// Facts by the numbers of their lines alone.
fn numbered(pen: &mut Pen, source: &Source, lead: &str, lines: &[Label], body: usize) {
    let facts = number(lines.len(), "fact", "facts");
    let on = line_numbers::told(source, lines.iter().map(|line| line.span)).unwrap_or_default();
    pen.paragraph(body, &format!("{lead} {facts}, on {on}."));
}

/// A drawing on a drawn page, words on another.
pub fn marked(pen: &mut Pen, source: &Source, first: &Mark, others: &[Mark]) {
    let style = *pen.style();
    if style.drawn {
        let width = style.columns().saturating_sub(BODY);
        pen.block(BODY, &lines(source, first, others, &style, width));
    } else {
        for line in told(source, first, others, &style) {
            pen.paragraph(0, &line);
        }
    }
}

/// `file:line:column`, as editors and terminals take it.
pub fn place(source: &Source, span: Span) -> String {
    format!("{}:{}", source.name, source.place(span.start))
}

/// What keeps an outcome open.
pub fn why(source: &Source, cause: &Cause) -> String {
    let line = source.line_of(cause.span.start).min(source.line_count());
    let fact = &cause.fact;
    match &cause.why {
        CauseKind::NotRecorded => {
            format!("`{fact}` is not recorded (line {line} is where it belongs)")
        }
        CauseKind::Unknown(None) => format!("`{fact}` is recorded as unknown, line {line}"),
        CauseKind::Unknown(Some(reason)) => {
            format!("`{fact}` is recorded as unknown, line {line}: {reason}")
        }
        CauseKind::Malformed => {
            format!("`{fact}` cannot be read, line {line}; see the problem there")
        }
        CauseKind::Range(range) => {
            format!("`{fact}` is `{range}`, line {line}, which lies on both sides of the limit")
        }
        CauseKind::ListOpen => {
            format!("the list `{fact}`, line {line}, may hold more than it names")
        }
        CauseKind::RangeBehind { written, figure } => {
            format!(
                "`{fact}` is `{written}`, line {line}, which leaves `{figure}` on both sides of the limit"
            )
        }
        CauseKind::NotWorkedOut(reason) => {
            format!("`{fact}` could not be worked out from line {line}: {reason}")
        }
    }
}

/// The work, its clause, its standing and how sure that is.
pub fn cited(source: &Citation) -> String {
    let clause = source
        .clause
        .as_ref()
        .map(|clause| format!(", {clause}"))
        .unwrap_or_default();
    let certainty = match source.certainty.as_str() {
        "" | "no source" => String::new(),
        certainty => format!("; {certainty}"),
    };
    let standing = match (source.standing.as_str(), source.work.as_str()) {
        ("", _) => return closed(&format!("{}{clause}", source.work)),
        (standing, work) if work.starts_with(standing) => {
            return closed(&format!("{work}{clause}"));
        }
        (standing, _) => standing,
    };
    closed(&format!("{}{clause} ({standing}{certainty})", source.work))
}

/// The lines of the pack that a finding rests on: the rule's demand, then the limits with their values.
/// The rule's file is named as the rule is, so its part is told instead.
fn in_the_pack(lines: &[PackLine]) -> String {
    let told = |(at, line): (usize, &PackLine)| match (at, line.file.split_once('/')) {
        (0, Some((part, _))) => format!("line {} of the rule, in part {part}", line.line),
        _ => format!("line {} of {} ({})", line.line, line.file, line.words),
    };
    let told: Vec<String> = lines.iter().enumerate().map(told).collect();
    told.join("; ")
}
