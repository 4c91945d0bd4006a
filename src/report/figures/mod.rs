//! Figures as a page for people or a document for programs.
//!
//! Contract: a survey goes in, and its figures come out as the bytes that the program gives. They are
//! worked out by the engine; here they are laid out, and what has no value says why not, in its place.
//!
//! In the order of reading: [`Survey`] (what is worked out), [`page`] (all of it), `plan` with its `limits` and
//! `house` (what is told of the house), [`explanation`] (one figure, or a part of the house, in full),
//! [`document`] (for programs); `table` and `words` serve them.

mod advice;
mod curves;
mod explained;
mod house;
mod json;
mod limits;
mod plan;
mod table;
mod words;

pub use curves::{CURVES, Drawing, curve};
pub use explained::{Unexplained, explained, explanation, part};
pub use json::document;
pub use plan::{day, how, troubles};
pub use words::{clock, minutes};
use words::{plain, quantity, rough};

use super::Style;
use super::line_numbers;
use super::pen::{Ink, Pen, closed, number, sentence};
use super::plot::WIDTH;
use super::verdict::{headline, ink};
use wetside_base::finding::Judgement;
use wetside_base::problem::Problem;
use wetside_base::source::Source;
use wetside_base::vocabulary::Vocabulary;
use wetside_engine::check;
use wetside_engine::figures::explain::Worked;
use wetside_engine::figures::tell::{Told, tell};
use wetside_engine::figures::view::Refused;
use wetside_engine::figures::{self, GROUPS};
use wetside_house::{Likely, Range};
use wetside_units::{Exact, Interval};

/// What is worked out of one survey.
pub struct Survey {
    pub source: Source,
    /// What is wrong in the file; what could not be read counts as not known.
    pub problems: Vec<Problem>,
    pub figures: Vec<Worked>,
    pub told: Result<Told, Refused>,
}

impl Survey {
    /// Works out everything that can be.
    pub fn new(source: Source, vocabulary: &Vocabulary) -> Survey {
        let (facts, problems) = check::facts(&source, vocabulary);
        Survey {
            problems,
            figures: figures::all(&facts, vocabulary),
            told: tell(&facts, vocabulary),
            source,
        }
    }
}

/// Lists whose elements are drawn as tables.
const DRAWN: [&str; 2] = ["branches", "connections"];

/// What the figures of a survey decide, each with the headings of [`GROUPS`] behind it.
const DECIDE: [(&str, &[&str]); 7] = [
    (
        "how much water, and how much to dose",
        &[
            "the water",
            "the water by its parts",
            "cleaner and inhibitor",
        ],
    ),
    (
        "when it is clean, and how long that takes",
        &[
            "what counts as clean",
            "the rinse",
            "the readings of the rinse",
            "time",
        ],
    ),
    ("whether the tank runs dry", &["the tank of the machine"]),
    ("what may burst, and where air is drawn in", &["pressures"]),
    (
        "how hot it may be, and how it warms",
        &["how hot it may be", "heat"],
    ),
    ("whether the supply carries the machine", &["electricity"]),
    ("where to connect", &["the best point of connection"]),
];

/// Every figure of a survey: the verdict and the plan first, for they are what a flush goes by, then the
/// branches and the points of connection, then the figures behind them by what they decide. With `plots` the
/// curves stand in the text, as far as there is room.
pub fn page(of: &Survey, verdict: Option<&Judgement>, plots: bool, style: &Style) -> String {
    let (source, figures, told) = (&of.source, &of.figures, &of.told);
    let mut pen = Pen::new(*style);
    if let Some(judgement) = verdict {
        let words = format!("{}, for the stage {}", headline(judgement), judgement.stage);
        pen.inked(0, &closed(&words), ink(judgement.verdict));
    }
    pen.title(&format!("Figures of {}", source.name), '=', Ink::Usual);
    match told {
        Ok(told) => {
            plan::plan(&mut pen, told, figures);
            if plots {
                drawn(&mut pen, of);
            }
            house::likely(&mut pen, source, told, figures);
            house::connections(&mut pen, source, told, figures);
            advice::advice(&mut pen, &told.advice);
        }
        Err(why) => {
            pen.heading("plan and branches", '-', Ink::Usual);
            pen.paragraph(0, &format!("Not worked out: {}", closed(&why.0)));
        }
    }
    for (decides, abouts) in DECIDE {
        group(&mut pen, source, figures, decides, abouts);
    }
    contents(&mut pen, figures);
    nothing(&mut pen, figures);
    open(&mut pen, figures);
    if let Ok(told) = told {
        supposed(&mut pen, told);
    }
    pen.gap();
    if figures.iter().any(|figure| !likely(figure).is_empty()) {
        pen.paragraph(0, LIKELY);
        pen.gap();
    }
    pen.paragraph(0, MORE);
    pen.gap();
    pen.paragraph(0, CAUTION);
    pen.finish()
}

const LIKELY: &str = "After `likely` stand a likely value and, in brackets, a range that holds about nine in ten of what the numbers \
     behind a figure may come to; rules go by the range before it.";

const MORE: &str = "`--explain FIGURE` shows a figure with its numbers put in and the lines they came from, such as \
     `--explain \"rinse time\"` or `--explain branches.NAME.alone_speed`; `--explain plan`, `branches` or \
     `connections` shows what these rest on.";

const CAUTION: &str = "Caution: figures are worked out from what the survey says, for clean pipes unless it says \
     otherwise. They rank and warn; they do not design. Gauges, thermometers and the maker's limits stand above them.";

/// The curves of a survey that can be drawn, where the page is wide enough.
fn drawn(pen: &mut Pen, of: &Survey) {
    let style = *pen.style();
    if !style.drawn || style.columns() < WIDTH {
        return;
    }
    for name in ["rinse", "pump", "tank"] {
        if let Ok(drawing) = curve(&of.told, name) {
            pen.gap();
            pen.block(0, &drawing.plot);
        }
    }
}

/// The figures of what they decide that have a value.
fn group(pen: &mut Pen, source: &Source, figures: &[Worked], decides: &str, abouts: &[&str]) {
    let known = figures
        .iter()
        .filter(|figure| abouts.contains(&figure.about) && figure.value.is_ok())
        .filter(|figure| !is_nothing(figure));
    for (at, figure) in known.enumerate() {
        if at == 0 {
            pen.heading(decides, '-', Ink::Usual);
        }
        let value = figure.value.as_ref().map_or("", String::as_str);
        let likely = likely(figure);
        pen.entry(
            0,
            sentence(&plain(&figure.name)).trim_end_matches('.'),
            &format!("{value}{likely}"),
        );
        let says = match line_numbers::told(source, figure.lines.iter().copied()) {
            Some(lines) => format!("{} {}", figure.says, sentence(&lines)),
            None => figure.says.to_string(),
        };
        pen.paragraph(4, &says);
        if let Some(supposing) = &figure.supposing {
            pen.paragraph(4, &closed(&format!("Supposing {supposing}")));
        }
    }
}

/// What is likely of a figure, where that says more than its sure range.
fn likely(figure: &Worked) -> String {
    const TELLS: f64 = 0.9;
    let wide = |range: Range| range.high - range.low;
    let told = figure.likely.zip(figure.range);
    let told =
        told.filter(|(likely, (_, sure))| wide(likely.range) < TELLS * wide(Range::of(sure)));
    told.map_or(String::new(), |(Likely { value, range }, (kind, _))| {
        let value = rough(Range::point(value), kind);
        format!(", likely {value} ({})", quantity(range, kind))
    })
}

/// What each emitter holds, in one paragraph.
fn contents(pen: &mut Pen, figures: &[Worked]) {
    let of_lists = figures.iter().filter(|figure| {
        !DRAWN.contains(&figure.about) && !GROUPS.iter().any(|(about, _)| *about == figure.about)
    });
    let each: Vec<String> = of_lists
        .filter_map(|figure| {
            let value = figure.value.as_ref().ok()?;
            let name = figure.name.strip_prefix(figure.about)?;
            let name = name.trim_start_matches(", ");
            let name = name.split_once(": ").map_or(name, |(name, _)| name);
            Some(format!("{name} {value}"))
        })
        .collect();
    if !each.is_empty() {
        pen.heading("what each emitter holds", '-', Ink::Usual);
        pen.paragraph(0, &closed(&each.join("; ")));
    }
}

/// Whether the house has nothing of what a figure tells, as no flow of a heat pump where there is none.
fn is_nothing(figure: &Worked) -> bool {
    let held = figure.range.as_ref().map(|(_, range)| range);
    held.and_then(Interval::single) == Some(Exact::ZERO)
}

/// In one line what there is none of: it decides nothing.
fn nothing(pen: &mut Pen, figures: &[Worked]) {
    let none: Vec<String> = figures
        .iter()
        .filter(|figure| !DRAWN.contains(&figure.about) && is_nothing(figure))
        .map(|figure| plain(&figure.name))
        .collect();
    if !none.is_empty() {
        pen.heading("what there is none of", '-', Ink::Usual);
        pen.paragraph(0, &sentence(&none.join(", ")));
    }
}

fn open(pen: &mut Pen, figures: &[Worked]) {
    let open: Vec<&Worked> = figures
        .iter()
        .filter(|figure| figure.value.is_err() && !DRAWN.contains(&figure.about))
        .collect();
    if open.is_empty() {
        return;
    }
    let count = number(open.len(), "figure", "figures");
    pen.heading(&format!("{count} not worked out"), '-', Ink::Usual);
    for figure in open {
        let why = figure.value.as_ref().err().map_or("", String::as_str);
        pen.hanging(
            0,
            &format!("{}: ", plain(&figure.name)),
            &closed(why),
            Ink::Usual,
        );
    }
}

fn supposed(pen: &mut Pen, told: &Told) {
    if told.supposed.is_empty() {
        return;
    }
    pen.heading("supposed for plan and branches", '-', Ink::Usual);
    pen.paragraph(0, "The survey does not say these. No rule goes by them.");
    for words in &told.supposed {
        pen.hanging(0, "- ", &sentence(words), Ink::Usual);
    }
}
