//! Marking held against sheets that were worked by hand.

use crate::examples::packs;
use std::fs;
use std::path::PathBuf;
use wetside_base::source::Source;
use wetside_document::Node;
use wetside_report::trainer::tables;
use wetside_trainer::{Change, Exercise, Marked, Ready, Reasoning, by_hand, ready, sheet};

pub(super) fn data(name: &str) -> Source {
    let path = PathBuf::from(env!("CARGO_MANIFEST_DIR"))
        .join("tests/exercise")
        .join(name);
    Source::new(name, fs::read_to_string(path).expect("it is there"))
}

/// The exercise that the sheets belong to; `clean` is the one without a fault.
pub(super) fn exercise(name: &str) -> Exercise {
    by_hand(&data(&format!("{name}.yaml")), &data("clean.yaml"), packs())
        .unwrap_or_else(|problems| panic!("{problems:#?}"))
}

/// An exercise by hand: the clean survey with some changes.
fn changed(verdict: &str, changes: &[(&str, &str)]) -> Exercise {
    let clean = data("clean.yaml");
    let marked = data("marked.yaml").text;
    let hold_test = |text: &str| {
        text.lines()
            .find(|line| line.contains("hold_test:"))
            .map(str::to_string)
    };
    let (whole, lacking) = (hold_test(&clean.text), hold_test(&marked));
    let (whole, lacking) = (whole.expect("it has one"), lacking.expect("it has one too"));
    let verdict = format!("# verdict: {verdict}");
    let all = [
        (whole.as_str(), lacking.as_str()),
        ("# verdict: clear", &verdict),
    ];
    let text = all
        .iter()
        .chain(changes)
        .fold(clean.text.clone(), |text, (was, is)| {
            assert!(text.contains(was), "{was}");
            text.replace(was, is)
        });
    by_hand(&Source::new("changed.yaml", text), &clean, packs())
        .unwrap_or_else(|problems| panic!("{problems:#?}"))
}

/// The exercise in which the loss of the hold test is missing and nothing else is wrong.
fn left_open() -> Exercise {
    changed("not yet", &[])
}

/// Findings that rest on several lines, beside the loss that is missing.
fn reasoned() -> Exercise {
    let changes = [
        (
            "air_gap: 70 mm",
            "air_gap: 20 mm   # finds: air-gap-too-small",
        ),
        (
            "forecast_minimum: 8 °C",
            "forecast_minimum: -6 °C   # finds: loft-pipes-on-a-hard-frost",
        ),
        (
            "hose_end: secured",
            "hose_end: loose   # finds: dump-hose-loose",
        ),
    ];
    changed("do not start", &changes)
}

/// Two findings of one part on two lines beside each other, so that a claim of the one may count for the other.
fn of_the_hose() -> Exercise {
    let changes = [
        (
            "hose_fall: continuous",
            "hose_fall: has a rise   # finds: dump-hose-rises",
        ),
        (
            "hose_end: secured",
            "hose_end: loose   # finds: dump-hose-loose",
        ),
    ];
    changed("do not start", &changes)
}

/// What a person has ruled of a sheet.
fn rulings(case: &Node, of: &Exercise) -> Vec<Change> {
    let rows = items(case, "ruled").iter().map(|ruling| {
        let (asked, answer) = (text(ruling, "asked"), text(ruling, "answer"));
        format!(
            "{},7,{asked},{answer},M. Trainer,read again\n",
            of.key.exercise
        )
    });
    let table = format!(
        "exercise,trainee,asked,answer,by,reason\n{}",
        rows.collect::<String>()
    );
    tables::read_changes(&Source::new("changes", table)).expect("they are well formed")
}

fn text<'n>(node: &'n Node, key: &str) -> &'n str {
    node.get(key)
        .and_then(|entry| entry.value.as_text())
        .unwrap_or_default()
}

fn items<'n>(node: &'n Node, key: &str) -> &'n [Node] {
    node.get(key).map_or(&[], |entry| entry.value.items())
}

#[test]
fn the_key_of_the_hand_written_exercise_is_as_its_author_meant() {
    let key = exercise("marked").key;
    let ids: Vec<&str> = key.faults.iter().map(|fault| fault.id.as_str()).collect();
    assert_eq!(ids, ["line-53", "line-99", "line-149", "line-250"]);
    assert_eq!(key.decoys.len(), 1);
    assert_eq!(key.decoys[0].lines, [315]);
    assert_eq!(exercise("clean").key.faults, []);
}

/// The marks of a sheet with these claims, each a line.
pub(super) fn marked_text(ready: &Ready<'_>, verdict: &str, claims: &str) -> Marked {
    marked_with(ready, verdict, claims, &[])
}

fn marked_with(ready: &Ready<'_>, verdict: &str, claims: &str, changes: &[Change]) -> Marked {
    let claims = if claims.is_empty() {
        " []\n".to_string()
    } else {
        format!("\n{claims}")
    };
    let filled = format!(
        "answers: 1\nexercise: \"{}\"\ntrainee: 7\nverdict: {verdict}\nclaims:{claims}",
        ready.key.exercise
    );
    let filled = Source::new("sheet", filled);
    let sheet = sheet::read(&filled, ready.key, &ready.titles, ready.lines());
    let sheet = sheet.unwrap_or_else(|problems| panic!("{}{problems:#?}", filled.text));
    let marked = ready.mark(&sheet, changes);
    marked.unwrap_or_else(|problems| panic!("{}{problems:#?}", filled.text))
}

#[test]
fn the_guide_and_the_sheet_show_the_rules_of_marking() {
    let guide = PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("docs/trainers-guide.md");
    let guide = fs::read_to_string(guide).expect("it is there");
    assert!(guide.contains(sheet::MARKING));
    let blank = sheet::blank(&exercise("marked").key, None);
    assert!(sheet::MARKING.lines().all(|line| blank.contains(line)));
}

/// The exercises that sheets were worked by hand for; `words` has nothing to choose from.
fn of(name: &str) -> Exercise {
    match name {
        "open" => left_open(),
        "hose" => of_the_hose(),
        "reasoned" => reasoned(),
        "words" => {
            let mut of = reasoned();
            of.ask_in_own_words();
            of
        }
        _ => exercise(if name.is_empty() { "marked" } else { name }),
    }
}

#[test]
fn sheets_get_the_marks_that_were_worked_by_hand() {
    let source = data("sheets.yaml");
    let root = wetside_document::read(&source).root;
    let cases = items(&root, "sheets");
    assert!(cases.len() >= 40);
    let every_kind = [
        "to `do not start` and was called `clear`",
        "to `do not start` and was called `not yet`",
        "to `not yet` and was called `clear`",
        "nothing was said of the job",
        "the hazard on line 53 was missed",
        "cannot be decided, and that was missed",
        "the hazard on line 53 was called a preparation",
        "the hazard on line 53 was called an advisory",
        "the hazard on line 99 was called a preparation",
        "was called less than it is",
    ];
    for kind in every_kind {
        assert!(source.text.contains(kind), "no sheet is unsafe so: {kind}");
    }
    let mut wrong = String::new();
    // Each exercise is made once, since that takes long.
    for name in ["", "clean", "open", "hose", "reasoned", "words"] {
        let of = of(name);
        let ready = ready(&of.survey, &of.key, packs()).expect("they belong together");
        let cases = cases.iter().filter(|case| text(case, "of") == name);
        let told = cases.map(|case| unlike_by_hand(case, &source, &of, &ready));
        wrong.extend(told);
    }
    assert!(wrong.is_empty(), "\n{wrong}");
}

/// What of a sheet comes out otherwise than by hand.
fn unlike_by_hand(case: &Node, source: &Source, of: &Exercise, ready: &Ready<'_>) -> String {
    let claims: String = items(case, "claims")
        .iter()
        .map(|claim| format!("  - {}\n", source.slice(claim.span)))
        .collect();
    let first = match text(case, "first") {
        "" => String::new(),
        number => format!("first: {number}\n"),
    };
    let changes = rulings(case, of);
    let marked = marked_with(ready, text(case, "verdict"), &(claims + &first), &changes);
    let score = |marked: &Marked| format!("{} of {}", marked.score.0, marked.score.1);
    let passed = |marked: &Marked| {
        if marked.passed() {
            "passed"
        } else {
            "not passed"
        }
    };
    let before = marked.unchanged.as_deref();
    let before = before.map_or(String::new(), |one| {
        format!("{}, {}", score(one), passed(one))
    });
    let Reasoning {
        lines,
        steps,
        first,
    } = marked.reasoning;
    let reasoning = format!(
        "lines {} of {}, steps {} of {}, first {} of {}",
        lines.0, lines.1, steps.0, steps.1, first.0, first.1
    );
    let fates = marked.claims.iter().map(|claim| claim.fate.words());
    let fates: Vec<&str> = fates.collect();
    let listed = |key| -> Vec<&str> { items(case, key).iter().filter_map(Node::as_text).collect() };
    let verdict = if marked.passed() { "yes" } else { "no" };
    let same = score(&marked) == text(case, "score")
        && verdict == text(case, "passed")
        && fates == listed("fates")
        && marked.unsafe_because() == listed("unsafe")
        && before == text(case, "before")
        && (case.get("reasoning").is_none() || reasoning == text(case, "reasoning"))
        && marked.changes == changes;
    if same {
        return String::new();
    }
    format!(
        "{}: {}, passed {verdict}, {fates:?}, {:?}, {reasoning}, before {before}\n",
        text(case, "name"),
        score(&marked),
        marked.unsafe_because()
    )
}

#[test]
fn sheets_that_cannot_be_marked_are_problems_at_their_lines() {
    let source = data("sheets.yaml");
    let root = wetside_document::read(&source).root;
    let of = exercise("marked");
    let ready = ready(&of.survey, &of.key, packs()).expect("they belong together");
    let mut wrong = String::new();
    for case in items(&root, "unmarkable") {
        let filled = text(case, "text").replace("HERE", &format!("\"{}\"", of.key.exercise));
        let filled = Source::new(text(case, "name"), filled);
        let problems = match sheet::read(&filled, &of.key, &ready.titles, ready.lines()) {
            Ok(sheet) => ready.mark(&sheet, &[]).err().unwrap_or_default(),
            Err(problems) => problems,
        };
        let told: Vec<String> = problems
            .iter()
            .map(|problem| format!("{} {}", filled.line_of(problem.span.start), problem.kind))
            .collect();
        let wanted: Vec<&str> = items(case, "problems")
            .iter()
            .filter_map(Node::as_text)
            .collect();
        if told != wanted {
            wrong.push_str(&format!(
                "{}: {told:?}, wanted {wanted:?}: {problems:#?}\n",
                filled.name
            ));
        }
        for problem in &problems {
            assert!(
                !problem.help.is_empty() && !problem.says.ends_with('.'),
                "{problem:?}"
            );
        }
    }
    assert!(wrong.is_empty(), "\n{wrong}");
}

/// What a trainee is told names lines, limit and source of what was missed, and what speaks against
/// what was claimed in vain.
#[test]
fn feedback_shows_what_was_there_to_see() {
    let of = exercise("marked");
    let ready = ready(&of.survey, &of.key, packs()).expect("they belong together");
    let filled = format!(
        "answers: 1\nexercise: \"{}\"\ntrainee: 7\nverdict: clear\nclaims:\n  - {{line: 315, class: hazard, reason: acid could meet bleach}}\n  - {{line: 164, class: advisory, reason: a radiator shows rust spots}}\n",
        of.key.exercise
    );
    let sheet = sheet::read(
        &Source::new("sheet", filled),
        &of.key,
        &ready.titles,
        ready.lines(),
    )
    .expect("it can be marked");
    let marked = ready.mark(&sheet, &[]).expect("it can be marked");
    let against = |at: usize| marked.claims[at].refuted.as_ref().expect("it is not so");
    assert!(
        against(0).says.contains("does not apply"),
        "{:?}",
        against(0)
    );
    assert!(
        against(0).lines[0]
            .words
            .contains("`cleaner.nature` is `neutral`"),
        "{:?}",
        against(0)
    );
    assert!(
        against(1).lines[0].words.contains("`sound`"),
        "{:?}",
        against(1)
    );
    assert_eq!(marked.unsafe_because().len(), 3);
    for target in &marked.targets {
        assert_eq!(target.eighths, 0);
        assert!(
            !target.lesson.lines.is_empty() && !target.lesson.says.is_empty(),
            "{target:?}"
        );
        assert!(target.lesson.source.is_some(), "{target:?}");
    }
    assert_eq!(marked.targets[0].lesson.lines[0].0, 53);
    assert!(
        marked.targets[1]
            .lesson
            .says
            .contains("circuit.hold_test.loss")
    );
}

/// On paper a reason and a field have their numbers, and the sheet that is typed from it may have the same.
#[test]
fn what_is_offered_may_be_given_by_its_number() {
    let of = exercise("marked");
    let ready = ready(&of.survey, &of.key, packs()).expect("they belong together");
    let claimed = |claim: &str| {
        let text = sheet::blank(&of.key, None)
            .replace("trainee: to be filled in", "trainee: Ann")
            .replace("verdict: to be filled in", "verdict: not yet")
            .replace("claims: []", &format!("claims: [{{{claim}}}]"));
        let filled = Source::new("typed", text);
        let sheet = sheet::read(&filled, &of.key, &ready.titles, ready.lines());
        sheet.expect("it can be marked").claims[0].what.clone()
    };
    for (number, reason) in (1..).zip(&of.key.reasons) {
        assert_eq!(
            claimed(&format!("line: 1, class: hazard, reason: {number}")),
            claimed(&format!("line: 1, class: hazard, reason: \"{reason}\""))
        );
    }
    assert!(!of.key.fields.is_empty());
    for (number, field) in (1..).zip(&of.key.fields) {
        assert_eq!(
            claimed(&format!("missing: {number}")),
            claimed(&format!("missing: {}", field.field))
        );
    }
}
