//! The rule language against tables of `tests/lang`, enumeration, properties and its own page.

mod answers;
mod bench;
mod faults;
mod grammar;
mod grid;
mod naive;
mod outcomes;
mod pages;
mod sound;

use serde::de::DeserializeOwned;

/// Loads a table of `tests/lang`.
fn data<T: DeserializeOwned>(name: &str) -> T {
    let path = format!("{}/tests/lang/{name}.yaml", env!("CARGO_MANIFEST_DIR"));
    let text = std::fs::read_to_string(&path).unwrap_or_else(|error| panic!("{path}: {error}"));
    serde_yaml::from_str(&text).unwrap_or_else(|error| panic!("{path}: {error}"))
}
