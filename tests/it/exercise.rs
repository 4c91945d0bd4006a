//! Exercises: the catalogue of faults, the making, the proof held against another, and the marking.

use crate::examples::{examples, packs};
use std::sync::OnceLock;
use wetside::exercise::{Catalogue, Look, built_in, load, plantings, prove};
use wetside::finding::Verdict;
use wetside::source::Source;

fn catalogue() -> &'static Catalogue {
    static CATALOGUE: OnceLock<Catalogue> = OnceLock::new();
    CATALOGUE.get_or_init(|| {
        let (catalogue, problems) = load(&built_in(), packs());
        let told: Vec<String> = problems
            .iter()
            .map(|wrong| {
                let place = wrong.source.place(wrong.problem.span.start);
                format!(
                    "{}:{place}: {} ({})",
                    wrong.source.name, wrong.problem.says, wrong.problem.help
                )
            })
            .collect();
        assert!(told.is_empty(), "\n{}", told.join("\n"));
        catalogue
    })
}

/// The clean surveys among the examples, as a trainee may see them.
fn bases() -> &'static [Look] {
    static BASES: OnceLock<Vec<Look>> = OnceLock::new();
    BASES.get_or_init(|| {
        let clean = |source: &Source| {
            let text = wetside::exercise::text::for_trainee(source);
            let look = Look::at(Source::new(source.name.clone(), text), packs());
            (look.judgement.verdict == Verdict::Clear).then_some(look)
        };
        examples().iter().filter_map(clean).collect()
    })
}

/// Every fault can be planted in a clean example and is as good as its word there.
#[test]
fn every_fault_of_the_catalogue_keeps_its_promises() {
    let mut told = String::new();
    for fault in &catalogue().faults {
        let mut ways = 0;
        let mut sound = 0;
        let mut reasons = std::collections::BTreeMap::new();
        for base in bases() {
            for planting in plantings(fault, base, packs()) {
                ways += 1;
                match prove::alone(&planting, base, packs()) {
                    Ok(()) => sound += 1,
                    Err(defect) => {
                        let place = format!("{} {:?}", base.source.name, planting.thing);
                        reasons.entry(defect.says).or_insert(place);
                    }
                }
            }
        }
        println!(
            "{}: {sound} of {ways} ways, {}",
            fault.id,
            fault.difficulty().word()
        );
        for (reason, place) in &reasons {
            println!("    {place}: {reason}");
        }
        if sound == 0 {
            told.push_str(&format!(
                "{}: none of {ways} ways holds: {reasons:?}\n",
                fault.id
            ));
        }
    }
    assert!(told.is_empty(), "\n{told}");
}
