//! Facts of the trade, each with the source it was taken from, held against the pack and the units.
//!
//! A fact is a sentence, its source and one check. Every expected value was written down from the
//! source and not from the pack, so that a slip in either shows. The kinds of check:
//!
//! - `limit` and `is`: a threshold of the pack has this value, and is as sure as the fact;
//! - `table`, `row` and `cells`: cells of a table of the pack;
//! - `rule` and `cases`: what a rule makes of small surveys, with more than one outcome among them;
//! - `rule` and `do_holds`: words in the remedy that a rule gives;
//! - `reading`, `of`, `in`, `is` and `within`: a quantity written in another unit;
//! - `tube`, `metre_holds` and `within`: what a metre of pipe holds, by the arithmetic of quantities;
//! - `condition`: something that the rule language finds true of the pack's limits.

use serde::Deserialize;
use std::collections::{BTreeMap, BTreeSet};
use std::path::Path;
use wetside::check::Packs;
use wetside::document::{self, Node, Reading};
use wetside::facts::read;
use wetside::finding::Outcome;
use wetside::lang::eval::Scene;
use wetside::lang::names::Cell;
use wetside::pack::{self, Pack, PackFiles, Rule};
use wetside::run::{judge, scene};
use wetside::schema;
use wetside::source::Source;
use wetside::units::{Date, Exact, Interval, Kind, Quantity, UnitId};
use wetside::vocabulary::Vocabulary;
use wetside_schemas::Which;

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Fact {
    fact: String,
    source: Basis,
    check: Check,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Basis {
    work: String,
    clause: Option<String>,
    certainty: String,
}

#[derive(Deserialize)]
#[serde(untagged)]
enum Check {
    Limit(LimitCheck),
    Cells(CellsCheck),
    Rule(RuleCheck),
    Words(WordsCheck),
    Reading(ReadingCheck),
    Tube(TubeCheck),
    Condition(ConditionCheck),
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct LimitCheck {
    limit: String,
    is: Text,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct CellsCheck {
    table: String,
    row: String,
    cells: BTreeMap<String, Text>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct RuleCheck {
    rule: String,
    cases: Vec<CaseCheck>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct WordsCheck {
    rule: String,
    do_holds: String,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct CaseCheck {
    /// Read from the file by the program's own reader; see [`given`].
    #[serde(rename = "given")]
    _given: serde_yaml::Value,
    as_of: Option<String>,
    then: String,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct ReadingCheck {
    reading: String,
    of: String,
    r#in: String,
    is: Text,
    within: Text,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct TubeCheck {
    tube: Tube,
    metre_holds: String,
    within: String,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Tube {
    outside: String,
    wall: String,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct ConditionCheck {
    condition: String,
}

/// A scalar as text, whichever type YAML takes it for.
#[derive(Deserialize)]
#[serde(untagged)]
enum Text {
    Whole(i64),
    Number(f64),
    Words(String),
}

impl std::fmt::Display for Text {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            Text::Whole(number) => write!(f, "{number}"),
            Text::Number(number) => write!(f, "{number}"),
            Text::Words(words) => f.write_str(words),
        }
    }
}

struct FactFile {
    source: Source,
    facts: Vec<Fact>,
    root: Node,
}

fn files() -> Vec<FactFile> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/facts");
    let entries = std::fs::read_dir(&folder).expect("the folder of facts can be read");
    let mut paths: Vec<_> = entries
        .map(|entry| entry.expect("an entry can be read").path())
        .collect();
    paths.sort();
    let file = |path: &Path| {
        let text = std::fs::read_to_string(path)
            .unwrap_or_else(|error| panic!("{}: {error}", path.display()));
        let name = format!(
            "tests/facts/{}",
            path.file_name().unwrap_or_default().display()
        );
        let facts = serde_yaml::from_str(&text).unwrap_or_else(|error| panic!("{name}: {error}"));
        let source = Source::new(name, text);
        let reading = document::read(&source);
        assert_eq!(reading.problems, [], "{}", source.name);
        FactFile {
            facts,
            root: reading.root,
            source,
        }
    };
    paths.iter().map(|path| file(path)).collect()
}

/// Runs a check on every fact and lists what is wrong, each with the line of its fact.
fn every(wrong_with: impl Fn(&FactFile, usize, &Fact) -> Vec<String>) {
    let mut wrong = Vec::new();
    for file in files() {
        for (at, fact) in file.facts.iter().enumerate() {
            let place = file.source.place(file.root.items()[at].span.start);
            let found = wrong_with(&file, at, fact);
            wrong.extend(
                found
                    .into_iter()
                    .map(|says| format!("{}:{place}: {}: {says}", file.source.name, fact.fact)),
            );
        }
    }
    assert!(
        wrong.is_empty(),
        "{}\n{} wrong",
        wrong.join("\n"),
        wrong.len()
    );
}

#[test]
fn every_fact_agrees_with_the_pack_and_the_units() {
    let packs = Packs::built_in();
    let pack = &packs.packs[0];
    every(|file, at, fact| match &fact.check {
        Check::Limit(check) => limit_differs(pack, fact, check).into_iter().collect(),
        Check::Cells(check) => cells_differ(pack, &packs.vocabulary, check),
        Check::Rule(check) => cases_differ(pack, &packs.vocabulary, file, at, check),
        Check::Words(check) => words_missing(pack, check).into_iter().collect(),
        Check::Reading(check) => reading_differs(check).into_iter().collect(),
        Check::Tube(check) => content_differs(check).into_iter().collect(),
        Check::Condition(check) => condition_fails(&packs.vocabulary, &check.condition),
    });
}

fn limit_differs(pack: &Pack, fact: &Fact, check: &LimitCheck) -> Option<String> {
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
    let (pack, fact) = (&entry.citation.certainty, &fact.source.certainty);
    (pack != fact).then(|| format!("the pack calls its source `{pack}`, the fact `{fact}`"))
}

fn cells_differ(pack: &Pack, vocabulary: &Vocabulary, check: &CellsCheck) -> Vec<String> {
    let table = pack.tables.iter().find(|table| table.name == check.table);
    let Some(table) = table else {
        return vec![format!("the pack has no table `{}`", check.table)];
    };
    let row = table
        .rows
        .iter()
        .find(|row| vocabulary.word(row.word) == check.row);
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

fn cases_differ(
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
    let (facts, mut problems) = read::read(&file.source, &reading, vocabulary);
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

fn words_missing(pack: &Pack, check: &WordsCheck) -> Option<String> {
    let held = pack
        .rule(&check.rule)
        .is_some_and(|rule| rule.words.remedy.contains(&check.do_holds));
    (!held).then(|| {
        format!(
            "the remedy of `{}` says nothing of `{}`",
            check.rule, check.do_holds
        )
    })
}

fn reading_differs(check: &ReadingCheck) -> Option<String> {
    let kind = Kind::named(&check.of).expect("a kind of quantity");
    let unit = UnitId::spelt(&check.r#in, kind)
        .unwrap_or_else(|| panic!("`{}` is no unit of {kind}", check.r#in));
    let base = quantity(&check.reading, kind)
        .single()
        .expect("an exact reading");
    let found = unit.from_base(base)?;
    let exact = |text: &Text| Exact::parse(&text.to_string()).expect("a number");
    let apart = found.minus(exact(&check.is))?.magnitude();
    (apart > exact(&check.within)).then(|| {
        format!(
            "{} is {found} {}, not {}",
            check.reading, check.r#in, check.is
        )
    })
}

fn content_differs(check: &TubeCheck) -> Option<String> {
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
            litres.from_base(content),
            check.metre_holds
        )
    })
}

/// A condition on the pack's limits, put to the rule language as the demand of a rule of its own.
fn condition_fails(vocabulary: &Vocabulary, condition: &str) -> Vec<String> {
    let head = pack::built_in()
        .files
        .into_iter()
        .filter(|(path, _)| path == "pack.yaml");
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
    files.files.push(("facts/the-fact.yaml".to_string(), rule));
    let (pack, problems) = pack::load(&files, vocabulary);
    let mut wrong: Vec<String> = problems
        .into_iter()
        .map(|found| found.problem.says)
        .collect();
    let empty = Source::new("nothing", "{}");
    let (facts, _) = read::read(&empty, &document::read(&empty), vocabulary);
    for rule in &pack.rules {
        let judged = judge(rule, scene(vocabulary, &facts, None));
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

#[test]
fn every_fact_names_its_source_and_how_sure_it_is() {
    every(|_, _, fact| {
        let mut wrong = Vec::new();
        let certainties = ["read", "second-hand", "from memory", "no source"];
        if !certainties.contains(&fact.source.certainty.as_str()) {
            wrong.push(format!(
                "`{}` says nothing of how sure it is",
                fact.source.certainty
            ));
        }
        let begins_well = fact
            .fact
            .chars()
            .next()
            .is_some_and(|first| !first.is_whitespace());
        if !begins_well || fact.fact.ends_with('.') {
            wrong.push("a fact is one sentence without a full stop".to_string());
        }
        let clause = fact.source.clause.as_deref().unwrap_or("none");
        for words in [fact.source.work.as_str(), clause] {
            if words.trim().is_empty() || super::pack::holds_private_code(words) {
                wrong.push(format!("`{words}` names no document"));
            }
        }
        wrong
    });
}

#[test]
fn the_facts_are_many_and_all_different() {
    let files = files();
    let facts: Vec<&str> = files
        .iter()
        .flat_map(|file| &file.facts)
        .map(|fact| fact.fact.as_str())
        .collect();
    let different: BTreeSet<&str> = facts.iter().copied().collect();
    assert_eq!(different.len(), facts.len());
    assert!(facts.len() >= 60, "{}", facts.len());
}

#[test]
fn every_row_of_the_protection_table_has_a_fact() {
    let packs = Packs::built_in();
    let files = files();
    let checked: BTreeSet<&str> = files
        .iter()
        .flat_map(|file| &file.facts)
        .filter_map(|fact| match &fact.check {
            Check::Cells(check) if check.table == "protection" => Some(check.row.as_str()),
            _ => None,
        })
        .collect();
    let table = packs.packs[0]
        .tables
        .iter()
        .find(|table| table.name == "protection")
        .expect("the table");
    let rows: BTreeSet<&str> = table
        .rows
        .iter()
        .map(|row| packs.vocabulary.word(row.word))
        .collect();
    assert_eq!(checked, rows);
}

#[test]
fn every_limit_from_a_document_has_a_fact() {
    let packs = Packs::built_in();
    let files = files();
    let checked = |name: &str| {
        files
            .iter()
            .flat_map(|file| &file.facts)
            .any(|fact| match &fact.check {
                Check::Limit(check) => check.limit == name,
                Check::Condition(check) => check.condition.contains(&format!("limit.{name}")),
                _ => false,
            })
    };
    let undocumented = ["common practice", "trade knowledge"];
    let documented = packs.packs[0].limits.iter().filter(|entry| {
        entry.citation.certainty != "no source"
            && !undocumented.contains(&entry.citation.work.as_str())
    });
    let unchecked: Vec<&str> = documented
        .map(|entry| entry.limit.name.as_str())
        .filter(|name| !checked(name))
        .collect();
    assert!(unchecked.is_empty(), "no fact speaks of {unchecked:?}");
}
