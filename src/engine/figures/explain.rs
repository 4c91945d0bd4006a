//! Figures for people: all of them, and one with its numbers put in.
//!
//! Contract: data only, the values in words as the survey or its units have them; whoever prints it
//! decides nothing. What a survey leaves open may be supposed here, and only here: the figures that
//! wait for nothing but the circuit's volume are shown for the volume that its parts should hold,
//! each marked so. No rule ever sees a supposition.

use super::catalogue::{GROUPS, lists};
use super::derive::derive_of_survey;
use super::likely::likely;
use super::table::{Figure, Origin, Source, Work, Yields};
use super::view::{Gathered, View};
use super::wanted::Wanted;
pub use super::words::{Line, worked_out};
use super::words::{line, lines_behind, value};
use super::{house, list, survey, work};
use wetside_base::facts::{Content, FactId, Facts, Value, Why, fact_name};
use wetside_base::source::Span;
use wetside_base::vocabulary::Vocabulary;
use wetside_house::Likely;
use wetside_units::{Interval, Kind};

/// One figure of a survey.
#[derive(Clone, Debug, PartialEq)]
pub struct Worked {
    /// `tank_run_down`, or `emitters, hall: content` of an element.
    pub name: String,
    pub says: &'static str,
    /// Its value in words, or the reason why it has none.
    pub value: Result<String, String>,
    /// Its range in base units, where it is a quantity.
    pub range: Option<(Kind, Interval)>,
    /// What is likely of it, where that can be told and it is no single number.
    pub likely: Option<Likely>,
    /// What was supposed for it that the survey does not record.
    pub supposing: Option<String>,
    /// What it is about: a heading of [`GROUPS`], or the list that its element stands in.
    pub about: &'static str,
    pub formula: &'static str,
    /// The recorded lines behind it, in the order of the survey.
    pub lines: Vec<Span>,
}

impl Worked {
    /// Its name as it is easiest to type: `branches.hall.alone_speed`.
    pub fn dotted(&self) -> String {
        dotted(&self.name)
    }
}

/// A figure with everything that went into it.
#[derive(Clone, Debug, PartialEq)]
pub struct Explained {
    pub worked: Worked,
    pub source: Source,
    /// How its range was found, where the ends of its inputs do not settle it.
    pub method: Option<&'static str>,
    pub inputs: Vec<PutIn>,
    /// The place among `inputs` of the one that widens it most.
    pub widest: Option<usize>,
    /// What widens a figure of the house most, which is worked out from more than `inputs`.
    pub widens: Option<String>,
}

/// A number that was put into a formula.
#[derive(Clone, Debug, PartialEq)]
pub struct PutIn {
    pub symbol: &'static str,
    pub says: String,
    /// In words, or the reason why there is none.
    pub value: Result<String, String>,
    /// Where it comes from, of a convention: no survey records it, and the row of the figure names it.
    pub by_convention: Option<Source>,
    /// The facts behind it.
    pub lines: Vec<Line>,
}

/// A figure at its place: its row, its fact, and the element that its inputs are read in.
struct At {
    figure: &'static Figure,
    about: &'static str,
    id: FactId,
    element: FactId,
}

/// Every figure of a survey, those of elements after those of the survey.
pub fn all(facts: &Facts, vocabulary: &Vocabulary) -> Vec<Worked> {
    let supposed = supposed(facts, vocabulary);
    let view = View { facts, vocabulary };
    let worse = worse(&view);
    let all = places(view).filter(|at| Some(at.figure.name) != worse);
    all.map(|at| worked(seen(view, supposed.as_ref(), &at), &at))
        .collect()
}

/// What the circuit holds, the best first.
const ESTIMATES: [&str; 3] = ["estimated_volume", "volume_by_panels", "volume_by_output"];

/// An estimate that is worth nothing beside a measurement, or beside another that has an end.
fn worse(view: &View<'_>) -> Option<&'static str> {
    let [parts, panels, output] = ESTIMATES;
    let measured = view.at(Facts::ROOT, survey::MEASURED_VOLUME);
    let better = [measured, view.figure(parts), view.figure(panels)];
    let bounded = |id: FactId| view.range(id).is_ok_and(|range| range.high.is_finite());
    better.into_iter().any(bounded).then_some(output)
}

/// One figure with its numbers put in, by its name with or without `figure.` before it; nothing if
/// there is none of that name. An element's is `branches.hall.alone_speed`.
pub fn explain(facts: &Facts, vocabulary: &Vocabulary, name: &str) -> Option<Explained> {
    let view = View { facts, vocabulary };
    let name = name.strip_prefix("figure.").unwrap_or(name);
    let called = |at: &At| {
        let own = short_name(&view, at.id);
        own == name || dotted(&own) == name
    };
    let at = places(view).find(called)?;
    let supposed = supposed(facts, vocabulary);
    Some(explained(seen(view, supposed.as_ref(), &at), &at))
}

/// The facts that a figure is shown by, with what they suppose: those of the survey; where the figure is
/// open by them and known under a supposition, those with that.
fn seen<'a>(
    view: View<'a>,
    supposed: Option<&'a (Facts, String)>,
    at: &At,
) -> (View<'a>, Option<&'a str>) {
    let open = |facts: &Facts| {
        let content = &facts.fact(at.id).content;
        matches!(content, Content::Open(Why::NotWorkedOut(..)))
    };
    match supposed {
        Some((facts, words)) if open(view.facts) && !open(facts) => (view.of(facts), Some(words)),
        _ => (view, None),
    }
}

/// `branches.hall.alone_speed`, which is easier to type than `branches, hall: alone_speed`.
fn dotted(name: &str) -> String {
    name.replacen(", ", ".", 1).replacen(": ", ".", 1)
}

fn short_name(view: &View<'_>, id: FactId) -> String {
    let name = fact_name(view.facts, view.vocabulary, id);
    name.strip_prefix("figure.").unwrap_or(&name).to_string()
}

fn places<'a>(view: View<'a>) -> impl Iterator<Item = At> + use<'a> {
    let own = GROUPS.into_iter().flat_map(move |(about, figures)| {
        figures.iter().map(move |figure| At {
            figure,
            about,
            id: view.figure(figure.name),
            element: Facts::ROOT,
        })
    });
    let of_lists = lists().flat_map(move |list| {
        let pairs = list::pairs(&view, list).into_iter();
        pairs.flat_map(move |(recorded, element)| {
            list.fields.iter().map(move |figure| At {
                figure,
                about: list.name,
                id: view.at(element, figure.name),
                element: recorded,
            })
        })
    });
    own.chain(of_lists)
}

/// The same facts with the circuit's volume supposed from its parts, and what that supposes in
/// words; nothing where the volume is recorded or its parts tell nothing. No figure of a list takes
/// the volume of the circuit, so those stand as they are.
pub fn supposed(facts: &Facts, vocabulary: &Vocabulary) -> Option<(Facts, String)> {
    let view = View { facts, vocabulary };
    let measured = view.at(Facts::ROOT, survey::MEASURED_VOLUME);
    if !matches!(facts.fact(measured).content, Content::Open(_)) {
        return None;
    }
    let (name, held) = ESTIMATES.into_iter().find_map(|name| {
        let held = facts.quantity(view.figure(name))?;
        held.range.high().at().map(|_| (name, held))
    })?;
    let known = Content::Known(Value::Quantity(Box::new(*held)));
    let mut then = facts.with(measured, known);
    derive_of_survey(&mut then, vocabulary, &Wanted::everything());
    let value = worked_out(held.kind, &held.range);
    let path = survey::MEASURED_VOLUME;
    let words = format!("`{path}` is {value}, which is its `figure.{name}`");
    Some((then, words))
}

fn worked((view, supposing): (View<'_>, Option<&str>), at: &At) -> Worked {
    let view = &view;
    let content = &view.facts.fact(at.id).content;
    let held = view.facts.quantity(at.id);
    Worked {
        name: short_name(view, at.id),
        says: at.figure.says,
        value: match content {
            Content::Open(Why::NotWorkedOut(reason, _)) => Err(reason.clone()),
            _ => Ok(value(view, at.id)),
        },
        range: held.map(|held| (held.kind, held.range)),
        likely: match content {
            Content::Known(_) if view.facts.fact(at.id).parent == view.figures() => {
                likely(view, at.figure)
            }
            _ => None,
        },
        supposing: supposing.map(str::to_string),
        about: at.about,
        formula: at.figure.formula,
        lines: lines_behind(view, at.id),
    }
}

fn explained(seen: (View<'_>, Option<&str>), at: &At) -> Explained {
    let view = &seen.0;
    let figure = at.figure;
    let taken = work::take(view, at.element, figure);
    let ranges: Option<Vec<_>> = taken
        .iter()
        .map(|input| input.range.as_ref().ok().copied())
        .collect();
    let method = match figure.work {
        Work::Bounded { method, .. } | Work::House(method) => Some(method),
        Work::Formula(_) | Work::Chosen(_) => None,
    };
    let number = matches!(figure.yields, Yields::Quantity(_));
    Explained {
        worked: worked(seen, at),
        widens: house::widens::of(view, at.about, at.id, figure.name),
        source: figure.source,
        method,
        widest: ranges
            .filter(|_| number)
            .and_then(|ranges| work::widest(figure, &ranges)),
        inputs: figure
            .inputs
            .iter()
            .zip(&taken)
            .map(|(input, taken)| put_in(view, input.symbol, &input.origin, taken))
            .collect(),
    }
}

fn put_in(view: &View<'_>, symbol: &'static str, origin: &Origin, taken: &Gathered) -> PutIn {
    let said = || {
        let field = taken.facts.first().map(|fact| view.facts.fact(*fact).field);
        field.map_or(String::new(), |field| {
            view.vocabulary.field(field).says.clone()
        })
    };
    let (says, kind) = match origin {
        Origin::Fact(_) | Origin::Figure(_) => (said(), None),
        Origin::Convention { says, kind, .. } | Origin::Gathered { says, kind, .. } => {
            ((*says).to_string(), Some(*kind))
        }
    };
    let value = match (&taken.range, kind) {
        (Err(why), _) => Err(why.0.clone()),
        (Ok(range), Some(kind)) => {
            let interval = range.to_interval(kind).unwrap_or(Interval::EVERYTHING);
            Ok(worked_out(kind, &interval))
        }
        (Ok(_), None) => {
            let first = taken.facts.first();
            Ok(first.map_or(String::new(), |fact| value(view, *fact)))
        }
    };
    PutIn {
        symbol,
        says,
        value,
        by_convention: match origin {
            Origin::Convention { source, .. } => Some(*source),
            _ => None,
        },
        lines: taken.facts.iter().map(|fact| line(view, *fact)).collect(),
    }
}
