//! `wetside pack check`: each planted defect is found at its words, and the carried pack has none.

use serde::Deserialize;
use std::collections::BTreeMap;
use std::sync::OnceLock;
use wetside_base::problem::Problem;
use wetside_engine::analysis;
use wetside_engine::cases::whole;
use wetside_engine::check::Packs;
use wetside_engine::pack::{PackFiles, PackProblem};

/// The first rule of the pack, in which most defects stand.
const RULE: &str = "circuit/sealed-and-warm.yaml";

#[derive(Deserialize)]
struct Table {
    pack: BTreeMap<String, String>,
    rows: Vec<Row>,
}

#[derive(Deserialize)]
struct Row {
    was: String,
    now: String,
    kind: String,
    at: String,
    #[serde(default)]
    shows: String,
    /// The file that is changed.
    #[serde(rename = "in")]
    within: Option<String>,
    /// A file more, made so from another.
    file: Option<String>,
    of: Option<String>,
}

fn table() -> &'static Table {
    static TABLE: OnceLock<Table> = OnceLock::new();
    TABLE.get_or_init(|| {
        let text = std::fs::read_to_string("tests/packs/defects.yaml").expect("it is there");
        serde_yaml::from_str(&text).expect("it can be read")
    })
}

fn packed(files: &BTreeMap<String, String>) -> PackFiles {
    let files = files.iter();
    PackFiles {
        name: "packs/two-vans".to_string(),
        files: files
            .map(|(path, text)| (path.clone(), text.clone().into()))
            .collect(),
    }
}

/// What loading, the cases and the analysis say together.
fn found(files: &PackFiles) -> Vec<PackProblem> {
    let mut packs = Packs::none();
    let mut problems = packs.add(files);
    if let Some(pack) = packs.packs.last().filter(|_| problems.is_empty()) {
        problems.extend(whole::all(pack, files, &packs.vocabulary).problems);
        problems.extend(analysis::of(pack, files, &packs.vocabulary).problems);
    }
    problems
}

#[test]
fn each_planted_defect_is_found_once_at_its_words() {
    let Table { pack, rows } = table();
    let itself = found(&packed(pack));
    assert!(itself.is_empty(), "{itself:#?}");
    let mut wrong = Vec::new();
    for row in rows {
        let mut files = pack.clone();
        let from = row.of.as_deref().or(row.within.as_deref()).unwrap_or(RULE);
        let text = &pack[from];
        assert!(text.contains(&row.was), "{}", row.was);
        let changed = text.replacen(&row.was, &row.now, 1);
        files.insert(row.file.as_deref().unwrap_or(from).to_string(), changed);
        let mut told = found(&packed(&files));
        // Cases come out otherwise by the way, wherever a condition is another.
        told.retain(|one| row.kind == "case-differs" || one.problem.kind != "case-differs");
        let Some(one) = told.iter().find(|one| one.problem.kind == row.kind) else {
            let told = told.iter().map(|one| {
                let Problem {
                    kind,
                    span,
                    says,
                    help,
                    ..
                } = &one.problem;
                format!(
                    "\n   {kind} at `{}`: {says} | {help}",
                    one.source.slice(*span)
                )
            });
            wrong.push(format!(
                "{} [{}]:{}",
                row.now,
                row.kind,
                told.collect::<String>()
            ));
            continue;
        };
        let all: Vec<_> = told.iter().map(|one| one.problem.kind).collect();
        if all.len() > 1 && row.kind != "case-differs" {
            wrong.push(format!("{}: {all:?}", row.now));
        }
        let words = one.source.slice(one.problem.span);
        let right = (row.at.is_empty() || words == row.at) && one.problem.says.contains(&row.shows);
        if !right {
            wrong.push(format!("{}: at `{words}` {:?}", row.now, one.problem));
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

/// The carried pack: no false alarm. Names of its cases that come twice are left to its writers.
#[test]
fn the_carried_pack_has_no_defect() {
    let packs = wetside_rules::packs();
    let found = analysis::of(&packs.packs[0], &wetside_rules::files(), &packs.vocabulary);
    let told = found
        .problems
        .iter()
        .filter(|one| one.problem.kind != "name-twice");
    let told: Vec<_> = told.collect();
    assert!(told.is_empty(), "{told:#?}");
    assert!(found.rules > 400 && found.tried > 50_000, "{}", found.tried);
}
