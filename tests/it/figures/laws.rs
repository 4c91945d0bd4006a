//! The laws of figures: a range holds what its inputs may be, and knowing more never contradicts.

use super::{every, vocabulary};
use wetside_base::facts::{Content, Extent, FactId, Facts, Told, Value, Why, fact_name};
use wetside_base::vocabulary::{Shape, Type, Vocabulary};
use wetside_engine::figures::table::{Figure, Work};
use wetside_engine::figures::view::View;
use wetside_engine::figures::{self, Wanted, work};
use wetside_engine::read;
use wetside_house::Range;
use wetside_units::{Exact, Interval};

/// A small generator of numbers that is the same on every machine (Lehmer, modulus 2^61 − 1).
pub(super) struct Dice(pub(super) u128);

impl Dice {
    pub(super) fn share(&mut self) -> f64 {
        const PRIME: u128 = (1 << 61) - 1;
        self.0 = self.0 * 437_799_614_237_992_725 % PRIME;
        self.0 as f64 / PRIME as f64
    }

    /// A number out of a range, its ends more often than chance would have it.
    fn out_of(&mut self, range: &Range) -> f64 {
        if range.is_point() {
            return range.low;
        }
        let low = if range.low.is_finite() {
            range.low
        } else {
            -1e6
        };
        let high = if range.high.is_finite() {
            range.high
        } else {
            low.abs() * 100.0 + 1.0
        };
        match self.share() {
            share if share < 0.15 => low,
            share if share > 0.85 => high,
            _ => low + self.share() * (high - low),
        }
    }
}

/// Calls back with every figure of the table that is known for a case, and its inputs.
fn known(facts: &Facts, mut look: impl FnMut(&'static Figure, &[Range], &Interval)) {
    let view = View {
        facts,
        vocabulary: vocabulary(),
    };
    let group = view.at(Facts::ROOT, Vocabulary::FIGURES);
    for figure in figures::table() {
        let content = &facts.fact(view.at(group, figure.name)).content;
        let Content::Known(Value::Quantity(quantity)) = content else {
            continue;
        };
        let taken = work::take(&view, Facts::ROOT, figure);
        let ranges: Vec<Range> = taken
            .into_iter()
            .map(|input| input.range.expect("a figure that is known has its inputs"))
            .collect();
        look(figure, &ranges, &quantity.range);
    }
}

/// So many draws of a figure's inputs for each survey; more in the long run.
fn draws() -> usize {
    if std::env::var_os("WETSIDE_FULL").is_some() {
        10_000
    } else {
        2_000
    }
}

#[test]
fn a_range_holds_whatever_is_drawn_from_its_inputs() {
    let mut dice = Dice(20_261_013);
    let mut seen = std::collections::BTreeSet::new();
    every(|case, place, facts, _| {
        known(facts, |figure, ranges, interval| {
            // A survey's own figure is drawn thoroughly, the others that it gives in passing.
            let own = case.figure == figure.name;
            let count = if own { draws() } else { 40 };
            if ranges.iter().all(Range::is_point) {
                return;
            }
            seen.insert(figure.name);
            let held = Range::of(interval);
            let slack = |end: f64| 1e-9 * end.abs().max(1e-9);
            for _ in 0..count {
                let values: Vec<f64> = ranges.iter().map(|range| dice.out_of(range)).collect();
                let points: Vec<Range> = values.iter().copied().map(Range::point).collect();
                let Ok(Range { high: value, .. }) = work::bounds(figure, &points) else {
                    continue;
                };
                let inside =
                    value >= held.low - slack(held.low) && value <= held.high + slack(held.high);
                assert!(
                    inside || value == f64::INFINITY && held.high == f64::INFINITY,
                    "{place}: {} of {values:?} is {value}, outside {held:?}",
                    figure.name
                );
            }
        });
    });
    let missing: Vec<&str> = figures::table()
        .filter(|figure| !matches!(figure.work, Work::Chosen(_)) && !seen.contains(figure.name))
        .map(|figure| figure.name)
        .collect();
    assert_eq!(missing, Vec::<&str>::new(), "no case gives these a range");
}

#[test]
fn knowing_an_input_better_never_widens_a_figure() {
    every(|_, place, facts, _| {
        known(facts, |figure, ranges, interval| {
            for at in 0..ranges.len() {
                let middle = ranges[at].middle();
                if ranges[at].is_point() || !middle.is_finite() {
                    continue;
                }
                let quarter = 0.25 * (ranges[at].high - ranges[at].low);
                for to in [
                    Range::new(middle - quarter, middle + quarter),
                    Range::point(middle),
                ] {
                    let mut narrowed = ranges.to_vec();
                    narrowed[at] = to;
                    let bounds = work::bounds(figure, &narrowed);
                    let bounds = bounds.unwrap_or_else(|why| {
                        panic!(
                            "{place}: {} fails for a narrower input: {why:?}",
                            figure.name
                        )
                    });
                    let Shape::Fact(Type::Quantity { kind, .. }) = &shape_of(figure) else {
                        panic!("{} is a quantity", figure.name);
                    };
                    let after = bounds.to_interval(*kind).expect("it is a range");
                    assert!(
                        interval.encloses(&after),
                        "{place}: {} grows from {interval:?} to {after:?} with input {at}",
                        figure.name
                    );
                }
            }
        });
    });
}

fn shape_of(figure: &Figure) -> Shape {
    let path = format!("{}.{}", Vocabulary::FIGURES, figure.name);
    let field = vocabulary().find(&path).expect("every figure is a field");
    vocabulary().field(field).shape.clone()
}

/// Everything recorded that stands behind a figure, lists too.
fn recorded_behind(facts: &Facts) -> std::collections::BTreeSet<FactId> {
    let mut waiting: Vec<FactId> = facts
        .all()
        .map(|(id, _)| id)
        .filter(|id| facts.is_worked_out(*id))
        .collect();
    let mut recorded = std::collections::BTreeSet::new();
    while let Some(id) = waiting.pop() {
        for input in facts.inputs(id) {
            if !facts.is_worked_out(*input) {
                recorded.insert(*input);
            }
        }
    }
    recorded
}

/// Less known of one fact: nothing, or a wider range, or a list that may hold more.
fn less(content: &Content, forget: bool) -> Option<Content> {
    match content {
        Content::Known(Value::Quantity(held)) if !forget => {
            let mut wider = held.clone();
            let (low, high) = (held.range.low().at()?, held.range.high().at()?);
            let by = high.magnitude().times(Exact::ratio(1, 7)?)?;
            wider.range = Interval::closed(low.minus(by)?, high.plus(by)?)?;
            Some(Content::Known(Value::Quantity(wider)))
        }
        Content::List { first, listed, .. } => Some(Content::List {
            first: *first,
            listed: *listed,
            extent: Extent {
                least: *listed,
                most: None,
                told: Told::NotStated,
            },
        }),
        Content::Known(_) if forget => Some(Content::Open(Why::NotRecorded)),
        _ => None,
    }
}

/// Whoever knows more never gets a figure that contradicts the one before.
#[test]
fn knowing_less_never_contradicts_a_figure() {
    let mut tried = 0;
    // The network with everything open costs most, so in the short run it is not solved each time.
    let everything = Wanted::everything();
    let costly = ["main_speed", "machine_flow", "weakest_pressure"];
    let named = figures::table().map(|figure| format!("figure.{}", figure.name));
    let listed = figures::lists().flat_map(|list| {
        let dear = |name: &str| list.name == "connections" && costly.contains(&name);
        let names = list.fields.iter().map(|figure| figure.name);
        let names = names.filter(move |name| !dear(name));
        names.map(|name| format!("figure.{}.{name}", list.name))
    });
    let read: Vec<String> = named.chain(listed).collect();
    let quick = Wanted::by(read.iter().map(String::as_str));
    for source in crate::examples::examples() {
        let (base, _) = read::read(&source, &wetside_document::read(&source), vocabulary());
        let mut known = base.clone();
        figures::derive(&mut known, vocabulary());
        for id in recorded_behind(&known) {
            for forget in [true, false] {
                let Some(content) = less(&base.fact(id).content, forget) else {
                    continue;
                };
                let mut vague = base.with(id, content);
                let all_open = tried % 7 == 0 || std::env::var_os("WETSIDE_FULL").is_some();
                let wanted = if all_open { &everything } else { &quick };
                figures::derive_wanted(&mut vague, vocabulary(), wanted);
                tried += 1;
                let what = fact_name(&base, vocabulary(), id);
                // Points that nobody lists any more are no elements; their list stands last.
                let there = vague.all().count();
                let figures = known.all().take(there);
                for (figure, fact) in figures.filter(|(id, _)| known.is_worked_out(*id)) {
                    let after = (&vague.fact(figure).content, &fact.content);
                    let agrees = match after {
                        (
                            Content::Known(Value::Quantity(a)),
                            Content::Known(Value::Quantity(b)),
                        ) => a.range.encloses(&b.range),
                        (Content::Known(Value::Word(a)), Content::Known(Value::Word(b))) => a == b,
                        (Content::Known(Value::Text(_)) | Content::List { .. }, _) => true,
                        (Content::Open(_), _) => true,
                        _ => false,
                    };
                    let name = fact_name(&known, vocabulary(), figure);
                    assert!(agrees, "{}: {name} without {what}: {after:?}", source.name);
                }
            }
        }
    }
    assert!(tried > 500, "only {tried} were tried");
}
