//! One function for each kind of check: what is wrong, or nothing.

use super::data::{
    CaseCheck, CellsCheck, Fact, FactFile, FigureCheck, LimitCheck, ReadingCheck, RuleCheck, Text,
    TubeCheck, WordsCheck,
};
use std::collections::BTreeSet;
use wetside_base::finding::{Citation, Outcome};
use wetside_base::source::Source;
use wetside_base::vocabulary::Vocabulary;
use wetside_document::{Node, Reading};
use wetside_engine::figures;
use wetside_engine::pack::{self, LimitEntry, Pack, PackFiles, Rule};
use wetside_engine::read;
use wetside_engine::run::{judge, scene};
use wetside_engine::schema;
use wetside_lang::eval::Scene;
use wetside_lang::names::Cell;
use wetside_physics::{GRAVITY, dilution, dump, heat, lead, pipe, vessel, water};
use wetside_schemas::Which;
use wetside_units::{Date, Exact, Interval, Kind, Quantity, UnitId};

pub(super) fn limit_differs(pack: &Pack, fact: &Fact, check: &LimitCheck) -> Option<String> {
    let Some(entry) = pack
        .limits
        .iter()
        .find(|entry| entry.limit.name == check.limit)
    else {
        return Some(format!("the pack has no limit `{}`", check.limit));
    };
    let stated = quantity(&check.is.to_string(), entry.limit.kind);
    if stated != entry.limit.range {
        return Some(format!(
            "the pack has {}, the fact {}",
            entry.limit.written, check.is
        ));
    }
    let (pack, fact) = (&in_england(pack, entry).certainty, &fact.source.certainty);
    (pack != fact).then(|| format!("the pack calls its source `{pack}`, the fact `{fact}`"))
}

pub(super) fn cells_differ(
    pack: &Pack,
    vocabulary: &Vocabulary,
    check: &CellsCheck,
) -> Vec<String> {
    let table = pack.tables.iter().find(|table| table.name == check.table);
    let Some(table) = table else {
        return vec![format!("the pack has no table `{}`", check.table)];
    };
    let row = table.rows.iter().find(|row| {
        row.word()
            .is_some_and(|word| vocabulary.word(word) == check.row)
    });
    let Some(row) = row else {
        return vec![format!("the table has no row `{}`", check.row)];
    };
    let differs = |(name, expected): (&String, &Text)| {
        let at = table.columns.iter().position(|column| column.name == *name);
        let cell = at.map(|at| &row.cells[at]);
        let same = match cell {
            Some(Cell::Quantity(range)) => {
                Exact::parse(&expected.to_string()).map(Interval::exact) == Some(*range)
            }
            Some(Cell::Text(text)) => *text == expected.to_string(),
            _ => false,
        };
        (!same).then(|| {
            format!(
                "`{}` has {cell:?} for {name}, the fact {expected}",
                check.row
            )
        })
    };
    check.cells.iter().filter_map(differs).collect()
}

pub(super) fn cases_differ(
    pack: &Pack,
    vocabulary: &Vocabulary,
    file: &FactFile,
    at: usize,
    check: &RuleCheck,
) -> Vec<String> {
    let Some(rule) = pack.rule(&check.rule) else {
        return vec![format!("the pack has no rule `{}`", check.rule)];
    };
    let outcomes: BTreeSet<&str> = check.cases.iter().map(|case| case.then.as_str()).collect();
    let mut wrong = Vec::new();
    if outcomes.len() < 2 {
        wrong.push("all cases ask for the same outcome, so they show no limit".to_string());
    }
    for (number, case) in check.cases.iter().enumerate() {
        match outcome(pack, rule, vocabulary, file, given(file, at, number), case) {
            Ok(found) if found == case.then => {}
            Ok(found) => wrong.push(format!(
                "case {} asks for {}, the rule gives {found}",
                number + 1,
                case.then
            )),
            Err(says) => wrong.push(format!("case {}: {says}", number + 1)),
        }
    }
    wrong
}

/// The survey fragment of one case, with its places in the file.
fn given(file: &FactFile, fact: usize, case: usize) -> &Node {
    let check = &file.root.items()[fact]
        .get("check")
        .expect("a fact has a check")
        .value;
    let cases = &check
        .get("cases")
        .expect("a check of a rule has cases")
        .value;
    &cases.items()[case]
        .get("given")
        .expect("a case has its facts")
        .value
}

fn outcome(
    pack: &Pack,
    rule: &Rule,
    vocabulary: &Vocabulary,
    file: &FactFile,
    given: &Node,
    case: &CaseCheck,
) -> Result<&'static str, String> {
    let reading = Reading {
        root: given.clone(),
        problems: Vec::new(),
        lost: Vec::new(),
    };
    let (mut facts, mut problems) = read::read(&file.source, &reading, vocabulary);
    figures::derive(&mut facts, vocabulary);
    problems.extend(schema::check::beside(
        Which::Fragment,
        &file.source,
        &reading,
        &problems,
    ));
    if let Some(problem) = problems.first() {
        return Err(format!("{}; {}", problem.says, problem.help));
    }
    let as_of = case
        .as_of
        .as_deref()
        .map(|text| Date::parse(text).expect("a date"));
    let scene = Scene {
        tables: &pack.tables,
        ..scene(vocabulary, &facts, as_of)
    };
    let judged = judge(rule, scene);
    Ok(Outcome::worst(judged.iter().map(|judged| judged.outcome)).words())
}

pub(super) fn words_missing(pack: &Pack, check: &WordsCheck) -> Option<String> {
    let held = pack.rule(&check.rule).is_some_and(|rule| {
        let mut texts = rule.words.remedy.iter();
        texts.any(|(_, text)| words_of(text).contains(&check.do_holds))
    });
    (!held).then(|| {
        format!(
            "the remedy of `{}` says nothing of `{}`",
            check.rule, check.do_holds
        )
    })
}

pub(super) fn reading_differs(check: &ReadingCheck) -> Option<String> {
    let kind = Kind::named(&check.of).expect("a kind of quantity");
    let unit = UnitId::spelt(&check.r#in, kind)
        .unwrap_or_else(|| panic!("`{}` is no unit of {kind}", check.r#in));
    let base = quantity(&check.reading, kind)
        .single()
        .expect("an exact reading");
    let found = in_unit(unit, base)?;
    let exact = |text: &Text| Exact::parse(&text.to_string()).expect("a number");
    let apart = found.minus(exact(&check.is))?.magnitude();
    (apart > exact(&check.within)).then(|| {
        format!(
            "{} is {found} {}, not {}",
            check.reading, check.r#in, check.is
        )
    })
}

pub(super) fn content_differs(check: &TubeCheck) -> Option<String> {
    let length = |text: &str| quantity(text, Kind::Length);
    let exact = |text: &str| Interval::exact(Exact::parse(text).expect("a number"));
    let walls = exact("2").times(&length(&check.tube.wall))?;
    let bore = length(&check.tube.outside).minus(&walls)?;
    let area_kind = Kind::Length.times(Kind::Length)?;
    let quarter_pi = exact("0.785398");
    let area = bore.times(&bore)?.times(&quarter_pi)?;
    let volume_kind = area_kind.times(Kind::Length)?;
    assert_eq!((area_kind, volume_kind), (Kind::Area, Kind::Volume));
    let content = area.times(&length("1 m"))?.single()?;
    let stated = quantity(&check.metre_holds, volume_kind).single()?;
    let within = quantity(&check.within, volume_kind).single()?;
    let litres = UnitId::usual(Kind::Volume);
    let apart = content.minus(stated)?.magnitude();
    (apart > within).then(|| {
        format!(
            "a metre holds {:?} L, not {}",
            in_unit(litres, content),
            check.metre_holds
        )
    })
}

pub(super) fn figure_differs(check: &FigureCheck) -> Option<String> {
    let found = figure(&check.figure, &check.of);
    let agrees = found.is_some_and(|found| (found - check.is).abs() <= check.within);
    (!agrees).then(|| {
        format!(
            "{} of {:?} is {found:?}, not {}",
            check.figure, check.of, check.is
        )
    })
}

/// A number of base units in a unit.
fn in_unit(unit: UnitId, base: Exact) -> Option<Exact> {
    unit.range_from_base(&Interval::exact(base))?.single()
}

/// A formula of physics by the name that the facts give it.
fn figure(name: &str, of: &[f64]) -> Option<f64> {
    match (name, of) {
        ("rinse volumes", [start, mains, band]) => {
            dilution::volumes_needed(*start, *mains, *band).ok()
        }
        ("cold water for hot", [hot, limit, cold]) => heat::cold_per_hot(*hot, *limit, *cold).ok(),
        ("expansion", [from, to]) => {
            vessel::expansion(water::density(*from).ok()?, water::density(*to).ok()?).ok()
        }
        ("voltage lost", [area, length, current]) => {
            let of_area = |cord: &&lead::Cord| (cord.area / area - 1.0).abs() < 1e-9;
            let cord = lead::CORDS.iter().find(of_area)?;
            Some(cord.drop * length * current)
        }
        ("speed", [flow, bore]) => Some(flow / pipe::area(*bore).ok()?),
        ("run-down of the tank", [content, least, out, back]) => {
            dump::run_down(*content, *least, *out, *back).ok()?
        }
        ("density of water", [celsius]) => water::density(*celsius).ok(),
        ("viscosity of water", [celsius]) => water::dynamic_viscosity(*celsius).ok(),
        ("pressure of a head", [head, density]) => Some(GRAVITY * head * density),
        ("flow for a power", [power, difference, density, capacity]) => {
            heat::flow_for(*power, *difference, *density, *capacity).ok()
        }
        _ => None,
    }
}

/// A condition on the pack's limits, put to the rule language as the demand of a rule of its own.
pub(super) fn condition_fails(vocabulary: &Vocabulary, condition: &str) -> Vec<String> {
    let head = wetside_rules::files()
        .files
        .into_iter()
        .filter(|(path, _)| path == "pack.yaml" || path.starts_with("tables/"))
        .map(|(path, text)| (path, crate::examples::unlocked(&text).into()));
    let rule = format!(
        "title: the fact is not so\nclass: advisory\nstage: survey\nmust: >\n  {condition}\nsays: the fact is not so\n\
         do: look at the source\nbecause: facts and limits go together\n\
         source: {{work: common practice, standing: common practice, certainty: no source}}\n\
         cases:\n  - {{name: nothing is recorded, given: {{}}, then: met}}\n"
    );
    let mut files = PackFiles {
        name: "facts".to_string(),
        files: head.collect(),
    };
    files
        .files
        .push(("facts/the-fact.yaml".to_string(), rule.into()));
    let (pack, problems) = pack::load(&files, vocabulary);
    let mut wrong: Vec<String> = problems
        .into_iter()
        .map(|found| found.problem.says)
        .collect();
    let empty = Source::new("nothing", "{}");
    let (facts, _) = read::read(&empty, &wetside_document::read(&empty), vocabulary);
    for rule in &pack.rules {
        let scene = Scene {
            tables: &pack.tables,
            ..scene(vocabulary, &facts, None)
        };
        let judged = judge(rule, scene);
        let found = Outcome::worst(judged.iter().map(|judged| judged.outcome));
        if found != Outcome::Met {
            wrong.push(format!("`{condition}` is {}", found.words()));
        }
    }
    wrong
}

fn quantity(text: &str, kind: Kind) -> Interval {
    Quantity::parse(text, kind)
        .unwrap_or_else(|fault| panic!("`{text}` of {kind}: {fault:?}"))
        .range
}

/// The fixed words of a message, its blanks left out.
fn words_of(pieces: &[wetside_engine::pack::Piece]) -> String {
    let text = pieces.iter().map(|piece| match piece {
        wetside_engine::pack::Piece::Text(text) => text.as_str(),
        wetside_engine::pack::Piece::Blank(_) => "…",
    });
    text.collect()
}

/// What a limit cites in England, whose texts most facts were taken from.
pub(super) fn in_england(pack: &Pack, entry: &LimitEntry) -> Citation {
    let england = |_: &str| Some("England");
    entry.cited.of(&pack.laws, england, Interval::EVERYTHING)
}
