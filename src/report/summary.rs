//! What many surveys come to together: how many of each verdict, and which rules were found most often.
//!
//! Contract: it holds counts alone, so that there may be any number of surveys.

use super::pen::{Pen, number, row};
use std::cmp::Reverse;
use std::collections::BTreeMap;
use wetside_base::finding::{Judgement, Outcome, Stage, Verdict};

/// So many rules are told.
const MOST_RULES: usize = 5;

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
