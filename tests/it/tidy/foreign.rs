//! What comes with the crates of others: one version of each, and a licence that ours can live with.

use std::collections::{BTreeMap, BTreeSet};
use std::process::Command;

use super::code::root;

/// Crates that are there in several versions, and why.
const TWICE: &[(&str, &str)] = &[
    (
        "embedded-io",
        "the library that packs the checked rules into bytes names both",
    ),
    (
        "getrandom",
        "the hash of the schema library asks for the older",
    ),
    (
        "r-efi",
        "comes with getrandom, for a target of no interest here",
    ),
    (
        "syn",
        "the macros of the library for pages, and an enum library of the schema library, ask for the older",
    ),
    (
        "unicode-width",
        "the library that draws excerpts asks for the older",
    ),
];

/// Licences that may stand beside ours.
const LICENCES: [&str; 6] = ["Apache-2.0", "ISC", "MIT", "MIT-0", "Unicode-3.0", "Zlib"];

#[test]
fn each_crate_is_there_in_one_version() {
    let lock = std::fs::read_to_string(root().join("Cargo.lock")).expect("it can be read");
    let mut versions: BTreeMap<&str, usize> = BTreeMap::new();
    for name in lock.lines().filter_map(|line| line.strip_prefix("name = ")) {
        *versions.entry(name.trim_matches('"')).or_default() += 1;
    }
    let several = versions.into_iter().filter(|(_, count)| *count > 1);
    let found: Vec<&str> = several.map(|(name, _)| name).collect();
    let known: Vec<&str> = TWICE.iter().map(|(name, _)| *name).collect();
    assert_eq!(found, known);
}

/// Whether an expression of licences leaves us one that may stand beside ours.
fn fits(expression: &str) -> bool {
    expression.split(" AND ").all(|needed| {
        let choice = needed.trim_matches(['(', ')']);
        let mut choices = choice.split(" OR ").flat_map(|one| one.split('/'));
        choices.any(|licence| LICENCES.contains(&licence.trim()))
    })
}

#[test]
fn every_crate_has_a_licence_that_fits() {
    assert!(fits("(MIT OR GPL-3.0) AND Unicode-3.0") && !fits("MIT AND GPL-3.0"));
    let told = Command::new("rustc")
        .arg("-vV")
        .output()
        .expect("rustc runs");
    let told = String::from_utf8(told.stdout).expect("it is text");
    let host = told.lines().find_map(|line| line.strip_prefix("host: "));
    let metadata = Command::new(env!("CARGO"))
        .args(["metadata", "--offline", "--locked", "--format-version", "1"])
        .args(["--filter-platform", host.expect("rustc names its host")])
        .current_dir(root())
        .output()
        .expect("cargo runs");
    assert!(
        metadata.status.success(),
        "{}",
        String::from_utf8_lossy(&metadata.stderr)
    );
    let metadata: serde_json::Value = serde_json::from_slice(&metadata.stdout).expect("JSON");
    let packages = metadata["packages"].as_array().expect("a list");
    assert!(packages.len() > 50);
    let mut wrong = BTreeSet::new();
    for package in packages {
        let licence = package["license"].as_str().unwrap_or("none");
        if !fits(licence) {
            wrong.insert(format!("{} is under {licence}", package["name"]));
        }
    }
    assert!(wrong.is_empty(), "{wrong:#?}");
}
