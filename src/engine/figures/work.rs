//! A row of the table and a survey to a figure.
//!
//! Contract: the range of a figure holds every value that its formula gives for numbers out of the
//! ranges of its inputs. Where the formula runs one way in an input, only that input's ends count;
//! two evaluations suffice for a formula that runs one way in all. A formula that refuses its
//! numbers gives no figure, with the reason; at an infinite end it gives no limit on that side.

use super::range::Range;
use super::table::{Figure, Input, Origin, Refused, Runs, Work, Yields};
use super::view::{Gathered, View};
use wetside_base::facts::{Content, FactId, Facts, Value, Why, each_once};
use wetside_units::{Interval, Quantity};

/// The numbers that a figure takes from a survey.
pub fn take(view: &View<'_>, element: FactId, figure: &Figure) -> Vec<Gathered> {
    let one = |input: &Input| match &input.origin {
        Origin::Fact(path) => read(view, view.at(element, path)),
        Origin::Figure(name) => {
            let figures = view.at(Facts::ROOT, wetside_base::vocabulary::Vocabulary::FIGURES);
            read(view, view.at(figures, name))
        }
        Origin::Convention { range, .. } => Gathered {
            range: Ok(*range),
            facts: Vec::new(),
        },
        Origin::Gathered { gather, .. } => gather(view, element),
    };
    figure.inputs.iter().map(one).collect()
}

fn read(view: &View<'_>, id: FactId) -> Gathered {
    Gathered {
        range: view.range(id),
        facts: vec![id],
    }
}

/// What is known of a figure, given its inputs.
pub fn content(view: &View<'_>, figure: &Figure, taken: &[Gathered]) -> Content {
    match known(view, figure, taken) {
        Ok(value) => Content::Known(value),
        Err(Refused(reason)) => Content::Open(Why::NotWorkedOut(reason)),
    }
}

fn known(view: &View<'_>, figure: &Figure, taken: &[Gathered]) -> Result<Value, Refused> {
    let ranges: Result<Vec<Range>, Refused> =
        taken.iter().map(|input| input.range.clone()).collect();
    let ranges = ranges?;
    match (figure.yields, figure.work) {
        (Yields::Word(_), Work::Chosen(choose)) => {
            let word = view.vocabulary.word_id(choose(&ranges)?);
            word.map(Value::Word)
                .ok_or_else(|| Refused::from("the word is not among those of the figure"))
        }
        (Yields::Quantity(kind), _) => {
            let interval = bounds(figure, &ranges)?.to_interval(kind);
            let interval = interval.ok_or_else(|| Refused::from("its numbers are too large"))?;
            if interval == Interval::EVERYTHING {
                return Err(nothing_known(view, taken));
            }
            Ok(Value::Quantity(Box::new(Quantity::computed(
                kind, interval,
            ))))
        }
        (Yields::Word(_), _) => Err(Refused::from("it gives no word")),
    }
}

/// Why a figure may be anything: the first of what it takes that is open.
fn nothing_known(view: &View<'_>, taken: &[Gathered]) -> Refused {
    let facts = taken.iter().flat_map(|input| &input.facts);
    let mut open = facts.filter(|fact| matches!(view.facts.fact(**fact).content, Content::Open(_)));
    open.next().map_or_else(
        || Refused::from("nothing that limits it is known"),
        |fact| view.open(*fact),
    )
}

/// The range that a figure has for inputs out of these ranges.
pub fn bounds(figure: &Figure, ranges: &[Range]) -> Result<Range, Refused> {
    match figure.work {
        Work::Formula(formula) => corners(figure.inputs, formula, ranges),
        Work::Bounded { bounds, .. } => bounds(ranges),
        Work::Chosen(_) => Err(Refused::from("it is a word")),
    }
}

/// The figure for single numbers.
pub fn at(figure: &Figure, values: &[f64]) -> Result<f64, Refused> {
    match figure.work {
        Work::Formula(formula) => formula(values),
        Work::Bounded { at, .. } => at(values),
        Work::Chosen(_) => Err(Refused::from("it is a word")),
    }
}

/// The least and the greatest value at the corners: both ends of the inputs that run either way, and
/// of the others the end that counts.
fn corners(
    inputs: &[Input],
    formula: fn(&[f64]) -> Result<f64, Refused>,
    ranges: &[Range],
) -> Result<Range, Refused> {
    let either: Vec<usize> = (0..inputs.len())
        .filter(|at| inputs[*at].runs == Runs::Either && !ranges[*at].is_point())
        .collect();
    let mut found: Option<Range> = None;
    for choice in 0..1_u32 << either.len() {
        let end = |low: bool| -> Vec<f64> {
            let pick = |(at, range): (usize, &Range)| {
                let wants_low = match inputs[at].runs {
                    Runs::Up => low,
                    Runs::Down => !low,
                    Runs::Either => either
                        .iter()
                        .position(|other| *other == at)
                        .is_none_or(|bit| choice & (1 << bit) == 0),
                };
                if wants_low { range.low } else { range.high }
            };
            ranges.iter().enumerate().map(pick).collect()
        };
        let low = limit(formula, &end(true), f64::NEG_INFINITY)?;
        let high = limit(formula, &end(false), f64::INFINITY)?;
        let here = Range::new(low, high);
        found = Some(found.map_or(here, |all| all.hull(here)));
    }
    found.ok_or_else(|| Refused::from("it takes no numbers"))
}

/// The value at a corner; no limit where the corner lies at infinity and the formula does not.
fn limit(
    formula: fn(&[f64]) -> Result<f64, Refused>,
    values: &[f64],
    without: f64,
) -> Result<f64, Refused> {
    let infinite = values.iter().any(|value| value.is_infinite());
    match formula(values) {
        Ok(value) if value.is_nan() && infinite => Ok(without),
        Err(_) if infinite => Ok(without),
        other => other,
    }
}

/// Everything behind a figure, each fact once, what places it first.
pub fn behind(taken: &[Gathered]) -> Vec<FactId> {
    each_once(taken.iter().flat_map(|input| &input.facts).copied())
}

/// Which input widens a figure most: the one whose narrowing to its middle narrows it most. Nothing
/// for a single number, and where no input is known better than the whole.
pub fn widest(figure: &Figure, ranges: &[Range]) -> Option<usize> {
    let width = |ranges: &[Range]| bounds(figure, ranges).ok().map(|all| all.high - all.low);
    let whole = width(ranges)?;
    let mut best: Option<(usize, f64)> = None;
    for at in (0..ranges.len()).filter(|at| !ranges[*at].is_point()) {
        let middle = ranges[at].middle();
        if !middle.is_finite() {
            return Some(at);
        }
        let mut narrowed = ranges.to_vec();
        narrowed[at] = Range::point(middle);
        let Some(left) = width(&narrowed) else {
            continue;
        };
        if left < whole && best.is_none_or(|(_, least)| left < least) {
            best = Some((at, left));
        }
    }
    best.map(|(at, _)| at)
}
