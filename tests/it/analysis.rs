//! `wetside pack check`: each planted defect is found at its words, and the carried pack has none.

use serde::Deserialize;
use std::sync::OnceLock;
use wetside_engine::analysis;
use wetside_engine::check::Packs;
use wetside_engine::pack::{PackFiles, PackProblem};

#[derive(Deserialize)]
struct Table {
    rule: String,
    head: String,
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
    /// A second rule, changed so, beside the first one.
    file: Option<String>,
    #[serde(default)]
    head: bool,
}

fn table() -> &'static Table {
    static TABLE: OnceLock<Table> = OnceLock::new();
    TABLE.get_or_init(|| {
        serde_yaml::from_str(include_str!("../packs/defects.yaml")).expect("it can be read")
    })
}

fn packed(files: &[(&str, String)]) -> PackFiles {
    let file = |(path, text): &(&str, String)| ((*path).to_string(), text.clone().into());
    PackFiles {
        name: "packs/two-vans".to_string(),
        files: files.iter().map(file).collect(),
    }
}

/// What loading and the analysis say together.
fn found(files: &PackFiles) -> Vec<PackProblem> {
    let mut packs = Packs::none();
    let problems = packs.add(files);
    match packs.packs.last() {
        Some(pack) if problems.is_empty() => analysis::of(pack, files, &packs.vocabulary).problems,
        _ => problems,
    }
}

#[test]
fn each_planted_defect_is_found_once_at_its_words() {
    let Table { rule, head, rows } = table();
    let plain = [
        ("pack.yaml", head.clone()),
        ("circuit/sealed-and-warm.yaml", rule.clone()),
    ];
    assert_eq!(found(&packed(&plain)).len(), 0, "the pack itself");
    let mut wrong = Vec::new();
    for row in rows {
        let mut files = plain.to_vec();
        let changed = |text: &String| {
            assert!(text.contains(&row.was), "{}", row.was);
            text.replacen(&row.was, &row.now, 1)
        };
        match &row.file {
            Some(path) => files.push((path, changed(rule))),
            None if row.head => files[0].1 = changed(head),
            None => files[1].1 = changed(rule),
        }
        let told = found(&packed(&files));
        let mut meant = told.iter().filter(|one| one.problem.kind == row.kind);
        // What cannot be read may be missing for something else, which says so too.
        let (Some(one), None, 1..=2) = (meant.next(), meant.next(), told.len()) else {
            let told: Vec<_> = told.iter().map(|one| &one.problem).collect();
            wrong.push(format!("{}: {told:#?}", row.now));
            continue;
        };
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
