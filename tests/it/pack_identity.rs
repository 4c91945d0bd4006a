//! What judged is known: every file of a pack is read or named, a copy cannot pass for the pack that it was
//! copied from, and a report can be judged again.

use crate::generate::Chance;
use std::fs;
use std::path::{Path, PathBuf};
use std::process::{Command, Output};
use wetside_base::finding::{Basis, Verdict};
use wetside_base::source::Source;
use wetside_engine::check::{Ask, Packs, check};
use wetside_engine::pack::PackFiles;
use wetside_report::json;

const CLEAR: &str = "examples/open-vented-gravity.yaml";

fn root() -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR"))
}

fn run(arguments: &[&str]) -> Output {
    let mut command = Command::new(env!("CARGO_BIN_EXE_wetside"));
    let command = command.args(arguments).current_dir(root());
    command.output().expect("the program starts")
}

fn out(output: &Output) -> String {
    String::from_utf8(output.stdout.clone()).expect("the output is UTF-8")
}

/// A company's pack of one rule, in a folder of the test's own.
fn small(name: &str) -> PathBuf {
    let folder = PathBuf::from(env!("CARGO_TARGET_TMPDIR")).join(name);
    let _ = fs::remove_dir_all(&folder);
    for (path, text) in small_files() {
        let path = folder.join(path);
        fs::create_dir_all(path.parent().expect("it lies in the folder")).expect("it can be made");
        fs::write(path, text).expect("it can be written");
    }
    folder
}

fn small_files() -> [(&'static str, &'static str); 2] {
    [
        ("pack.yaml", include_str!("../packs/two-vans/pack.yaml")),
        (
            "circuit/never-a-single-feed.yaml",
            include_str!("../../src/cli/first/circuit/never-a-single-feed.yaml"),
        ),
    ]
}

fn packed(files: &[(&str, String)]) -> PackFiles {
    let file = |(path, text): &(&str, String)| ((*path).to_string(), text.clone().into());
    PackFiles {
        name: "two-vans".to_string(),
        files: files.iter().map(file).collect(),
    }
}

#[test]
fn every_file_in_the_folder_of_a_pack_is_read_or_named() {
    let rule = "circuit/never-a-single-feed.yaml";
    let copy = |from: &Path, to: &str| fs::copy(from.join(rule), from.join(to)).map(|_| ());
    type Slip<'a> = (&'a str, &'a dyn Fn(&Path) -> std::io::Result<()>);
    let slips: [Slip<'_>; 9] = [
        ("circuit/second.yml", &|at| copy(at, "circuit/second.yml")),
        ("circuit/second.YAML", &|at| copy(at, "circuit/second.YAML")),
        ("circuit/.second.yaml", &|at| {
            copy(at, "circuit/.second.yaml")
        }),
        (".later", &|at| {
            fs::create_dir(at.join(".later"))?;
            copy(at, ".later/second.yaml")
        }),
        ("circuit/second.txt", &|at| copy(at, "circuit/second.txt")),
        (rule, &|at| fs::write(at.join(rule), "")),
        (rule, &|at| fs::write(at.join(rule), "# title: not now\n")),
        ("circuit/linked.yaml", &|at| {
            std::os::unix::fs::symlink(at.join(rule), at.join("circuit/linked.yaml"))
        }),
        ("deeper/still/second.yaml", &|at| {
            fs::create_dir_all(at.join("deeper/still"))?;
            copy(at, "deeper/still/second.yaml")
        }),
    ];
    for (path, slip) in slips {
        let folder = small("vanishing");
        slip(&folder).expect("the folder can be changed");
        let pack = folder.display().to_string();
        for arguments in [
            &["check", CLEAR, "--pack", &pack][..],
            &["pack", "test", &pack],
        ] {
            let output = run(arguments);
            assert_eq!(output.status.code(), Some(21), "{path}: {}", out(&output));
            let named = folder.join(path).display().to_string();
            let page: String = out(&output).split_whitespace().collect();
            assert!(page.contains(&named), "{path}: {}", out(&output));
        }
    }
}

#[test]
fn a_page_for_people_may_lie_beside_the_rules() {
    let folder = small("with-a-page");
    fs::write(folder.join("README.md"), "# Two Vans\n").expect("it can be written");
    let pack = folder.display().to_string();
    let output = run(&["check", CLEAR, "--width", "200", "--pack", &pack]);
    assert_eq!(output.status.code(), Some(0), "{}", out(&output));
    assert!(out(&output).contains("two-vans 2026.1 (content "));
}

#[test]
fn a_pack_whose_cases_fail_judges_nothing() {
    let folder = small("failing");
    let rule = folder.join("circuit/never-a-single-feed.yaml");
    let text = fs::read_to_string(&rule).expect("it is there");
    fs::write(&rule, text.replace("then: broken", "then: met")).expect("it can be written");
    let output = run(&["check", CLEAR, "--pack", &folder.display().to_string()]);
    assert_eq!(output.status.code(), Some(21));
    assert!(out(&output).contains("case-differs"), "{}", out(&output));
}

/// The built-in pack with one limit or comparison loosened, under its own name.
#[test]
fn a_changed_copy_of_the_carried_pack_does_not_judge_under_its_name() {
    let folder = PathBuf::from(env!("CARGO_TARGET_TMPDIR")).join("forked");
    let _ = fs::remove_dir_all(&folder);
    for (path, text) in wetside_rules::files().files {
        let path = folder.join(path);
        fs::create_dir_all(path.parent().expect("it lies in the folder")).expect("it can be made");
        fs::write(path, text.as_ref()).expect("it can be written");
    }
    let pack = folder.display().to_string();
    let judged = ["check", CLEAR, "--without-built-in", "--pack", &pack];
    let same = run(&judged);
    assert_eq!(same.status.code(), Some(0), "{}", out(&same));
    let head = folder.join("pack.yaml");
    let text = fs::read_to_string(&head).expect("it is there");
    assert!(text.contains("43 °C"));
    fs::write(&head, text.replace("43 °C", "90 °C")).expect("it can be written");
    let forked = run(&judged);
    assert_eq!(forked.status.code(), Some(21));
    assert!(out(&forked).contains("name-reserved"), "{}", out(&forked));
}

#[test]
fn the_digest_is_of_what_is_said_and_not_of_how_it_is_laid_out() {
    let files = small_files().map(|(path, text)| (path, text.to_string()));
    let digest = |files: &[(&str, String)], name: &str| {
        let mut packs = Packs::none();
        let files = PackFiles {
            name: name.to_string(),
            ..packed(files)
        };
        let problems = packs.add(&files);
        assert!(problems.is_empty(), "{problems:#?}");
        packs.packs[0].digest.clone()
    };
    let own = digest(&files, "two-vans");
    let mut turned = files.clone();
    turned.reverse();
    turned[0].1 = format!(
        "# a comment\n\n{}",
        turned[0].1.replace("says: the", "says:   the")
    );
    assert_eq!(digest(&turned, "../somewhere/else/"), own);
    for (was, now) in [
        ("single feed'", "sealed'"),
        ("lost", "gone"),
        ("nobody", "no one"),
    ] {
        let mut other = files.clone();
        assert!(other[1].1.contains(was));
        other[1].1 = other[1].1.replace(was, now);
        assert_ne!(digest(&other, "two-vans"), own, "{was}");
    }
}

/// Where all that could stop the work is not applicable, or nothing could, nothing is known to be safe.
#[test]
fn where_nothing_was_met_nothing_is_clear() {
    let survey = fs::read_to_string(root().join(CLEAR)).expect("the example is there");
    let survey = Source::new("house.yaml", survey);
    let verdict = |change: &dyn Fn(String) -> String| {
        let files = small_files().map(|(path, text)| (path, change(text.to_string())));
        let mut packs = Packs::none();
        let problems = packs.add(&packed(&files));
        assert!(problems.is_empty(), "{problems:#?}");
        check(&survey, &packs, &Ask::default()).verdict
    };
    assert_eq!(verdict(&|text| text), Verdict::Clear);
    let advice = |text: String| text.replace("class: hazard", "class: advisory");
    assert_eq!(verdict(&advice), Verdict::FindOut);
    let elsewhere =
        |text: String| text.replace("must:", "when: circuit.kind is 'single feed'\nmust:");
    assert_eq!(verdict(&elsewhere), Verdict::FindOut);
}

#[test]
fn a_report_is_judged_again_and_holds_until_something_changes() {
    let folder = small("verified");
    let at = |name: &str| folder.with_file_name(name).display().to_string();
    let (survey, report, pack) = (
        at("verified.yaml"),
        at("verified.json"),
        folder.display().to_string(),
    );
    let text = fs::read_to_string(root().join(CLEAR)).expect("the example is there");
    fs::write(&survey, &text).expect("it can be written");
    let made = [
        "check",
        &survey,
        "--stage",
        "set-up",
        "--as-of",
        "2026-10-14",
        "--pack",
        &pack,
    ];
    let made = run(&[
        &made[..],
        &["--format", "json", "--replace", "--output", &report],
    ]
    .concat());
    assert_eq!(made.status.code(), Some(0), "{}", out(&made));

    let verify = |pack: &str| run(&["verify", &report, "--width", "200", "--pack", pack]);
    let held = verify(&pack);
    assert_eq!(
        (held.status.code(), out(&held).contains("the report holds")),
        (Some(0), true)
    );

    // A comment in the pack changes nothing; its content does.
    let rule = folder.join("circuit/never-a-single-feed.yaml");
    let was = fs::read_to_string(&rule).expect("it is there");
    fs::write(&rule, format!("# ours\n{was}")).expect("it can be written");
    assert_eq!(verify(&pack).status.code(), Some(0));
    fs::write(&rule, was.replace("leave it", "pass it")).expect("it can be written");
    let other = verify(&pack);
    assert_eq!(other.status.code(), Some(13));
    assert!(
        out(&other).contains("it was judged by gb-domestic"),
        "{}",
        out(&other)
    );
    fs::write(&rule, was).expect("it can be written");

    fs::write(&survey, text.replace("WC pan", "sink or bath")).expect("it can be written");
    let other = verify(&pack);
    assert_eq!(other.status.code(), Some(13));
    assert!(
        out(&other).contains("the survey has changed since"),
        "{}",
        out(&other)
    );
    fs::write(&survey, &text).expect("it can be written");

    // Nobody mends a verdict by hand.
    let written = fs::read_to_string(&report).expect("it is there");
    fs::write(&report, written.replacen("\"met\": ", "\"met\": 1", 1)).expect("it can be written");
    let other = verify(&pack);
    assert_eq!(other.status.code(), Some(13));
    assert!(
        out(&other).contains("not as written: `counts`"),
        "{}",
        out(&other)
    );
    fs::write(&report, "{}").expect("it can be written");
    assert_eq!(verify(&pack).status.code(), Some(2));
}

#[test]
fn what_was_left_out_is_told() {
    let folder = small("alone");
    let pack = folder.display().to_string();
    let output = run(&["check", CLEAR, "--without-built-in", "--pack", &pack]);
    assert!(out(&output).contains("Left out, though the program carries it: gb-domestic"));
    let judged = check(
        &Source::new("", ""),
        &wetside_rules::packs(),
        &Ask::default(),
    );
    let Basis {
        packs, left_out, ..
    } = judged.basis;
    assert_eq!((packs[0].digest.len(), left_out), (64, Vec::new()));
}

/// One way to loosen a pack, of a file drawn by chance: the class milder, due later, the demand weaker, asked of
/// fewer, a number moved, or the rule gone. Nothing where that file cannot be loosened so.
fn loosened(files: &mut Vec<(String, String)>, chance: &mut Chance) -> Option<String> {
    let at = chance.below(files.len());
    let (path, text) = files[at].clone();
    let number = |text: &str| {
        let at = text.find("    value: ")? + "    value: ".len();
        let digits = text[at..].find(|sign: char| !sign.is_ascii_digit())?;
        let (from, to) = (at, at + digits);
        (to > from).then(|| format!("{}9{}", &text[..from], &text[from..]))
    };
    let put = |was: &str, now: &str| text.contains(was).then(|| text.replacen(was, now, 1));
    let changed = match chance.below(6) {
        0 => put("class: hazard", "class: advisory"),
        1 => put("class: preparation", "class: advisory"),
        2 => put("\nstage: survey\n", "\nstage: upkeep\n"),
        3 => put("\nmust: ", "\nmust: job.stage is 'survey' or "),
        4 if !text.contains("\nwhen:") => put("\nmust: ", "\nwhen: job.stage is 'flush'\nmust: "),
        4 => number(&text),
        _ => {
            let rule = !["pack.yaml", "moved.yaml"].contains(&path.as_str());
            rule.then(|| files.remove(at));
            return rule.then(|| format!("{path} is gone"));
        }
    };
    files[at].1 = changed?;
    Some(path)
}

/// A hundred copies of the carried pack, each loosened somewhere by chance. None judges as the pack that it was
/// copied from: under that name its content is another, by which it is refused, and under any other name the report
/// says that one, the content, and what was left out.
#[test]
fn no_loosened_copy_judges_without_the_report_saying_so() {
    let carried = wetside_rules::packs();
    let own = carried.packs[0].identities().remove(0);
    let survey = fs::read_to_string(root().join(CLEAR)).expect("the example is there");
    let survey = Source::new("house.yaml", survey);
    let (mut judging, mut refused) = (0, 0);
    let mut seed = 0;
    while judging + refused < 100 {
        seed += 1;
        let mut chance = Chance::new(seed);
        let files = wetside_rules::files().files.into_iter();
        let mut files: Vec<(String, String)> = files
            .map(|(path, text)| (path, text.into_owned()))
            .collect();
        let Some(what) = loosened(&mut files, &mut chance) else {
            continue;
        };
        let mut packs = Packs::none();
        packs.left_out = vec![carried.packs[0].cited()];
        let named = |(path, text): (String, String)| match path.as_str() {
            "pack.yaml" => (
                path,
                text.replacen("pack: gb-domestic", "pack: our-copy", 1)
                    .into(),
            ),
            _ => (path, text.into()),
        };
        let problems = packs.add(&PackFiles {
            name: "our-copy".to_string(),
            files: files.into_iter().map(named).collect(),
        });
        if !problems.is_empty() {
            refused += 1;
            continue;
        }
        judging += 1;
        let judgement = check(&survey, &packs, &Ask::default());
        let report = json::document(&[(survey.clone(), judgement)], &[]);
        let report: serde_json::Value = serde_json::from_str(&report).expect("it is JSON");
        let by = &report["surveys"][0]["judged_by"];
        assert_eq!(by["packs"][0]["pack"], "our-copy", "{what}");
        assert_ne!(by["packs"][0]["digest"], *own.digest, "{what}");
        assert_eq!(by["left_out"][0], carried.packs[0].cited(), "{what}");
    }
    assert!(judging >= 50, "{judging} judge, {refused} are refused");
}
