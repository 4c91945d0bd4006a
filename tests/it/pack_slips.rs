//! One slip in a file of a pack gives one problem, at its line.

use wetside_engine::check::Packs;
use wetside_engine::pack::{PackFiles, PackProblem, load};

/// Twenty rules of the built-in pack, from all over it.
fn rules() -> Vec<(String, String)> {
    let rules: Vec<_> = wetside_rules::files()
        .files
        .into_iter()
        .filter(|(path, _)| path != "pack.yaml" && !path.starts_with("tables/"))
        // What is linked with other rules is faulty where those are missing.
        .filter(|(_, text)| !text.contains("\nexplains:") && !text.contains("\ncomes_before:"))
        .collect();
    let step = rules.len() / 20;
    let spread = rules.into_iter().step_by(step).take(20);
    spread
        .map(|(path, text)| (path, text.into_owned()))
        .collect()
}

/// A rule stays sound without these, where their whole value goes with them.
const MAY_BE_LEFT_OUT: [&str; 5] = ["until", "when", "point_at", "caution", "moves"];

#[test]
fn a_lost_heading_gives_one_problem_at_its_line() {
    let vocabulary = Packs::none().vocabulary;
    let files = wetside_rules::files().files;
    let shared = |path: &str| path == "pack.yaml" || path.starts_with("tables/");
    let shared: Vec<_> = files
        .into_iter()
        .filter(|(path, _)| shared(path))
        .map(|(path, text)| match path.as_str() {
            "pack.yaml" => (path, crate::examples::unlocked(&text).into()),
            _ => (path, text),
        })
        .collect();
    let (mut tried, mut wrong) = (0, Vec::new());
    for (path, text) in rules() {
        let lines: Vec<&str> = text.lines().collect();
        for (at, line) in lines.iter().enumerate() {
            let Some((key, _)) = line.split_once(':').filter(|_| !line.starts_with(' ')) else {
                continue;
            };
            let slip = [&lines[..at], &lines[at + 1..]].concat().join("\n");
            let files = PackFiles {
                name: "pack".to_string(),
                files: [&shared[..], &[(path.clone(), slip.into())]].concat(),
            };
            let (_, problems) = load(&files, &vocabulary);
            let goes_on = lines.get(at + 1).is_some_and(|next| next.starts_with(' '));
            if !goes_on && MAY_BE_LEFT_OUT.contains(&key) {
                assert_eq!(problems.len(), 0, "{path} without {key}: {problems:#?}");
                continue;
            }
            // What stood below tells the line; of a key that is gone with all it held, no line is left.
            // What is set in below a text of several lines goes on with that text.
            let swallowed = lines[..at]
                .last()
                .is_some_and(|before| before.starts_with(' '));
            let below = |line: usize| line == at + 1 || swallowed && line == 1;
            let right =
                |line: usize| key == "for_each" || if goes_on { below(line) } else { line == 1 };
            let told = |wrong: &PackProblem| {
                let line = wrong.source.line_of(wrong.problem.span.start);
                right(line) && (wrong.problem.says.contains(key) || key == "for_each")
            };
            tried += 1;
            if problems.len() != 1 || !problems.iter().all(told) {
                wrong.push(format!(
                    "{path} without line {} `{line}`: {problems:#?}",
                    at + 1
                ));
            }
        }
    }
    assert!(tried > 150, "only {tried} were tried");
    assert!(
        wrong.len() * 20 <= tried,
        "{} of {tried}: {}",
        wrong.len(),
        wrong.join("\n")
    );
}
