//! The pages on the rule language and on units: every example is run, every list is held against
//! the program.
//!
//! `WETSIDE_WRITE_PAGES=1 cargo test --test it lang::pages` writes `docs/units.md` anew.

use super::bench::{truth, under};
use std::collections::BTreeSet;
use std::fmt::Write as _;
use std::sync::OnceLock;
use wetside_base::source::Source;
use wetside_engine::check::Packs;
use wetside_engine::read;
use wetside_lang::functions::FUNCTIONS;
use wetside_lang::parse::{DEEPEST, MOST_LINKS, parse};
use wetside_lang::token::{MOST_TOKENS, reserved};
use wetside_lang::{cells, check};
use wetside_units::table::UNITS;
use wetside_units::{Exact, Kind, UnitId};

/// The vocabulary of the survey and the pack that the program carries.
fn packs() -> &'static Packs {
    static PACKS: OnceLock<Packs> = OnceLock::new();
    PACKS.get_or_init(wetside_rules::packs)
}

fn page(name: &str) -> String {
    let path = format!("{}/docs/{name}", env!("CARGO_MANIFEST_DIR"));
    std::fs::read_to_string(&path).unwrap_or_else(|error| panic!("{path}: {error}"))
}

/// The blocks of a page that are fenced with this word, each split at its lines of `---`, with the
/// number of its first line.
fn blocks(page: &str, word: &str) -> Vec<(usize, Vec<String>)> {
    let mut blocks = Vec::new();
    let mut open: Option<(usize, Vec<String>)> = None;
    for (at, line) in page.lines().enumerate() {
        match (&mut open, line) {
            (None, _) if line.strip_prefix("```") == Some(word) => {
                open = Some((at + 1, vec![String::new()]))
            }
            (Some(_), "```") => blocks.extend(open.take()),
            (Some((_, parts)), "---") => parts.push(String::new()),
            (Some((_, parts)), _) => {
                let last = parts.last_mut().expect("a block has a part");
                if !last.is_empty() {
                    last.push('\n');
                }
                last.push_str(line);
            }
            (None, _) => {}
        }
    }
    blocks
}

/// What a condition comes to over a fragment of a survey.
fn ask(condition: &str, given: &str, place: usize) -> wetside_units::truth::Truth {
    let packs = packs();
    let pack = &packs.packs[0];
    let given = if given.trim().is_empty() { "{}" } else { given };
    let source = Source::new("given", given);
    let reading = wetside_document::read(&source);
    assert_eq!(reading.problems, [], "line {place}");
    let (facts, problems) = read::read(&source, &reading, &packs.vocabulary);
    assert_eq!(problems, [], "line {place}");
    let (expr, problems) = parse(condition);
    assert_eq!(problems, [], "line {place}");
    let (checked, problems) = check::condition(&expr, pack.names(&packs.vocabulary), &[]);
    assert_eq!(problems, [], "line {place}");
    let bench = super::bench::Bench {
        vocabulary: packs.vocabulary.clone(),
        limits: Vec::new(),
        tables: pack.tables.clone(),
        lists: Vec::new(),
    };
    bench.answers(&checked, &facts).sharp
}

#[test]
fn every_condition_on_the_page_gives_the_answer_it_says() {
    let page = page("rule-language.md");
    let blocks = blocks(&page, "condition");
    assert!(blocks.len() >= 40, "{} conditions", blocks.len());
    let mut wrong = Vec::new();
    for (place, parts) in &blocks {
        let [condition, given, expected] = &parts[..] else {
            panic!("line {place}: three parts are wanted: condition, facts, answer");
        };
        let found = ask(condition, given, *place);
        if found != truth(expected.trim()) {
            wrong.push(format!(
                "line {place}: {condition} is {found}, the page says {expected}"
            ));
        }
    }
    assert!(wrong.is_empty(), "\n{}", wrong.join("\n"));
}

#[test]
fn every_problem_on_the_page_is_told_so() {
    let page = page("rule-language.md");
    let packs = packs();
    let blocks = blocks(&page, "problem");
    assert!(blocks.len() >= 12, "{} problems", blocks.len());
    let mut wrong = Vec::new();
    for (place, parts) in &blocks {
        let (expr, mut problems) = parse(&parts[0]);
        if problems.is_empty() {
            problems = check::condition(&expr, packs.packs[0].names(&packs.vocabulary), &[]).1;
        }
        let [problem] = &problems[..] else {
            panic!("line {place}: one problem is wanted: {problems:?}");
        };
        let found = [
            parts[0].clone(),
            under(&parts[0], problem),
            problem.says.clone(),
            problem.help.clone(),
        ];
        if found[..] != parts[..] {
            wrong.push(format!("line {place}:\n{}", found.join("\n---\n")));
        }
    }
    assert!(wrong.is_empty(), "\n{}", wrong.join("\n\n"));
}

/// The grammar, the functions, the words and the bounds are those of the program.
#[test]
fn the_page_leaves_nothing_out() {
    let page = page("rule-language.md");
    for function in FUNCTIONS {
        assert!(
            page.contains(&format!("`{}(", function.name)),
            "{}",
            function.name
        );
        let (example, expected) = function.example;
        assert_eq!(ask(example, "", 0), truth(expected), "{example}");
        assert!(page.contains(example), "{example}");
    }
    let grammar = blocks(&page, "ebnf")
        .into_iter()
        .map(|(_, parts)| parts.concat())
        .collect::<String>();
    for word in reserved() {
        assert!(
            grammar.contains(&format!("\"{word}\"")),
            "the grammar has no `{word}`"
        );
        assert!(
            page.contains(&format!("`{word}`")),
            "the page does not list `{word}`"
        );
    }
    for bound in [
        DEEPEST,
        MOST_LINKS,
        MOST_TOKENS,
        cells::BUDGET,
        cells::MOST_SET_WORDS,
    ] {
        let written = match bound {
            1_000.. => format!("{},{:03}", bound / 1_000, bound % 1_000),
            _ => bound.to_string(),
        };
        assert!(
            page.contains(&format!(" {written} ")),
            "the page does not name the bound {written}"
        );
    }
    let names: BTreeSet<&str> = Kind::all().map(Kind::name).collect();
    for name in names {
        assert!(
            page.contains(name),
            "the page does not name the kind {name}"
        );
    }
}

// Units.

fn percent((above, below): (i64, i64)) -> i64 {
    above * 100 / below
}

/// How far *about* reaches, in words.
fn rough(kind: Kind) -> String {
    let rough = kind.row().rough;
    let unit = UnitId::usual(kind);
    let least = Exact::ratio(rough.least.0.into(), rough.least.1.into()).unwrap();
    let in_unit = least.over(unit.factor()).unwrap();
    let unit = match kind {
        // The width of a point of temperature is a difference.
        Kind::Temperature => "K",
        _ => unit.symbol(),
    };
    let width = format!("{in_unit} {unit}");
    if kind == Kind::Share {
        return format!("{in_unit} % of the whole");
    }
    match (percent(rough.part), least.is_zero()) {
        (0, _) => width.trim().to_string(),
        (part, true) => format!("{part} %"),
        (part, false) => format!("{part} %, at least {}", width.trim()),
    }
}

/// The unit that ranges of a kind are held in.
fn base(kind: Kind) -> &'static str {
    let is_base = |unit: &UnitId| {
        unit.serves(kind) && unit.row().factor == (1, 1) && unit.row().offset.0 == 0
    };
    let symbol = UnitId::all().find(is_base).map_or("", UnitId::symbol);
    match (kind, symbol) {
        (Kind::Hardness, "") => "kg/m³",
        (Kind::Frequency, "") => "1/s",
        (_, "") => "1",
        _ => symbol,
    }
}

fn units_page() -> String {
    let mut page = String::from(
        "# Units\n\n\
         Every kind of quantity, how wide *about* is for it, and every unit with its spellings. This page is written\n\
         from the program's own table and a test holds it to that; `WETSIDE_WRITE_PAGES=1 cargo test --test it lang::pages`\n\
         writes it anew after a change.\n\n\
         A value is written with its unit, as in `15 mm`, except where the kind is a bare number. It may be exact\n\
         (`15 mm`), a range (`4 to 6 m`), a tolerance (`5.2 m ± 0.2 m`, `300 ppm ± 10 %`), rough (`about 8 m`) or\n\
         one-sided (`at least 9 L/min`, `at most`, `more than`, `less than`). Decimals have a point, never a comma.\n\n\
         ## Kinds\n\n\
         Two kinds never compare, even where they share units: a gauge pressure is not a pressure difference, a\n\
         temperature is not a temperature difference. *About* reaches this far either side of its number: a convention\n\
         of this program, common practice, no source. What has a natural zero is never made negative by it.\n\n\
         | kind | usual unit | base unit | *about* reaches | point on a scale |\n|---|---|---|---|---|\n",
    );
    for kind in Kind::all() {
        let usual = match UnitId::usual(kind).symbol() {
            "" => "none".to_string(),
            symbol => format!("`{symbol}`"),
        };
        let point = match kind.row().difference {
            Some(difference) => format!("yes; two differ by a {}", difference.name()),
            None => "no".to_string(),
        };
        writeln!(
            page,
            "| {} | {usual} | `{}` | ± {} | {point} |",
            kind.name(),
            base(kind),
            rough(kind)
        )
        .unwrap();
    }
    page.push_str(
        "\n## Units\n\n\
         The factor turns a number of the unit into one of the base unit of its kind, above; factors are exact ratios. A unit that\n\
         means two things has two rows. A month and a year are the mean ones of the Gregorian calendar, 365.2425 days\n\
         to a year; where a rule moves a date by months or years that it writes out, they are those of the calendar.\n\n\
         | unit | also written | measures | in base units | source of the factor |\n|---|---|---|---|---|\n",
    );
    for unit in UNITS.iter().filter(|unit| !unit.symbol.is_empty()) {
        let spellings: Vec<String> = unit
            .spellings
            .iter()
            .map(|spelling| format!("`{spelling}`"))
            .collect();
        let kinds: Vec<&str> = unit.kinds.iter().map(|kind| kind.name()).collect();
        let ratio = |(above, below): (i128, i128)| match below {
            1 => above.to_string(),
            _ => format!("{above}/{below}"),
        };
        let offset = match unit.offset.0 {
            0 => String::new(),
            _ => format!(", plus {}", ratio(unit.offset)),
        };
        let (spellings, kinds) = (spellings.join(", "), kinds.join(", "));
        let factor = ratio(unit.factor);
        writeln!(
            page,
            "| `{}` | {spellings} | {kinds} | × {factor}{offset} | {} |",
            unit.symbol, unit.source
        )
        .unwrap();
    }
    page.push_str(
        "\nIn a survey a dose rate may also be written as any volume per volume: `250 mL per 50 L`.\n\n\
         In rules a bare number is one of the kinds number, count, acidity and year, whichever stands beside it;\n\
         degrees are always points of temperature and kelvin always differences.\n",
    );
    page
}

#[test]
fn the_page_of_units_is_that_of_the_table() {
    let written = units_page();
    if std::env::var_os("WETSIDE_WRITE_PAGES").is_some() {
        let path = format!("{}/docs/units.md", env!("CARGO_MANIFEST_DIR"));
        std::fs::write(path, &written).unwrap();
    }
    let advice = "docs/units.md differs from the table; write it anew with `WETSIDE_WRITE_PAGES=1 cargo test --test it lang::pages`";
    assert!(page("units.md") == written, "{advice}");
}
