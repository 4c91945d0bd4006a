//! Houses: each exercise has its own, clear and consistent, and many things in it differ from the clean survey.

use super::{catalogue, how_many, sources, told};
use crate::examples::packs;
use serde_yaml::Value;
use std::collections::BTreeSet;
use std::fs;
use std::path::Path;
use wetside_base::finding::Verdict;
use wetside_base::problem::Problem;
use wetside_base::source::Source;
use wetside_edit::splice::apply;
use wetside_engine::check::{Ask, check};
use wetside_trainer::text::without_comments;
use wetside_trainer::{Exercise, Options, make};
use wetside_units::UnitId;

fn batch(seed: u64) -> Vec<Exercise> {
    let surveys = 2 * sources().len() as u64;
    let options = Options {
        seed,
        surveys: usize::try_from(how_many(surveys, 20 * surveys)).expect("a small number"),
        faults: 1,
        ..Options::default()
    };
    make(&sources(), packs(), catalogue(), &options).unwrap_or_else(|why| panic!("{}", why.says))
}

#[test]
fn each_exercise_has_a_clear_house_of_its_own() {
    let made = batch(71);
    let mut houses = BTreeSet::new();
    for exercise in &made {
        let base = &exercise.base;
        assert_eq!(told(base), (Verdict::Clear, Default::default()));
        let judged = check(
            &Source::new("house", base.clone()),
            packs(),
            &Ask::default(),
        );
        assert!(judged.unlikely.is_empty(), "{:?}", judged.unlikely);
        assert!(houses.insert(base.clone()), "two have one house");
        let from = sources()
            .into_iter()
            .find(|source| source.name.ends_with(&exercise.key.made_from))
            .expect("it is made from one of them");
        let clean = without_comments(&from);
        let clean: BTreeSet<&str> = clean.lines().collect();
        let others = base.lines().filter(|line| !clean.contains(line)).count();
        println!("{}: {others} lines are others", exercise.key.made_from);
        assert!(others >= 25, "{}: {others}", exercise.key.made_from);
    }
    let kinds: BTreeSet<&str> = made.iter().map(|one| one.key.made_from.as_str()).collect();
    assert_eq!(kinds.len(), sources().len(), "all surveys in turn");
}

/// What is made in sizes has one of them, however it is changed: a radiator of 604 mm would show itself as noise.
#[test]
fn what_is_changed_a_little_keeps_its_sizes() {
    const SIZES: [&str; 15] = [
        "13", "15", "19", "300", "400", "450", "500", "600", "700", "800", "900", "1000", "1100",
        "1200", "1400",
    ];
    let mut looked = 0;
    for exercise in batch(72) {
        let base = Source::new("house", exercise.base.clone());
        for change in &exercise.harmless {
            let line = base.slice(base.line_span(base.line_of(change.at.start)));
            let sized = [
                "size: {",
                "bore:",
                "conductor:",
                "rating:",
                "relief_setting:",
            ];
            looked += 1;
            for unit in [" in", " MPa", " °F", " °dH", " °f"] {
                assert!(!change.text.ends_with(unit), "{line}: {}", change.text);
            }
            if let Some((number, "mm" | "mm²" | "mA" | "bar")) = change.text.split_once(' ')
                && sized.iter().any(|field| line.contains(field))
            {
                let known =
                    SIZES.contains(&number) || ["10", "16", "1600", "1800"].contains(&number);
                assert!(known, "{line}: {}", change.text);
            }
        }
    }
    assert!(looked > 20, "{looked}");
}

/// What once stood in surveys and told that a program had been at them: one bond counted twice, a cistern absent and
/// clean at once, a cast-iron combination boiler, a device of 29 mA, a radiator of 884 mm.
#[test]
fn nothing_shows_itself_as_noise() {
    let (mut bonds, mut cisterns, mut combinations, mut devices, mut radiators) = (0, 0, 0, 0, 0);
    for exercise in batch(73) {
        let text = apply(&exercise.base, &exercise.harmless);
        let house: Value = serde_yaml::from_str(&text).expect("it is a survey");
        let word = |at: &Value| at.as_str().unwrap_or_default().to_string();
        let list = |at: &Value| at["items"].as_sequence().cloned().unwrap_or_default();

        let of_bonds = &house["electrical"]["bonds"];
        let ids: BTreeSet<String> = list(of_bonds)
            .iter()
            .map(|bond| word(&bond["id"]))
            .collect();
        if let Some(count) = of_bonds["count"].as_u64() {
            assert_eq!(count, ids.len() as u64, "each bond once: {of_bonds:?}");
            bonds += count;
        }
        let vent = &house["vent"];
        if word(&vent["cistern_present"]) == "no" {
            assert!(vent["cistern_condition"].is_null(), "absent: {vent:?}");
            cisterns += 1;
        }
        for source in list(&house["heat_sources"]) {
            let combination = word(&source["kind"]) == "gas combination";
            let exchanger = word(&source["exchanger"]);
            assert!(!(combination && exchanger == "cast iron"), "{source:?}");
            combinations += u64::from(combination);
        }
        let rating = word(&house["electrical"]["rcd"]["rating"]);
        assert!(
            ["", "10 mA", "30 mA", "unknown"].contains(&&*rating),
            "{rating}"
        );
        devices += u64::from(!rating.is_empty());
        for emitter in list(&house["emitters"]) {
            let length = word(&emitter["size"]["length"]);
            let sold = length.strip_suffix("00 mm").is_some() || length == "unknown";
            if word(&emitter["kind"]) == "panel radiator" && !length.is_empty() {
                assert!(sold, "{length}");
                radiators += 1;
            }
        }
    }
    let looked = [bonds, cisterns, combinations, devices, radiators];
    assert!(looked.iter().all(|count| *count > 0), "{looked:?}");
}

/// And what a survey says of a cistern that is not there is told as a contradiction, so no harmless change can say it.
#[test]
fn a_cistern_absent_and_clean_at_once_is_told() {
    let clean = super::marking::data("clean.yaml");
    assert!(clean.text.contains("cistern_present: yes"));
    let text = clean
        .text
        .replace("cistern_present: yes", "cistern_present: no");
    let judged = check(&Source::new("absent", text), packs(), &Ask::default());
    let of_cistern = |problem: &Problem| problem.says.contains("cistern");
    assert!(
        judged.problems.iter().any(of_cistern),
        "{:?}",
        judged.problems
    );
}

/// A unit that a fault writes stands in sound lines of other houses too, and would tell nothing.
#[test]
fn faults_write_no_unit_that_sound_lines_have_not() {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let table = fs::read_to_string(root.join("src/trainer/make/houses.yaml")).expect("it is there");
    let table: Value = serde_yaml::from_str(&table).expect("it is a table");
    let units = table["units"].as_sequence().expect("it is a list");
    let units: Vec<&str> = units.iter().filter_map(Value::as_str).collect();
    for unit in &units {
        let known = UnitId::all().any(|one| one.row().symbol == *unit);
        assert!(known, "{unit} is the symbol of no unit");
    }
    let slips = fs::read_dir(root.join("rules/gb-domestic-faults/unit-slip")).expect("it is there");
    let mut looked = 0;
    for file in slips {
        let text = fs::read_to_string(file.expect("it can be read").path()).expect("it is text");
        for change in text.lines().filter_map(|line| line.split_once("unit: ")) {
            let unit = change.1.trim_end_matches('}');
            assert!(units.contains(&unit), "{unit}");
            looked += 1;
        }
    }
    assert!(looked > 5, "{looked}");
}
