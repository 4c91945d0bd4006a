//! A marked sheet as a page, and what a class comes to in a few sentences: for a terminal.

use super::{pages, tables};
use crate::pen::{Ink, Pen, number, sentence};
use wetside_base::finding::{Citation, Class};
use wetside_base::source::Source;
use wetside_trainer::class::{Class as Summed, Compared};
use wetside_trainer::{Fate, Lesson, Marked, PASS_MARK, TargetMark, WHOLE};

/// What one trainee reached, found, missed and claimed in vain.
pub fn page(pen: &mut Pen, marked: &Marked, sheet: &Source, survey: &Source) {
    let ink = if marked.passed() { Ink::Go } else { Ink::Stop };
    let heading = format!("{}: {}", marked.trainee, result(marked));
    pen.heading(&heading, '=', ink);
    pen.paragraph(0, &reached(marked));
    changes(pen, marked);
    if marked.reasoning.all().1 > 0 {
        pen.paragraph(0, &reasoning(marked));
    }
    if let Some(first) = &marked.first {
        pen.paragraph(0, &sentence(first));
    }
    let unsafe_because = marked.unsafe_because();
    if !unsafe_because.is_empty() {
        pen.gap();
        pen.heading("unsafe, and not passed whatever the points", '-', Ink::Stop);
    }
    for reason in &unsafe_because {
        pen.hanging(0, "- ", &sentence(reason), Ink::Usual);
    }
    let whole = |target: &&TargetMark| target.eighths == target.weight * WHOLE;
    let (missed, found): (Vec<_>, Vec<_>) = marked
        .targets
        .iter()
        .partition(|target| target.eighths == 0);
    let partly: Vec<_> = found.into_iter().filter(|target| !whole(target)).collect();
    lessons(pen, "missed", &missed, survey);
    lessons(pen, "found in part", &partly, survey);
    claims(pen, marked, sheet, survey);
}

fn claims(pen: &mut Pen, marked: &Marked, sheet: &Source, survey: &Source) {
    if !marked.claims.is_empty() {
        pen.gap();
        pen.heading("claimed", '-', Ink::Usual);
    }
    for claim in &marked.claims {
        pen.gap();
        let line = sheet.line_of(claim.span.start);
        pen.hanging(0, &format!("sheet line {line}  "), &claim.words, Ink::Usual);
        let (fate, eighths) = (claim.fate.words(), claim.eighths);
        let says = format!("{fate}: {} {}", points(eighths), unit(eighths));
        pen.paragraph(4, &sentence(&says));
        for told in &claim.reasoned {
            pen.paragraph(4, &sentence(told));
        }
        if let (Fate::FalseAlarm, Some(refuted)) = (claim.fate, &claim.refuted) {
            pen.paragraph(4, &sentence(&refuted.says));
            for label in &refuted.lines {
                let line = survey.line_of(label.span.start);
                pen.hanging(4, &format!("line {line}  "), &label.words, Ink::Usual);
            }
        }
    }
}

fn result(marked: &Marked) -> &'static str {
    if marked.passed() {
        "passed"
    } else {
        "not passed"
    }
}

/// What a person has changed, and whether the result of the exercise changes by it.
fn changes(pen: &mut Pen, marked: &Marked) {
    for change in &marked.changes {
        let says = format!("changed: {}", change.says());
        pen.paragraph(0, &sentence(&says));
    }
    let Some(before) = marked
        .unchanged
        .as_deref()
        .filter(|_| !marked.changes.is_empty())
    else {
        return;
    };
    let (was, is) = (result(before), result(marked));
    let says = if was == is {
        format!("it was {} % before, and {was} as well", before.hundredths())
    } else {
        format!(
            "it was {} % before, and {was}: the result changes by it",
            before.hundredths()
        )
    };
    pen.paragraph(0, &sentence(&says));
}

/// How the trainee knows, beside the points.
fn reasoning(marked: &Marked) -> String {
    let (reached, of) = marked.reasoning.all();
    let of_parts = marked.reasoning;
    let (lines, steps, first) = (of_parts.lines, of_parts.steps, of_parts.first);
    format!(
        "Reasoning: {reached} of {of}; lines that belong together {} of {}, what to do {} of {}, what first {} of {}.",
        lines.0, lines.1, steps.0, steps.1, first.0, first.1
    )
}

/// What there was to see of each of these.
fn lessons(pen: &mut Pen, heading: &str, targets: &[&TargetMark], survey: &Source) {
    if targets.is_empty() {
        return;
    }
    pen.gap();
    pen.heading(heading, '-', Ink::Wait);
    for target in targets {
        pen.gap();
        let says = format!("{}{}", sentence(&target.title), class(target));
        pen.hanging(0, "", &says, Ink::Strong);
        lesson(pen, target, survey);
    }
}

fn reached(marked: &Marked) -> String {
    let found = marked.hits();
    let mut words = format!(
        "{} of {} points, which is {} % ({PASS_MARK} % is needed); {} of {} found, {}.",
        points(marked.score.0),
        points(marked.score.1),
        marked.hundredths(),
        found,
        marked.targets.len(),
        number(marked.false_alarms(), "false alarm", "false alarms"),
    );
    let (said, is) = marked.verdict;
    words.push_str(&format!(" The job comes to `{}`", is.words()));
    if said == is {
        words.push_str(", as the sheet says.");
    } else {
        words.push_str(&format!("; the sheet says `{}`.", said.words()));
    }
    if marked.false_stop > 0 {
        let cost = points(-marked.false_stop);
        words.push_str(&format!(
            " It was stopped without need: {cost} {}.",
            unit(marked.false_stop)
        ));
    }
    words
}

/// The class of what there was to find; of what is missing, that of what waits for it.
fn class(target: &TargetMark) -> &'static str {
    match target.class {
        Class::Hazard => " A hazard.",
        Class::Preparation => " A preparation.",
        Class::Advisory => " An advisory.",
    }
}

fn lesson(pen: &mut Pen, target: &TargetMark, survey: &Source) {
    let lesson: &Lesson = &target.lesson;
    // A fault that was written by hand has the title of what it raises, and that was said above.
    let says = lesson.says.strip_prefix(&format!("{}: ", target.title));
    pen.paragraph(4, &sentence(says.unwrap_or(&lesson.says)));
    for (line, words) in &lesson.lines {
        let words = if words.is_empty() {
            survey.slice(survey.line_span(*line)).trim()
        } else {
            words
        };
        pen.hanging(4, &format!("line {line}  "), words, Ink::Usual);
    }
    for (limit, source) in &lesson.limits {
        pen.paragraph(4, &sentence(&format!("limit {limit} ({})", cited(source))));
    }
    if !lesson.because.is_empty() {
        pen.paragraph(4, &sentence(&format!("why: {}", lesson.because)));
    }
    if let Some(step) = &lesson.step {
        pen.paragraph(4, &sentence(&format!("what to do: {step}")));
    }
    if let Some(source) = &lesson.source {
        pen.paragraph(4, &sentence(&format!("source: {}", cited(source))));
    }
}

fn cited(source: &Citation) -> String {
    let mut cited = source.work.clone();
    if let Some(clause) = &source.clause {
        cited += &format!(", {clause}");
    }
    if !source.certainty.is_empty() {
        cited += &format!("; {}", source.certainty);
    }
    cited
}

fn unit(eighths: i64) -> &'static str {
    if eighths.abs() == WHOLE {
        "point"
    } else {
        "points"
    }
}

/// Eighths as points with at most three decimals: `2.25`.
fn points(eighths: i64) -> String {
    let sign = if eighths < 0 { "−" } else { "" };
    let thousandths = eighths.abs() * 1000 / WHOLE;
    let (whole, rest) = (thousandths / 1000, format!("{:03}", thousandths % 1000));
    let rest = rest.trim_end_matches('0');
    let point = if rest.is_empty() { "" } else { "." };
    format!("{sign}{whole}{point}{rest}")
}

/// The tables of a class in a few sentences.
pub fn summed_up(pen: &mut Pen, class: &Summed, compared: Option<&Compared>) {
    for row in &class.trainees {
        let (sensitivity, bias) = tables::shown(row.skill);
        let of = row.offered;
        let skill = match row.skill {
            Some(_) => format!(
                "of the reasons {} of {} that were so, {} of {} that were not: sensitivity {sensitivity}, bias {bias}",
                of.claimed, of.so, of.in_vain, of.not_so
            ),
            None => "no sensitivity, since the sheets offered nothing to tell apart".to_string(),
        };
        let says = format!(
            "{} % in {}, {} passed; {} of {} found, {}, {}; {skill}",
            row.score,
            number(row.sheets, "sheet", "sheets"),
            row.passed,
            row.hits,
            row.targets,
            number(row.false_alarms, "false alarm", "false alarms"),
            number(row.hazards_let_pass, "hazard let pass", "hazards let pass"),
        );
        pen.hanging(0, &format!("{}  ", row.name), &says, Ink::Usual);
    }
    pen.gap();
    if let Some(worst) = class.faults.first().filter(|row| row.found < row.asked) {
        let (title, asked, missed) = (&worst.title, worst.asked, worst.asked - worst.found);
        pen.paragraph(0, &format!("Most missed: {title} ({missed} of {asked})."));
    }
    if let Some((reason, count)) = class.alarms.first() {
        pen.paragraph(0, &format!("Most claimed in vain: {reason} ({count})."));
    }
    pen.paragraph(0, &pages::reliability(class));
    if let Some(compared) = compared {
        between_markers(pen, compared);
    }
}

/// How far markers agree, and what was left out of it.
fn between_markers(pen: &mut Pen, compared: &Compared) {
    for (question, agreement) in &compared.by_question {
        let says = format!(
            "Between markers, of {question}: {}.",
            tables::agreed(agreement)
        );
        pen.paragraph(0, &says);
    }
    if let Some(first) = compared.alone.first() {
        let says = format!(
            "{} of {} have one marker alone and were left out, the first {}, {}, {}; `class.html` lists them.",
            compared.alone.len(),
            number(compared.rows, "row", "rows"),
            first.exercise,
            first.trainee,
            first.asked.words(),
        );
        pen.paragraph(0, &says);
    }
}
