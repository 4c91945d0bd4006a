//! What the author of a survey wrote on its lines, against what is found there.

use crate::survey::look::Look;
use crate::survey::text;
use std::collections::BTreeSet;
use wetside_base::finding::Verdict;
use wetside_base::problem::Problem;
use wetside_base::source::{Source, Span};
use wetside_base::suggest;
use wetside_engine::check::Packs;
use wetside_engine::expectations::{self, Expectation, Sort};

/// Everything that is expected and not found, or found and not expected; `look` is at the trainee's copy.
pub(super) fn problems(written: &Source, look: &Look<'_>) -> Vec<Problem> {
    let mut problems = wrong_expectations(written, look);
    problems.extend(wrong_verdict(written, look));
    problems
}

/// Expectations that are not found, and findings that were not expected.
fn wrong_expectations(written: &Source, look: &Look<'_>) -> Vec<Problem> {
    let (kept, places) = kept_lines(written);
    let announced: BTreeSet<Expectation> = expectations::announced(written)
        .all
        .into_iter()
        .map(|expected| Expectation {
            line: kept[expected.line - 1],
            ..expected
        })
        .collect();
    let found: BTreeSet<Expectation> = expectations::found(&look.source, &look.judgement)
        .all
        .into_iter()
        .collect();
    let at = |expected: &Expectation| {
        let line = places
            .get(expected.line.saturating_sub(1))
            .copied()
            .unwrap_or(1);
        written.line_span(line)
    };
    let untrue = announced.difference(&found).map(|expected| {
        if let Some(stranger) = stranger(expected, at(expected), look.packs) {
            return stranger;
        }
        let says = format!(
            "`{}: {}` is expected here, and it is not found on this line",
            expected.sort.word(),
            expected.name
        );
        Problem::new(
            "not-found",
            at(expected),
            says,
            "mend the line or the expectation",
        )
    });
    let unexpected = found.difference(&announced).map(|expected| {
        let says = format!(
            "`{}` is found on this line, and nothing there says so",
            expected.name
        );
        let help = format!(
            "write `# {}: {}` at the end of the line, or mend the line",
            expected.sort.word(),
            expected.name
        );
        Problem::new("not-expected", at(expected), says, help)
    });
    untrue.chain(unexpected).collect()
}

/// An expectation that names no rule.
fn stranger(expected: &Expectation, at: Span, packs: &Packs) -> Option<Problem> {
    let rules = || packs.packs.iter().flat_map(|pack| &pack.rules);
    let of_a_rule = matches!(expected.sort, Sort::Finds | Sort::Undecided);
    if !of_a_rule || rules().any(|rule| rule.id == expected.name) {
        return None;
    }
    let says = format!("there is no rule `{}`", expected.name);
    let ids = rules().map(|rule| rule.id.as_str());
    let help = suggest::help(&expected.name, ids, "`wetside rules` lists all rules");
    Some(Problem::new("unknown-rule", at, says, help))
}

/// What stands near the top as the verdict, where that is not what the survey comes to.
fn wrong_verdict(survey: &Source, look: &Look<'_>) -> Option<Problem> {
    let (line, written) = expectations::verdict_line(survey)?;
    let comes_to = look.judgement.verdict;
    let not_yet = matches!(comes_to, Verdict::Prepare | Verdict::FindOut);
    if written == comes_to.words() || not_yet && written == "not yet" {
        return None;
    }
    let says =
        format!("`verdict: {written}` is expected here, and the survey comes to `{comes_to}`");
    let help = format!("write `# verdict: {comes_to}`, or mend the survey");
    let at = survey.line_span(line);
    Some(Problem::new("not-the-verdict", at, says, help))
}

/// For each line of the written survey its line in the trainee's, and the way back.
pub(super) fn kept_lines(written: &Source) -> (Vec<usize>, Vec<usize>) {
    let (mut kept, mut places) = (Vec::new(), Vec::new());
    for line in 1..=written.line_count() {
        kept.push(places.len() + 1);
        if !text::is_only_for_trainers(written.slice(written.line_span(line))) {
            places.push(line);
        }
    }
    (kept, places)
}
