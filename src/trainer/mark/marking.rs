//! An answer sheet against its key.
//!
//! Contract: the marks follow the published table (`table`), in eighths of a finding, and no claim is matched
//! so that the trainee gets less than could be given. What is unsafe fails the sheet whatever its score.

use super::marked::{
    ClaimMark, Fate, Harm, Lesson, Marked, OTHER_CLASS, Offered, TargetMark, WHOLE,
};
use super::matching::best_matching;
use super::missing;
use super::refute::{Refuted, refuted};
use super::table::{Meant, Understood, credit, false_stop, harm, verdict, without_repeats};
use super::target::{Target, TargetKind, look_again, targets, weight_of};
use crate::key::{Key, KeyFinding};
use crate::proof::declared::is_within;
use crate::sheet::{Claim, Sheet, What};
use crate::survey::look::Look;
use crate::titles;
use wetside_base::finding::{Class, Outcome};
use wetside_base::problem::Problem;
use wetside_base::source::Source;
use wetside_engine::check::Packs;

/// An exercise that is ready for marking: its survey judged again, its key held against that.
#[derive(Debug)]
pub struct Ready<'a> {
    pub key: &'a Key,
    look: Look,
    packs: &'a Packs,
    /// Every reason that exists.
    pub titles: Vec<String>,
}

/// Gets an exercise ready for marking.
///
/// # Errors
/// When survey, key and packs do not belong together; the place is in the survey.
pub fn ready<'a>(survey: &Source, key: &'a Key, packs: &'a Packs) -> Result<Ready<'a>, Problem> {
    let look = look_again(survey, key, packs)?;
    targets(key, &look, packs)?;
    let titles = titles::all(packs);
    Ok(Ready {
        key,
        look,
        packs,
        titles,
    })
}

impl Ready<'_> {
    /// The number of lines of the survey.
    pub fn lines(&self) -> usize {
        self.look.source.line_count()
    }

    /// Marks a sheet.
    ///
    /// # Errors
    /// When a claim names a field that nobody can find; the place is in the sheet.
    pub fn mark(&self, sheet: &Sheet) -> Result<Marked, Vec<Problem>> {
        let targets = targets(self.key, &self.look, self.packs).map_err(|problem| vec![problem])?;
        let mut claims = Vec::new();
        let mut problems = Vec::new();
        for claim in &sheet.claims {
            match self.understood(claim) {
                Ok(understood) => claims.push(understood),
                Err(problem) => problems.push(problem),
            }
        }
        if !problems.is_empty() {
            return Err(problems);
        }
        let credits: Vec<Vec<i64>> = claims
            .iter()
            .map(|claim| targets.iter().map(|target| credit(claim, target)).collect())
            .collect();
        let weights: Vec<i64> = targets.iter().map(Target::weight).collect();
        let matched = best_matching(&without_repeats(&claims, &credits), &weights);
        let claim_marks: Vec<ClaimMark> = claims
            .iter()
            .enumerate()
            .map(|(at, claim)| self.claim_mark(claim, matched[at], &credits[at], &targets))
            .collect();
        let target_marks: Vec<TargetMark> = targets
            .iter()
            .enumerate()
            .map(|(at, target)| {
                let by = matched.iter().position(|matched| *matched == Some(at));
                let credit = by.map_or(0, |claim| credits[claim][at]);
                self.target_mark(target, credit, harm(at, target, &claims, &matched))
            })
            .collect();
        // A survey without a fault is worth one hazard, earned by claiming nothing.
        let (start, possible) = if target_marks.is_empty() {
            let possible = WHOLE * weight_of(Class::Hazard);
            (possible, possible)
        } else {
            (0, WHOLE * weights.iter().sum::<i64>())
        };
        let gained: i64 = claim_marks.iter().map(|claim| claim.eighths).sum();
        let is = verdict(self.look.judgement.verdict);
        let in_vain = claims.iter().zip(&claim_marks).any(|(claim, mark)| {
            mark.fate == Fate::FalseAlarm && claim.class() == Some(Class::Hazard)
        });
        let false_stop = false_stop(sheet.verdict, is, in_vain);
        Ok(Marked {
            exercise: self.key.exercise.clone(),
            trainee: sheet.trainee.clone(),
            verdict: (sheet.verdict, is),
            false_stop,
            claims: claim_marks,
            targets: target_marks,
            score: ((start + gained - false_stop).max(0), possible),
            offered: self.offered(&claims),
            changes: Vec::new(),
        })
    }

    fn understood<'s>(&self, claim: &'s Claim) -> Result<Understood<'s>, Problem> {
        let what = match &claim.what {
            What::Wrong {
                line,
                class,
                reason,
            } => Meant::Wrong {
                line: *line,
                class: *class,
                reason,
                rules: titles::rules(self.packs, reason)
                    .into_iter()
                    .map(|(_, rule)| (rule.id.clone(), rule.part.clone()))
                    .collect(),
            },
            What::Missing { field, line } => Meant::Missing(missing::meant(
                field, *line, claim.span, &self.look, self.packs,
            )?),
        };
        Ok(Understood {
            span: claim.span,
            what,
        })
    }

    /// What the claims say to the reasons that were offered. A reason of a rule that cannot be decided here is
    /// neither so nor not so.
    fn offered(&self, claims: &[Understood<'_>]) -> Offered {
        let judgement = &self.look.judgement;
        let told = judgement.findings.iter().chain(&judgement.ahead);
        let outcomes: Vec<(&str, Outcome)> = told
            .map(|finding| (finding.title.as_str(), finding.outcome))
            .collect();
        let mut offered = Offered::default();
        for title in &self.key.reasons {
            let claimed = claims
                .iter()
                .any(|claim| claim.reason() == Some(title.as_str()));
            let is = |outcome: Outcome| outcomes.contains(&(title.as_str(), outcome));
            if is(Outcome::Broken) {
                offered.so += 1;
                offered.claimed += usize::from(claimed);
            } else if !is(Outcome::Undecided) {
                offered.not_so += 1;
                offered.in_vain += usize::from(claimed);
            }
        }
        offered
    }

    fn claim_mark(
        &self,
        claim: &Understood<'_>,
        matched: Option<usize>,
        credits: &[i64],
        targets: &[Target<'_>],
    ) -> ClaimMark {
        let (fate, eighths) = match matched {
            Some(at) => {
                let fate = match credits[at] {
                    WHOLE => Fate::Hit,
                    OTHER_CLASS => Fate::OtherClass,
                    _ => Fate::Partly,
                };
                (fate, credits[at] * targets[at].weight())
            }
            None if credits.iter().any(|credit| *credit > 0) => (Fate::Again, 0),
            None if self.is_neutral(claim) => (Fate::Neutral, 0),
            None => match &claim.what {
                Meant::Wrong { class, .. } => (Fate::FalseAlarm, -2 * weight_of(*class)),
                Meant::Missing(_) => (Fate::FalseAlarm, -2),
            },
        };
        let against = match (&claim.what, fate) {
            (Meant::Wrong { line, reason, .. }, Fate::FalseAlarm) => {
                Some(self.against(reason, *line))
            }
            (Meant::Missing(fact), Fate::FalseAlarm) => Some(Refuted {
                says: format!("nothing that is due waits for `{fact}`"),
                lines: Vec::new(),
            }),
            _ => None,
        };
        ClaimMark {
            span: claim.span,
            words: claim.words(),
            fate,
            eighths,
            refuted: against,
            reason: match &claim.what {
                Meant::Wrong { reason, .. } => (*reason).to_string(),
                Meant::Missing(_) => "cannot be decided".to_string(),
            },
        }
    }

    /// What speaks against a claim; of a decoy, why it is right.
    fn against(&self, reason: &str, line: usize) -> Refuted {
        let mut refuted = refuted(reason, line, &self.look, self.packs);
        if let Some(decoy) = self
            .key
            .decoys
            .iter()
            .find(|decoy| decoy.lines.contains(&line))
        {
            refuted.says = format!("{}; {}", refuted.says, decoy.because);
        }
        refuted
    }

    /// Whether a claim names what follows from a fault.
    fn is_neutral(&self, claim: &Understood<'_>) -> bool {
        let judgement = &self.look.judgement;
        match &claim.what {
            Meant::Wrong { rules, .. } => self.key.neutral.iter().any(|neutral| match neutral {
                KeyFinding::Rule { rule, .. } => rules.iter().any(|(id, _)| id == rule),
                KeyFinding::Missing { .. } => false,
            }),
            Meant::Missing(fact) => {
                let causes = judgement.outcomes().flat_map(|(_, on)| &on.causes);
                let waited = causes
                    .map(|cause| &cause.fact)
                    .chain(judgement.gaps.iter().map(|gap| &gap.fact));
                waited
                    .into_iter()
                    .any(|waited| is_within(waited, fact) || is_within(fact, waited))
            }
        }
    }

    fn target_mark(&self, target: &Target<'_>, credit: i64, harm: Option<Harm>) -> TargetMark {
        let part_of = |rule: &str| titles::rule_named(self.packs, rule).map(|(_, rule)| &rule.part);
        let part = match &target.what {
            TargetKind::Broken { part, .. } => Some(part),
            TargetKind::Missing { waiting, .. } => {
                waiting.first().and_then(|finding| part_of(&finding.rule))
            }
        };
        TargetMark {
            fault: target.fault.id.clone(),
            title: target.fault.title.clone(),
            part: part.cloned().unwrap_or_default(),
            difficulty: target.fault.difficulty,
            class: target.class,
            eighths: credit * target.weight(),
            weight: target.weight(),
            harm,
            lesson: self.lesson(target),
        }
    }

    fn lesson(&self, target: &Target<'_>) -> Lesson {
        let look = &self.look;
        match &target.what {
            TargetKind::Broken { finding, on, .. } => {
                let first = (look.line_of(on.place), on.place_words.clone());
                let others = on
                    .lines
                    .iter()
                    .map(|label| (look.line_of(label.span), label.words.clone()));
                let limits = titles::rule_named(self.packs, &finding.rule).map_or(
                    Vec::new(),
                    |(pack, rule)| {
                        let named = rule
                            .must
                            .reads()
                            .limits
                            .into_iter()
                            .map(|at| &pack.limits[at]);
                        named
                            .map(|limit| {
                                (
                                    format!("{}: {}", limit.limit.written, limit.says),
                                    limit.cited.everywhere(&pack.laws),
                                )
                            })
                            .collect()
                    },
                );
                Lesson {
                    says: format!("{}: {}", finding.title, on.says),
                    lines: std::iter::once(first).chain(others).collect(),
                    limits,
                    because: finding.because.clone(),
                    source: Some(finding.source.clone()),
                }
            }
            TargetKind::Missing { fact, waiting } => {
                let titles: Vec<String> = waiting
                    .iter()
                    .map(|finding| format!("`{}`", finding.title))
                    .collect();
                let waits = if titles.is_empty() {
                    "every survey of this sort asks for it".to_string()
                } else {
                    let titles = titles.join(", ");
                    format!("until it is known nobody can say whether this is so: {titles}")
                };
                let place = target.place.iter().map(|line| (*line, String::new()));
                Lesson {
                    says: format!("`{fact}` is missing; {waits}"),
                    lines: place.collect(),
                    limits: Vec::new(),
                    because: waiting
                        .first()
                        .map_or(String::new(), |finding| finding.because.clone()),
                    source: waiting.first().map(|finding| finding.source.clone()),
                }
            }
        }
    }
}
