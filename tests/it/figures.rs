//! Figures against surveys whose figures were worked out by hand or by a source, and their laws.
//!
//! Each file of `tests/figures` is a list of cases: a fragment of a survey, a figure, what it must
//! be, and where the expected value comes from.

mod curves;
mod laws;
mod likely;
mod plan;
mod reference;
mod shown;
pub(crate) mod words;

use serde::Deserialize;
use std::fs;
use std::path::PathBuf;
use std::sync::OnceLock;
use wetside_base::facts::{Content, FactId, Facts, Value, Why, fact_name};
use wetside_base::source::Source;
use wetside_base::vocabulary::Vocabulary;
use wetside_document::{Node, Reading};
use wetside_engine::check::{Ask, Packs, check};
use wetside_engine::figures;
use wetside_engine::figures::table::Origin;
use wetside_engine::figures::view::View;
use wetside_engine::pack::PackFiles;
use wetside_engine::read;
use wetside_house::Range;
use wetside_units::{Interval, Kind, Quantity};

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

pub(crate) fn vocabulary() -> &'static Vocabulary {
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
        let root = wetside_document::read(&source).root;
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
            Content::Open(Why::NotWorkedOut(reason, _)) if reason.contains(words) => None,
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

/// A figure reaches the findings as a reading does: with its value, its place and all its lines.
#[test]
fn a_finding_names_all_lines_behind_a_figure() {
    let rule = "title: tank runs dry\nclass: hazard\nstage: survey\nmust: figure.tank_run_down >= 60 s\n\
                says: the tank is down after {figure.tank_run_down}\ndo: dump slower\nbecause: air\n\
                source: {work: common practice, standing: common practice, certainty: no source}\n\
                cases:\n\
                - {name: burst, given: {machine: {tank: 53 L, freeboard: 8 L}, flush: {dump_flow: 60 L/min}, water_supply: {flow: 12 L/min}}, then: broken}\n\
                - {name: tap, given: {machine: {tank: 53 L, freeboard: 8 L}, flush: {dump_flow: 60 L/min}, water_supply: {flow: 50 L/min}}, then: met}\n\
                - {name: open, given: {machine: {tank: 53 L, freeboard: 8 L}, flush: {dump_flow: 60 L/min}}, then: undecided}\n";
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
    let cases =
        wetside_engine::cases::run(&packs.packs[0], &packs.packs[0].name, &packs.vocabulary);
    assert_eq!((cases.passed, cases.problems.len()), (3, 0));
    let survey = |flow: &str| {
        let text = format!(
            "survey: 1\njob: {{stage: flush}}\nmachine:\n  tank: 53 L\n  freeboard: 8 L\n\
             flush:\n  dump_flow: 60 L/min\nwater_supply:\n  flow: {flow}\n"
        );
        let source = Source::new("s.yaml".to_string(), text);
        let finding = check(&source, &packs, &Ask::default()).findings.remove(0);
        let on = &finding.on[0];
        let line = |span: wetside_base::source::Span| source.line_of(span.start);
        let mut lines: Vec<usize> = on.lines.iter().map(|label| line(label.span)).collect();
        lines.push(line(on.place));
        lines.sort_unstable();
        lines.dedup();
        let causes: Vec<String> = on.causes.iter().map(|cause| cause.words()).collect();
        (on.says.clone(), on.place_words.clone(), lines, causes)
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

/// Only what rules read is worked out, and what that takes.
#[test]
fn what_nobody_reads_is_not_worked_out() {
    use wetside_engine::figures::Wanted;
    let wants = |field: &str, name: &str| Wanted::by([field]).has(name);
    assert_eq!(Wanted::by(["machine.tank"]), Wanted::nothing());
    let field = "figure.rinse_time";
    for taken in [
        "rinse_time",
        "rinse_water",
        "rinse_volumes",
        "flush_volume",
        "machine_water",
    ] {
        assert!(wants(field, taken), "{taken}");
    }
    for other in ["branches", "connections", "motor_current", "cold_fill"] {
        assert!(!wants(field, other), "{other}");
    }
    for taken in ["branches", "heat_up_time", "rinse_time", "flush_volume"] {
        assert!(wants("figure.time_on_site", taken), "{taken}");
    }
    assert!(wants("figure.branches", "branches"));
    assert!(!wants("figure.best_point", "connections"));
    for taken in ["best_point", "connections"] {
        assert!(wants("figure.best_point_gain", taken), "{taken}");
    }
    let points = Wanted::by(["figure.connections.least_speed"]);
    assert!(points.has("connections") && points.has_of_elements("connections", "least_speed"));
    assert!(!points.has_of_elements("connections", "weakest_pressure"));
    assert!(!points.has("branches") && points.has_of_elements("emitters", "content"));
    let both = Wanted::by([field, "figure.motor_current"]);
    assert!(both.has("rinse_time") && both.has("motor_current"));

    let text = "survey: 1\nelectrical: {rcd: {kind: fixed}}\nmachine: {tank: 53 L, freeboard: 8 L, power: 1.1 kW}\n";
    let source = Source::new("s.yaml".to_string(), text.to_string());
    let (mut facts, _) = read::read(&source, &wetside_document::read(&source), vocabulary());
    let wanted = Wanted::by(["figure.motor_current"]);
    figures::derive_wanted(&mut facts, vocabulary(), &wanted);
    let content = |name: &str| &facts.fact(figure_fact(&facts, name)).content;
    assert!(matches!(content("motor_current"), Content::Known(_)));
    assert!(matches!(
        content("machine_water"),
        Content::Open(Why::NotRecorded)
    ));
}
