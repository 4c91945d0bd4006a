//! Expectations written as comments on the lines of a survey.
//!
//! A survey that is to show something says so itself: `# finds: rule-id` stands at the end of the
//! line where the finding must land, `# undecided:`, `# problem:` and `# gap:` likewise, and a line
//! `# verdict: do not start` near the top names the verdict. Several of one sort are parted by
//! commas, several sorts by another `#`.
//!
//! Contract: a scan of lines, so that a survey that cannot be read still says what is expected of it.
//! This module must not know rules.

use wetside_base::finding::{Judgement, Outcome, Verdict};
use wetside_base::source::Source;

/// One thing that is expected, or was found, on one line.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Expectation {
    pub line: usize,
    pub sort: Sort,
    /// The rule's id, the kind of problem, or the fact.
    pub name: String,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Sort {
    Finds,
    Undecided,
    Problem,
    Gap,
}

impl Sort {
    const ALL: [Sort; 4] = [Sort::Finds, Sort::Undecided, Sort::Problem, Sort::Gap];

    pub fn word(self) -> &'static str {
        match self {
            Sort::Finds => "finds",
            Sort::Undecided => "undecided",
            Sort::Problem => "problem",
            Sort::Gap => "gap",
        }
    }
}

/// What the comments of a survey announce.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Expectations {
    pub verdict: Option<Verdict>,
    /// In the order of the lines.
    pub all: Vec<Expectation>,
}

/// The expectations in the comments of a survey.
pub fn announced(source: &Source) -> Expectations {
    let mut announced = Expectations::default();
    for (line, text) in (1..).zip(source.text.lines()) {
        for comment in text.split('#').skip(1) {
            let Some((word, rest)) = comment.trim().split_once(':') else {
                continue;
            };
            if word == "verdict" {
                announced.verdict = Verdict::named(rest.trim());
            }
            let Some(sort) = Sort::ALL.into_iter().find(|sort| sort.word() == word) else {
                continue;
            };
            let names = rest.split(',').map(|name| name.trim().to_string());
            announced
                .all
                .extend(names.map(|name| Expectation { line, sort, name }));
        }
    }
    announced.all.sort();
    announced.all.dedup();
    announced
}

/// The line that names the verdict, and the words that stand there.
pub fn verdict_line(source: &Source) -> Option<(usize, &str)> {
    (1..).zip(source.text.lines()).find_map(|(line, text)| {
        let comments = text.split('#').skip(1);
        let mut words = comments.filter_map(|comment| comment.trim().strip_prefix("verdict:"));
        words.next().map(|words| (line, words.trim()))
    })
}

/// The expectations that a judgement would have met.
pub fn found(source: &Source, judgement: &Judgement) -> Expectations {
    let expected = |at: wetside_base::source::Span, sort, name: &str| Expectation {
        line: source.line_of(at.start),
        sort,
        name: name.to_string(),
    };
    let findings = judgement.findings.iter().map(|finding| {
        let sort = match finding.outcome {
            Outcome::Broken => Sort::Finds,
            Outcome::Undecided | Outcome::Met | Outcome::NotApplicable => Sort::Undecided,
        };
        expected(finding.place, sort, &finding.rule)
    });
    let problems = judgement.problems.iter();
    let problems = problems.map(|problem| expected(problem.span, Sort::Problem, problem.kind));
    let gaps = judgement
        .gaps
        .iter()
        .map(|gap| expected(gap.span, Sort::Gap, &gap.fact));
    let mut all: Vec<Expectation> = findings.chain(problems).chain(gaps).collect();
    all.sort();
    all.dedup();
    Expectations {
        verdict: Some(judgement.verdict),
        all,
    }
}
