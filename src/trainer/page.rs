//! Pages for people: an exercise on paper, and the tables of a class.
//!
//! Contract: whole HTML files without anything from elsewhere; every word that came from a file is
//! escaped. They can be printed in black on white, and nothing is told by colour alone.

use super::class::{Class, shown};
use super::make::Exercise;
use super::skill::Agreement;

/// An exercise on paper: the survey with its lines numbered, room for claims, the reasons offered.
pub fn on_paper(exercise: &Exercise) -> String {
    let (survey, key) = (&exercise.survey, &exercise.key);
    let width = survey.line_count().to_string().len();
    let lines: Vec<String> = (1..=survey.line_count())
        .map(|line| numbered(line, width, survey.slice(survey.line_span(line))))
        .collect();
    let row = "<tr><td></td><td></td><td></td><td></td></tr>\n";
    let reasons: Vec<String> = key
        .reasons
        .iter()
        .map(|reason| format!("<li>{}</li>\n", escaped(reason)))
        .collect();
    let fill =
        "<p class=\"fill\"><span>Name or number: <i></i></span> <span>Date: <i></i></span></p>";
    let body = format!(
        "<h1>Exercise {number} <small>{id}</small></h1>
{fill}
<p>Find what is wrong in this survey, and what cannot be decided because a line is missing or unknown. There may be nothing. What you claim and is not so costs marks. Write your answers on the sheet behind the survey.</p>
<h2>The survey</h2>
<pre>{lines}</pre>
<h2 class=\"sheet\">Exercise {number}: your answers <small>{id}</small></h2>
{fill}
<p>The job as it stands (ring one): <b class=\"ring\">clear</b> <b class=\"ring\">not yet</b> <b class=\"ring\">do not start</b></p>
<p>One row for each thing that you found. Line: its number in the survey. Class: H for a hazard, P for a preparation, A for an advisory. Reason: its number in the list below. For what cannot be decided, leave class and reason empty and write in the last column which field is missing.</p>
<table class=\"claims\"><thead><tr><th>Line</th><th>Class</th><th>Reason</th><th>Missing field, or a note for yourself</th></tr></thead>
<tbody>
{rows}</tbody></table>
<h2>Reasons to choose from</h2>
<p>Some are true of this survey, most are not; there may be none.</p>
<ol class=\"reasons\">
{reasons}</ol>
",
        number = exercise.number,
        id = escaped(&key.exercise),
        lines = lines.concat(),
        rows = row.repeat(ROWS),
        reasons = reasons.concat(),
    );
    whole(&format!("Exercise {}", exercise.number), &body)
}

/// One line of the survey. Where it is too long for the paper it goes on below its own first letter, so
/// that the numbers keep a column of their own.
fn numbered(line: usize, width: usize, text: &str) -> String {
    let indent = text.len() - text.trim_start().len();
    let hang = width + 2 + indent.min(DEEPEST_HANG) + 2;
    format!(
        "<span class=\"l\" style=\"padding-left:{hang}ch;text-indent:-{hang}ch\"><span class=\"n\">{line:>width$}</span>  {}\n</span>",
        escaped(text)
    )
}

/// Rows for claims on paper: more than an exercise has findings as a rule.
const ROWS: usize = 12;
/// Indents beyond this would leave too little room on paper.
const DEEPEST_HANG: usize = 12;

/// The tables of a class; `other` is how far another marker agrees.
pub fn of_class(class: &Class, other: Option<&Agreement>) -> String {
    let trainees = class.trainees.iter().map(|row| {
        let (sensitivity, bias) = shown(row.skill);
        vec![
            row.name.clone(),
            row.sheets.to_string(),
            row.passed.to_string(),
            format!("{} %", row.score),
            format!("{} of {}", row.hits, row.targets),
            row.false_alarms.to_string(),
            row.missed_hazards.to_string(),
            sensitivity,
            bias,
        ]
    });
    let faults = class.faults.iter().map(|row| {
        vec![
            row.title.clone(),
            row.asked.to_string(),
            row.found.to_string(),
            (row.asked - row.found).to_string(),
        ]
    });
    let alarms = class
        .alarms
        .iter()
        .map(|(reason, count)| vec![reason.clone(), count.to_string()]);
    let mut body = String::from("<h1>The class</h1>\n<h2>Trainees</h2>\n");
    body.push_str(&table(
        &[
            "Trainee",
            "Sheets",
            "Passed",
            "Score",
            "Found",
            "False alarms",
            "Missed hazards",
            "Sensitivity d′",
            "Bias c",
        ],
        trainees,
    ));
    body.push_str("<p>Sensitivity: 0 is guessing, 1 fair, 2 and more good. Bias: above 0 claims too little, below 0 too much. <i>Too few</i>: fewer than ten things to find, or to leave alone; then there is no figure.</p>\n<h2>Faults, the most missed first</h2>\n");
    body.push_str(&table(&["Fault", "Asked", "Found", "Missed"], faults));
    body.push_str("<h2>Claimed in vain, the most common first</h2>\n");
    body.push_str(&table(&["Reason", "Times"], alarms));
    if let Some(agreement) = other {
        body.push_str("<h2>Two markers</h2>\n");
        body.push_str(&two_markers(agreement));
    }
    whole("The class", &body)
}

fn two_markers(agreement: &Agreement) -> String {
    let [both, first, second, neither] = agreement.table.map(|count| count.to_string());
    let rows = [
        vec!["this marking: found".to_string(), both, first],
        vec!["this marking: not found".to_string(), second, neither],
    ];
    let kappa = agreement
        .kappa
        .map_or("none: both always say the same".to_string(), |kappa| {
            format!("{kappa:.2}")
        });
    format!(
        "{}<p>Alike: {:.0} %. Cohen's kappa: {kappa}. Adjusted for prevalence: {:.2}.</p>
<p>Kappa is what two markers agree beyond chance: 1 is full agreement, 0 no more than chance. Where nearly everything was found, or nearly nothing, kappa is low although the markers agree; the adjusted figure is not.</p>\n",
        table(
            &["", "the other: found", "the other: not found"],
            rows.into_iter()
        ),
        agreement.alike * 100.0,
        agreement.adjusted,
    )
}

/// A table whose first column is words and whose others are numbers.
fn table(head: &[&str], rows: impl Iterator<Item = Vec<String>>) -> String {
    let row = |cells: &[String], tag: &str| -> String {
        let cell = |(at, cell): (usize, &String)| {
            let class = if at == 0 { "" } else { " class=\"number\"" };
            format!("<{tag}{class}>{}</{tag}>", escaped(cell))
        };
        let cells: String = cells.iter().enumerate().map(cell).collect();
        format!("<tr>{cells}</tr>")
    };
    let rows: Vec<String> = rows
        .map(|cells| format!("{}\n", row(&cells, "td")))
        .collect();
    if rows.is_empty() {
        return "<p>None.</p>\n".to_string();
    }
    let head: Vec<String> = head.iter().map(ToString::to_string).collect();
    format!(
        "<div class=\"wide\"><table><thead>{}</thead>\n<tbody>\n{}</tbody></table></div>\n",
        row(&head, "th"),
        rows.concat()
    )
}

fn escaped(text: &str) -> String {
    text.replace('&', "&amp;")
        .replace('<', "&lt;")
        .replace('>', "&gt;")
        .replace('"', "&quot;")
}

fn whole(title: &str, body: &str) -> String {
    format!(
        "<!DOCTYPE html>
<html lang=\"en-GB\">
<head>
<meta charset=\"utf-8\">
<meta name=\"viewport\" content=\"width=device-width\">
<title>{}</title>
<style>
@page {{ size: A4; margin: 15mm 14mm }}
body {{ font: 11pt/1.4 serif; max-width: 48rem; margin: 1rem auto; padding: 0 1rem; color: #000; background: #fff }}
h1 {{ font-size: 1.4rem }} h2 {{ font-size: 1.1rem; break-after: avoid }}
small {{ font: .6em monospace }}
pre {{ font: 8.5pt/1.4 monospace; margin: 0; white-space: pre-wrap; overflow-wrap: anywhere }}
.l {{ display: block; break-inside: avoid }}
.n {{ user-select: none; font-weight: bold }}
.wide {{ overflow-x: auto }}
table {{ border-collapse: collapse; width: 100% }}
th, td {{ border: 1px solid #000; padding: .2rem .4rem; text-align: left; vertical-align: top }}
thead {{ display: table-header-group }} tr {{ break-inside: avoid }}
td.number, th.number {{ text-align: right; font-variant-numeric: tabular-nums }}
td.number {{ white-space: nowrap }}
.claims {{ table-layout: fixed }} .claims td {{ height: 1.4rem }}
.claims th:nth-child(-n+3) {{ width: 4rem }}
.fill span {{ white-space: nowrap }} .fill i {{ display: inline-block; width: 11rem; border-bottom: 1px solid #000 }}
.ring {{ display: inline-block; margin: .2rem .8rem; font-weight: normal }}
.reasons {{ columns: 18rem 2; font-size: 9.5pt }} .reasons li {{ break-inside: avoid; margin-left: .5rem }}
@media print {{ body {{ margin: 0; padding: 0; max-width: none }} pre {{ font: 8pt/1.28 monospace }} .sheet {{ break-before: page }} }}
</style>
</head>
<body>
{body}</body>
</html>
",
        escaped(title)
    )
}
