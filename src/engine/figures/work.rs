//! A row of the table and a survey to a figure.
//!
//! Contract: the range of a figure holds every value that its formula gives for numbers out of the
//! ranges of its inputs. Where the formula runs one way in an input, only that input's ends count;
//! two evaluations suffice for a formula that runs one way in all. A formula that refuses its
//! numbers gives no figure, with the reason; at an infinite end it gives no limit on that side.

use super::table::{Figure, Found, Input, Origin, Runs, Work, Yields};
use super::view::{Gathered, Refused, View};
use wetside_base::facts::{Content, FactId, Value, Why, each_once};
use wetside_base::vocabulary::Vocabulary;
use wetside_house::Range;
use wetside_units::Quantity;

/// The numbers that a figure takes from a survey.
pub fn take(view: &View<'_>, element: FactId, figure: &Figure) -> Vec<Gathered> {
    let one = |input: &Input| match &input.origin {
        Origin::Fact(path) => view.taken(element, path),
        Origin::Figure(name) => view.taken(view.figures(), name),
        Origin::Convention { range, .. } => Gathered::of(*range, Vec::new()),
        Origin::Gathered { gather, .. } => gather(view, element),
    };
    figure.inputs.iter().map(one).collect()
}

/// A figure and everything behind it, each fact once, what places it first.
pub fn out(view: &View<'_>, element: FactId, figure: &Figure) -> (Content, Vec<FactId>) {
    let taken = take(view, element, figure);
    let content = content(view.vocabulary, figure, found(view, figure, &taken));
    let behind = each_once(taken.iter().flat_map(|input| &input.facts).copied());
    (content, behind)
}

/// What is known of a figure that comes to this.
pub fn content(vocabulary: &Vocabulary, figure: &Figure, found: Result<Found, Refused>) -> Content {
    let known = |found| match (figure.yields, found) {
        (Yields::Quantity(kind), Found::Range(range)) => {
            let interval = range.to_interval(kind);
            let interval = interval.ok_or_else(|| Refused::from("its numbers are too large"))?;
            Ok(Value::Quantity(Box::new(Quantity::computed(
                kind, interval,
            ))))
        }
        (Yields::Word(_), Found::Word(word)) => {
            let word = vocabulary.word_id(word).map(Value::Word);
            word.ok_or_else(|| Refused::from("the word is not among those of the figure"))
        }
        _ => Err(Refused::from(
            "it is worked out for the whole house at once",
        )),
    };
    if let Ok(Found::Among(few @ [first, .., last])) = found {
        let reason = format!("it may be anything from `{first}` to `{last}`");
        let few = few.iter().filter_map(|word| vocabulary.word_id(word));
        return Content::Open(Why::NotWorkedOut(reason, few.collect()));
    }
    match found.and_then(known) {
        Ok(value) => Content::Known(value),
        Err(Refused(reason)) => Content::Open(Why::NotWorkedOut(reason, Vec::new())),
    }
}

fn found(view: &View<'_>, figure: &Figure, taken: &[Gathered]) -> Result<Found, Refused> {
    let ranges = taken.iter().map(|input| input.range.clone());
    let ranges: Vec<Range> = ranges.collect::<Result<_, Refused>>()?;
    if let Work::Chosen(choose) = figure.work {
        return choose(&ranges).map(Found::Word);
    }
    let range = bounds(figure, &ranges)?;
    if range == Range::new(f64::NEG_INFINITY, f64::INFINITY) {
        return Err(nothing_known(view, taken));
    }
    Ok(Found::Range(range))
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
        Work::Chosen(_) | Work::House(_) => Err(Refused::from("it is no formula")),
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

/// Which input widens a figure most. Nothing for a single number, and where no input is known better than
/// the whole.
pub fn widest(figure: &Figure, ranges: &[Range]) -> Option<usize> {
    let open = |range: &Range| !range.is_point() && !range.middle().is_finite();
    let whole = bounds(figure, ranges).ok()?;
    ranges.iter().position(open).or_else(|| {
        wetside_house::widest(whole, ranges.iter().copied().enumerate(), |at, middle| {
            let mut narrowed = ranges.to_vec();
            narrowed[at] = middle;
            bounds(figure, &narrowed).ok()
        })
    })
}
