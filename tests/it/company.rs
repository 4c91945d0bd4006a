//! What a company adds: fields of its own, limits by the day, and its first pack.

use std::fs;
use std::path::PathBuf;
use std::process::{Command, Output};
use wetside_base::finding::Outcome;
use wetside_base::source::Source;
use wetside_base::vocabulary::Vocabulary;
use wetside_engine::cases::whole;
use wetside_engine::check::{Ask, Packs, check};
use wetside_engine::comparison::{self, Became};
use wetside_engine::pack::{Pack, PackFiles};
use wetside_units::Date;

const COMPANY: &str = "examples/company/harbour-heating";
const HOUSE: &str = "examples/open-vented-gravity.yaml";

fn run(arguments: &[&str]) -> Output {
    let mut command = Command::new(env!("CARGO_BIN_EXE_wetside"));
    let command = command
        .args(arguments)
        .current_dir(env!("CARGO_MANIFEST_DIR"));
    command.output().expect("the program starts")
}

fn page(output: &Output) -> String {
    let all = [output.stdout.clone(), output.stderr.clone()].concat();
    let text = String::from_utf8(all).expect("it is text");
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// A place of the test's own, with nothing in it.
fn place(name: &str) -> PathBuf {
    let folder = PathBuf::from(env!("CARGO_TARGET_TMPDIR")).join(name);
    let _ = fs::remove_dir_all(&folder);
    fs::create_dir_all(&folder).expect("it can be made");
    folder
}

fn house(more: &str) -> Source {
    let text = fs::read_to_string(HOUSE).expect("the example is there");
    Source::new("house.yaml", format!("{text}\n{more}"))
}

/// A pack of one rule that demands this, by these fields.
fn demanding(name: &str, fields: &str, must: &str) -> PackFiles {
    let head = format!(
        "pack: {name}\nedition: \"1\"\ntitle: a pack\nscope: for a test\nfields:\n  {fields}\n"
    );
    let rule = format!(
        "title: it is otherwise\nclass: hazard\nstage: survey\nmust: {must}\nsays: it is otherwise\ndo: mend it\nbecause: we say so\nsource: {{work: house rule, standing: common practice, certainty: no source}}\ncases:\n  - {{name: nothing, given: {{}}, then: undecided}}\n"
    );
    PackFiles {
        name: name.to_string(),
        files: vec![
            ("pack.yaml".to_string(), head.into()),
            (format!("our/{name}-rule.yaml"), rule.into()),
        ],
    }
}

fn kinds(packs: &mut Packs, files: &PackFiles) -> Vec<&'static str> {
    let problems = packs.add(files);
    problems.iter().map(|one| one.problem.kind).collect()
}

#[test]
fn what_no_pack_declares_is_one_problem_and_what_one_declares_is_read() {
    let written = "company:\n  van: north\n  tub: yes\n";
    let survey = house(written);
    let without = check(&survey, &wetside_rules::packs(), &Ask::default());
    let told: Vec<_> = without.problems.iter().map(|one| one.kind).collect();
    assert_eq!(told, ["unknown-key"]);
    assert_eq!(survey.slice(without.problems[0].span), "van");
    let mut packs = wetside_rules::packs();
    let fields = "van: {words: [north, south], tier: minimum, says: The van.}\n  tub: {kind: yes or no, tier: record, says: The tub.}";
    let files = demanding("ours", fields, "company.van is 'north'");
    assert!(kinds(&mut packs, &files).is_empty());
    let judged = |more: &str| check(&house(more), &packs, &Ask::default());
    let of_ours = |more: &str| {
        let mut all = judged(more).findings.into_iter();
        all.find(|one| one.pack == "ours").map(|one| one.outcome)
    };
    assert_eq!(of_ours(written), None);
    assert_eq!(of_ours("company: {van: south}\n"), Some(Outcome::Broken));
    for open in ["company: {van: unknown}\n", "company: {van: nrth}\n", ""] {
        assert_eq!(of_ours(open), Some(Outcome::Undecided), "{open}");
    }
    let gaps = judged("").gaps;
    assert!(gaps.iter().any(|gap| gap.fact == "company.van"));
    let misspelt = judged("company: {von: north}\n").problems;
    assert!(misspelt[0].help.contains("`van`"), "{misspelt:?}");
}

#[test]
fn two_packs_declare_a_field_alike_or_not_at_all() {
    let van = "van: {words: [north, south], tier: detail, says: The van.}";
    let other = "van: {kind: text, tier: detail, says: The van.}";
    let must = "company.van is 'north'";
    let mut packs = Packs::none();
    assert!(kinds(&mut packs, &demanding("ay", van, must)).is_empty());
    assert!(kinds(&mut packs, &demanding("bee", van, must)).is_empty());
    let group = packs.vocabulary.company().expect("it is there");
    assert_eq!(packs.vocabulary.children(group).count(), 1);
    let differing = demanding("cee", other, "company.van is 'north'");
    assert_eq!(kinds(&mut packs, &differing), ["name-taken"]);
    // Beside each other two editions are read by one vocabulary, whatever the order of their fields.
    let mut newer = Packs::none();
    newer.share_fields_of(&packs);
    let more = format!("insurer: {{kind: text, tier: record, says: The insurer.}}\n  {van}");
    assert!(kinds(&mut newer, &demanding("ay", &more, must)).is_empty());
    assert!(changes(&packs.packs[..1], &newer.packs, &newer.vocabulary).is_empty());
}

fn changes(old: &[Pack], new: &[Pack], vocabulary: &Vocabulary) -> Vec<Became> {
    let all = comparison::of(old, new, vocabulary);
    all.into_iter().map(|change| change.became).collect()
}

/// What only the day decides is no part that does nothing.
#[test]
fn a_day_that_is_later_is_looser() {
    let fields = "van: {kind: text, tier: record, says: The van.}";
    let pack = |day: &str| {
        let must = format!("circuit.kind is 'sealed' or as_of < {day}");
        let mut packs = Packs::none();
        assert!(kinds(&mut packs, &demanding("ours", fields, &must)).is_empty());
        packs
    };
    let (sooner, later) = (pack("2030-01-01"), pack("2040-01-01"));
    let between = |old: &Packs, new: &Packs| changes(&old.packs, &new.packs, &old.vocabulary);
    assert_eq!(between(&sooner, &later), [Became::Looser]);
    assert_eq!(between(&later, &sooner), [Became::Tighter]);
}

#[test]
fn a_limit_has_the_value_of_the_day() {
    let mut packs = wetside_rules::packs();
    let fields = "hose: {kind: length, unit: m, tier: detail, says: The hose.}";
    let mut files = demanding("ours", fields, "company.hose >= limit.ours");
    let limit = "limits:\n  ours:\n    from: {2026-01-01: 12 m, 2027-01-01: 15 m}\n    kind: length\n    says: our hose\n    source: {work: house rule, standing: common practice, certainty: no source}\n";
    files.files[0].1.to_mut().push_str(limit);
    assert!(kinds(&mut packs, &files).is_empty());
    let survey = house("company: {hose: 13 m}\n");
    let on = |day: &str| {
        let as_of = Some(Date::parse(day).expect("it is a day"));
        let ask = Ask { as_of, stage: None };
        let mut all = check(&survey, &packs, &ask).findings.into_iter();
        let found = all.find(|one| one.pack == "ours");
        found.map(|one| (one.outcome, one.on[0].says.clone()))
    };
    assert_eq!(on("2026-12-31"), None);
    assert_eq!(on("2027-01-01").map(|it| it.0), Some(Outcome::Broken));
    let (outcome, says) = on("2025-12-31").expect("it is told");
    assert_eq!(outcome, Outcome::Undecided);
    assert!(
        says.contains("`limit.ours` has no value before 2026-01-01"),
        "{says}"
    );
}

#[test]
fn a_limit_of_several_days_is_not_set_by_a_layer() {
    let fields = "hose: {kind: length, unit: m, tier: detail, says: The hose.}";
    let mut files = demanding("ours", fields, "company.hose >= limit.ours");
    let limit = "limits:\n  ours:\n    from: {2026-01-01: 12 m}\n    kind: length\n    says: our hose\n    source: {work: house rule, standing: common practice, certainty: no source}\n";
    files.files[0].1.to_mut().push_str(limit);
    let mut packs = Packs::none();
    assert!(kinds(&mut packs, &files).is_empty());
    let layer = |from: &str| {
        PackFiles {
        name: "above".to_string(),
        files: vec![(
            "pack.yaml".to_string(),
            format!("pack: above\nedition: \"1\"\ntitle: a layer\nscope: for a test\nbuilds_on: {from}\nchanges:\n  - {{set_limit: ours, from: 12 m, to: 20 m, because: we say so, by: us, on: 2026-03-02}}\n").into(),
        )],
    }
    };
    let sound = layer("{pack: ours, edition: \"1\"}");
    assert_eq!(kinds(&mut packs, &sound), ["not-one-value"]);
    // What has parts and is written as one value is told by them.
    let told = packs.add(&layer("ours"));
    assert!(
        told[0].problem.help.contains("`pack` and `edition`"),
        "{told:?}"
    );
}

#[test]
fn a_case_that_is_left_open_says_by_what() {
    let fields = "briefed: {kind: day, tier: detail, says: The day.}";
    let mut files = demanding("ours", fields, "company.briefed + 90 days >= as_of");
    let case = "  - {name: then, given: {company: {briefed: 2026-01-01}}, then: met}\n";
    files.files[1].1.to_mut().push_str(case);
    let mut packs = Packs::none();
    assert!(kinds(&mut packs, &files).is_empty());
    let ran = whole::all(&packs.packs[0], &files, &packs.vocabulary);
    let help = &ran.problems[0].problem.help;
    assert!(
        help.contains("the day of judgement") && !help.contains("briefed"),
        "{help}"
    );
}

#[test]
fn a_first_pack_is_sound_and_nothing_is_written_over() {
    let folder = place("first-pack");
    for (name, more) in [("one-van", None), ("two-vans", Some("--layer"))] {
        let path = folder.join(name).display().to_string();
        let new: Vec<&str> = ["pack", "new", &path].into_iter().chain(more).collect();
        assert_eq!(run(&new).status.code(), Some(0), "{}", page(&run(&new)));
        for command in ["test", "check", "mutate"] {
            let output = run(&["pack", command, &path]);
            assert_eq!(
                output.status.code(),
                Some(0),
                "{command}: {}",
                page(&output)
            );
        }
        let head = folder.join(name).join("pack.yaml");
        let before = fs::read_to_string(&head).expect("it is there");
        assert_eq!(run(&new).status.code(), Some(2));
        assert_eq!(fs::read_to_string(&head).ok(), Some(before.clone()));
        // What stands there as a comment is sound as well.
        let lines = before.lines().map(|line| match line.strip_prefix("# ") {
            Some(rest)
                if line.starts_with("#   ") || rest.ends_with(':') && !rest.contains(' ') =>
            {
                rest
            }
            _ => line,
        });
        let open = lines.collect::<Vec<_>>().join("\n");
        assert_ne!(open, before);
        fs::write(&head, open).expect("it can be written");
        let output = run(&["pack", "test", &path, "--format", "json"]);
        let came: serde_json::Value = serde_json::from_slice(&output.stdout).expect("it is JSON");
        let told = came["pack_problems"].as_array().expect("they are listed");
        let told: Vec<_> = told.iter().map(|one| &one["kind"]).collect();
        // Nothing reads them yet.
        assert_eq!(told, ["idle-limit", "idle-field"], "{name}: {came:#}");
    }
    let odd = folder.join("Three Vans").display().to_string();
    assert_eq!(run(&["pack", "new", &odd]).status.code(), Some(2));
    assert!(!folder.join("Three Vans").exists());
}

#[test]
fn a_pack_is_told_for_programs_and_printed_for_people() {
    let output = run(&["pack", "test", COMPANY, "--format", "json"]);
    let came: serde_json::Value = serde_json::from_slice(&output.stdout).expect("it is JSON");
    assert_eq!(came["pack"]["builds_on"], "gb-domestic");
    assert_eq!(came["passed"], came["cases"]);
    let unshown = came["parts"]["unshown"]
        .as_array()
        .expect("they are listed");
    assert!(
        unshown.iter().all(|one| one["no_case"][0] == "left open"),
        "{came:#}"
    );
    let output = run(&["pack", "check", COMPANY, "--format", "json"]);
    let came: serde_json::Value = serde_json::from_slice(&output.stdout).expect("it is JSON");
    assert!(came["steps_at_most"].as_u64() > Some(10), "{came:#}");
    let into = place("printed").join("rules.txt").display().to_string();
    let print = ["pack", "print", COMPANY, "--into", &into];
    assert_eq!(run(&print).status.code(), Some(0));
    assert_eq!(run(&print).status.code(), Some(2));
    let printed = fs::read_to_string(&into).expect("it was written");
    for words in [
        "company.product: The product on the can of cleaner. (quay clear | mole strong)",
        "briefing_holds: 180 days from 2025-01-01, 90 days from 2026-07-01",
        "acid-product-without-the-tub",
        "longer-than-a-day-on-site",
        "within the old span: met, given {company: {briefed: 2026-01-01}}",
    ] {
        assert!(printed.contains(words), "{words}\n{printed}");
    }
    assert!(printed.lines().all(|line| line.chars().count() <= 100));
}
