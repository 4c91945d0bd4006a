//! Somebody who knows nothing of heating, and lays the surveys of one batch beside one another.

use super::{bases, catalogue, how_many, make_from, sources};
use crate::examples::packs;
use std::collections::{BTreeMap, BTreeSet};
use wetside_base::source::Source;
use wetside_document::Node;
use wetside_trainer::{Answer, Exercise, Options, make};

/// The values of a survey, each with its path and its line; things of lists are not told apart.
type Values = Vec<(String, String, usize)>;

fn values(source: &Source) -> Values {
    fn below(source: &Source, node: &Node, path: &str, all: &mut Values) {
        for entry in node.entries() {
            below(
                source,
                &entry.value,
                &format!("{path}.{}", entry.key.text),
                all,
            );
        }
        for item in node.items() {
            below(source, item, path, all);
        }
        if let Some(text) = node.as_text() {
            all.push((
                path.to_string(),
                text.to_string(),
                source.line_of(node.span.start),
            ));
        }
    }
    let mut all = Vec::new();
    below(source, &wetside_document::read(source).root, "", &mut all);
    all
}

/// The fields that a survey has, and each with its values.
type Fields<'v> = (BTreeSet<&'v str>, BTreeSet<(&'v str, &'v str)>);

/// How many faults stand on the lines that are named, as many lines as there are faults: those whose values stand
/// least often in the others that have the field. Numbers differ everywhere, so that it may pay to look at words alone.
fn found(batch: &[Exercise], words_alone: bool) -> (usize, usize) {
    let surveys: Vec<Values> = batch.iter().map(|one| values(&one.survey)).collect();
    let (mut hits, mut all) = (0, 0);
    for (at, exercise) in batch.iter().enumerate() {
        let others = surveys.iter().enumerate().filter(|(other, _)| *other != at);
        let others: Vec<Fields<'_>> = others
            .map(|(_, values)| {
                let paths = values.iter().map(|(path, ..)| path.as_str()).collect();
                let pairs = values
                    .iter()
                    .map(|(path, value, _)| (path.as_str(), value.as_str()));
                (paths, pairs.collect())
            })
            .collect();
        let mut odd: BTreeMap<usize, usize> = BTreeMap::new();
        for (path, value, line) in &surveys[at] {
            if words_alone && value.starts_with(|sign: char| sign.is_ascii_digit()) {
                continue;
            }
            let has = others
                .iter()
                .filter(|(paths, _)| paths.contains(path.as_str()))
                .count();
            let same = others
                .iter()
                .filter(|(_, pairs)| pairs.contains(&(path.as_str(), value.as_str())))
                .count();
            // Of the same share the one that more surveys have is the odder.
            let score = (has - same) * 10_000 / has.max(1) + has;
            let odd = odd.entry(*line).or_default();
            *odd = score.max(*odd);
        }
        let faults = &exercise.key.faults;
        let mut lines: Vec<(usize, usize)> =
            odd.into_iter().map(|(line, odd)| (odd, line)).collect();
        lines.sort_unstable_by(|a, b| b.cmp(a));
        let named: Vec<usize> = lines
            .iter()
            .take(faults.len())
            .map(|(_, line)| *line)
            .collect();
        hits += faults
            .iter()
            .filter(|fault| fault.lines.iter().any(|line| named.contains(line)))
            .count();
        all += faults.len();
    }
    (hits, all)
}

/// Of a hundred faults so many may be found by comparison, as many as would be named by luck among some thirty lines.
const MOST_FOUND: usize = 10;

/// With houses of their own and words that sound houses share, comparison finds next to nothing; in one house nearly all.
#[test]
fn houses_of_their_own_keep_a_comparison_from_finding_the_faults() {
    let options = |own_house, surveys| Options {
        seed: 1234,
        surveys: usize::try_from(how_many(surveys, 10 * surveys)).expect("a small number"),
        own_house,
        common_words: own_house,
        ..Options::default()
    };
    let own = make(&sources(), packs(), catalogue(), &options(Answer::Yes, 24));
    let own = own.unwrap_or_else(|why| panic!("{}", why.says));
    let same = make_from(&bases()[1], &options(Answer::No, 12));
    let same = same.unwrap_or_else(|why| panic!("{}", why.says));
    for words_alone in [false, true] {
        let ((hits, of), (before, of_before)) =
            (found(&own, words_alone), found(&same, words_alone));
        println!("words alone {words_alone}: {hits} of {of}; in one house {before} of {of_before}");
        let most = of * MOST_FOUND / 100;
        assert!(hits <= most, "{hits} of {of} are found by comparison");
        assert!(before * of > 3 * hits * of_before / 2, "houses do not help");
    }
}
