//! What is moved: its order, its count, and that hand-back waits for all of it.

use super::handed_back;
use crate::examples::{examples, packs};
use crate::shapes::assert_keys;
use wetside_base::finding::Verdict;
use wetside_base::source::Source;
use wetside_edit::{Answer, Place, remove, set};
use wetside_engine::check::{self, Ask, Packs, check, registers};
use wetside_engine::moved::Register;
use wetside_engine::pack::{PackFiles, load};
use wetside_report::{Style, steps};
use wetside_schemas::Which;
use wetside_units::truth::Truth;

fn register(source: &Source, packs: &Packs) -> Register {
    let (mut registers, _) = registers(source, packs);
    registers.remove(0)
}

/// The same survey with every list the other way round.
fn turned(source: &Source) -> Source {
    fn turn(value: &mut serde_yaml::Value) {
        match value {
            serde_yaml::Value::Sequence(things) => {
                things.iter_mut().for_each(turn);
                things.reverse();
            }
            serde_yaml::Value::Mapping(entries) => entries.values_mut().for_each(turn),
            _ => {}
        }
    }
    let mut value: serde_yaml::Value = serde_yaml::from_str(&source.text).expect("it is YAML");
    turn(&mut value);
    Source::new(
        "turned",
        serde_yaml::to_string(&value).expect("it can be written"),
    )
}

fn in_order(register: &Register) -> bool {
    let mut steps = register.steps.iter().enumerate();
    steps.all(|(at, step)| step.after.iter().all(|before| *before < at))
}

#[test]
fn every_step_comes_after_all_that_it_needs() {
    let packs = packs();
    let mut things = 0;
    for survey in examples()
        .iter()
        .filter(|one| serde_yaml::from_str::<serde_yaml::Value>(&one.text).is_ok())
    {
        let (plain, turned) = (register(survey, packs), register(&turned(survey), packs));
        assert!(in_order(&plain), "{}", survey.name);
        let order = |one: &Register| {
            one.steps
                .iter()
                .map(|step| step.sort.clone())
                .collect::<Vec<_>>()
        };
        assert_eq!(order(&plain), order(&turned), "{}", survey.name);
        let names = |one: &Register| {
            let mut names: Vec<_> = one.things().map(|thing| thing.name.clone()).collect();
            names.sort();
            names
        };
        assert_eq!(names(&plain), names(&turned), "{}", survey.name);
        things += plain.things().count();
    }
    assert!(things > 300, "{things}");
}

/// `moved.yaml` of the built-in pack, changed.
fn changed(was: &str, now: &str) -> PackFiles {
    let mut files = wetside_rules::files();
    let moved = files
        .files
        .iter_mut()
        .find(|(path, _)| path == "moved.yaml");
    let (_, text) = moved.expect("it is there");
    assert!(text.contains(was), "{was}");
    *text = text.replacen(was, now, 1).into();
    files
}

#[test]
fn slips_in_what_is_moved_are_told_at_their_place() {
    let vocabulary = Packs::none().vocabulary;
    let slips = [
        (
            "after: [supplies, fires, fuel, bonds, circuit water, vent and feed]",
            "after: [supplies, fyres, fuel, bonds, circuit water, vent and feed]",
            "no-such-thing",
            "fyres",
        ),
        (
            "  supplies:\n",
            "  supplies:\n    after: [pump]\n",
            "needs-in-a-circle",
            "pump",
        ),
        (
            "is_back: bond.removed is yes",
            "is_back: bond.gone is yes",
            "unknown-fact",
            "gone",
        ),
        (
            "    restored: bond.removed\n",
            "",
            "key-missing",
            "bond.removed is yes",
        ),
        ("into: flush_log", "into: flush", "not-a-list", "flush"),
        ("of: branch", "of: brunch", "unknown-fact", "brunch"),
    ];
    for (was, now, kind, at) in slips {
        let (_, problems) = load(&changed(was, now), &vocabulary);
        let told: Vec<_> = problems
            .iter()
            .map(|one| (one.problem.kind, one.source.slice(one.problem.span)))
            .collect();
        assert_eq!(told, [(kind, at)], "{now}");
    }
}

#[test]
fn a_pack_that_lists_things_in_another_order_keeps_their_needs() {
    let mut files = wetside_rules::files();
    let moved = files
        .files
        .iter_mut()
        .find(|(path, _)| path == "moved.yaml");
    let (_, text) = moved.expect("it is there");
    let mut value: serde_yaml::Value = serde_yaml::from_str(text).expect("it is YAML");
    let things = value["moved"].as_mapping().expect("things by name").clone();
    let mut things: Vec<_> = things.into_iter().collect();
    things.reverse();
    value["moved"] = things.into_iter().collect::<serde_yaml::Mapping>().into();
    *text = serde_yaml::to_string(&value)
        .expect("it can be written")
        .into();
    let mut packs = Packs::none();
    assert_eq!(packs.add(&files).len(), 0);
    for survey in examples() {
        assert!(in_order(&register(&survey, &packs)), "{}", survey.name);
    }
}

/// Takes what says that a thing is back out of a sound house, or says that it is not: nothing is handed back.
#[test]
fn hand_back_waits_for_every_thing_that_was_moved() {
    let packs = packs();
    let (mut tried, mut passed) = (0, Vec::new());
    for house in handed_back(packs) {
        let (facts, _) = check::facts(&house, &packs.vocabulary);
        let register = register(&house, packs);
        assert_eq!(
            register.moved().back,
            register.moved().moved,
            "{}",
            house.name
        );
        for step in &register.steps {
            let back = step
                .things
                .iter()
                .filter(|thing| thing.is_back == Some(Truth::Yes));
            for thing in back.filter(|thing| thing.is_moved == Truth::Yes) {
                let fact = thing.restored.as_ref().expect("it can be put back").fact;
                let place = Place::of(&facts, &packs.vocabulary, fact);
                let without = remove(&house, &packs.vocabulary, &place);
                let unsaid = set(&house, &packs.vocabulary, &place, &Answer::Unknown(None));
                for text in [without, unsaid].into_iter().flatten() {
                    tried += 1;
                    let judged = check(&text.source, packs, &Ask::default());
                    if judged.verdict == Verdict::Clear {
                        passed.push(format!("{}: {}, {}", house.name, step.sort, thing.name));
                    }
                }
            }
        }
    }
    assert!(tried > 150, "{tried}");
    assert!(passed.is_empty(), "{passed:#?}");
}

#[test]
fn what_is_not_known_is_not_counted_as_back() {
    let packs = packs();
    let bare = Source::new("bare", "survey: 1\n");
    let register = register(&bare, packs);
    assert_eq!((register.moved().back, register.moved().moved), (0, 0));
    assert_eq!(
        register.tally(),
        "nothing is recorded as moved, and 8 things may have been"
    );
    assert!(register.steps.iter().any(|step| step.open.is_some()));
}

/// Where a list may hold more than it names, no box of it is ticked, on the way back as little as before.
#[test]
fn a_list_that_may_be_longer_is_never_all_back() {
    let packs = packs();
    let mut opened = 0;
    for house in handed_back(packs) {
        let Some((before, after)) = house.text.split_once("supplies:") else {
            continue;
        };
        let Some((gap, count)) = after.split_once("count: ") else {
            continue;
        };
        let rest = count.trim_start_matches(|c: char| c.is_ascii_digit());
        let text = format!("{before}supplies:{gap}count: unknown{rest}");
        let open = Source::new("open", text);
        opened += 1;
        let page = steps::page(&open, &register(&open, packs), &[], &Style::wide(200));
        assert_eq!(page.matches("[ ] Supplies").count(), 2, "{page}");
        assert!(!page.contains("[x] Supplies"), "{page}");
    }
    assert!(opened > 1, "{opened}");
}

fn survey(name: &str) -> Source {
    let path = format!("{}/examples/{name}", env!("CARGO_MANIFEST_DIR"));
    Source::new(name, std::fs::read_to_string(path).expect("it is there"))
}

#[test]
fn the_steps_read_well() {
    let packs = packs();
    let survey = survey("handed-back-with-a-cap.yaml");
    let register = register(&survey, packs);
    insta::assert_snapshot!(
        "steps",
        steps::page(&survey, &register, &[], &Style::wide(80))
    );
}

#[test]
fn the_document_has_the_keys_of_its_schema() {
    let packs = packs();
    let survey = survey("handed-back-with-a-cap.yaml");
    let register = register(&survey, packs);
    let text = steps::document(&survey, &register, 0);
    assert_keys(&text, Which::Steps.text());
    let value: serde_json::Value = serde_json::from_str(&text).expect("it is JSON");
    assert!(wetside_schemas::is_valid(Which::Steps, &value));
}
