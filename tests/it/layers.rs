//! Layers: what they change is named, what they must not change stays, and their laws.

use crate::generate::Chance;
use serde::Deserialize;
use std::path::PathBuf;
use std::sync::OnceLock;
use wetside_base::finding::{Judgement, Outcome};
use wetside_base::source::Source;
use wetside_engine::cases;
use wetside_engine::cases::whole;
use wetside_engine::check::{Ask, Packs, check};
use wetside_engine::digest::short;
use wetside_engine::layers::in_order;
use wetside_engine::pack::{Pack, PackFiles, PackProblem, Rule};
use wetside_report::json;

fn carried() -> &'static Packs {
    static PACKS: OnceLock<Packs> = OnceLock::new();
    PACKS.get_or_init(wetside_rules::packs)
}

fn below() -> &'static Pack {
    &carried().packs[0]
}

fn rule(id: &str) -> &'static Rule {
    below().rule(id).unwrap_or_else(|| panic!("no rule `{id}`"))
}

const WHO: &str = "because: we think so, by: the lead, on: 2026-03-02";

/// `{as RULE}` filled in.
fn filled(text: &str) -> String {
    let mut pieces = text.split("{as ");
    let mut filled = pieces.next().unwrap_or_default().to_string();
    for piece in pieces {
        let (name, rest) = piece.split_once('}').expect("it is closed");
        let digest = match name.strip_prefix("table.") {
            Some(_) => below().stamp(name).expect("the table is there").to_string(),
            None => below().digest_of(rule(name)),
        };
        filled += short(&digest);
        filled += rest;
    }
    filled.replace("WHO", WHO)
}

fn layer(name: &str, on: &str, edition: &str, changes: &str) -> PackFiles {
    let changes = match changes {
        "" => String::new(),
        changes => format!("changes:\n{}", filled(changes)),
    };
    let head = format!(
        "pack: {name}\nedition: \"1\"\ntitle: a layer\nscope: for a test\nbuilds_on: {{pack: {on}, edition: \"{edition}\"}}\n{changes}"
    );
    PackFiles {
        name: name.to_string(),
        files: vec![("pack.yaml".to_string(), head.into())],
    }
}

fn over_carried(name: &str, changes: &str) -> PackFiles {
    layer(name, "gb-domestic", &below().edition, changes)
}

fn laid(layers: Vec<PackFiles>) -> (Packs, Vec<PackProblem>) {
    let mut packs = wetside_rules::packs();
    let layers = in_order(layers).into_iter();
    let problems = layers.flat_map(|files| packs.add(&files)).collect();
    (packs, problems)
}

fn sound(layers: Vec<PackFiles>) -> Packs {
    let (packs, problems) = laid(layers);
    assert!(problems.is_empty(), "{problems:#?}");
    packs
}

fn examples() -> Vec<Source> {
    let folder = PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("examples");
    let files = std::fs::read_dir(folder).expect("the examples are there");
    let files = files.map(|file| file.expect("it can be listed").path());
    let mut files: Vec<PathBuf> = files
        .filter(|path| path.extension().is_some_and(|ending| ending == "yaml"))
        .collect();
    files.sort();
    let read = |path: &PathBuf| std::fs::read_to_string(path).expect("it can be read");
    files
        .iter()
        .map(|path| Source::new(path.display().to_string(), read(path)))
        .collect()
}

fn judged(packs: &Packs, source: &Source) -> Judgement {
    check(source, packs, &Ask::default())
}

#[derive(Deserialize)]
struct Slip {
    name: String,
    edition: Option<String>,
    changes: String,
    file: Option<ChangedFile>,
    kind: String,
    at: String,
    shows: Option<String>,
}

#[derive(Deserialize)]
struct ChangedFile {
    path: String,
    of: String,
    was: String,
    now: String,
}

#[test]
fn each_slip_in_a_layer_is_told_once_at_its_words() {
    let slips: Vec<Slip> =
        serde_yaml::from_str(include_str!("../packs/layers.yaml")).expect("the table can be read");
    let mut wrong = Vec::new();
    for slip in slips {
        let edition = slip.edition.as_deref().unwrap_or(&below().edition);
        let mut files = layer("slipping", "gb-domestic", edition, &slip.changes);
        if let Some(file) = &slip.file {
            let text = rule(&file.of).source().text;
            assert!(text.contains(&file.was), "{}", slip.name);
            let text = text.replacen(&file.was, &file.now, 1);
            files.files.push((file.path.clone(), text.into()));
        }
        let (packs, mut problems) = laid(vec![files.clone()]);
        if problems.is_empty() {
            problems = whole::all(&packs.packs[0], &files, &packs.vocabulary).problems;
        }
        let told: Vec<_> = problems
            .iter()
            .map(|one| (one.problem.kind, one.source.slice(one.problem.span)))
            .collect();
        let (at, shows) = (filled(&slip.at), slip.shows.unwrap_or_default());
        let says = problems.first().map_or("", |one| &one.problem.says);
        let right = |(kind, words): &(&str, &str)| {
            *kind == slip.kind && (at.is_empty() || *words == at) && says.contains(&shows)
        };
        if told.len() != 1 || !right(&told[0]) {
            wrong.push(format!("{}: {told:?} {says}", slip.name));
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn a_layer_that_changes_nothing_changes_no_judgement() {
    let packs = sound(vec![over_carried("empty", "")]);
    for source in examples() {
        let (with, without) = (judged(&packs, &source), judged(carried(), &source));
        assert_eq!(with.findings, without.findings, "{}", source.name);
        assert_eq!(
            (with.verdict, with.counts),
            (without.verdict, without.counts)
        );
    }
}

/// Two layers over one pack, and one over the first of them.
fn three() -> [PackFiles; 3] {
    let first = "- {set_limit: hold_test_length, from: 30 min, to: 60 min, WHO}\n- {retire: longer-than-a-day-on-site, as: \"{as longer-than-a-day-on-site}\", WHO}\n";
    let second = "- {tighten: dump-hose-loose, as: \"{as dump-hose-loose}\", must: drain.hose_length <= 3 m, WHO}\n";
    let third = "- {set_limit: hold_test_length, from: 60 min, to: 2 h, WHO}\n";
    [
        over_carried("first", first),
        over_carried("second", second),
        layer("above-first", "first", "1", third),
    ]
}

#[test]
fn the_order_in_which_layers_are_given_cannot_be_seen() {
    let [a, b, c] = three();
    let orders = [
        vec![a.clone(), b.clone(), c.clone()],
        vec![c.clone(), b.clone(), a.clone()],
        vec![b, c, a],
    ];
    let survey = &examples()[0];
    let page = |order: Vec<PackFiles>| {
        json::document(&[(survey.clone(), judged(&sound(order), survey))], &[])
    };
    let [first, others @ ..] = orders.map(page);
    assert!(others.iter().all(|other| *other == first));
    let packs = sound(three().to_vec());
    let limits = packs.packs[0].limits.iter();
    let hold = limits
        .clone()
        .find(|entry| entry.limit.name == "hold_test_length");
    assert_eq!(hold.expect("it is there").limit.written, "2 h");
    assert_eq!(packs.packs[0].retired[0].id, "longer-than-a-day-on-site");
}

#[test]
fn two_layers_that_do_not_build_on_each_other_change_nothing_in_common() {
    let one = "- {set_limit: hold_test_length, from: 30 min, to: 60 min, WHO}\n";
    let tighten = "- {tighten: hold-test-missing-or-short, as: \"{as hold-test-missing-or-short}\", must: circuit.hold_test.length >= 90 min, WHO}\n";
    for (first, second) in [
        (one, one),
        (one, tighten),
        (tighten, one),
        (tighten, tighten),
    ] {
        let (_, problems) = laid(vec![over_carried("ay", first), over_carried("bee", second)]);
        assert!(!problems.is_empty(), "{first} {second}");
    }
    let (_, problems) = laid(vec![layer("lost", "no-such-pack", "1", "")]);
    assert_eq!(problems[0].problem.kind, "no-such-pack");
    let (_, problems) = laid(vec![layer("round", "round", "1", "")]);
    assert_eq!(problems[0].problem.kind, "no-such-pack");
}

/// Each rule that judges no list, tightened by the demand of the next one: what was found in an example stays
/// found, and every case that was broken is broken.
#[test]
fn tightening_loses_no_finding() {
    let plain = below().rules.iter().filter(|rule| rule.selection.is_none());
    let plain: Vec<&Rule> = plain.step_by(9).collect();
    let must = |rule: &Rule| {
        let demand = demand(&rule.source());
        demand
            .lines()
            .collect::<Vec<_>>()
            .join(" ")
            .trim()
            .to_string()
    };
    let change = |(rule, other): (&&Rule, &&Rule)| {
        let says = serde_json::to_string(&must(other)).expect("it is a text");
        format!(
            "- {{tighten: {0}, as: \"{{as {0}}}\", must: {says}, WHO}}\n",
            rule.id
        )
    };
    let others = plain.iter().cycle().skip(1);
    let changes: String = plain.iter().zip(others).map(change).collect();
    let (packs, problems) = laid(vec![over_carried("tight", &changes)]);
    // What a neighbour demands may be demanded already.
    assert!(
        problems
            .iter()
            .all(|wrong| wrong.problem.kind == "idle-change"),
        "{problems:#?}"
    );
    for source in examples() {
        let (before, after) = (judged(carried(), &source), judged(&packs, &source));
        let broken = |judgement: &Judgement, id: &str| {
            let mut all = judgement.findings.iter().chain(&judgement.ahead);
            all.any(|one| one.rule == id && one.outcome == Outcome::Broken)
        };
        let lost = plain
            .iter()
            .filter(|rule| broken(&before, &rule.id) && !broken(&after, &rule.id));
        assert_eq!(lost.count(), 0, "{}", source.name);
    }
    let broken = lost_broken(&packs.packs[0], &plain);
    assert!(broken.is_empty(), "{broken:?}");
}

/// The text of a rule's demand.
fn demand(source: &Source) -> String {
    let root = serde_yaml::from_str::<serde_yaml::Value>(&source.text).expect("it can be read");
    root["must"]
        .as_str()
        .expect("a rule demands something")
        .to_string()
}

/// Rules of which a case that asks for *broken* is no longer broken.
fn lost_broken(pack: &Pack, rules: &[&Rule]) -> Vec<String> {
    let vocabulary = &carried().vocabulary;
    let loses = |rule: &&&Rule| {
        // With its own pack's name and no changes the cases of the rule are run as they were written.
        let mut alone = pack.clone();
        alone.rules.retain(|one| one.id == rule.id);
        alone.rules.iter_mut().for_each(|one| one.changes.clear());
        let ran = cases::run(&alone, "gb-domestic", vocabulary);
        let lost = |wrong: &PackProblem| wrong.problem.says.contains("asks for broken");
        ran.rules != 1 || ran.problems.iter().any(lost)
    };
    rules
        .iter()
        .filter(loses)
        .map(|rule| rule.id.clone())
        .collect()
}

/// What a layer may do to each rule that stands on law or is locked: it is refused, or loses nothing.
#[test]
fn no_layer_loosens_what_is_kept() {
    let kept: Vec<&Rule> = below()
        .rules
        .iter()
        .filter(|rule| below().keeps(rule).is_some())
        .collect();
    assert!(kept.len() > 60, "{}", kept.len());
    let retire = |rule: &Rule| format!("- {{retire: {0}, as: \"{{as {0}}}\", WHO}}\n", rule.id);
    for rule in kept.iter().step_by(3) {
        let (_, problems) = laid(vec![over_carried("retiring", &retire(rule))]);
        assert_eq!(problems.len(), 1, "{}", rule.id);
    }
    let mut refused = 0;
    let limits = below().limits.iter().enumerate();
    for (at, entry) in limits {
        let reads = |rule: &&&Rule| rule.reads().limits.contains(&at);
        let readers: Vec<&Rule> = kept.iter().filter(reads).copied().collect();
        if readers.is_empty() {
            continue;
        }
        let (number, unit) = entry
            .limit
            .written
            .split_once(' ')
            .unwrap_or((&entry.limit.written, ""));
        let Ok(number) = number.parse::<f64>() else {
            continue;
        };
        for to in [number * 2.0 + 1.0, number / 2.0] {
            let (name, from) = (&entry.limit.name, &entry.limit.written);
            let change = format!("- {{set_limit: {name}, from: {from}, to: {to} {unit}, WHO}}\n");
            let (packs, problems) = laid(vec![over_carried("setting", &change)]);
            if problems.is_empty() {
                let lost = lost_broken(&packs.packs[0], &readers);
                assert!(lost.is_empty(), "{change}: {lost:?}");
            } else {
                refused += 1;
            }
        }
    }
    assert!(refused > 10, "{refused}");
}

/// One change of a rule that is kept, or of a limit that it reads, drawn by chance; by what the pack below makes of it.
fn drawn_change(chance: &mut Chance, pack: &Pack) -> Option<String> {
    let kept: Vec<&Rule> = (pack.rules.iter())
        .filter(|rule| pack.keeps(rule).is_some())
        .collect();
    let rule = kept[chance.below(kept.len())];
    let known = short(&pack.digest_of(rule)).to_string();
    let id = &rule.id;
    Some(match chance.below(4) {
        0 => format!("- {{retire: {id}, as: \"{known}\", WHO}}\n"),
        1 => format!(
            "- {{reword: {id}, as: \"{known}\", caution: think of it for the {}th time, WHO}}\n",
            chance.below(100)
        ),
        2 => format!(
            "- {{tighten: {id}, as: \"{known}\", must: circuit.cold_pressure <= {} bar, WHO}}\n",
            1 + chance.below(9)
        ),
        _ => {
            let reads = rule.reads().limits;
            let limit = &pack.limits[*reads.get(chance.below(reads.len()))?].limit;
            let (number, unit) = limit.written.split_once(' ')?;
            let number: f64 = number.parse().ok()?;
            let to = if chance.once_in(2) {
                number * 1.5
            } else {
                number / 2.0
            };
            format!(
                "- {{set_limit: {}, from: {}, to: {to} {unit}, WHO}}\n",
                limit.name, limit.written
            )
        }
    })
}

/// Chains of three layers, each with a change drawn by chance of what is kept: whatever part of a chain is accepted,
/// every case that was broken below all of them is broken above.
#[test]
fn no_chain_of_layers_loosens_what_is_kept() {
    let kept: Vec<&Rule> = (below().rules.iter())
        .filter(|rule| below().keeps(rule).is_some())
        .collect();
    let (mut longest, mut refused) = (0, 0);
    for seed in 0..8 {
        let mut chance = Chance::new(seed);
        let mut packs = wetside_rules::packs();
        let (mut on, mut edition) = ("gb-domestic".to_string(), below().edition.clone());
        let mut length = 0;
        for step in 0..9 {
            let Some(change) = drawn_change(&mut chance, &packs.packs[0]) else {
                continue;
            };
            let name = format!("step-{step}");
            let added = packs.add(&layer(&name, &on, &edition, &change));
            if added.is_empty() {
                (on, edition, length) = (name, "1".to_string(), length + 1);
            } else {
                refused += 1;
            }
        }
        longest = longest.max(length);
        let lost = lost_broken(&packs.packs[0], &kept);
        assert!(lost.is_empty(), "{seed}: {lost:?}");
    }
    assert!(longest >= 3 && refused > 12, "{longest} {refused}");
}

/// The layer of the invented company, over every example: its own rules are told with its name, and what it
/// changed with the lines where that stands.
#[test]
fn the_company_of_the_examples_uses_every_change() {
    let folder = PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("examples/company/harbour-heating");
    let folder = folder.display().to_string();
    let run = |arguments: &[&str]| {
        let mut command = std::process::Command::new(env!("CARGO_BIN_EXE_wetside"));
        let command = command
            .args(arguments)
            .current_dir(env!("CARGO_MANIFEST_DIR"));
        let output = command.output().expect("the program starts");
        let page = String::from_utf8(output.stdout).expect("it is text");
        (output.status.code(), page)
    };
    for command in ["test", "check", "mutate"] {
        let (code, page) = run(&["pack", command, &folder]);
        assert_eq!(code, Some(0), "{command}: {page}");
    }
    let head = std::fs::read_to_string(format!("{folder}/pack.yaml")).expect("it is there");
    for change in [
        "set_limit",
        "extend_table",
        "tighten",
        "replace",
        "reword",
        "retire",
    ] {
        assert!(head.contains(&format!("- {change}:")), "{change}");
    }
    let (code, page) = run(&[
        "pack", "compare", "-", &folder, "--over", "examples", "--width", "200",
    ]);
    assert_eq!(code, Some(0), "{page}");
    for line in [
        "hold-test-missing-or-short broken: 0 before, 1 now (hold_test_length was 30 min, is 60 min)",
        "longer-than-a-day-on-site undecided: 1 before, 0 now (gone)",
        "air-gap-without-our-spare broken: 0 before, 1 now (new)",
        "with a milder verdict; 0 could not be read",
        "dump-hose-loose (changed): with `drain.hose_length: 107.5 m`, `drain.hose_end: secured` it was met and is broken",
        "Of those changed 2 judge as before and 2 find all that they found: both proved.",
        "The newer is looser: a great step of the edition",
    ] {
        assert!(page.contains(line), "{line}\n{page}");
    }
    let (code, lines) = run(&["check", "examples", "--lines", "--pack", &folder]);
    assert_eq!(code, Some(12));
    let surveys: Vec<serde_json::Value> = lines
        .lines()
        .map(|line| serde_json::from_str(line).expect("each line is JSON"))
        .collect();
    assert_eq!(surveys.len(), examples().len());
    let named = |survey: &serde_json::Value| survey["judged_by"]["packs"][1]["pack"].clone();
    assert!(surveys.iter().all(|one| named(one) == "harbour-heating"));
}
