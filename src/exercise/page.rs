//! Pages for people: an exercise on paper, and the tables of a class.
//!
//! Contract: whole HTML files without anything from elsewhere; every word that came from a file is
//! escaped. They can be printed in black on white, and nothing is told by colour alone.

use super::class::{Class, shown};
use super::key::Key;
use super::skill::Agreement;
use crate::source::Source;

/// An exercise on paper: the survey with its lines numbered, room for claims, the reasons offered.
pub fn on_paper(survey: &Source, key: &Key) -> String {
    let width = survey.line_count().to_string().len();
    let lines: Vec<String> = (1..=survey.line_count())
        .map(|line| {
            let text = survey.slice(survey.line_span(line));
            format!(
                "<span class=\"n\">{line:>width$}</span>  {}\n",
                escaped(text)
            )
        })
        .collect();
    let rows = "<tr><td></td><td></td><td></td></tr>\n".repeat(ROWS);
    let reasons: Vec<String> = key
        .reasons
        .iter()
        .map(|reason| format!("<li>{}</li>\n", escaped(reason)))
        .collect();
    let body = format!(
        "<h1>Exercise {id}</h1>
<p class=\"fill\">Name or number: <span></span> Date: <span></span></p>
<p>Find what is wrong in this survey and what cannot be decided. There may be nothing. What you claim and is not so costs marks.</p>
<h2>The survey</h2>
<pre>{lines}</pre>
<h2 class=\"sheet\">Your answers</h2>
<p>The job as it stands (ring one): &nbsp; clear &nbsp;/&nbsp; not yet &nbsp;/&nbsp; do not start</p>
<table><thead><tr><th class=\"line\">Line</th><th class=\"class\">Hazard, preparation or advisory</th><th>Reason, from the list; or: cannot be decided, because … is missing</th></tr></thead>
<tbody>
{rows}</tbody></table>
<h2>Reasons to choose from</h2>
<p>Some are true of this survey, most are not.</p>
<ol class=\"reasons\">
{reasons}</ol>
",
        id = escaped(&key.exercise),
        lines = lines.concat(),
        reasons = reasons.concat(),
    );
    whole(&format!("Exercise {}", key.exercise), &body)
}

/// Rows for claims on paper.
const ROWS: usize = 12;

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
    body.push_str("<p>Sensitivity: 0 is guessing, 1 fair, 2 and more good. Bias: above 0 claims too little, below 0 too much. <i>Too few</i>: fewer than ten things to find, or to leave alone.</p>\n<h2>Faults, the most missed first</h2>\n");
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
        "{}<p>Alike: {:.0} %. Cohen's kappa: {kappa}. Adjusted for prevalence: {:.2}.</p>\n",
        table(
            &["", "the other: found", "the other: not found"],
            rows.into_iter()
        ),
        agreement.alike * 100.0,
        agreement.adjusted,
    )
}

fn table(head: &[&str], rows: impl Iterator<Item = Vec<String>>) -> String {
    let cells = |cells: Vec<String>| -> String {
        cells
            .iter()
            .map(|cell| format!("<td>{}</td>", escaped(cell)))
            .collect()
    };
    let rows: Vec<String> = rows
        .map(|row| format!("<tr>{}</tr>\n", cells(row)))
        .collect();
    if rows.is_empty() {
        return "<p>None.</p>\n".to_string();
    }
    let head: String = head
        .iter()
        .map(|cell| format!("<th>{}</th>", escaped(cell)))
        .collect();
    format!(
        "<table><thead><tr>{head}</tr></thead>\n<tbody>\n{}</tbody></table>\n",
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
body {{ font: 11pt/1.4 serif; max-width: 48rem; margin: 1rem auto; padding: 0 1rem; color: #000; background: #fff }}
h1 {{ font-size: 1.4rem }} h2 {{ font-size: 1.1rem; break-after: avoid }}
pre {{ font: 8.5pt/1.35 monospace; white-space: pre-wrap }}
.n {{ color: #555; user-select: none }}
table {{ border-collapse: collapse; width: 100% }}
th, td {{ border: 1px solid #000; padding: .2rem .4rem; text-align: left; vertical-align: top }}
td:empty {{ height: 1.8rem }} tr {{ break-inside: avoid }}
.line {{ width: 4rem }} .class {{ width: 9rem }}
.fill span {{ display: inline-block; width: 12rem; border-bottom: 1px solid #000 }}
.reasons {{ columns: 2; font-size: 9.5pt }}
@media print {{ body {{ margin: 0; max-width: none }} .sheet {{ break-before: page }} }}
</style>
</head>
<body>
{body}</body>
</html>
",
        escaped(title)
    )
}
