//! A small invented vocabulary, limits and a table, and a way to ask conditions over it.

use std::sync::OnceLock;
use wetside_base::facts::{FactId, Facts};
use wetside_base::problem::Problem;
use wetside_base::source::Source;
use wetside_base::vocabulary::{Plan, PlanShape, Type, Vocabulary};
use wetside_engine::read;
use wetside_engine::run;
use wetside_lang::ast::Expr;
use wetside_lang::cells::{Cut, cells};
use wetside_lang::check;
use wetside_lang::eval::{self, Scene, Supposed};
use wetside_lang::names::{Cell, Column, Holds, Key, Limit, List, Names, Row, Table};
use wetside_lang::node::Checked;
use wetside_lang::parse::parse;
use wetside_lang::readings::readings;
use wetside_units::truth::Truth;
use wetside_units::{End, Exact, Interval, Kind, Quantity};

pub(super) const LAYOUTS: [&str; 3] = ["one-pipe", "two-pipe", "underfloor"];
/// The list of words `wet`, of layouts.
pub(super) const WET: [&str; 2] = ["two-pipe", "underfloor"];
pub(super) const METALS: [&str; 3] = ["copper", "steel", "plastic"];
/// The numbers of the vocabulary are possible from nought to this.
pub(super) const GREATEST: u32 = 4;

/// Everything that a condition is asked against.
pub(super) struct Bench {
    pub vocabulary: Vocabulary,
    pub limits: Vec<Limit>,
    pub tables: Vec<Table>,
    pub lists: Vec<List>,
}

/// An answer before and after trying the cells of facts that are read more than once.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Answers {
    pub plain: Truth,
    pub sharp: Truth,
}

/// The invented vocabulary, made once.
pub(super) fn bench() -> &'static Bench {
    static BENCH: OnceLock<Bench> = OnceLock::new();
    BENCH.get_or_init(|| {
        let vocabulary = vocabulary();
        let tables = vec![table(&vocabulary), bands(&vocabulary)];
        let wet = WET.map(|word| vocabulary.word_id(word).unwrap());
        Bench {
            lists: vec![List {
                name: "wet".to_string(),
                words: wet.to_vec(),
            }],
            limits: vec![
                limit("three", Kind::Number, "3"),
                limit("hot", Kind::Temperature, "43 °C"),
                limit("test_interval", Kind::Time, "12 months"),
                limit("rough", Kind::Number, "2 to 3"),
            ],
            vocabulary,
            tables,
        }
    })
}

fn plan(name: &str, shape: PlanShape) -> Plan {
    Plan::new(name, "", shape)
}

fn words(all: &[&str]) -> Vec<String> {
    all.iter().map(|word| (*word).to_string()).collect()
}

fn yes_no(name: &str) -> Plan {
    plan(name, PlanShape::Choice(words(&["yes", "no"])))
}

fn number(name: &str) -> Plan {
    let possible = Quantity::parse(&format!("0 to {GREATEST}"), Kind::Number)
        .unwrap()
        .range;
    let shape = PlanShape::Fact(Type::Quantity {
        kind: Kind::Number,
        possible,
        usual_unit: String::new(),
    });
    plan(name, shape)
}

fn quantity(name: &str, kind: Kind) -> Plan {
    let shape = PlanShape::Fact(Type::Quantity {
        kind,
        possible: Interval::EVERYTHING,
        usual_unit: String::new(),
    });
    plan(name, shape)
}

fn vocabulary() -> Vocabulary {
    let layout = || plan("layout", PlanShape::Choice(words(&LAYOUTS)));
    let thing = vec![
        plan("id", PlanShape::Fact(Type::Text)),
        yes_no("a"),
        number("x"),
        layout(),
        plan("metals", PlanShape::Set(words(&METALS))),
        plan(
            "parts",
            PlanShape::List(vec![
                plan("id", PlanShape::Fact(Type::Text)),
                number("x"),
                plan(
                    "bits",
                    PlanShape::List(vec![plan("id", PlanShape::Fact(Type::Text)), yes_no("a")]),
                ),
            ]),
        ),
    ];
    Vocabulary::new(vec![
        plan(
            "job",
            PlanShape::Group(vec![plan("work_date", PlanShape::Fact(Type::Date))]),
        ),
        yes_no("a"),
        yes_no("b"),
        yes_no("c"),
        layout(),
        plan("other_layout", PlanShape::Choice(words(&LAYOUTS))),
        plan("colour", PlanShape::Choice(words(&["grey", "clear"]))),
        plan("metals", PlanShape::Set(words(&METALS))),
        plan("pipe", PlanShape::Choice(words(&METALS))),
        plan("other_metals", PlanShape::Set(words(&METALS))),
        number("x"),
        number("y"),
        quantity("bore", Kind::Length),
        quantity("gauge", Kind::GaugePressure),
        quantity("loss", Kind::PressureDifference),
        quantity("flow", Kind::VolumeFlow),
        quantity("water", Kind::Volume),
        quantity("warmth", Kind::Temperature),
        quantity("head", Kind::Head),
        quantity("part", Kind::Share),
        quantity("top_ups", Kind::Frequency),
        quantity("dose", Kind::DoseRate),
        quantity("heads", Kind::Count),
        quantity("built", Kind::Year),
        plan("tested", PlanShape::Fact(Type::Date)),
        plan("signed", PlanShape::Fact(Type::DateTime)),
        plan("note", PlanShape::Fact(Type::Text)),
        plan("things", PlanShape::List(thing)),
    ])
}

fn limit(name: &str, kind: Kind, written: &str) -> Limit {
    Limit {
        name: name.to_string(),
        kind,
        range: Quantity::parse(written, kind).unwrap().range,
        written: written.to_string(),
        from: Vec::new(),
    }
}

/// Keyed by `layout`: a grade, a remark, and whether it drains; nobody knows all of underfloor.
fn table(vocabulary: &Vocabulary) -> Table {
    let column = |name: &str, holds| Column {
        name: name.to_string(),
        holds,
    };
    let row = |layout: &str, cells| Row {
        key: Key::Word(vocabulary.word_id(layout).unwrap()),
        cells,
    };
    let grade = |text: &str| Cell::Quantity(Quantity::parse(text, Kind::Number).unwrap().range);
    let text = |text: &str| Cell::Text(text.to_string());
    Table {
        name: "grades".to_string(),
        keyed_by: vocabulary.find("layout").unwrap(),
        columns: vec![
            column("grade", Holds::Quantity(Kind::Number)),
            column("drains", Holds::YesOrNo),
            column("remark", Holds::Text),
        ],
        rows: vec![
            row(
                "one-pipe",
                vec![grade("1"), Cell::Word(Vocabulary::YES), text("slow")],
            ),
            row(
                "two-pipe",
                vec![grade("3"), Cell::Word(Vocabulary::YES), text("plain")],
            ),
            row(
                "underfloor",
                vec![Cell::Unknown, Cell::Word(Vocabulary::NO), Cell::Unknown],
            ),
        ],
    }
}

/// Keyed by bands of `x`: from 1 a grade of 10, from 2 to 3 of 20, then nobody knows.
fn bands(vocabulary: &Vocabulary) -> Table {
    let row = |from, to, cell| Row {
        key: Key::Band(Interval::new(End::Closed(Exact::whole(from)), to).unwrap()),
        cells: vec![cell],
    };
    let grade = |grade| Cell::Quantity(Interval::exact(Exact::whole(grade)));
    Table {
        name: "steps".to_string(),
        keyed_by: vocabulary.find("x").unwrap(),
        columns: vec![Column {
            name: "grade".to_string(),
            holds: Holds::Quantity(Kind::Number),
        }],
        rows: vec![
            row(1, End::Open(Exact::whole(2)), grade(10)),
            row(2, End::Open(Exact::whole(3)), grade(20)),
            row(3, End::Unbounded, Cell::Unknown),
        ],
    }
}

impl Bench {
    pub(super) fn names(&self) -> Names<'_> {
        Names {
            vocabulary: &self.vocabulary,
            limits: &self.limits,
            tables: &self.tables,
            lists: &self.lists,
        }
    }

    /// The facts of a fragment of a survey, which must be sound.
    pub(super) fn facts(&self, given: &str) -> Facts {
        let given = if given.trim().is_empty() { "{}" } else { given };
        let source = Source::new("given", given);
        let reading = wetside_document::read(&source);
        assert_eq!(reading.problems, [], "{given}");
        let (facts, problems) = read::read(&source, &reading, &self.vocabulary);
        assert_eq!(problems, [], "{given}");
        facts
    }

    /// Every problem of a condition, as a writer of packs meets them.
    pub(super) fn problems(&self, condition: &str) -> Vec<Problem> {
        let (expr, mut problems) = parse(condition);
        if problems.is_empty() {
            problems = check::condition(&expr, self.names(), &[]).1;
        }
        problems
    }

    pub(super) fn checked(&self, condition: &str) -> (Expr, Checked) {
        let (expr, problems) = parse(condition);
        assert_eq!(problems, [], "{condition}");
        let (checked, problems) = check::condition(&expr, self.names(), &[]);
        assert_eq!(problems, [], "{condition}");
        (expr, checked)
    }

    pub(super) fn ask(&self, condition: &str, given: &str) -> Answers {
        self.answers(&self.checked(condition).1, &self.facts(given))
    }

    pub(super) fn answers(&self, checked: &Checked, facts: &Facts) -> Answers {
        let scene = Scene {
            tables: &self.tables,
            ..run::scene(&self.vocabulary, facts, None)
        };
        let plain = eval::truth(&checked.node, &scene, &[], &[]);
        if plain != Truth::Undecided {
            return Answers {
                plain,
                sharp: plain,
            };
        }
        let readings = readings([&checked.node].into_iter(), scene, &[]);
        let cut = cells(&readings, scene, &[&checked.cuts]);
        let sharp = cut.map_or(plain, |cut| {
            let mut found = Vec::new();
            each_cell(&cut, &mut Vec::new(), &mut |supposed| {
                found.push(eval::truth(&checked.node, &scene, &[], supposed));
            });
            found.into_iter().reduce(Truth::join).unwrap_or(plain)
        });
        Answers { plain, sharp }
    }
}

/// A fact and what is supposed of it.
type Assumption = (FactId, Supposed);

/// Every combination of one cell for each fact.
fn each_cell(cut: &[Cut], supposed: &mut Vec<Assumption>, visit: &mut dyn FnMut(&[Assumption])) {
    let Some(((fact, cells), rest)) = cut.split_first() else {
        return visit(supposed);
    };
    for cell in cells {
        supposed.push((*fact, cell.clone()));
        each_cell(rest, supposed, visit);
        supposed.pop();
    }
}

/// The text under a span.
pub(super) fn under(text: &str, problem: &Problem) -> String {
    text[problem.span.range()].to_string()
}

pub(super) fn truth(word: &str) -> Truth {
    Truth::ALL
        .into_iter()
        .find(|truth| truth.to_string() == word)
        .unwrap_or_else(|| panic!("`{word}` is no answer"))
}
