//! Figures against surveys whose figures were worked out by hand or by a source, and their laws.
//!
//! Each file of `tests/figures` is a list of cases: a fragment of a survey, a figure, what it must
//! be, and where the expected value comes from.

use serde::Deserialize;
use std::fs;
use std::path::PathBuf;
use std::sync::OnceLock;
use wetside::check::{Ask, Packs, check};
use wetside::document::{self, Node, Reading};
use wetside::facts::{Content, FactId, Facts, Value, Why, fact_name, read};
use wetside::figures::range::Range;
use wetside::figures::table::{Figure, Work};
use wetside::figures::view::View;
use wetside::figures::{self, work};
use wetside::source::Source;
use wetside::units::{Interval, Kind, Quantity};
use wetside::vocabulary::{Shape, Type, Vocabulary};

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Case {
    name: String,
    #[serde(rename = "given")]
    _given: serde_yaml::Value,
    figure: String,
    /// A quantity, a range, or a word.
    #[serde(rename = "is")]
    expected: Option<String>,
    /// How far an end of the range may lie from the expected one; otherwise the last digit counts.
    within: Option<String>,
    /// Words of the reason for which it is open.
    open: Option<String>,
    /// Every fact behind it, in any order.
    from: Option<Vec<String>>,
    /// The same survey in other units.
    #[serde(rename = "same_as")]
    _same_as: Option<serde_yaml::Value>,
    #[serde(rename = "source")]
    _source: String,
}

fn vocabulary() -> &'static Vocabulary {
    static WORDS: OnceLock<Vocabulary> = OnceLock::new();
    WORDS.get_or_init(|| Packs::none().vocabulary)
}

fn derived(source: &Source, root: &Node) -> Facts {
    let reading = Reading {
        root: root.clone(),
        problems: Vec::new(),
        lost: Vec::new(),
    };
    let (mut facts, problems) = read::read(source, &reading, vocabulary());
    assert!(problems.is_empty(), "{}: {problems:?}", source.name);
    figures::derive(&mut facts, vocabulary());
    facts
}

/// Calls back with every case, its place, and the facts of its survey.
fn every(mut look: impl FnMut(&Case, &str, &Facts, Option<&Facts>)) {
    let folder = PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("tests/figures");
    let entries = fs::read_dir(folder).expect("the cases are there");
    let mut paths: Vec<PathBuf> = entries
        .map(|entry| entry.expect("it can be listed").path())
        .filter(|path| path.extension().is_some_and(|ending| ending == "yaml"))
        .collect();
    paths.sort();
    for path in paths {
        let text = fs::read_to_string(&path).expect("it can be read");
        let name = path.file_name().expect("it is a file").to_string_lossy();
        let cases: Vec<Case> =
            serde_yaml::from_str(&text).unwrap_or_else(|fault| panic!("{name}: {fault}"));
        let source = Source::new(name.into_owned(), text);
        let root = document::read(&source).root;
        for (case, item) in cases.iter().zip(root.items()) {
            let place = format!(
                "{}:{}: {}",
                source.name,
                source.place(item.span.start),
                case.name
            );
            let fragment = |key: &str| item.get(key).map(|entry| derived(&source, &entry.value));
            let facts = fragment("given").expect("a case has a survey");
            look(case, &place, &facts, fragment("same_as").as_ref());
        }
    }
}

/// The fact of a figure: `tank_run_down`, or `emitters.hall.content` of an element.
fn figure_fact(facts: &Facts, path: &str) -> FactId {
    let view = View {
        facts,
        vocabulary: vocabulary(),
    };
    let group = view.at(Facts::ROOT, Vocabulary::FIGURES);
    let parts: Vec<&str> = path.split('.').collect();
    let [list, id, field] = parts[..] else {
        return view.at(group, path);
    };
    let named = |element: &FactId| facts.text(view.at(*element, "id")) == Some(id);
    let element = facts.elements(view.at(group, list)).find(named);
    view.at(
        element.unwrap_or_else(|| panic!("no {id} in {list}")),
        field,
    )
}

fn differs(case: &Case, facts: &Facts) -> Option<String> {
    let id = figure_fact(facts, &case.figure);
    let content = &facts.fact(id).content;
    if let Some(words) = &case.open {
        return match content {
            Content::Open(Why::NotWorkedOut(reason)) if reason.contains(words) => None,
            other => Some(format!("it must be open because {words}, and is {other:?}")),
        };
    }
    let expected = case.expected.as_deref().expect("a case has `is` or `open`");
    match content {
        Content::Known(Value::Word(word)) => {
            let word = vocabulary().word(*word);
            (word != expected).then(|| format!("it is `{word}`"))
        }
        Content::Known(Value::Quantity(found)) => {
            let wanted = quantity(expected, found.kind);
            let within = case.within.as_ref().map_or(0.0, |within| {
                let kind = found.kind.difference();
                Range::of(&quantity(within, kind)).high
            });
            let (a, b) = (Range::of(&wanted), Range::of(&found.range));
            let apart = |x: f64, y: f64| {
                let near = (x - y).abs() <= within + 1e-9 * x.abs().max(1e-9);
                !(x == y || near)
            };
            (apart(a.low, b.low) || apart(a.high, b.high)).then(|| format!("it is {found}"))
        }
        other => Some(format!("it is {other:?}")),
    }
}

fn quantity(text: &str, kind: Kind) -> Interval {
    let read = Quantity::parse(text, kind);
    read.unwrap_or_else(|fault| panic!("{text}: {}", fault.says))
        .range
}

#[test]
fn figures_come_out_as_worked_out_elsewhere() {
    let mut wrong = Vec::new();
    every(|case, place, facts, same| {
        wrong.extend(differs(case, facts).map(|says| format!("{place}: {says}")));
        if let Some(same) = same {
            let shown = |facts: &Facts| {
                let id = figure_fact(facts, &case.figure);
                format!("{:?}", facts.fact(id).content)
            };
            if shown(facts) != shown(same) {
                wrong.push(format!("{place}: other units change it: {}", shown(same)));
            }
        }
        if let Some(from) = &case.from {
            let mut found: Vec<String> = facts
                .inputs(figure_fact(facts, &case.figure))
                .iter()
                .map(|input| fact_name(facts, vocabulary(), *input))
                .collect();
            let mut wanted = from.clone();
            found.sort();
            wanted.sort();
            if found != wanted {
                wrong.push(format!("{place}: it comes from {found:?}"));
            }
        }
    });
    assert!(
        wrong.is_empty(),
        "{}\n{} wrong",
        wrong.join("\n"),
        wrong.len()
    );
}

/// A small generator of numbers that is the same on every machine (Lehmer, modulus 2^61 − 1).
struct Dice(u128);

impl Dice {
    fn share(&mut self) -> f64 {
        const PRIME: u128 = (1 << 61) - 1;
        self.0 = self.0 * 437_799_614_237_992_725 % PRIME;
        self.0 as f64 / PRIME as f64
    }

    /// A number out of a range, its ends more often than chance would have it.
    fn out_of(&mut self, range: &Range) -> f64 {
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
                let Ok(value) = work::at(figure, &values) else {
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

#[test]
fn figures_are_not_recorded() {
    let text = "survey: 1\nfigure:\n  flush_volume: 120 L\n";
    let source = Source::new("s.yaml".to_string(), text.to_string());
    let judgement = check(&source, &Packs::none(), &Ask::default());
    let about: Vec<&str> = judgement
        .problems
        .iter()
        .filter(|problem| source.line_of(problem.span.start) >= 2)
        .map(|problem| problem.says.as_str())
        .collect();
    assert_eq!(about, ["figures are worked out, not recorded"]);
}
