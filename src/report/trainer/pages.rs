//! Pages for people: an exercise on paper, the tables of a class, the contents of a course.
//!
//! Contract: whole files; those in HTML without anything from elsewhere. They can be printed in black on white, and
//! nothing is told by colour alone.

use super::tables::{agreed, shown};
use crate::pen::number;
use maud::{DOCTYPE, Markup, PreEscaped, html};
use wetside_trainer::class::{Class, Compared};
use wetside_trainer::course::Made;
use wetside_trainer::sheet::MARKING;
use wetside_trainer::{Difficulty, Exercise, Key, KeyFinding};

/// For whom a paper is, and how long it may take.
#[derive(Clone, Copy, Debug, Default)]
pub struct Sitting<'a> {
    pub trainee: Option<&'a str>,
    pub minutes: Option<u32>,
}

/// Exercises on paper: of each the survey with its lines numbered, room for claims, the reasons offered; and once
/// how answers are marked.
pub fn on_paper(exercises: &[&Exercise], sitting: Sitting<'_>) -> String {
    let title = match (sitting.trainee, exercises) {
        (Some(trainee), _) => trainee.to_string(),
        (None, [one]) => format!("Exercise {}", one.number),
        (None, several) => format!("Exercises 1 to {}", several.len()),
    };
    let body = html! {
        @if let Some(trainee) = sitting.trainee { h1 { (trainee) } }
        @if let Some(minutes) = sitting.minutes {
            p { b { (minutes) " minutes for " (number(exercises.len(), "exercise", "exercises")) "." } " Begin: " i.clock {} " End: " i.clock {} " Seen by: " i.clock {} }
        }
        @for exercise in exercises { (one_on_paper(exercise, sitting)) }
        h2.sheet { "How your answers are marked" }
        @for block in MARKING.trim_end().split("\n\n") { (marking(block)) }
    };
    whole(&title, &body)
}

fn one_on_paper(exercise: &Exercise, sitting: Sitting<'_>) -> Markup {
    let (survey, key, number) = (&exercise.survey, &exercise.key, exercise.number);
    let width = survey.line_count().to_string().len();
    let fill = html! {
        p.fill {
            span { "Name or number: " @match sitting.trainee { Some(trainee) => b { (trainee) }, None => i {} } }
            " " span { "Date: " i {} }
        }
    };
    html! {
        h1.sheet[number > 1] { "Exercise " (number) " " small { (key.exercise) } }
        (fill)
        p { "Find what is wrong in this survey, and what cannot be decided because a line is missing or unknown. There may be nothing. What you claim and is not so costs marks. Write your answers on the sheet behind the survey." }
        h2 { "The survey" }
        pre {
            @for line in 1..=survey.line_count() {
                (numbered(line, width, survey.slice(survey.line_span(line))))
            }
        }
        h2.sheet { "Exercise " (number) ": your answers " small { (key.exercise) } }
        (fill)
        p {
            "The job as it stands (ring one): "
            b.ring { "clear" } " " b.ring { "not yet" } " " b.ring { "do not start" }
        }
        (claims(key))
        p.fill { span { "Which row is to be seen to first: " i.clock {} } }
        @if !key.in_own_words() { (lists(key)) }
    }
}

/// Room for claims, and how to fill it.
fn claims(key: &Key) -> Markup {
    let (reason, step) = if key.in_own_words() {
        (
            "what is wrong, in words of your own",
            "what to do about it, in words of your own",
        )
    } else {
        (
            "its number in the list below, or words of your own where none says it",
            "what to do about it, by its number in the list below",
        )
    };
    html! {
        p { "One row for each thing that you found. Line: its number in the survey. Class: H for a hazard, P for a preparation, A for an advisory. Reason: " (reason) ". With: the other lines that it rests on. Do: " (step) ". For what cannot be decided, leave the class empty and write the missing field" @if !key.in_own_words() { " or F and its number" } " in place of the reason." }
        table.claims {
            thead { tr { th {} th { "Line" } th { "Class" } th { "Reason, or the missing field" } th { "With" } th { "Do" } } }
            tbody { @for row in 1..=ROWS { tr { td { (row) } td {} td {} td {} td {} td {} } } }
        }
    }
}

/// What there is to choose from.
fn lists(key: &Key) -> Markup {
    html! {
        h2 { "Reasons to choose from" }
        p { "Some are true of this survey, most are not; there may be none." }
        ol.reasons { @for reason in &key.reasons { li { (reason) } } }
        h2 { "Fields that may be missing" }
        p { "Some are missing and decide something, most are not; any other may be missing too." }
        ol.reasons { @for field in &key.fields { li { (field.field) ": " (field.is) } } }
        h2 { "Steps to choose from" }
        p { "Some are to be taken here, most are not." }
        ol.reasons { @for step in &key.steps { li { (step) } } }
    }
}

/// One table of the rules of marking, or a paragraph.
fn marking(block: &str) -> Markup {
    if !block.starts_with('|') {
        return html! { p { (block) } };
    }
    let cells = |line: &str| -> Vec<String> {
        line.trim_matches('|')
            .split('|')
            .map(|cell| cell.trim().to_string())
            .collect()
    };
    let mut lines = block.lines();
    let head = lines.next().map(cells).unwrap_or_default();
    html! {
        table.marking {
            thead { tr { @for cell in &head { th { (cell) } } } }
            tbody { @for line in lines.skip(1) { tr { @for cell in cells(line) { td { (cell) } } } } }
        }
    }
}

/// One line of the survey. Where it is too long for the paper it goes on below its own first letter, so
/// that the numbers keep a column of their own.
fn numbered(line: usize, width: usize, text: &str) -> Markup {
    let indent = text.len() - text.trim_start().len();
    let hang = width + 2 + indent.min(DEEPEST_HANG) + 2;
    html! {
        span.l style=(format!("padding-left:{hang}ch;text-indent:-{hang}ch")) {
            span.n { (format!("{line:>width$}")) } "  " (text) "\n"
        }
    }
}

/// Rows for claims on paper: more than an exercise has findings as a rule.
const ROWS: usize = 12;
/// Indents beyond this would leave too little room on paper.
const DEEPEST_HANG: usize = 12;

/// The tables of a class; `compared` is how far other markers agree.
pub fn of_class(class: &Class, compared: Option<&Compared>) -> String {
    let trainees = class.trainees.iter().map(|row| {
        let (sensitivity, bias) = shown(row.skill);
        let reasoning = row.reasoning.all();
        vec![
            row.name.clone(),
            row.sheets.to_string(),
            row.passed.to_string(),
            format!("{} %", row.score),
            format!("{} of {}", row.hits, row.targets),
            row.false_alarms.to_string(),
            row.hazards_let_pass.to_string(),
            format!("{} of {}", reasoning.0, reasoning.1),
            format!("{} of {}", row.offered.claimed, row.offered.so),
            format!("{} of {}", row.offered.in_vain, row.offered.not_so),
            sensitivity,
            bias,
        ]
    });
    let trainees_head = [
        "Trainee",
        "Sheets",
        "Passed",
        "Score",
        "Found",
        "False alarms",
        "Hazards let pass",
        "Reasoning",
        "Claimed of what was so",
        "Claimed of what was not",
        "Sensitivity d′",
        "Bias c",
    ];
    let faults = class.faults.iter().map(|row| {
        let counts = [row.asked, row.found, row.asked - row.found].map(|count| count.to_string());
        std::iter::once(row.title.clone()).chain(counts).collect()
    });
    let alarms = class.alarms.iter();
    let alarms = alarms.map(|(reason, count)| vec![reason.clone(), count.to_string()]);
    let body = html! {
        h1 { "The class" }
        h2 { "Trainees" }
        (table(&trainees_head, trainees))
        p {
            "Sensitivity, of the reasons that the sheets offered: 0 is guessing, 1 fair, 2 and more good. Bias: above 0 claims too little, below 0 too much. Nineteen of twenty intervals hold the true figure, after however few answers. After few they are wide: a test of some four exercises tells whether somebody guesses, which is so unless the whole interval lies above 0, and not who of two is better, unless their intervals lie apart."
        }
        p { (reliability(class)) }
        h2 { "Faults, the most missed first" }
        (table(&["Fault", "Asked", "Found", "Missed"], faults))
        h2 { "Claimed in vain, the most common first" }
        (table(&["Reason", "Times"], alarms))
        @if let Some(compared) = compared {
            h2 { "How far markers agree" }
            (markers(compared))
        }
    };
    whole("The class", &body)
}

/// How far the scores would come out alike in another such test, in a sentence.
pub fn reliability(class: &Class) -> String {
    match class.reliability {
        Some(alpha) => format!(
            "Reliability of the scores of those who did every exercise (Cronbach's alpha): {alpha:.2}."
        ),
        None => {
            "Too few people did every exercise for the reliability of their scores.".to_string()
        }
    }
}

fn markers(compared: &Compared) -> Markup {
    html! {
        @if compared.by_question.is_empty() { p { "No question was answered by two of them." } }
        @for (question, agreement) in &compared.by_question {
            p { (format!("Of {question}: {}.", agreed(agreement))) }
        }
        p { "Alpha is what markers agree beyond chance: 1 is full agreement, 0 no more than chance; nineteen of twenty such intervals hold the true figure. Where nearly everything was found, or nearly nothing, alpha is low although the markers agree." }
        @if !compared.alone.is_empty() {
            p { (format!("{} of {} have one marker alone, and were left out:", compared.alone.len(), number(compared.rows, "row", "rows"))) }
            (table(&["Exercise, trainee, what was asked"], compared.alone.iter().map(|row| vec![format!("{}, {}, {}", row.exercise, row.trainee, row.asked.words())])))
        }
    }
}

/// A cell of no more letters stands on one line: a day, or a count of a count.
const SHORT: usize = 10;

/// A table whose first column is words and whose others are numbers.
pub(super) fn table(head: &[&str], rows: impl Iterator<Item = Vec<String>>) -> Markup {
    let rows: Vec<Vec<String>> = rows.collect();
    if rows.is_empty() {
        return html! { p { "None." } };
    }
    html! {
        div.wide {
            table {
                thead { tr { @for (at, cell) in head.iter().enumerate() { th.number[at > 0] { (cell) } } } }
                tbody {
                    @for cells in &rows {
                        tr { @for (at, cell) in cells.iter().enumerate() { td.number[at > 0].short[at > 0 && cell.len() <= SHORT] { (cell) } } }
                    }
                }
            }
        }
    }
}

pub(super) fn whole(title: &str, body: &Markup) -> String {
    let page = html! {
        (DOCTYPE)
        html lang="en-GB" {
            head {
                meta charset="utf-8";
                meta name="viewport" content="width=device-width";
                title { (title) }
                style { (PreEscaped(STYLE)) (PreEscaped(foot(title))) }
            }
            body { (body) }
        }
    };
    format!("{}\n", page.into_string())
}

/// What each printed page has at its foot, so that loose ones find together again.
fn foot(title: &str) -> String {
    let plain = |sign: char| match sign {
        sign if sign.is_alphanumeric() || sign == ' ' => sign.to_string(),
        other => format!("\\{:x} ", u32::from(other)),
    };
    let title: String = title.chars().map(plain).collect();
    format!(
        "@page {{ @bottom-right {{ font: 8pt serif; content: \"{title}, \" counter(page) \" of \" counter(pages) }} }}\n"
    )
}

/// The trainer's table of contents of a course, in Markdown: what stands where, and why.
pub fn contents(course: &[Made]) -> String {
    let mut page = String::from(
        "# What the exercises hold\n\nFor the trainer only. Lines are those of the trainee's survey.\n",
    );
    for made in course {
        let (entry, key) = (&made.entry, &made.exercise.key);
        let how = match &entry.draw {
            None => "written by hand",
            Some(options) => options
                .difficulty
                .map_or("of any difficulty", Difficulty::word),
        };
        page.push_str(&format!(
            "\n## {}. {}\n\nPractises {}. From `{}`, {how}.\n\n",
            made.exercise.number, entry.title, entry.practises, key.made_from
        ));
        if key.faults.is_empty() {
            page.push_str("- No fault: the survey is clear.\n");
        }
        for fault in &key.faults {
            let raised: Vec<String> = fault.findings.iter().map(raised).collect();
            page.push_str(&format!("- {}: {}\n", fault.title, raised.join("; ")));
        }
        for decoy in &key.decoys {
            let lines: Vec<String> = decoy.lines.iter().map(usize::to_string).collect();
            page.push_str(&format!(
                "- Looks wrong and is right, line {}: {} ({})\n",
                lines.join(", "),
                decoy.title,
                decoy.because
            ));
        }
    }
    page
}

fn raised(finding: &KeyFinding) -> String {
    match finding {
        KeyFinding::Rule { rule, line, .. } => format!("line {line}, `{rule}`"),
        KeyFinding::Missing { fact, line } => format!("near line {line}, `{fact}` is missing"),
    }
}

const STYLE: &str = "
@page { size: A4; margin: 15mm 14mm }
body { font: 11pt/1.4 serif; max-width: 48rem; margin: 1rem auto; padding: 0 1rem; color: #000; background: #fff }
h1 { font-size: 1.4rem } h2 { font-size: 1.1rem; break-after: avoid }
small { font: .6em monospace }
pre { font: 8.5pt/1.4 monospace; margin: 0; white-space: pre-wrap; overflow-wrap: anywhere }
.l { display: block; break-inside: avoid }
.n { user-select: none; font-weight: bold }
.wide { overflow-x: auto }
table { border-collapse: collapse; width: calc(100% - 1px) }
th, td { border: 1px solid #000; padding: .2rem .4rem; text-align: left; vertical-align: top }
thead { display: table-header-group } tr { break-inside: avoid }
td.number, th.number { text-align: right; font-variant-numeric: tabular-nums }
td.short { white-space: nowrap } td:empty { min-width: 5rem }
.claims { table-layout: fixed } .claims td { height: 1.4rem }
.claims th:first-child { width: 1.6rem } .claims th:nth-child(2), .claims th:nth-child(3) { width: 2.8rem } .claims th:nth-child(5) { width: 6rem } .claims th:last-child { width: 22% }
.marking { font-size: 9.5pt; margin: .6rem 0 }
.fill span { white-space: nowrap } .fill i { display: inline-block; width: 11rem; border-bottom: 1px solid #000 }
.clock { display: inline-block; width: 5rem; border-bottom: 1px solid #000 }
.ring { display: inline-block; margin: .2rem .8rem; font-weight: normal }
.reasons { columns: 18rem 2; column-gap: 2.4rem; font-size: 9.5pt } .reasons li { break-inside: avoid; margin-left: .5rem }
@media print { body { margin: 0; padding: 0; max-width: none } pre { font: 8pt/1.28 monospace } .sheet { break-before: page }
  .said { columns: 2; column-gap: 8mm } .said h2:first-child { margin-top: 0 } .wide { overflow: visible; font-size: 8.5pt }
  .marking { font-size: 8.2pt; line-height: 1.25; margin: .3rem 0 } .marking th, .marking td { padding: .05rem .3rem } .marking + p { font-size: 9pt; margin: .4rem 0 } }
";
