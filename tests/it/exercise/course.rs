//! The class: many sheets to tables.

use crate::examples::packs;
use std::collections::{BTreeMap, BTreeSet};
use wetside_base::finding::{Class, Finding, Verdict};
use wetside_base::source::Source;
use wetside_engine::check::{Ask, check};
use wetside_report::trainer::{pages, tables};
use wetside_trainer::class::{class, compared};
use wetside_trainer::{
    Answer, Difficulty, Exercise, Look, Marked, Options, course, make, plantings, prove, ready,
    sheet,
};

/// How grave what breaks each rule is at the stage of a survey.
pub(super) fn classes(survey: &Source) -> BTreeMap<String, Class> {
    let judged = check(survey, packs(), &Ask::default());
    let class = |found: Finding| (found.rule, found.class);
    judged.findings.into_iter().map(class).collect()
}

/// A sheet that claims what the key has, every `step`-th of it.
pub(super) fn answered(exercise: &Exercise, trainee: &str, step: usize, more: &str) -> Marked {
    use wetside_trainer::KeyFinding;
    let ready = ready(&exercise.survey, &exercise.key, packs()).expect("they belong together");
    let findings = exercise.key.faults.iter().flat_map(|fault| &fault.findings);
    let class_of = classes(&exercise.survey);
    let claims: Vec<String> = findings
        .step_by(step)
        .map(|finding| match finding {
            KeyFinding::Rule { rule, line, .. } => {
                let pack = &packs().packs[0];
                let rule = pack.rule(rule).expect("it is there");
                let title = &rule.words.title;
                format!(
                    "  - {{line: {line}, class: {}, reason: \"{}\"}}\n",
                    class_of[&rule.id],
                    title.replace('"', "\\\"")
                )
            }
            KeyFinding::Missing { fact, .. } => format!("  - {{missing: \"{fact}\"}}\n"),
        })
        .collect();
    let claims = if claims.is_empty() && more.is_empty() {
        " []\n".to_string()
    } else {
        format!("\n{}{more}", claims.concat())
    };
    let verdict = match super::told(&exercise.survey.text).0 {
        Verdict::Clear => "clear",
        Verdict::DoNotStart => "do not start",
        Verdict::Prepare | Verdict::FindOut => "not yet",
    };
    let text = format!(
        "answers: 1\nexercise: \"{}\"\ntrainee: {trainee}\nverdict: {verdict}\nclaims:{claims}",
        exercise.key.exercise
    );
    let sheet = sheet::read(
        &Source::new("sheet", text),
        &exercise.key,
        &ready.titles,
        ready.lines(),
    );
    let sheet = sheet.unwrap_or_else(|problems| panic!("{problems:#?}"));
    ready
        .mark(&sheet, &[])
        .unwrap_or_else(|problems| panic!("{problems:#?}"))
}

#[test]
fn a_class_comes_to_the_same_tables_in_any_order() {
    let exercises: Vec<Exercise> = super::some_exercises(4);
    let alarm = "  - {line: 1, class: advisory, reason: acid could meet bleach}\n";
    let mut sheets: Vec<Marked> = Vec::new();
    for exercise in &exercises {
        sheets.push(answered(exercise, "Ann", 1, ""));
        sheets.push(answered(exercise, "\"Bo, the younger\"", 2, alarm));
    }
    let one = class(&sheets);
    sheets.reverse();
    assert_eq!(one, class(&sheets));
    assert_eq!(one.trainees.len(), 2);
    let mut shouted = sheets.clone();
    shouted[0].trainee = " ANN".to_string();
    assert_eq!(
        class(&shouted).trainees.len(),
        2,
        "capitals make no other person"
    );
    let [ann, bo] = [&one.trainees[0], &one.trainees[1]];
    assert_eq!(
        (ann.name.as_str(), ann.sheets, ann.score, ann.hits),
        ("Ann", 4, 100, ann.targets)
    );
    assert!(bo.score < 100 && bo.hits < bo.targets && bo.false_alarms == 4);
    assert_eq!(one.alarms, [("acid could meet bleach".to_string(), 4)]);
    let csv = tables::trainees(&one);
    assert!(csv.contains("\r\n\"Bo, the younger\",4,"), "{csv}");
    assert_eq!(tables::faults(&one).lines().count(), one.faults.len() + 1);
    let text = pages::of_class(&one, None);
    assert!(text.contains("Bo, the younger") && text.ends_with("</html>\n"));
}

/// In a class where everybody has exercises of their own, the scores of one title are held together.
#[test]
fn a_class_with_papers_of_its_own_has_a_reliability() {
    let of = |exercise: &Exercise, right: bool| {
        let step = if right { 1 } else { 100 };
        answered(
            exercise,
            "Ann",
            step,
            "  - {line: 1, class: advisory, reason: acid could meet bleach}\n",
        )
    };
    let mut exercises = super::some_exercises(6);
    exercises.retain(|exercise| exercise.key.faults.len() > 1);
    assert!(exercises.len() > 1);
    let mut sheets = Vec::new();
    for (at, exercise) in exercises.iter().enumerate() {
        let (right, wrong) = (of(exercise, true), of(exercise, false));
        for person in 0..12 {
            let mut sheet = if person < 6 {
                right.clone()
            } else {
                wrong.clone()
            };
            sheet.trainee = format!("T{person}");
            sheet.exercise = format!("{at} of {person}");
            sheet.title = Some(format!("exercise {at}"));
            sheets.push(sheet);
        }
    }
    assert!(class(&sheets).reliability.expect("twelve did all") > 0.9);
    sheets.iter_mut().for_each(|sheet| sheet.title = None);
    assert_eq!(class(&sheets).reliability, None);
}

#[test]
fn another_marker_is_compared_by_the_same_table() {
    let sheets: Vec<Marked> = super::some_exercises(4)
        .iter()
        .map(|exercise| answered(exercise, "Ann", 2, ""))
        .collect();
    let class = class(&sheets);
    let csv = tables::marks(&class);
    let same = tables::read_marks(&Source::new("marks", csv.clone())).expect("it is well formed");
    assert_eq!(same, class.marks);
    let agreed = compared(&[&class.marks, &same]);
    assert!(agreed.alone.is_empty() && agreed.rows == same.len());
    assert!(agreed.by_question.iter().all(|(_, one)| one.alike > 0.999));
    let other = csv.replacen(",yes", ",no", 1).replace("Ann", " aNN ");
    let mut other = tables::read_marks(&Source::new("marks", other)).expect("it is well formed");
    let lost = other.pop().expect("there are marks");
    let agreed = compared(&[&class.marks, &same, &other]);
    assert!(agreed.alone.is_empty(), "two markers have it yet");
    let agreed = compared(&[&class.marks, &other]);
    assert_eq!((agreed.alone.len(), agreed.rows), (1, same.len()));
    assert_eq!(agreed.alone[0].asked, lost.asked);
    let page = pages::of_class(&class, Some(&agreed));
    assert!(page.contains("How far markers agree") && page.contains("1 of "));
    assert!(agreed.by_question.iter().any(|(_, one)| one.alike < 0.999));
    let problems =
        tables::read_marks(&Source::new("marks", "a,b,c,perhaps\n\"a,b")).expect_err("it is not");
    assert_eq!(problems.len(), 2);
}

/// Whoever answers by the key gets full marks, whatever was planted.
#[test]
fn the_key_itself_gets_full_marks() {
    for exercise in super::some_exercises(super::how_many(6, 200)) {
        let marked = answered(&exercise, "Key", 1, "");
        assert_eq!(marked.score.0, marked.score.1, "{marked:#?}");
        assert!(marked.passed());
        let offered = marked.offered;
        assert_eq!((offered.claimed, offered.in_vain), (offered.so, 0));
        let paper = pages::on_paper(&[&exercise], pages::Sitting::default());
        assert!(
            !paper.contains("finds:")
                && paper.matches("<li>").count()
                    == exercise.key.reasons.len()
                        + exercise.key.fields.len()
                        + exercise.key.steps.len()
        );
        let blank = sheet::blank(&exercise.key, None);
        assert!(
            exercise
                .key
                .reasons
                .iter()
                .all(|reason| blank.contains(reason))
        );
        let schema: serde_json::Value =
            serde_json::from_str(&sheet::schema_for(&exercise.key)).expect("it is JSON");
        assert_eq!(
            schema["properties"]["exercise"]["const"],
            exercise.key.exercise.as_str()
        );
    }
}

/// One draw in which the faults do not stand beside each other says nothing of the next.
#[test]
fn a_draw_that_fails_once_is_drawn_again() {
    let sources = super::sources();
    let house = sources
        .iter()
        .find(|source| source.name.contains("open-vented-gravity"));
    for seed in 1..=8 {
        let options = Options {
            seed,
            faults: 5,
            decoys: 0,
            small_changes: 0,
            parts: vec!["drain".to_string()],
            own_house: Answer::No,
            ..Options::default()
        };
        let house = std::slice::from_ref(house.expect("it is among them"));
        let made = make(house, packs(), super::catalogue(), &options);
        assert!(made.is_ok(), "{seed}: {:?}", made.err());
    }
}

/// Of hard exercises in all kinds of houses, no fault comes more than three times as often as another that fits as many
/// of the houses.
#[test]
fn no_fault_comes_much_more_often_than_another() {
    let surveys = super::how_many(21, 100);
    let options = Options {
        seed: 32,
        surveys: usize::try_from(surveys).expect("a small number"),
        faults: 2,
        difficulty: Some(Difficulty::Hard),
        ..Options::default()
    };
    let made = make(&super::sources(), packs(), super::catalogue(), &options);
    let made = made.unwrap_or_else(|why| panic!("{}", why.says));
    // How many houses each fits, and how often it came.
    let mut counts: BTreeMap<&str, (usize, usize)> = BTreeMap::new();
    let faults = super::catalogue().faults.iter();
    let hard: Vec<_> = faults
        .filter(|fault| fault.difficulty() == Difficulty::Hard && !fault.raises.is_empty())
        .collect();
    for exercise in &made {
        let house = Look::at(Source::new("house", exercise.base.clone()), packs());
        for fault in &hard {
            let ways = plantings(fault, &house);
            let fits = ways.iter().any(|way| prove::alone(way, &house).is_ok());
            let came = exercise.key.faults.iter().any(|one| one.id == fault.id);
            let count = counts.entry(&fault.id).or_default();
            *count = (count.0 + usize::from(fits), count.1 + usize::from(came));
        }
    }
    println!("{counts:?}");
    for (one, (fits, came)) in &counts {
        let others = counts
            .iter()
            .filter(|(_, (other_fits, _))| other_fits >= fits);
        let rarest = others.map(|(_, (_, came))| *came).min().unwrap_or(0);
        assert!(
            *came <= 3 * rarest.max(1),
            "{one} came {came} times: {counts:?}"
        );
    }
}

/// Over a class faults come in turn, by the same seed in the same bytes, and whoever stands further down the list moves
/// nobody above.
#[test]
fn faults_come_in_turn_over_a_class() {
    let sources = super::sources();
    let base = sources.iter().find(|one| one.name.contains("heat-pump"));
    let base = base.expect("it is among them");
    let entries = course::read(&Source::new(
        "recipe",
        "- title: One\n  practises: turns\n  from: survey\n  draw: {seed: 5, faults: 1, decoys: 0, small_changes: 0, difficulty: hard}\n",
    ));
    let entries = entries.expect("it is a recipe");
    let model = course::one(&entries[0], 1, base, packs(), super::catalogue());
    let course = [(
        model.unwrap_or_else(|why| panic!("{}", why.says)),
        base.clone(),
    )];
    let of = |names: &[&str]| -> Vec<(String, Vec<String>)> {
        let class = course::of_class(&course, names, 4_718_203_659, packs(), super::catalogue());
        let class = class.unwrap_or_else(|why| panic!("{}", why.says));
        let paper = |own: Vec<course::Made>| {
            let exercise = &own[0].exercise;
            let faults = exercise.key.faults.iter().map(|fault| fault.id.clone());
            (exercise.survey.text.clone(), faults.collect())
        };
        class.into_iter().map(paper).collect()
    };
    let class = of(&["Ada", "Ben", "Cleo", "Dan"]);
    assert_eq!(class[..2], of(&["Ada", "Ben"]));
    let faults: BTreeSet<&String> = class.iter().flat_map(|(_, faults)| faults).collect();
    assert!(faults.len() >= 3, "{faults:?}");
}
