//! How hard faults are by what trainees found of them.

use super::catalogue;
use super::commands::{folder, run, said};
use crate::examples::packs;
use std::fmt::Write as _;
use std::fs;
use wetside_trainer::{Difficulty, Fault, Options, make};

/// What is asked for is drawn by what was found of it, and stands in the key.
#[test]
fn exercises_are_drawn_by_what_trainees_found_hard() {
    let of_drains = |fault: &&Fault| fault.part == "drain" && !fault.raises.is_empty();
    let drains: Vec<&Fault> = catalogue().faults.iter().filter(of_drains).collect();
    let easy = |fault: &&&Fault| fault.difficulty() == Difficulty::Easy;
    let hardest = drains.iter().find(easy).expect("one is easy");
    let found = drains
        .iter()
        .map(|fault| (fault.id.clone(), u32::from(fault.id == hardest.id) * 6));
    let mut by_trainees = catalogue().clone();
    by_trainees.are_found(&found.collect());
    let options = Options {
        faults: 1,
        difficulty: Some(Difficulty::Hard),
        parts: vec!["drain".to_string()],
        ..Options::default()
    };
    let made = make(&super::sources(), packs(), &by_trainees, &options);
    let made = made.unwrap_or_else(|why| panic!("{}", why.says));
    let drawn: Vec<(&str, u32)> = made[0]
        .key
        .faults
        .iter()
        .map(|fault| (fault.id.as_str(), fault.difficulty))
        .collect();
    assert_eq!(drawn, [(hardest.id.as_str(), 6)]);
}

/// The record of a centre is the file of what was found; of what was asked seldom the points of the catalogue stay.
#[test]
fn the_record_says_how_hard_a_fault_is() {
    let folder = folder("exercise-found");
    let mut record = String::from(
        "sitting,on,trainee,exercise,made_from,packs,catalogue,reached,possible,safe,fault,title,part,difficulty,found\n",
    );
    let mut asked = |fault: &str, times: usize| {
        for trainee in 0..times {
            writeln!(
                record,
                "one,2026-10-13,T{trainee},e{trainee},x.yaml,gb-domestic,1,0,24,no,{fault},a title,drain,0,no"
            )
            .expect("texts take letters");
        }
    };
    let faults = catalogue().faults.iter();
    let easy: Vec<&Fault> = faults
        .filter(|fault| fault.difficulty() == Difficulty::Easy)
        .collect();
    asked(&easy[0].id, 10);
    asked(&easy[1].id, 9);
    fs::write(folder.join("record.csv"), record).expect("it can be written");
    let listed = run(&folder, &["exercise", "faults", "--found", "record.csv"]);
    let words = said(&listed)
        .split_whitespace()
        .collect::<Vec<_>>()
        .join(" ");
    let level = |fault: &Fault| {
        let (_, after) = words
            .split_once(&format!("{} ", fault.id))
            .expect("it is listed");
        let (about, _) = after.split_once(')').expect("it has its level");
        about.rsplit(' ').next().map(str::to_string)
    };
    assert_eq!(level(easy[0]).as_deref(), Some("hard"), "{words}");
    assert_eq!(level(easy[1]).as_deref(), Some("easy"), "{words}");
    let missing = run(&folder, &["exercise", "faults", "--found", "no.csv"]);
    assert_eq!(missing.status.code(), Some(2));
}
