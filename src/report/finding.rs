//! One finding, and the findings grouped by class. One that follows from another stands under it, in one line.
//!
//! Contract: every finding is either told by itself or under the one that explains it, and counted in the
//! heading of its own class.

use super::Style;
use super::draw::{lines, told};
use super::line_numbers;
use super::parts::{PARTS, Part};
use super::pen::{BODY, Pen, closed, number, row, sentence};
use wetside_base::finding::{Cause, CauseKind, Citation, Class, Finding, On, Outcome, PackLine};
use wetside_base::problem::Label;
use wetside_base::source::{Source, Span};

/// The most lines that a finding draws, and the most reasons that it tells in full. What a rule asks of
/// every radiator can rest on a hundred lines; of the rest the numbers are told, and the document for
/// programs has more of them.
pub(crate) const DRAWN: usize = 8;
/// The most elements that a finding names.
const NAMED: usize = 12;

/// What is said of a finding that is undecided, where its group holds broken ones too.
pub(crate) fn doubt(finding: &Finding) -> &'static str {
    match (finding.outcome, finding.class) {
        (Outcome::Undecided, Class::Preparation) => " (assumed)",
        (Outcome::Undecided, Class::Advisory) => " (undecided)",
        _ => "",
    }
}

/// The heading over findings of a group, and those of them that are told by themselves.
pub(crate) fn group<'a>(pen: &mut Pen, part: &Part, held: Vec<&'a Finding>) -> Vec<&'a Finding> {
    if held.is_empty() {
        return held;
    }
    heading(pen, part, &held);
    leading(pen, held)
}

/// The heading over a group: how many outcomes, and of how many rules where some are told together.
fn heading(pen: &mut Pen, part: &Part, held: &[&Finding]) {
    let count = held.iter().map(|finding| finding.count()).sum();
    let mut heading = (part.heading)(count);
    if count > held.len() {
        heading = format!("{heading}, by {}", number(held.len(), "rule", "rules"));
    }
    pen.heading(&heading, part.rule, part.ink);
}

/// Those of a group that follow from no other finding. The rest stand under what explains them, perhaps in
/// another group, so that their number is told here.
fn leading<'a>(pen: &mut Pen, held: Vec<&'a Finding>) -> Vec<&'a Finding> {
    let (follow, lead): (Vec<_>, Vec<_>) = held
        .into_iter()
        .partition(|one| one.explained_by.is_some() && one.departure.is_none());
    let count = follow.iter().map(|finding| finding.count()).sum();
    if count > 0 {
        let follow = number(count, "follows", "follow");
        let stand = if count == 1 { "stands" } else { "stand" };
        let words =
            format!("Of these {follow} from another finding, and {stand} under it as `Follows`.");
        pen.paragraph(0, &words);
    }
    lead
}

/// The findings that follow from one.
pub(crate) fn consequences<'a>(
    findings: &'a [Finding],
    of: &'a Finding,
) -> impl Iterator<Item = &'a Finding> {
    findings.iter().filter(|finding| {
        of.outcome == Outcome::Broken
            && finding.departure.is_none()
            && finding.explained_by.as_ref() == Some(&of.rule)
    })
}

/// A finding in one line, under the one that it follows from.
pub(crate) fn consequence(source: &Source, finding: &Finding) -> String {
    let places = finding.on.iter().map(|on| on.place);
    let lines = line_numbers::told(source, places).unwrap_or_default();
    let times = match finding.count() {
        1 => String::new(),
        count => format!(", {count} times"),
    };
    let (rule, class, title) = (&finding.rule, finding.class, &finding.title);
    closed(&format!("{rule}{times} on {lines} ({class}): {title}"))
}

/// Every finding under the heading of its class, in the order given.
pub(crate) fn findings(pen: &mut Pen, source: &Source, findings: &[Finding]) {
    for part in &PARTS {
        let leading = group(pen, part, part.of(findings).collect());
        if !leading.is_empty() {
            pen.paragraph(0, part.explains);
        }
        let mut before: Option<&Finding> = None;
        for (number, finding) in (1..).zip(leading) {
            pen.gap();
            one(pen, source, finding, part, number, before);
            for follows in consequences(findings, finding) {
                pen.entry(pen.body(), "Follows", &consequence(source, follows));
            }
            before = Some(finding);
        }
    }
}

/// Whether two findings would show the very same lines with the same words.
fn rests_on_the_same(one: &Finding, other: &Finding) -> bool {
    let alike = |(a, b): (&On, &On)| {
        a.place == b.place && a.place_words == b.place_words && a.lines == b.lines
    };
    one.on.len() == other.on.len() && one.on.iter().zip(&other.on).all(alike)
}

/// One finding; lines that it shares with the one `before` it are not drawn again.
fn one(
    pen: &mut Pen,
    source: &Source,
    finding: &Finding,
    part: &Part,
    number: usize,
    before: Option<&Finding>,
) {
    let how = doubt(finding);
    let title = format!("{} {number}{how}: {}", part.word, finding.title);
    pen.item(part.lead, &title, part.ink);
    judged(pen, source, finding);
    if before.is_some_and(|before| rests_on_the_same(before, finding)) {
        pen.paragraph(pen.body(), "It rests on the same lines as the one above.");
    } else {
        evidence(pen, source, finding);
    }
    says(pen, finding);
    reasons(pen, source, finding);
    counsel(pen, finding);
}

/// The rule, what it was judged on, and the place to look at first.
pub(crate) fn judged(pen: &mut Pen, source: &Source, finding: &Finding) {
    let (first, others) = finding.split();
    let elements = finding.on.iter().map(|on| on.element.as_ref());
    let named = elements.chain(finding.also_on.iter().map(Some));
    let mut named: Vec<String> = named
        .take(NAMED)
        .map(|element| match element {
            Some(element) => format!("`{element}`"),
            None => "what is not listed".to_string(),
        })
        .collect();
    if finding.count() > named.len() {
        named.push(format!("{} more", finding.count() - named.len()));
    }
    let rule = &finding.rule;
    let rule = if first.element.is_none() && others.is_empty() {
        format!("Rule {rule}")
    } else {
        format!("Rule {rule}, on {}", row(&named))
    };
    pen.paragraph(pen.body(), &rule);
    pen.paragraph(pen.body(), &place(source, first.place));
}

/// The fault in this survey's own values, on each element; what is undecided is told by its reasons.
pub(crate) fn says(pen: &mut Pen, finding: &Finding) {
    let mut told: Vec<&str> = finding
        .on
        .iter()
        .filter(|on| on.causes.is_empty() && on.more_causes == 0 && !on.says.is_empty())
        .map(|on| on.says.as_str())
        .collect();
    told.dedup();
    for says in told.iter().take(DRAWN) {
        pen.paragraph(pen.body(), &sentence(says));
    }
}

/// Who accepted that the job departs from the rule, and what is done instead.
pub(crate) fn accepted(pen: &mut Pen, finding: &Finding) {
    if let Some(departure) = &finding.departure {
        let (by, on, until) = (&departure.by, &departure.on, &departure.until);
        let because = &departure.because;
        pen.entry(pen.body(), "Instead", &closed(&departure.instead));
        let words = format!("by {by}, from {on} until {until}, because {because}");
        pen.entry(pen.body(), "Accepted", &closed(&words));
    }
}

/// What to do and why, who says so, and where in the pack.
fn counsel(pen: &mut Pen, finding: &Finding) {
    if !finding.after.is_empty() {
        let asks = if finding.after.len() == 1 {
            "asks"
        } else {
            "ask"
        };
        let first = format!("what {} {asks} for", row(&finding.after));
        pen.entry(pen.body(), "First", &closed(&first));
    }
    remedies(pen, finding, DRAWN);
    accepted(pen, finding);
    pen.entry(pen.body(), "Why", &closed(&finding.because));
    pen.entry(pen.body(), "Source", &cited(&finding.source));
    pen.entry(
        pen.body(),
        "In the pack",
        &closed(&in_the_pack(&finding.pack_lines)),
    );
    if let Some(caution) = &finding.caution {
        pen.entry(pen.body(), "Caution", &closed(caution));
    }
}

/// What to do, once where it is the same on all elements, and no more than so many; how many more there are.
pub(crate) fn remedies(pen: &mut Pen, finding: &Finding, most: usize) -> usize {
    let mut remedies: Vec<&str> = finding.on.iter().map(|on| on.remedy.as_str()).collect();
    remedies.dedup();
    for remedy in remedies.iter().take(most) {
        pen.entry(pen.body(), "Do", &closed(remedy));
    }
    remedies.len().saturating_sub(most)
}

/// What keeps it undecided.
fn reasons(pen: &mut Pen, source: &Source, finding: &Finding) {
    let mut causes: Vec<&Cause> = Vec::new();
    for cause in finding.on.iter().flat_map(|on| &on.causes) {
        if !causes.contains(&cause) {
            causes.push(cause);
        }
    }
    let (first, more) = causes.split_at(causes.len().min(DRAWN));
    for cause in first {
        pen.entry(pen.body(), "Undecided", &closed(&why(source, cause)));
    }
    let untold = finding.on.iter().map(|on| on.more_causes).sum();
    let more = numbered(source, more.iter().map(|cause| cause.span), untold, "more ");
    if let Some(more) = more {
        pen.entry(pen.body(), "Undecided", &closed(&more));
    }
}

/// The lines that the outcomes rest on, drawn or told: first that of each element.
fn evidence(pen: &mut Pen, source: &Source, finding: &Finding) {
    let mut marks: Vec<Label> = Vec::new();
    let places = finding.on.iter().map(|on| Label {
        span: on.place,
        words: on.place_words.clone(),
    });
    let lines = finding.on.iter().flat_map(|on| &on.lines);
    for mark in places.chain(lines.cloned()) {
        if !marks.contains(&mark) {
            marks.push(mark);
        }
    }
    let (first, others) = marks.split_first().expect("a finding is of an outcome");
    let (drawn, more) = others.split_at(others.len().min(DRAWN));
    marked(pen, source, first, drawn);
    let untold = finding.on.iter().map(|on| on.more_lines).sum();
    if let Some(more) = numbered(source, more.iter().map(|mark| mark.span), untold, "") {
        pen.paragraph(pen.body(), &format!("Beside these it rests on {more}."));
    }
}

/// Facts by the numbers of their lines alone; and how many more there are, of which elements may share
/// some.
fn numbered(
    source: &Source,
    places: impl ExactSizeIterator<Item = Span>,
    untold: usize,
    more: &str,
) -> Option<String> {
    let count = places.len();
    let on = line_numbers::told(source, places);
    let facts = |count| number(count, &format!("{more}fact"), &format!("{more}facts"));
    match (on, untold) {
        (None, 0) => None,
        (None, untold) => Some(format!("up to {}", facts(untold))),
        (Some(on), 0) => Some(format!("{}, on {on}", facts(count))),
        (Some(on), untold) => Some(format!(
            "{}, on {on}, and up to {untold} more",
            facts(count)
        )),
    }
}

/// A drawing on a drawn page, words on another.
pub(crate) fn marked(pen: &mut Pen, source: &Source, first: &Label, others: &[Label]) {
    let style = *pen.style();
    if style.drawn {
        let width = style.columns().saturating_sub(BODY);
        let style = Style { width, ..style };
        pen.block(BODY, &lines(source, first, others, &style));
    } else {
        for line in told(source, first, others, &style) {
            pen.paragraph(0, &line);
        }
    }
}

/// `file:line:column`, as editors and terminals take it.
pub(crate) fn place(source: &Source, span: Span) -> String {
    format!("{}:{}", source.name, source.place(span.start))
}

/// What keeps an outcome open.
pub(crate) fn why(source: &Source, cause: &Cause) -> String {
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
