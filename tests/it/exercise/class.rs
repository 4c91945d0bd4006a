//! A class of twelve from the recipe to the record, by the commands alone: `docs/a-class.md` is what a terminal shows.
//!
//! `tests/day/class.yaml` has what is run. `WETSIDE_WRITE_PAGES=1 cargo test --test it exercise::class` writes the
//! page anew.

use super::commands::{self, folder};
use crate::day::{Count, Line, run};
use crate::examples::packs;
use serde::Deserialize;
use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::path::Path;
use wetside_base::finding::Verdict;
use wetside_base::source::Source;
use wetside_trainer::{Key, KeyFinding, read_key, sheet};

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Part {
    part: String,
    says: String,
    commands: Vec<Line>,
    /// The folder that sheets are gathered in, once the commands have run.
    sheets: Option<String>,
    /// Who gets a mark changed, before the commands run.
    appeal: Option<String>,
}

const NAMES: [&str; 12] = [
    "Ada", "Ben", "Cleo", "Dan", "Ella", "Finn", "Gwen", "Hal", "Iris", "Jon", "Kit", "Lou",
];

/// What somebody writes who lets each so-manieth thing pass, those of other sheets counted, and claims nothing in vain.
fn answers(blank: &str, key: &Key, survey: &str, misses: usize, seen: &mut usize) -> String {
    let findings = key.faults.iter().flat_map(|fault| &fault.findings);
    let kept = findings.filter(|_| {
        *seen += 1;
        !seen.is_multiple_of(misses)
    });
    let kept: Vec<&KeyFinding> = kept.collect();
    let class_of = super::course::classes(&Source::new("survey", survey));
    let claims: Vec<String> = kept
        .into_iter()
        .map(|finding| match finding {
            KeyFinding::Rule { rule, line, .. } => {
                let rule = packs().packs[0].rule(rule).expect("it is there");
                let reason = key
                    .reasons
                    .iter()
                    .position(|reason| *reason == rule.words.title);
                let reason = reason.expect("it is offered") + 1;
                format!(
                    "  - {{line: {line}, class: {}, reason: {reason}}}\n",
                    class_of[&rule.id]
                )
            }
            KeyFinding::Missing { fact, .. } => format!("  - {{missing: \"{fact}\"}}\n"),
        })
        .collect();
    let verdict = match super::told(survey).0 {
        Verdict::Clear => "clear",
        Verdict::DoNotStart => "do not start",
        Verdict::Prepare | Verdict::FindOut => "not yet",
    };
    let claims = if claims.is_empty() {
        "\nclaims: []".to_string()
    } else {
        format!("\nclaims:\n{}", claims.concat())
    };
    blank
        .replace("verdict: to be filled in", &format!("verdict: {verdict}"))
        .replace("\nclaims: []", &claims)
}

/// Fills the sheets of a test and gathers them, as somebody types them from paper.
fn gather(folder: &Path, test: &str, into: &str) {
    fs::create_dir_all(folder.join(into)).expect("it can be made");
    for (at, name) in NAMES.iter().enumerate() {
        let own = name.to_lowercase();
        let mut seen = 0;
        for number in 1..=4 {
            let read = |path: String| fs::read_to_string(folder.join(path));
            let stem = format!("{own}/exercise-{number:02}");
            let Ok(survey) = read(format!("{test}/trainees/{stem}.yaml")) else {
                continue;
            };
            let key = read(format!("{test}/trainer/{stem}-key.yaml")).expect("it is there");
            let key = read_key(&Source::new("key", key)).expect("it is a key");
            let blank = read(format!("{test}/trainees/{stem}-answers.yaml")).expect("it is there");
            assert_eq!(blank, sheet::blank(&key, Some(name)));
            // The first miss each second thing, the last nothing; whoever sits again has learnt.
            let misses = if into == "second" { 99 } else { 2 + at };
            let filled = answers(&blank, &key, &survey, misses, &mut seen);
            fs::write(folder.join(format!("{into}/{own}-{number}.yaml")), filled)
                .expect("it can be");
        }
    }
}

/// Changes a mark that somebody did not get, and says who sits again.
fn appeal(folder: &Path, who: &str) {
    let marks = fs::read_to_string(folder.join("tables/marks.csv")).expect("it is there");
    let of =
        |line: &&str| line.to_lowercase().contains(&format!(",{who},")) && line.ends_with(",no");
    let plain = |line: &&str| !line.contains(",verdict,") && !line.contains(" of ");
    let lost = marks
        .lines()
        .filter(of)
        .find(plain)
        .expect("something was missed");
    let cells: Vec<&str> = lost.split(',').collect();
    let change = format!(
        "exercise,trainee,asked,answer,by,reason\n{},{},{},yes,M. Trainer,it stands in a note beside the line\n",
        cells[0], cells[1], cells[2]
    );
    fs::write(folder.join("changes.csv"), change).expect("it can be written");
}

/// What looks wrong on one paper of somebody seldom does so on another of theirs.
fn decoys_are_others_on_each_paper(folder: &Path) {
    let (mut all, mut others) = (0, 0);
    for name in NAMES {
        let own = folder.join("test/trainer").join(name.to_lowercase());
        let key = |number| {
            let text = fs::read_to_string(own.join(format!("exercise-{number:02}-key.yaml")));
            read_key(&Source::new("key", text.expect("it is there"))).expect("it is a key")
        };
        let decoys = (1..=4).flat_map(|number| key(number).decoys);
        let decoys: Vec<String> = decoys.map(|decoy| decoy.id).collect();
        all += decoys.len();
        others += decoys.iter().collect::<BTreeSet<_>>().len();
    }
    assert!(all > 60 && (all - others) * 20 <= all, "{others} of {all}");
}

/// Over the whole class the faults of one exercise of the recipe come in turn, and all papers of it are as hard.
fn faults_come_in_turn(folder: &Path) {
    type Came = BTreeMap<String, usize>;
    let mut of_title: BTreeMap<String, (Came, BTreeSet<u32>)> = BTreeMap::new();
    for name in NAMES {
        let own = folder.join("test/trainer").join(name.to_lowercase());
        for number in 1..=4 {
            let text = fs::read_to_string(own.join(format!("exercise-{number:02}-key.yaml")));
            let key = read_key(&Source::new("key", text.expect("it is there"))).expect("a key");
            let (came, points) = of_title.entry(key.title.expect("it has one")).or_default();
            points.insert(key.faults.iter().map(|fault| fault.difficulty).sum());
            for fault in key.faults {
                *came.entry(fault.id).or_default() += 1;
            }
        }
    }
    for (title, (came, points)) in of_title {
        println!("{title}: {points:?} {came:?}");
        assert_eq!(points.len(), 1, "{title}: {points:?}");
        // A fault that fits every house comes more often than one that fits few; none on more than every third paper.
        let most = came.values().max().unwrap_or(&0);
        assert!(most * 3 <= NAMES.len(), "{title}: {came:?}");
    }
}

/// A sheet whose reasons are words of one's own.
fn in_words(sheet: &str) -> String {
    let line = |line: &str| match line.split_once("reason: ") {
        Some((claim, _)) if claim.starts_with("  - ") => format!("{claim}says: this will leak}}\n"),
        _ => format!("{line}\n"),
    };
    sheet.lines().map(line).collect()
}

/// Nobody passes by keeping a sheet back, by handing in that of another, or by leaving a paper empty.
fn sheets_that_are_not_all_there(folder: &Path) {
    fs::create_dir_all(folder.join("short")).expect("it can be made");
    let path = |name: &str| folder.join("short").join(name);
    let read = |name: &str| fs::read_to_string(path(name)).expect("it is there");
    for name in [
        "ada-1", "ada-2", "ada-3", "ada-4", "ben-1", "ben-2", "ben-3",
    ] {
        let name = format!("{name}.yaml");
        fs::copy(folder.join("first").join(&name), path(&name)).expect("it is there");
    }
    let mark = |into: &str| {
        let command = format!(
            "exercise class short --exercises test --into {into} --record short.csv --sitting {into} --on 2026-10-14"
        );
        let output = commands::run(folder, &command.split(' ').collect::<Vec<_>>());
        let says = commands::said(&output);
        let words: Vec<&str> = says.split_whitespace().collect();
        (output.status.code(), words.join(" "))
    };
    let refused = |into: &str, why: &str| {
        let (code, says) = mark(into);
        assert_eq!(code, Some(20), "{says}");
        assert!(
            says.contains(why) && says.to_lowercase().contains("1 problem "),
            "{says}"
        );
        assert!(!folder.join("short.csv").exists());
    };
    refused("s1", "`Ben` has handed in other sheets, and none for this");
    let of_ada = read("ada-4.yaml");
    let swapped = of_ada.replace("trainee: Ada", "trainee: Ben");
    fs::write(path("ada-4.yaml"), swapped).expect("it can be written");
    refused("s2", "was made for `Ada`");
    fs::write(path("ada-4.yaml"), of_ada).expect("it can be written");
    let blank = fs::read_to_string(folder.join("test/trainees/ben/exercise-04-answers.yaml"));
    let empty = blank
        .expect("it is there")
        .replace("verdict: to be filled in", "verdict: no answer");
    fs::write(path("ben-4.yaml"), empty).expect("it can be written");
    for number in 1..=4 {
        let name = format!("ada-{number}.yaml");
        fs::write(path(&name), in_words(&read(&name))).expect("it can be");
    }
    let (code, says) = mark("s3");
    assert_eq!(code, Some(0), "{says}");
    let page = fs::read_to_string(folder.join("s3/feedback/ben.html")).expect("it was written");
    assert!(page.contains("Nothing was said of the job"), "{page}");
    let record = fs::read_to_string(folder.join("short.csv")).expect("it was written");
    assert!(record.contains("Ben"));
    let show = ["exercise", "record", "short.csv", "--into", "short.html"];
    commands::run(folder, &show);
    let page = fs::read_to_string(folder.join("short.html")).expect("it was written");
    assert!(page.contains("Not read, Ada, s3: "), "{page}");
    let (code, says) = mark("s4");
    assert_eq!(code, Some(2), "{says}");
    assert!(says.contains("in another sitting"), "{says}");
}

#[test]
fn a_class_of_twelve_by_the_commands_alone() {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let text = fs::read_to_string(root.join("tests/day/class.yaml")).expect("it is there");
    let parts: Vec<Part> = serde_yaml::from_str(&text).expect("the class has its form");
    let folder = folder("class");
    let recipe = fs::read_to_string(root.join("examples/course/test.yaml")).expect("it is there");
    let from = format!("from: {}/examples/", root.display());
    fs::write(folder.join("test.yaml"), recipe.replace("from: ../", &from)).expect("it can be");
    let names = |names: &[&str]| {
        names
            .iter()
            .map(|name| format!("{name}\n"))
            .collect::<String>()
    };
    fs::write(folder.join("class.txt"), names(&NAMES)).expect("it can be written");
    fs::write(folder.join("again.txt"), names(&NAMES[..2])).expect("it can be written");
    let mut page = String::from(HEAD);
    let mut test = String::new();
    for part in parts {
        page += &format!("\n## {}\n\n{}", part.part, part.says);
        if let Some(who) = &part.appeal {
            appeal(&folder, who);
        }
        for line in part.commands {
            let command = line.run.clone();
            if command.contains("--class") {
                test = command.rsplit(' ').next().unwrap_or_default().to_string();
            }
            let shown = run(&folder, line, &mut Count::default());
            page += &format!("\n```console\n$ wetside {command}\n{shown}```\n");
        }
        if let Some(into) = &part.sheets {
            gather(&folder, &test, into);
        }
    }
    let read = |path: &str| fs::read_to_string(folder.join(path)).expect("it was written");
    assert!(read("tables-after-appeal/feedback/ada.html").contains("Changed: `"));
    assert!(read("tables-after-appeal/feedback/ada.html").contains("% before, and"));
    assert!(read("record.html").contains("a changed mark"));
    assert!(read("record.html").contains("M. Trainer: it stands in a note beside the line"));
    assert!(!page.contains("in the sheets"), "{page}");
    assert!(read("record.html").contains(": first sitting, second sitting."));
    assert!(read("test/trainees/lou/paper.html").contains("90 minutes for 4 exercises"));
    assert!(read("tables/class.html").contains("(Cronbach's alpha): "));
    decoys_are_others_on_each_paper(&folder);
    faults_come_in_turn(&folder);
    sheets_that_are_not_all_there(&folder);
    let path = root.join("docs/a-class.md");
    if std::env::var_os("WETSIDE_WRITE_PAGES").is_some() {
        fs::write(&path, &page).expect("the page can be written");
    }
    let written = fs::read_to_string(&path).expect("the page is there");
    let advice = "run `WETSIDE_WRITE_PAGES=1 cargo test --test it exercise::class`, and read it";
    assert!(
        written == page,
        "docs/a-class.md is not what the program says: {advice}"
    );
}

const HEAD: &str = "\
# A class

Twelve people sit a test, in invented houses, from the recipe to the record, by the commands alone, as a terminal of
80 columns shows it. A test runs it and holds this page to every byte that the program says;
`WETSIDE_WRITE_PAGES=1 cargo test --test it exercise::class` writes it anew from `tests/day/class.yaml`.
";
