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
use wetside::facts::{Content, Extent, FactId, Facts, Told, Value, Why, fact_name, read};
use wetside::figures::range::Range;
use wetside::figures::table::{Figure, Origin, Work};
use wetside::figures::view::View;
use wetside::figures::{self, work};
use wetside::pack::PackFiles;
use wetside::source::Source;
use wetside::units::{Exact, Interval, Kind, Quantity};
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
    for source in super::examples::examples() {
        let (base, _) = read::read(&source, &document::read(&source), vocabulary());
        let mut known = base.clone();
        figures::derive(&mut known, vocabulary());
        for id in recorded_behind(&known) {
            for forget in [true, false] {
                let Some(content) = less(&base.fact(id).content, forget) else {
                    continue;
                };
                let mut vague = base.with(id, content);
                figures::derive(&mut vague, vocabulary());
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

/// A figure reaches the findings as a reading does: with its value, its place and all its lines.
#[test]
fn a_finding_names_all_lines_behind_a_figure() {
    let rule = "title: tank runs dry\nclass: hazard\nstage: survey\nmust: figure.tank_run_down >= 60 s\n\
                says: the tank is down after {figure.tank_run_down}\ndo: dump slower\nbecause: air\n\
                source: {work: common practice, standing: common practice, certainty: no source}\n\
                cases:\n\
                - {name: burst, given: {machine: {tank: 50 L, freeboard: 5 L}, flush: {dump_flow: 60 L/min}, water_supply: {flow: 12 L/min}}, then: broken}\n\
                - {name: tap, given: {machine: {tank: 50 L, freeboard: 5 L}, flush: {dump_flow: 60 L/min}, water_supply: {flow: 50 L/min}}, then: met}\n\
                - {name: open, given: {machine: {tank: 50 L, freeboard: 5 L}, flush: {dump_flow: 60 L/min}}, then: undecided}\n";
    let mut packs = Packs::none();
    let files = PackFiles {
        name: "own".to_string(),
        files: vec![
            (
                "pack.yaml".to_string(),
                "pack: own\nedition: \"1\"\ntitle: own\nscope: a test\n".into(),
            ),
            ("tank/tank-runs-dry.yaml".to_string(), rule.into()),
        ],
    };
    let problems = packs.add(&files);
    let said: Vec<&str> = problems
        .iter()
        .map(|one| one.problem.says.as_str())
        .collect();
    assert!(said.is_empty(), "{said:?}");
    let cases = wetside::cases::run(&packs.packs[0], &packs.vocabulary);
    assert_eq!((cases.passed, cases.problems.len()), (3, 0));
    let survey = |flow: &str| {
        let text = format!(
            "survey: 1\njob: {{stage: flush}}\nmachine:\n  tank: 50 L\n  freeboard: 5 L\n\
             flush:\n  dump_flow: 60 L/min\nwater_supply:\n  flow: {flow}\n"
        );
        let source = Source::new("s.yaml".to_string(), text);
        let finding = check(&source, &packs, &Ask::default()).findings.remove(0);
        let line = |span: wetside::source::Span| source.line_of(span.start);
        let mut lines: Vec<usize> = finding.lines.iter().map(|label| line(label.span)).collect();
        lines.push(line(finding.place));
        lines.sort_unstable();
        lines.dedup();
        let causes: Vec<String> = finding.causes.iter().map(|cause| cause.words()).collect();
        (finding.says, finding.place_words, lines, causes)
    };
    let (says, place, lines, _) = survey("12 L/min");
    assert_eq!(says, "the tank is down after 37.5 s");
    assert_eq!(place, "`figure.tank_run_down` is worked out as 37.5 s");
    assert_eq!(lines, [4, 5, 7, 9]);
    let (_, place, lines, causes) = survey("unknown");
    assert_eq!(causes, ["`water_supply.flow` is unknown"]);
    assert_eq!(
        (place.as_str(), lines),
        ("`water_supply.flow` is unknown", vec![4, 5, 7, 9])
    );
    let (.., causes) = survey("20 to 40 L/min");
    assert_eq!(
        causes,
        [
            "`water_supply.flow` is `20 to 40 L/min`, which leaves `figure.tank_run_down` across the limit"
        ]
    );
}

#[test]
fn the_table_is_sound() {
    let mut names: Vec<&str> = Vec::new();
    for figure in figures::table() {
        assert!(
            !names.contains(&figure.name),
            "{} is there twice",
            figure.name
        );
        for input in figure.inputs {
            if let Origin::Figure(name) = input.origin {
                assert!(
                    names.contains(&name),
                    "{} takes {name}, which comes later",
                    figure.name
                );
            }
        }
        assert!(!figure.says.is_empty() && !figure.formula.is_empty());
        names.push(figure.name);
    }
    let mut asked = std::collections::BTreeSet::new();
    every(|case, _, _, _| {
        asked.insert(case.figure.clone());
    });
    let missing: Vec<&&str> = names
        .iter()
        .filter(|name| !asked.contains(**name))
        .collect();
    assert!(missing.is_empty(), "no case for {missing:?}");
}

/// With WETSIDE_SHOW set it prints what every example comes to.
#[test]
fn an_unmeasured_circuit_is_shown_by_what_its_parts_hold() {
    let mut shown = 0;
    for source in super::examples::examples() {
        let reading = document::read(&source);
        let (mut facts, _) = read::read(&source, &reading, vocabulary());
        figures::derive(&mut facts, vocabulary());
        for worked in figures::all(&facts, vocabulary()) {
            let explained = figures::explain(&facts, vocabulary(), &worked.name);
            let explained = explained.expect("every figure can be explained");
            assert_eq!(explained.worked, worked);
            shown += 1;
            if std::env::var_os("WETSIDE_SHOW").is_some() {
                println!(
                    "{}: {}: {:?} {:?}",
                    source.name, worked.name, worked.value, worked.supposing
                );
            }
        }
    }
    assert!(shown > 100);
    let text = "survey: 1\nmachine: {tank: 50 L, freeboard: 5 to 8 L}\n\
                flush: {dump_flow: 55 to 60 L/min}\nwater_supply: {flow: 8 to 14 L/min}\n";
    let source = Source::new("s.yaml".to_string(), text.to_string());
    let facts = derived(&source, &document::read(&source).root);
    let tank = figures::explain(&facts, vocabulary(), "tank_run_down").expect("it is one");
    let widest = tank.widest.map(|at| tank.inputs[at].symbol);
    assert_eq!(widest, Some("q_in"));
    assert_eq!(tank.inputs[1].value, Ok("5 to 8 L".to_string()));
    assert_eq!(tank.inputs[1].lines[0].fact, "machine.freeboard");
    let text = "survey: 1\nemitters:\n  count: 1\n  items:\n    - {id: hall, panels: 2}\n\
                hot_water: {kind: none, buffer: {fitted: no}}\nunderfloor: {fitted: no}\n";
    let source = Source::new("s.yaml".to_string(), text.to_string());
    let facts = derived(&source, &document::read(&source).root);
    let total = figures::explain(&facts, vocabulary(), "figure.total_volume").expect("it is one");
    assert_eq!(total.worked.value, Ok("10 to 20 L".to_string()));
    assert!(
        total
            .worked
            .supposing
            .expect("it is supposed")
            .contains("volume_by_panels")
    );
}
