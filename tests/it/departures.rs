//! Departures: still judged, shown with who accepted them, and nothing else let through.

use serde::Deserialize;
use std::fs;
use std::path::PathBuf;
use std::process::Command;
use std::sync::OnceLock;
use wetside_base::finding::{Finding, Judgement, Verdict};
use wetside_base::source::Source;
use wetside_engine::check::{Ask, Packs, check, check_bytes};
use wetside_engine::digest::short;

const SURVEY: &str = "examples/guest-house-double-check.yaml";

fn packs() -> &'static Packs {
    static PACKS: OnceLock<Packs> = OnceLock::new();
    PACKS.get_or_init(wetside_rules::packs)
}

fn survey() -> String {
    fs::read_to_string(PathBuf::from(env!("CARGO_MANIFEST_DIR")).join(SURVEY)).expect("it is there")
}

fn digest(rule: &str) -> Option<String> {
    let pack = &packs().packs[0];
    Some(short(&pack.digest_of(pack.rule(rule)?)).to_string())
}

fn judged(beside: &str) -> Judgement {
    let beside = Source::new("house.departures.yaml", beside);
    let bytes = survey().into_bytes();
    check_bytes("house.yaml", bytes, packs(), &Ask::default(), Some(&beside)).1
}

#[derive(Deserialize)]
struct Row {
    name: String,
    survey: Option<String>,
    departs: Option<String>,
    kind: Option<String>,
    #[serde(default)]
    at: String,
}

/// The rows, each with its departure as it is written there.
fn rows() -> Vec<(Row, String)> {
    let text = include_str!("../packs/departures.yaml");
    let (accepted, rest): (Vec<&str>, Vec<&str>) = text
        .lines()
        .partition(|line| line.starts_with("  accepted: "));
    let rows: Vec<Row> = serde_yaml::from_str(&rest.join("\n")).expect("it can be read");
    let written = accepted
        .iter()
        .filter_map(|line| line.strip_prefix("  accepted: "));
    rows.into_iter().zip(written.map(written_out)).collect()
}

fn written_out(written: &str) -> String {
    let rule = written
        .split(['{', ',', '}'])
        .nth(1)
        .and_then(|key| key.split_once(": "));
    let known = rule.and_then(|(_, rule)| digest(rule));
    let known = known.filter(|_| !written.contains(" as: "));
    let known = known.map_or(String::new(), |digest| format!("as: \"{digest}\", "));
    let written = written.replace(
        "WHO",
        &format!("{known}because: it is built in, instead: two passes, by: the lead"),
    );
    written.replace("DAYS", "on: 2026-10-19, until: 2026-10-21")
}

/// All that stands in the way, and what does not.
fn parted(judgement: &Judgement) -> (Vec<&Finding>, Vec<&Finding>) {
    let all = judgement.findings.iter();
    all.partition(|finding| finding.departure.is_none())
}

#[test]
fn each_departure_comes_to_what_it_should() {
    let plain = check(
        &Source::new("house.yaml", survey()),
        packs(),
        &Ask::default(),
    );
    let outcomes = |judgement: &Judgement| {
        let all = judgement.findings.iter();
        all.map(Finding::count).sum::<usize>()
    };
    for (row, written) in rows() {
        let reference = row.survey.as_deref().unwrap_or("SEVERN-61");
        let file = format!("departures: 1\nsurvey: {reference}\naccepted:\n  - {written}\n");
        let judgement = judged(&file);
        let beside = judgement.beside.as_ref().expect("it was read");
        let told: Vec<_> = beside
            .problems
            .iter()
            .map(|problem| (problem.kind, beside.source.slice(problem.span)))
            .collect();
        let (standing, departed) = parted(&judgement);
        // Nothing is lost, whatever is accepted.
        assert_eq!(outcomes(&judgement), outcomes(&plain), "{}", row.name);
        assert_eq!(judgement.counts, plain.counts, "{}", row.name);
        if let Some(rule) = &row.departs {
            assert_eq!(told, [], "{}", row.name);
            let found: Vec<&str> = departed.iter().map(|one| one.rule.as_str()).collect();
            assert_eq!(found, [rule.as_str()], "{}", row.name);
        } else {
            assert!(departed.is_empty(), "{}", row.name);
            assert_eq!(standing.len(), plain.findings.len(), "{}", row.name);
            assert_eq!(told.len(), 1, "{}: {told:?}", row.name);
            assert_eq!(Some(told[0].0), row.kind.as_deref(), "{}", row.name);
            assert!(
                row.at.is_empty() || told[0].1 == row.at,
                "{}: {told:?}",
                row.name
            );
        }
    }
}

/// One rule of a company's own, and what the verdict is with and without a departure from it.
#[test]
fn a_departure_changes_the_verdict_by_what_it_departs_from_alone() {
    let folder = PathBuf::from(env!("CARGO_TARGET_TMPDIR")).join("departing");
    let _ = fs::remove_dir_all(&folder);
    fs::create_dir_all(&folder).expect("it can be made");
    let example =
        PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("examples/open-vented-gravity.yaml");
    let text = fs::read_to_string(example).expect("it is there");
    let text = text.replace("hose_end: secured", "hose_end: loose");
    let at = |name: &str| folder.join(name).display().to_string();
    fs::write(at("house.yaml"), text).expect("it can be written");
    let run = |arguments: &[&str]| {
        let mut command = Command::new(env!("CARGO_BIN_EXE_wetside"));
        let output = command.args(arguments).output().expect("it starts");
        let page = String::from_utf8(output.stdout).expect("it is text");
        (output.status.code(), page)
    };
    let (code, _) = run(&["check", &at("house.yaml")]);
    assert_eq!(code, Some(12));
    let known = digest("dump-hose-loose").expect("the rule is there");
    let file = format!(
        "departures: 1\nsurvey: ROWAN-22\naccepted:\n  - {{rule: dump-hose-loose, as: \"{known}\", because: it is cast in, instead: two people hold it, by: the lead, on: 2026-10-13, until: 2026-10-13}}\n"
    );
    fs::write(at("house.departures.yaml"), &file).expect("it can be written");
    let both = [&at("house.yaml")[..], &at("house.departures.yaml")];
    for form in ["--long", "--brief"] {
        let (code, page) = run(&["check", form, "--width", "200", both[0], both[1]]);
        assert_eq!(code, Some(0), "{page}");
        assert!(
            page.starts_with("CLEAR to start the flush, with 1 rule departed from"),
            "{page}"
        );
        assert!(
            page.contains("two people hold it") && page.contains("dump-hose-loose"),
            "{page}"
        );
    }
    let (code, page) = run(&["sheet", both[0], "--into", &at("papers")]);
    assert_eq!(code, Some(0), "{page}");
    let job = fs::read_to_string(at("papers/job.html")).expect("it was made");
    assert!(page.contains("with 1 rule departed from"), "{page}");
    assert!(job.contains("Departed from, accepted by <bdi>the lead</bdi>"));
    // What is asked ends with what a check comes to.
    let (code, _) = run(&["ask", both[0], "--json"]);
    assert_eq!(code, Some(0));
    let (code, page) = run(&["ask", both[0]]);
    assert_eq!(code, Some(0), "{page}");
    assert!(page.contains("with 1 rule departed from"), "{page}");
    let (code, page) = run(&["check", both[0], "--as-of", "2026-10-14"]);
    assert_eq!(code, Some(12));
    assert!(
        page.contains("this departure ended on 2026-10-13"),
        "{page}"
    );
    let (code, _) = run(&["check", both[1]]);
    assert_eq!(code, Some(2));
    fs::write(both[1], file.replace("two people", "three people")).expect("it can be written");
    let text = fs::read_to_string(both[0]).expect("it is there");
    fs::write(both[0], text.replace("loose", "secured")).expect("it can be written");
    let (code, page) = run(&["check", both[0]]);
    assert_eq!(code, Some(20), "{page}");
    assert!(page.contains("nothing is departed from"), "{page}");
}

#[test]
fn an_undecided_verdict_stays_where_the_rest_is_as_it_was() {
    let plain = check(
        &Source::new("house.yaml", survey()),
        packs(),
        &Ask::default(),
    );
    assert_eq!(plain.verdict, Verdict::DoNotStart);
    assert_eq!(judged("departures: 1\n").verdict, Verdict::DoNotStart);
    assert_eq!(judged("").beside.expect("it was read").problems.len(), 1);
}
