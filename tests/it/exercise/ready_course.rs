//! The ready course is made from its recipe, and its keys are true.

use super::commands::{folder, run, said};
use super::{catalogue, proved_again};
use crate::examples::packs;
use std::fs;
use std::path::PathBuf;
use std::sync::OnceLock;
use wetside_base::source::Source;
use wetside_trainer::course::{self, Entry, Made};
use wetside_trainer::{by_hand, read_key, write_key};

const RECIPE: &str = "examples/course/recipe.yaml";

fn root() -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR"))
}

fn recipe() -> Vec<Entry> {
    let text = fs::read_to_string(root().join(RECIPE)).expect("it is there");
    let read = course::read(&Source::new(RECIPE, text));
    read.unwrap_or_else(|problems| panic!("{problems:#?}"))
}

fn base(entry: &Entry) -> Source {
    let path = root().join("examples/course").join(&entry.from);
    let text =
        fs::read_to_string(&path).unwrap_or_else(|error| panic!("{}: {error}", path.display()));
    Source::new(entry.from.clone(), text)
}

fn course() -> &'static [Made] {
    static COURSE: OnceLock<Vec<Made>> = OnceLock::new();
    COURSE.get_or_init(|| {
        let one = |(number, entry): (usize, Entry)| {
            course::one(&entry, number, &base(&entry), packs(), catalogue())
                .unwrap_or_else(|why| panic!("{}: {why:?}", entry.title))
        };
        (1..).zip(recipe()).map(one).collect()
    })
}

/// One command writes the whole course: for each exercise what the library makes of its recipe.
#[test]
fn the_ready_course_is_made_by_one_command() {
    let folder = folder("ready-course");
    let recipe = root().join(RECIPE);
    let recipe = recipe.to_str().expect("a plain path");
    let command = ["exercise", "course", recipe, "--into", "course"];
    let made = run(&folder, &command);
    assert_eq!(made.status.code(), Some(0), "{}", said(&made));
    let again = run(&folder, &command);
    assert_eq!(again.status.code(), Some(2), "nothing is written over");
    let read = |path: &str| {
        let path = folder.join("course").join(path);
        fs::read_to_string(&path).unwrap_or_else(|error| panic!("{}: {error}", path.display()))
    };
    let contents = read("trainer/contents.md");
    for made in course() {
        let (number, key) = (made.exercise.number, &made.exercise.key);
        let survey = read(&format!("trainees/exercise-{number:02}.yaml"));
        assert_eq!(survey, made.exercise.survey.text, "{number}");
        let written = Source::new(
            "key",
            read(&format!("trainer/exercise-{number:02}-key.yaml")),
        );
        assert_eq!(read_key(&written).as_ref(), Ok(key), "{number}");
        for ending in ["-answers.yaml", "-answers.schema.json", ".html"] {
            assert!(!read(&format!("trainees/exercise-{number:02}{ending}")).is_empty());
        }
        assert!(contents.contains(&format!("## {number}. {}", made.entry.title)));
        if let Some(by_hand) = &made.written {
            assert_eq!(
                read(&format!("trainer/by-hand/{}", by_hand.name)),
                by_hand.text
            );
        }
    }
    assert!(read("trainer/worked/exercise-01-answers.yaml").contains("trainee: Ann"));
}

#[test]
fn the_ready_course_has_true_keys() {
    let mut free = 0;
    for made in course() {
        let (title, exercise) = (&made.entry.title, &made.exercise);
        proved_again(exercise);
        let key = &exercise.key;
        let back = read_key(&Source::new("key", write_key(key))).expect("it is a key");
        assert_eq!(&back, key, "{title}");
        if let Some(hand) = &made.entry.by_hand {
            assert_eq!(exercise.parts.len(), hand.changes.len(), "{title}");
        }
        let marked = super::course::answered(exercise, "Key", 1, "");
        assert_eq!(marked.score.0, marked.score.1, "{title}: {marked:#?}");
        free += usize::from(key.faults.is_empty());
    }
    // Where every survey has something, trainees learn that there is always something.
    let of = course().len();
    assert!(
        of >= 10 && (2 * of..=3 * of).contains(&(10 * free)),
        "{free} of {of}"
    );
}

/// Whoever names the wrong clean survey hears that, and not what follows from it.
#[test]
fn the_wrong_clean_survey_is_one_problem() {
    let marked = course()[0].written.as_ref().expect("it is by hand");
    let other = base(&course()[1].entry);
    let problems = by_hand(marked, &other, packs()).expect_err("they have little in common");
    assert_eq!(problems.len(), 1, "{problems:#?}");
    assert_eq!(problems[0].kind, "too-many-changes");
}

/// A recipe that names words which are not there is refused with the exercise, and nothing is written.
#[test]
fn a_recipe_that_cannot_be_followed_is_told() {
    let folder = folder("no-course");
    let recipe = fs::read_to_string(root().join(RECIPE)).expect("it is there");
    let from = format!("from: {}/examples/", root().display());
    let recipe = recipe
        .replace("from: ../../", "from: ../")
        .replace("from: ../", &from);
    for (was, is, code, says) in [
        (
            "was: \"proved_dead: yes\"",
            "was: no such words",
            2,
            "`A first look`: no line of",
        ),
        ("title: A first look", "tittle: A first look", 20, "tittle"),
        (
            "parts: [water-supply, drain]",
            "parts: [water]",
            2,
            "no fault of a part `water`",
        ),
        (
            "on: cylinder immersion",
            "on: nothing",
            2,
            "no line of the exercise holds",
        ),
    ] {
        assert!(recipe.contains(was), "{was}");
        fs::write(folder.join("recipe.yaml"), recipe.replacen(was, is, 1))
            .expect("it can be written");
        let output = run(
            &folder,
            &["exercise", "course", "recipe.yaml", "--into", "course"],
        );
        assert_eq!(output.status.code(), Some(code), "{}", said(&output));
        let told = said(&output)
            .split_whitespace()
            .collect::<Vec<_>>()
            .join(" ");
        assert!(told.contains(says), "{told}");
        assert!(!folder.join("course").exists());
    }
}
