//! One figure, or a part of what is told of the house, in full.

use super::words::{plain, quantity};
use super::{house, plan};
use crate::Style;
use crate::line_numbers;
use crate::pen::{Ink, Pen, closed, sentence};
use wetside_base::problem::Problem;
use wetside_base::source::Source;
use wetside_base::suggest;
use wetside_base::vocabulary::Vocabulary;
use wetside_engine::check;
use wetside_engine::figures;
use wetside_engine::figures::explain::{Explained, Line, PutIn, Worked};
use wetside_engine::figures::survey::word_of;
use wetside_engine::figures::table::Source as Origin;
use wetside_engine::figures::tell::{Told, tell};
use wetside_house::Point;
use wetside_house::convention::{self, Convention};
use wetside_units::Kind;

/// Why a figure is not explained, and what to do.
pub struct Unexplained {
    pub says: String,
    pub help: String,
}

/// One figure of a survey, or one part of what is told of its house, in full; with what is wrong in
/// the file.
pub fn explanation(
    source: &Source,
    vocabulary: &Vocabulary,
    name: &str,
    style: &Style,
) -> Result<(String, Vec<Problem>), Unexplained> {
    let (facts, problems) = check::facts(source, vocabulary);
    let name = name.strip_prefix("figure.").unwrap_or(name);
    let key = name.replace(' ', "_");
    let found = figures::explain(&facts, vocabulary, name);
    if let Some(figure) = found.or_else(|| figures::explain(&facts, vocabulary, &key)) {
        return Ok((explained(source, &figure, style), problems));
    }
    let figures = figures::all(&facts, vocabulary);
    if !PARTS.contains(&name) {
        let names: Vec<String> = figures.iter().map(Worked::dotted).collect();
        let known = names.iter().map(String::as_str).chain(PARTS);
        let listed = "`wetside figures` with the survey alone lists all of them";
        return Err(Unexplained {
            says: format!("there is no figure `{name}`"),
            help: suggest::help(name, known, listed),
        });
    }
    let told = tell(&facts, vocabulary).map_err(|why| Unexplained {
        says: format!("`{name}` is not worked out: {}", why.0),
        help: "record what it waits for, and ask again".to_string(),
    })?;
    let page = part(source, name, &told, &figures, style).ok_or_else(|| Unexplained {
        says: "no points of connection are recorded".to_string(),
        help: "record `machine.points_available`: the points at which the machine could join"
            .to_string(),
    })?;
    Ok((page, problems))
}

/// One figure with its numbers put in.
pub fn explained(source: &Source, figure: &Explained, style: &Style) -> String {
    let mut pen = Pen::new(*style);
    let worked = &figure.worked;
    let title = format!("{} ({})", plain(&worked.name), worked.dotted());
    pen.title(&title, '=', Ink::Usual);
    pen.paragraph(0, worked.says);
    match &worked.value {
        Ok(value) => pen.entry(0, "Value", value),
        Err(why) => pen.entry(0, "No value", &closed(why)),
    }
    if let Some(supposing) = &worked.supposing {
        pen.entry(0, "Supposing", &closed(supposing));
    }
    pen.entry(0, "Formula", worked.formula);
    pen.entry(0, "Source", &from(&figure.source));
    if let Some(method) = figure.method {
        pen.entry(0, "Range", &closed(method));
    }
    if let Some(widens) = &figure.widens {
        pen.entry(0, "Widened most by", widens);
    }
    for (at, input) in figure.inputs.iter().enumerate() {
        put_in(&mut pen, source, input, figure.widest == Some(at));
    }
    if let Some(lines) = line_numbers::told(source, worked.lines.iter().copied()) {
        pen.gap();
        pen.entry(0, "Rests on", &closed(&lines));
    }
    pen.finish()
}

fn put_in(pen: &mut Pen, source: &Source, input: &PutIn, widest: bool) {
    let value = input.value.clone();
    let value = value.unwrap_or_else(|why| format!("none: {why}"));
    let widens = if widest {
        " (widens the figure most)"
    } else {
        ""
    };
    pen.gap();
    pen.entry(0, input.symbol, &format!("{value}{widens}"));
    pen.paragraph(4, &sentence(&input.says));
    if let Some(origin) = input.by_convention {
        pen.paragraph(4, &format!("A convention: {}.", from(&origin)));
    }
    for Line { span, fact, value } in &input.lines {
        let line = source.line_of(span.start);
        let words = format!("line {line}: `{fact}` is {value}");
        pen.hanging(4, "- ", &words, Ink::Usual);
    }
}

fn from(origin: &Origin) -> String {
    format!("{} ({})", origin.work, origin.certainty)
}

/// The parts of what is told of the house that can be asked for.
const PARTS: [&str; 7] = [
    "plan",
    "plan.stages",
    "plan.order",
    "plan.dump",
    "plan.rinse",
    "branches",
    "connections",
];

/// A part of what is told of the house, with the conventions that it rests on; nothing if there is
/// none of that name.
pub fn part(
    source: &Source,
    name: &str,
    told: &Told,
    figures: &[Worked],
    style: &Style,
) -> Option<String> {
    let mut pen = Pen::new(*style);
    let shown = &told.plan;
    match name {
        "plan" => plan::plan(&mut pen, told, figures),
        "plan.stages" => plan::stages(&mut pen, told),
        "plan.order" => plan::order(&mut pen, told),
        "plan.dump" => plan::dump(&mut pen, told),
        "plan.rinse" => plan::rinse(&mut pen, shown),
        "branches" => house::branches(&mut pen, source, told, figures),
        "connections" if told.connections.is_some() => {
            house::connections(&mut pen, source, told, figures);
        }
        _ => return None,
    }
    rests(&mut pen, name);
    super::supposed(&mut pen, told);
    Some(pen.finish())
}

/// How a part is reckoned, and the conventions in it.
fn rests(pen: &mut Pen, name: &str) {
    let said = |part: &str| part == name || name == "plan" && part.starts_with("plan.");
    let reckoned: Vec<(&str, &str, &[Convention])> = RECKONED
        .into_iter()
        .filter(|(part, ..)| said(part))
        .collect();
    pen.heading("how it is reckoned", '-', Ink::Usual);
    for (part, words, conventions) in reckoned {
        pen.paragraph(0, words);
        for convention in conventions {
            let words = format!("{} ({})", convention.says, convention.source);
            pen.hanging(0, "- ", &sentence(&words), Ink::Usual);
        }
        if part == "connections" {
            for point in Point::ALL {
                pen.hanging(0, "- ", &sentence(&joint(point)), Ink::Usual);
            }
        }
    }
}

/// The joint of a point: bore and loss of its fittings.
fn joint(point: Point) -> String {
    let (bore, loss) = convention::joint(point);
    format!(
        "at {} the fittings have a bore of {} ({}) and lose {} speed heads ({})",
        word_of(point),
        quantity(bore.range, Kind::Length),
        bore.source,
        quantity(loss.range, Kind::Number),
        loss.source
    )
}

/// Each part with its reckoning and its conventions.
pub(super) const RECKONED: [(&str, &str, &[Convention]); 6] = [
    (
        "plan.stages",
        "Times of attention are conventions of the trade; times of water come from the flows. The first \
         dump is one change of all water that goes round.",
        &[
            convention::MAKING_SAFE,
            convention::EACH_OPENED,
            convention::CONNECTING,
            convention::FIRST_ROUND,
            convention::ALL_OPEN,
            convention::LONGEST_WAIT,
            convention::EACH_CIRCUIT,
            convention::EACH_SIDE,
            convention::EACH_LOOP,
            convention::NEUTRALISING,
            convention::PROOF,
            convention::DOSING,
            convention::RESTORING,
            convention::EACH_SET_BACK,
            convention::FILLED_AGAIN,
            convention::HOT_RUN,
        ],
    ),
    (
        "plan.order",
        "Upper floors come first, since dirt falls; what is fed from above comes last, since its foot is \
         drained afterwards. On a floor the emitter comes first whose foot was coldest against its top, 10 K \
         where nobody took the temperatures; then the one with the longest tails. A turn lasts its time of \
         attention, and longer where its water has not changed often enough by then.",
        &[
            convention::EACH_EMITTER,
            convention::EACH_SLOW_EMITTER,
            convention::CHANGES,
            convention::LONGEST_TURN,
            convention::REVERSAL,
        ],
    ),
    (
        "plan.dump",
        "In the long run no more is dumped than the mains give and the drain takes. Without the pump the \
         hose runs by gravity.",
        &[convention::HOSE_BORE, convention::DUMP_FALL],
    ),
    (
        "plan.rinse",
        "At the end all water is taken as one mixed tank. One by one, each emitter mixes with everything \
         rinsed before it, down to the band each time. The return is the mixture of the branches as they \
         share the flow with everything open: at the middle of the ranges, and at the most unequal.",
        &[],
    ),
    (
        "branches",
        "Two solutions of each branch, with everything for it and everything against it.",
        &[
            convention::PLATE,
            convention::CURVE,
            convention::HOSE_BORE,
            convention::FITTINGS,
            convention::TAIL_FITTINGS,
            convention::STEPPED,
            convention::STOREY,
            convention::TANK_LEVEL,
            convention::TOP_OF_EMITTER,
            convention::TEMPERATURE,
        ],
    ),
    (
        "connections",
        "Each point is the same house with another joint. The longest run and the floor of the connection \
         are taken to be the same from each, since a survey records them once. The lowest parts are taken \
         to stand on the lowest floor, or on the ground floor if that is lower.",
        &[],
    ),
];
