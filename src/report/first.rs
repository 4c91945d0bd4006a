//! What to do first, in three lines at most: where the eye is when a report has scrolled by.
//!
//! Contract: nothing is decided here. What makes the verdict comes first, in the order in which the report
//! tells it; what follows from another finding stays under that.

use super::line_numbers;
use super::open::{self, Asked};
use super::pen::closed;
use wetside_base::finding::{Class, Finding, Judgement, Outcome};
use wetside_base::source::{Source, Span};

/// How many are told.
const TOLD: usize = 3;

/// The things to do first.
pub fn things(source: &Source, judgement: &Judgement) -> Vec<String> {
    let broken = |class| {
        let all = judgement.findings.iter();
        let in_the_way = all.filter(|one| one.departure.is_none());
        in_the_way
            .filter(move |one| one.class == class && one.outcome == Outcome::Broken)
            .filter(|one| one.explained_by.is_none())
    };
    let (firm, rest): (Vec<_>, Vec<_>) = open::decisive(judgement)
        .into_iter()
        .partition(|asked| hazards(judgement, asked) > 0);
    let remedies = |class| broken(class).map(|one| remedy(source, one));
    let problems = judgement.problems.iter().map(|problem| {
        let says = match problem.help.as_str() {
            "" => problem.says.clone(),
            help => format!("{}; {help}", problem.says),
        };
        at(source, [problem.span], &says)
    });
    let asked = |asked: &Asked<'_>| find_out(source, asked);
    let gaps = open::beside(judgement);
    let gaps = gaps.iter().map(asked);
    let all = remedies(Class::Hazard)
        .chain(problems)
        .chain(firm.iter().map(asked))
        .chain(gaps)
        .chain(remedies(Class::Preparation))
        .chain(rest.iter().map(asked));
    let mut told: Vec<String> = Vec::new();
    for one in all {
        if told.len() < TOLD && !told.contains(&one) {
            told.push(one);
        }
    }
    told
}

/// How many undecided hazards wait for a fact.
pub(crate) fn hazards(judgement: &Judgement, asked: &Asked<'_>) -> usize {
    waiting(judgement, asked)
        .filter(|one| one.class == Class::Hazard)
        .count()
}

/// The findings that a fact could settle.
pub(crate) fn waiting<'a>(
    judgement: &'a Judgement,
    asked: &'a Asked<'_>,
) -> impl Iterator<Item = &'a Finding> {
    let undecided = judgement.findings.iter();
    let undecided = undecided.filter(|one| one.outcome == Outcome::Undecided);
    undecided.filter(|one| asked.rules.contains(&one.rule.as_str()))
}

fn remedy(source: &Source, finding: &Finding) -> String {
    let (first, others) = finding.split();
    // What to do elsewhere is told with the finding where it is something else.
    let alike = others.iter().filter(|on| on.remedy == first.remedy);
    let places = [first].into_iter().chain(alike).map(|on| on.place);
    at(source, places, &first.remedy)
}

fn find_out(source: &Source, asked: &Asked<'_>) -> String {
    let named = asked.named();
    let says = match asked.answers {
        "" => format!("find out which is right: {named}"),
        answers => format!("find out {named}: {answers}"),
    };
    at(source, asked.spans.iter().copied(), &says)
}

fn at(source: &Source, places: impl IntoIterator<Item = Span>, says: &str) -> String {
    let lines = line_numbers::told(source, places).unwrap_or_default();
    closed(&format!("{}: {says}", lines.replacen('l', "L", 1)))
}
