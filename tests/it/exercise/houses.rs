//! Houses: each exercise has its own, clear and consistent, and many things in it differ from the clean survey.

use super::{catalogue, how_many, sources, told};
use crate::examples::packs;
use std::collections::BTreeSet;
use wetside_base::finding::Verdict;
use wetside_base::source::Source;
use wetside_engine::check::{Ask, check};
use wetside_trainer::text::without_comments;
use wetside_trainer::{Exercise, Options, make};

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
