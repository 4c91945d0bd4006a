//! What is wrong in a file of the catalogue is told at its line.

use crate::examples::packs;
use serde::Deserialize;
use std::fs;
use std::path::PathBuf;
use wetside_engine::pack::PackFiles;
use wetside_trainer::load;

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Slips {
    sound: String,
    slips: Vec<Slip>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Slip {
    was: String,
    is: String,
    told: Vec<String>,
}

/// How many faults are read from a file of this text, and what is told of it.
fn read(text: &str) -> (usize, Vec<String>) {
    let files = PackFiles {
        name: "catalogue".to_string(),
        files: vec![("state/here.yaml".to_string(), text.to_string().into())],
    };
    let (catalogue, problems) = load(&files, packs());
    let told = problems.iter().map(|wrong| {
        let line = wrong.source.line_of(wrong.problem.span.start);
        format!("{line} {}", wrong.problem.kind)
    });
    let mut told: Vec<String> = told.collect();
    told.sort();
    (catalogue.faults.len(), told)
}

#[test]
fn a_slip_in_a_fault_is_told_at_its_line() {
    let path = PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("tests/exercise/faults.yaml");
    let text = fs::read_to_string(path).expect("it is there");
    let slips: Slips = serde_yaml::from_str(&text).expect("it is well formed");
    assert_eq!(read(&slips.sound), (1, Vec::new()));
    let mut wrong = String::new();
    for slip in &slips.slips {
        assert!(slips.sound.contains(&slip.was), "{}", slip.was);
        let (faults, told) = read(&slips.sound.replacen(&slip.was, &slip.is, 1));
        let mut wanted = slip.told.clone();
        wanted.sort();
        if faults != 0 || told != wanted {
            wrong.push_str(&format!("{}: {faults} faults, {told:?}\n", slip.is));
        }
    }
    assert!(wrong.is_empty(), "\n{wrong}");
}
