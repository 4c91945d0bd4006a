//! The ready course among the examples is what its options make, and its keys are true.
//!
//! `examples/course/trainer/course.yaml` says how each exercise is made. Everything else in those folders is
//! made from it:
//! `WETSIDE_WRITE_COURSE=1 cargo test --test it ready_course`.

use super::{catalogue, proved_again};
use crate::examples::packs;
use serde::Deserialize;
use std::collections::BTreeMap;
use std::fs;
use std::path::PathBuf;
use std::sync::OnceLock;
use wetside_base::source::Source;
use wetside_trainer::key::KeyFinding;
use wetside_trainer::{
    Difficulty, Exercise, Recipe, by_hand, make, page, read_key, sheet, write_key,
};

/// How one exercise of the course is made.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Entry {
    title: String,
    practises: String,
    from: String,
    by_hand: Option<ByHand>,
    #[serde(default)]
    seed: u64,
    #[serde(default)]
    faults: usize,
    #[serde(default)]
    decoys: usize,
    difficulty: Option<String>,
    #[serde(default)]
    parts: Vec<String>,
    #[serde(default)]
    fault_free: String,
    #[serde(default)]
    without_comments: String,
}

/// An exercise that was written by hand, as its changes of the clean survey.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct ByHand {
    file: String,
    note: String,
    changes: Vec<Change>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Change {
    below: Option<String>,
    was: String,
    is: String,
    finds: Option<String>,
}

impl ByHand {
    /// The survey as its author wrote it, with its marks.
    fn marked(&self, base: &Source) -> Source {
        let mut lines: Vec<String> = base.text.lines().map(str::to_string).collect();
        for change in &self.changes {
            let from = match &change.below {
                None => 0,
                Some(below) => lines
                    .iter()
                    .position(|line| line.contains(below))
                    .unwrap_or_else(|| panic!("no line of {} holds `{below}`", base.name)),
            };
            let line = lines[from..]
                .iter_mut()
                .find(|line| line.contains(&change.was))
                .unwrap_or_else(|| panic!("no line of {} holds `{}`", base.name, change.was));
            *line = line.replacen(&change.was, &change.is, 1);
            if let Some(rule) = &change.finds {
                line.push_str(&format!("   # finds: {rule}"));
            }
        }
        let verdict = lines
            .iter_mut()
            .find(|line| line.starts_with("# verdict:"))
            .expect("an example says its verdict");
        *verdict = format!("# verdict: do not start\n# trainer: {}", self.note);
        Source::new(self.file.clone(), format!("{}\n", lines.join("\n")))
    }
}

impl Entry {
    fn base(&self) -> Source {
        let path = folder().join("..").join(&self.from);
        let text =
            fs::read_to_string(&path).unwrap_or_else(|error| panic!("{}: {error}", path.display()));
        Source::new(self.from.clone(), text)
    }

    fn made(&self) -> Exercise {
        let base = self.base();
        if let Some(hand) = &self.by_hand {
            let made = by_hand(&hand.marked(&base), &base, packs())
                .unwrap_or_else(|problems| panic!("{}: {problems:#?}", hand.file));
            assert_eq!(made.parts.len(), hand.changes.len(), "{}", hand.file);
            return made;
        }
        let level = |word: &String| Difficulty::named(word).expect("a known difficulty");
        let recipe = Recipe {
            seed: self.seed,
            faults: self.faults,
            decoys: self.decoys,
            difficulty: self.difficulty.as_ref().map(level),
            parts: self.parts.clone(),
            fault_free: if self.fault_free == "yes" { 100 } else { 0 },
            comments: self.without_comments != "yes",
            ..Recipe::default()
        };
        let made = make(&base, packs(), catalogue(), &recipe);
        let mut made = made.unwrap_or_else(|why| panic!("{}: {why:?}", self.title));
        made.remove(0)
    }
}

fn folder() -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("examples/course")
}

/// The exercises of the course, each with what its options say.
fn course() -> &'static [(Entry, Exercise)] {
    static COURSE: OnceLock<Vec<(Entry, Exercise)>> = OnceLock::new();
    COURSE.get_or_init(|| {
        let text = fs::read_to_string(folder().join("trainer/course.yaml")).expect("it is there");
        let entries: Vec<Entry> = serde_yaml::from_str(&text).expect("it is well formed");
        let made = |(number, entry): (usize, Entry)| {
            let mut exercise = entry.made();
            exercise.number = number;
            (entry, exercise)
        };
        (1..).zip(entries).map(made).collect()
    })
}

/// Every file that is made, by its path in the folder.
fn files() -> BTreeMap<String, String> {
    let mut files = BTreeMap::new();
    for (_, exercise) in course() {
        let name = format!("exercise-{:02}", exercise.number);
        let key = &exercise.key;
        for (path, text) in [
            (
                format!("trainees/{name}.yaml"),
                exercise.survey.text.clone(),
            ),
            (format!("trainees/{name}-answers.yaml"), sheet::blank(key)),
            (
                format!("trainees/{name}-answers.schema.json"),
                sheet::schema_for(key),
            ),
            (format!("trainees/{name}.html"), page::on_paper(exercise)),
            (format!("trainer/{name}-key.yaml"), write_key(key)),
        ] {
            files.insert(path, text);
        }
    }
    for (entry, _) in course() {
        if let Some(hand) = &entry.by_hand {
            let path = format!("trainer/by-hand/{}", hand.file);
            files.insert(path, hand.marked(&entry.base()).text);
        }
    }
    files.insert("trainer/contents.md".to_string(), contents());
    files.insert("trainer/worked/ann.yaml".to_string(), worked_sheet());
    files
}

/// The trainer's table of contents: what stands where, and why.
fn contents() -> String {
    let mut page = String::from(
        "# What the exercises hold\n\nFor the trainer only. Lines are those of the trainee's survey.\n",
    );
    for (entry, exercise) in course() {
        let key = &exercise.key;
        let how = match (&entry.by_hand, &entry.difficulty) {
            (Some(_), _) => "written by hand",
            (None, Some(level)) => level,
            (None, None) => "of any difficulty",
        };
        page.push_str(&format!(
            "\n## {}. {}\n\nPractises {}. From `{}`, {how}.\n\n",
            exercise.number, entry.title, entry.practises, key.made_from
        ));
        if key.faults.is_empty() {
            page.push_str("- No fault: the survey is clear.\n");
        }
        for fault in &key.faults {
            let raised: Vec<String> = fault.findings.iter().map(raised).collect();
            page.push_str(&format!("- {}: {}\n", fault.title, raised.join("; ")));
        }
        for decoy in &key.decoys {
            page.push_str(&format!(
                "- Looks wrong and is right, line {}: {} ({})\n",
                decoy
                    .lines
                    .iter()
                    .map(usize::to_string)
                    .collect::<Vec<_>>()
                    .join(", "),
                decoy.title,
                decoy.because
            ));
        }
    }
    page
}

/// The sheet that the trainer's guide marks: the first exercise, with the right thing under another class,
/// and one thing that is not so.
fn worked_sheet() -> String {
    let exercise = &course()[0].1;
    let line = |words: &str| {
        let text = &exercise.survey.text;
        let at = text.find(words).expect("the survey says so");
        exercise
            .survey
            .line_of(u32::try_from(at).expect("a short survey"))
    };
    let claims = format!(
        "claims:
  - {{line: {}, class: preparation, reason: a supply has not been proved dead}}
  - {{line: {}, class: hazard, reason: \"an air gap is recorded, but the fill hose ends below the rim\"}}",
        line("cylinder immersion"),
        line("air_gap:"),
    );
    sheet::blank(&exercise.key)
        .replace("trainee: to be filled in", "trainee: Ann")
        .replace("verdict: to be filled in", "verdict: do not start")
        .replace("\nclaims: []", &format!("\n{claims}"))
}

fn raised(finding: &KeyFinding) -> String {
    match finding {
        KeyFinding::Rule { rule, line, .. } => format!("line {line}, `{rule}`"),
        KeyFinding::Missing { fact, line } => format!("near line {line}, `{fact}` is missing"),
    }
}

#[test]
fn the_ready_course_is_what_its_options_make() {
    let write = std::env::var_os("WETSIDE_WRITE_COURSE").is_some_and(|value| value == "1");
    let files = files();
    let mut wrong = Vec::new();
    for part in ["trainees", "trainer", "trainer/by-hand", "trainer/worked"] {
        let folder = folder().join(part);
        fs::create_dir_all(&folder).expect("it can be made");
        for entry in fs::read_dir(&folder).expect("it can be listed") {
            let name = entry.expect("it can be listed").file_name();
            let path = format!("{part}/{}", name.to_string_lossy());
            let own = ["course.yaml", "by-hand", "worked"]
                .map(|own| format!("trainer/{own}"))
                .contains(&path);
            if !own && !files.contains_key(&path) {
                wrong.push(format!("{path} belongs to no exercise"));
                if write {
                    fs::remove_file(self::folder().join(&path)).expect("it can go");
                }
            }
        }
    }
    for (path, text) in &files {
        let place = folder().join(path);
        if write {
            fs::write(&place, text).expect("it can be written");
        } else if fs::read_to_string(&place).ok().as_ref() != Some(text) {
            wrong.push(format!("{path} is not what its options make"));
        }
    }
    assert!(
        write || wrong.is_empty(),
        "make the course again: WETSIDE_WRITE_COURSE=1 cargo test --test it ready_course\n{}",
        wrong.join("\n")
    );
}

#[test]
fn the_ready_course_has_true_keys() {
    let mut free = 0;
    for (entry, exercise) in course() {
        proved_again(exercise);
        let key = &exercise.key;
        let back = read_key(&Source::new("key", write_key(key))).expect("it is a key");
        assert_eq!(&back, key, "{}", entry.title);
        let marked = super::course::answered(exercise, "Key", 1, "");
        assert_eq!(marked.score.0, marked.score.1, "{}", entry.title);
        free += usize::from(key.faults.is_empty());
    }
    // Where every survey has something, trainees learn that there is always something.
    let of = course().len();
    assert!(
        of >= 10 && (2 * of..=3 * of).contains(&(10 * free)),
        "{free} of {of}"
    );
}

/// The guide publishes the table of marks as it stands beside the code that marks.
#[test]
fn the_guide_publishes_the_table_of_marks() {
    let root = PathBuf::from(env!("CARGO_MANIFEST_DIR"));
    let read = |path: &str| fs::read_to_string(root.join(path)).expect("it is there");
    let code = read("src/trainer/mark.rs");
    let table: Vec<&str> = code
        .lines()
        .filter_map(|line| line.strip_prefix("//! "))
        .filter(|line| line.starts_with('|'))
        .collect();
    assert!(table.len() > 8);
    let table = table.join("\n");
    assert!(
        read("docs/trainers-guide.md").contains(&table),
        "the guide must have this table:\n{table}"
    );
}

/// Whoever names the wrong clean survey hears that, and not what follows from it.
#[test]
fn the_wrong_clean_survey_is_one_problem() {
    let entry = &course()[0].0;
    let marked = entry.by_hand.as_ref().expect("it is").marked(&entry.base());
    let other = course()[1].0.base();
    let problems = by_hand(&marked, &other, packs()).expect_err("they have little in common");
    assert_eq!(problems.len(), 1, "{problems:#?}");
    assert_eq!(problems[0].kind, "too-many-changes");
}
