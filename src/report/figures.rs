//! Figures as a page for people or a document for programs.
//!
//! Contract: a leaf. It gets the figures worked out and in words, and lays them out; what has no value
//! says why not, in its place.

use super::Style;
use super::pen::{Ink, Pen, closed, number, sentence};
use crate::figures::explain::{Explained, Line, Put, PutIn, Worked};
use crate::figures::table::Source as Origin;
use crate::source::Source;
use crate::units::Interval;
use serde_json::{Value, json};

/// The edition of the document for programs.
pub const EDITION: u32 = 1;

/// Every figure of a survey.
pub fn page(source: &Source, figures: &[Worked], style: &Style) -> String {
    let (known, open): (Vec<&Worked>, Vec<&Worked>) =
        figures.iter().partition(|figure| figure.value.is_ok());
    let mut pen = Pen::new(*style);
    pen.title(&format!("Figures of {}", source.name), '=', Ink::Usual);
    for figure in known {
        let value = figure.value.as_ref().map_or("", String::as_str);
        pen.entry(0, &figure.name, value);
        pen.paragraph(4, figure.says);
        if let Some(supposing) = &figure.supposing {
            pen.paragraph(4, &closed(&format!("Supposing {supposing}")));
        }
    }
    if !open.is_empty() {
        pen.heading(
            &format!("{} not worked out", number(open.len(), "figure", "figures")),
            '-',
            Ink::Usual,
        );
        for figure in open {
            let why = figure.value.as_ref().err().map_or("", String::as_str);
            pen.hanging(0, &format!("{}: ", figure.name), &closed(why), Ink::Usual);
        }
    }
    pen.gap();
    pen.paragraph(0, CAUTION);
    pen.finish()
}

const CAUTION: &str = "Caution: figures are worked out from what the survey says, for clean pipes unless it says \
     otherwise. They rank and warn; they do not design. Gauges, thermometers and the maker's limits stand above them.";

/// One figure with its numbers put in.
pub fn explained(source: &Source, figure: &Explained, style: &Style) -> String {
    let mut pen = Pen::new(*style);
    let worked = &figure.worked;
    pen.title(&worked.name, '=', Ink::Usual);
    pen.paragraph(0, worked.says);
    match &worked.value {
        Ok(value) => pen.entry(0, "Value", value),
        Err(why) => pen.entry(0, "No value", &closed(why)),
    }
    if let Some(supposing) = &worked.supposing {
        pen.entry(0, "Supposing", &closed(supposing));
    }
    pen.entry(0, "Formula", figure.formula);
    pen.entry(0, "Source", &from(&figure.source));
    if let Some(method) = figure.method {
        pen.entry(0, "Range", &closed(method));
    }
    for (at, input) in figure.inputs.iter().enumerate() {
        put_in(&mut pen, source, input, figure.widest == Some(at));
    }
    pen.finish()
}

fn put_in(pen: &mut Pen, source: &Source, input: &PutIn, widest: bool) {
    let value = match &input.value {
        Ok(value) => value.clone(),
        Err(why) => format!("none: {why}"),
    };
    let widens = if widest {
        " (widens the figure most)"
    } else {
        ""
    };
    pen.gap();
    pen.entry(0, input.symbol, &format!("{value}{widens}"));
    pen.paragraph(4, &sentence(&input.says));
    if let Put::Convention(origin) = input.origin {
        pen.paragraph(4, &format!("A convention: {}.", from(&origin)));
    }
    for line in &input.lines {
        pen.hanging(4, "- ", &told(source, line), Ink::Usual);
    }
}

fn told(source: &Source, line: &Line) -> String {
    format!(
        "line {}: `{}` is {}",
        source.line_of(line.span.start),
        line.fact,
        line.value
    )
}

fn from(origin: &Origin) -> String {
    format!("{} ({})", origin.work, origin.certainty)
}

/// The figures of several surveys for programs; values in words, ranges in base units.
pub fn document(surveys: &[(Source, Vec<Worked>)]) -> String {
    let one = |(source, figures): &(Source, Vec<Worked>)| {
        json!({
            "survey": source.name,
            "figures": figures.iter().map(figure).collect::<Vec<Value>>(),
        })
    };
    let document = json!({
        "figures": EDITION,
        "surveys": surveys.iter().map(one).collect::<Vec<Value>>(),
    });
    format!("{document:#}\n")
}

fn figure(worked: &Worked) -> Value {
    let end = |interval: &Interval, low: bool| {
        let end = if low { interval.low() } else { interval.high() };
        end.at().map(|at| at.to_f64())
    };
    json!({
        "name": worked.name,
        "says": worked.says,
        "value": worked.value.as_ref().ok(),
        "why_not": worked.value.as_ref().err(),
        "kind": worked.range.as_ref().map(|(kind, _)| kind.name()),
        "low": worked.range.as_ref().and_then(|(_, range)| end(range, true)),
        "high": worked.range.as_ref().and_then(|(_, range)| end(range, false)),
        "supposing": worked.supposing,
    })
}
