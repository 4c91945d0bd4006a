//! The report for people: the verdict first, then everything that it rests on.
//!
//! Contract: no part is left out for being long; a part without content has no heading. The order is
//! that of use: may I start, is the file itself sound, what stands in the way, what is not known, what
//! comes later, how much was judged, the caution; and the verdict once more, with what to do first.

use super::pen::{Ink, Pen, number, row};
use super::{Style, finding, open, problems, verdict};
use std::cmp::Reverse;
use std::collections::BTreeMap;
use wetside_base::finding::{Judgement, Outcome, Stage, Verdict};
use wetside_base::source::Source;

pub use finding::cited;

/// The report on one survey.
pub fn survey(source: &Source, judgement: &Judgement, style: &Style) -> String {
    let mut pen = Pen::new(*style);
    verdict::head(&mut pen, source, judgement);
    problems::of_survey(&mut pen, source, &judgement.problems);
    problems::of_departures(&mut pen, judgement.beside.as_ref());
    finding::findings(&mut pen, source, &judgement.findings);
    open::gaps(&mut pen, source, judgement);
    open::questions(&mut pen, source, judgement);
    open::read_as(&mut pen, source, judgement);
    open::unlikely(&mut pen, source, judgement);
    open::ahead(&mut pen, source, &judgement.ahead);
    pen.heading("count", '.', Ink::Strong);
    verdict::count(&mut pen, judgement);
    verdict::foot(&mut pen, source, judgement);
    pen.finish()
}

/// How one survey is reported: [`survey`], or in short [`super::brief::survey`].
pub type Form = fn(&Source, &Judgement, &Style) -> String;

/// The reports on several surveys, one after the other, and one line for each at the end.
pub fn surveys(judged: &[(Source, Judgement)], form: Form, style: &Style) -> String {
    let mut pen = Pen::new(*style);
    for (source, judgement) in judged {
        if judged.len() > 1 {
            pen.title(&source.name, '#', Ink::Strong);
        }
        pen.add(&form(source, judgement, style));
        pen.gap();
    }
    if judged.len() > 1 {
        pen.heading(&number(judged.len(), "survey", "surveys"), '#', Ink::Strong);
        list(&mut pen, judged);
    }
    pen.finish()
}

/// One line for each survey, for those who read the reports elsewhere.
pub fn verdicts(judged: &[(Source, Judgement)], style: &Style) -> String {
    let mut pen = Pen::new(*style);
    list(&mut pen, judged);
    pen.finish()
}

fn list(pen: &mut Pen, judged: &[(Source, Judgement)]) {
    for (source, judgement) in judged {
        pen.entry(0, &source.name, &verdict::headline(judgement));
    }
    if judged.len() > 1 {
        let mut summary = Summary::default();
        judged.iter().for_each(|(_, one)| summary.add(one));
        summary.page(pen);
    }
}

/// So many rules are told.
const MOST_RULES: usize = 5;

/// What many surveys come to together: how many of each verdict, and which rules were found most often. It holds counts
/// alone, so that there may be any number of surveys.
#[derive(Default)]
pub struct Summary {
    verdicts: BTreeMap<(Reverse<Verdict>, Stage), usize>,
    /// In how many surveys a rule is broken.
    broken: BTreeMap<String, usize>,
}

impl Summary {
    pub fn add(&mut self, judgement: &Judgement) {
        let key = (Reverse(judgement.verdict), judgement.stage);
        *self.verdicts.entry(key).or_default() += 1;
        let broken = |outcome| outcome == Outcome::Broken;
        for finding in judgement.findings.iter().filter(|one| broken(one.outcome)) {
            *self.broken.entry(finding.rule.clone()).or_default() += 1;
        }
    }

    /// How many of each verdict, the worst first, in the words of their stages; and the rules that most surveys
    /// break.
    pub fn page(&self, pen: &mut Pen) {
        let mut counted: Vec<(String, usize)> = Vec::new();
        for ((Reverse(verdict), stage), count) in &self.verdicts {
            let words = verdict.at(*stage);
            match counted.iter_mut().find(|(one, _)| *one == words) {
                Some((_, all)) => *all += count,
                None => counted.push((words, *count)),
            }
        }
        let parts = counted
            .iter()
            .map(|(words, count)| format!("{count} {words}"));
        let parts: Vec<String> = parts.collect();
        if parts.is_empty() {
            return;
        }
        pen.gap();
        pen.paragraph(0, &format!("In all: {}.", row(&parts)));
        let mut most: Vec<_> = self
            .broken
            .iter()
            .filter(|(_, count)| **count > 1)
            .collect();
        most.sort_by_key(|(rule, count)| (Reverse(**count), rule.as_str()));
        if !most.is_empty() {
            pen.gap();
            pen.paragraph(0, "Broken most often:");
        }
        for (rule, count) in most.into_iter().take(MOST_RULES) {
            pen.entry(2, rule, &number(*count, "survey", "surveys"));
        }
    }
}
