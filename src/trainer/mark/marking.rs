//! An answer sheet against its key.
//!
//! Contract: the marks follow the published table (`table`), in eighths of a finding, and no claim is matched
//! so that the trainee gets less than could be given. What is unsafe fails the sheet whatever its score.

use super::changes::Changes;
use super::lesson::lesson;
use super::marked::{
    Asked, Change, ClaimMark, Fate, Harm, Marked, OTHER_CLASS, Offered, Question, TargetMark, WHOLE,
};
use super::missing;
use super::reasoning;
use super::refute::{Refuted, refuted};
use super::table::{Understood, false_stop, harm, matching, verdict};
use super::target::{Target, TargetKind, look_again, targets, weight_of};
use crate::fault::Answer;
use crate::key::{Key, KeyFinding};
use crate::proof::declared::is_within;
use crate::sheet::{Claim, Sheet, Verdict, What};
use crate::survey::look::Look;
use crate::titles;
use std::collections::BTreeSet;
use wetside_base::finding::Class;
use wetside_base::problem::Problem;
use wetside_base::source::Source;
use wetside_engine::check::Packs;

/// An exercise that is ready for marking: its survey judged again, its key held against that.
#[derive(Debug)]
pub struct Ready<'a> {
    pub key: &'a Key,
    look: Look<'a>,
    /// Every reason that exists.
    pub titles: Vec<String>,
}

/// Gets an exercise ready for marking.
///
/// # Errors
/// When survey, key and packs do not belong together; the place is in the survey.
pub fn ready<'a>(survey: &Source, key: &'a Key, packs: &'a Packs) -> Result<Ready<'a>, Problem> {
    let look = look_again(survey, key, packs)?;
    targets(key, &look)?;
    let titles = titles::all(packs);
    Ok(Ready { key, look, titles })
}

impl Ready<'_> {
    /// The number of lines of the survey.
    pub fn lines(&self) -> usize {
        self.look.source.line_count()
    }

    /// Marks a sheet, and as a person has ruled of it. A change of something that the sheet does not have is left out.
    ///
    /// # Errors
    /// When a claim names a field that nobody can find; the place is in the sheet.
    pub fn mark(&self, sheet: &Sheet, changes: &[Change]) -> Result<Marked, Vec<Problem>> {
        let unchanged = self.marked(sheet, &[])?;
        if changes.is_empty() {
            return Ok(unchanged);
        }
        Ok(Marked {
            unchanged: Some(Box::new(unchanged)),
            ..self.marked(sheet, changes)?
        })
    }

    fn marked(&self, sheet: &Sheet, changes: &[Change]) -> Result<Marked, Vec<Problem>> {
        let targets = targets(self.key, &self.look).map_err(|problem| vec![problem])?;
        let changes = Changes(changes);
        let claims = self.all_understood(sheet, &changes)?;
        let (credits, matched) = matching(&claims, &targets);
        let whole = |(matched, credits): (&Option<usize>, &Vec<i64>)| {
            matched.filter(|at| credits[*at] >= OTHER_CLASS)
        };
        let right: Vec<Option<usize>> = matched.iter().zip(&credits).map(whole).collect();
        let asked = reasoning::Asked {
            sheet,
            targets: &targets,
            right: &right,
            steps: &self.key.steps,
            changes: &changes,
            look: &self.look,
        };
        let reasoned = asked.reasoned();
        let mut claim_marks = Vec::new();
        for ((at, claim), told) in claims.iter().enumerate().zip(reasoned.of_claims) {
            let mut mark = self.claim_mark(
                claim,
                matched[at],
                &credits[at],
                &targets,
                changes.claim(at),
            );
            mark.questions = questions(at, claim.claim, mark.fate, self.key, &changes);
            mark.reasoned = told;
            claim_marks.push(mark);
        }
        let target_mark = |(at, target): (usize, &Target<'_>)| {
            let by = matched.iter().position(|matched| *matched == Some(at));
            let credit = by.map_or(0, |claim| credits[claim][at]);
            let harm = harm(at, target, &claims, &matched);
            changes.ruled(self.target_mark(target, credit, harm))
        };
        let target_marks: Vec<TargetMark> = targets.iter().enumerate().map(target_mark).collect();
        let is = verdict(self.look.judgement.verdict);
        let said = changes.verdict(sheet.verdict, is);
        let in_vain = claims.iter().zip(&claim_marks).any(|(claim, mark)| {
            mark.fate == Fate::FalseAlarm && claim.claim.what.class() == Some(Class::Hazard)
        });
        let false_stop = false_stop(said, is, in_vain);
        Ok(Marked {
            exercise: self.key.exercise.clone(),
            title: self.key.title.clone(),
            trainee: sheet.trainee.clone(),
            verdict: (said, is),
            false_stop,
            score: score(&claim_marks, &target_marks, said, false_stop),
            offered: self.offered(&claims, &right, &targets),
            reasoning: reasoned.figure,
            first: reasoned.of_first,
            changes: changes.that_fit(sheet, &target_marks),
            claims: claim_marks,
            targets: target_marks,
            unchanged: None,
        })
    }

    fn all_understood<'s>(
        &'s self,
        sheet: &'s Sheet,
        changes: &Changes<'_>,
    ) -> Result<Vec<Understood<'s>>, Vec<Problem>> {
        let (mut claims, mut problems) = (Vec::new(), Vec::new());
        for (at, claim) in sheet.claims.iter().enumerate() {
            let void = changes.claim(at) == Some(Answer::No);
            match self.understood(claim, void) {
                Ok(understood) => claims.push(understood),
                Err(problem) => problems.push(problem),
            }
        }
        if problems.is_empty() {
            Ok(claims)
        } else {
            Err(problems)
        }
    }

    fn understood<'s>(&'s self, claim: &'s Claim, void: bool) -> Result<Understood<'s>, Problem> {
        let (mut rules, mut fact) = (Vec::new(), String::new());
        match &claim.what {
            What::Wrong { reason, .. } => {
                let named = titles::rules(self.look.packs, reason).into_iter();
                rules.extend(named.map(|(_, rule)| rule));
            }
            What::InOwnWords { .. } => {}
            What::Missing { field, line } => {
                fact = missing::meant(field, *line, claim.span, &self.look)?;
            }
        }
        Ok(Understood {
            claim,
            rules,
            fact,
            void,
        })
    }

    /// What the claims say to the reasons that were offered; words of one's own say what they found. A reason of a rule
    /// that cannot be decided here is neither so nor not so; nor is one that is so and is not asked for.
    fn offered(
        &self,
        claims: &[Understood<'_>],
        right: &[Option<usize>],
        targets: &[Target<'_>],
    ) -> Offered {
        let judgement = &self.look.judgement;
        let told = judgement.findings.iter().chain(&judgement.ahead);
        let told: BTreeSet<&str> = told.map(|finding| finding.title.as_str()).collect();
        let mut offered = Offered::default();
        for title in &self.key.reasons {
            let found = |at: &usize| match &targets[*at].what {
                TargetKind::Broken { finding, .. } => finding.title == *title,
                TargetKind::Missing { .. } => false,
            };
            let claimed = claims.iter().zip(right).any(|(claim, right)| {
                if let What::Wrong { reason, .. } = &claim.claim.what {
                    return reason == title;
                }
                claim.claim.what.is_in_own_words() && right.as_ref().is_some_and(found)
            });
            if (0..targets.len()).any(|at| found(&at)) {
                offered.so += 1;
                offered.claimed += usize::from(claimed);
            } else if !told.contains(title.as_str()) {
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
        ruled: Option<Answer>,
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
            None if ruled == Some(Answer::Yes) => (Fate::Neutral, 0),
            None if ruled.is_none() && self.is_neutral(claim) => (Fate::Neutral, 0),
            None => (
                Fate::FalseAlarm,
                -2 * claim.claim.what.class().map_or(1, weight_of),
            ),
        };
        let what = &claim.claim.what;
        let against = match (what, fate) {
            (What::Wrong { line, reason, .. }, Fate::FalseAlarm) => {
                let refuted = refuted(reason, *line, &self.look);
                Some(self.with_decoy(refuted, *line))
            }
            (What::InOwnWords { line, .. }, Fate::FalseAlarm) => {
                let refuted = Refuted::alone("nothing that is wrong here rests on this line");
                Some(self.with_decoy(refuted, *line))
            }
            (What::Missing { .. }, Fate::FalseAlarm) => {
                let says = format!("nothing that is due waits for `{}`", claim.fact);
                Some(Refuted::alone(says))
            }
            _ => None,
        };
        ClaimMark {
            span: claim.claim.span,
            words: claim.words(),
            fate,
            eighths,
            refuted: against,
            reason: match what {
                What::Wrong { reason, .. } => reason.clone(),
                What::InOwnWords { .. } => "in words of one's own".to_string(),
                What::Missing { .. } => "cannot be decided".to_string(),
            },
            questions: Vec::new(),
            reasoned: Vec::new(),
        }
    }

    /// What speaks against a claim; of a decoy, why it is right.
    fn with_decoy(&self, mut refuted: Refuted, line: usize) -> Refuted {
        let mut decoys = self.key.decoys.iter();
        if let Some(decoy) = decoys.find(|decoy| decoy.lines.contains(&line)) {
            refuted.says = format!("{}; {}", refuted.says, decoy.because);
        }
        refuted
    }

    /// Whether a claim names what follows from a fault.
    fn is_neutral(&self, claim: &Understood<'_>) -> bool {
        let mut neutral = self.key.neutral.iter().filter_map(|neutral| match neutral {
            KeyFinding::Rule { rule, line, .. } => Some((rule, line)),
            KeyFinding::Missing { .. } => None,
        });
        match &claim.claim.what {
            What::Wrong { .. } => neutral.any(|(rule, _)| claim.names(rule)),
            What::InOwnWords { line: claimed, .. } => neutral.any(|(_, line)| line == claimed),
            What::Missing { .. } => {
                let fact = &claim.fact;
                let mut waited = self.look.waited();
                waited.any(|(waited, _)| is_within(waited, fact) || is_within(fact, waited))
            }
        }
    }

    fn target_mark(&self, target: &Target<'_>, credit: i64, harm: Option<Harm>) -> TargetMark {
        let part = match &target.what {
            TargetKind::Broken { part, .. } => part.clone(),
            TargetKind::Missing { waiting, .. } => waiting.first().map_or(String::new(), |one| {
                titles::part_of(self.look.packs, &one.rule)
            }),
        };
        TargetMark {
            fault: target.fault.id.clone(),
            title: target.fault.title.clone(),
            part,
            difficulty: target.fault.difficulty,
            class: target.class,
            eighths: credit * target.weight(),
            weight: target.weight(),
            harm,
            lesson: lesson(target, &self.look),
        }
    }
}

/// Eighths reached and to be had. A survey without a fault is worth one hazard, earned by claiming nothing; not by
/// giving no answer.
fn score(
    claims: &[ClaimMark],
    targets: &[TargetMark],
    said: Verdict,
    false_stop: i64,
) -> (i64, i64) {
    let vain = claims.iter().map(|claim| claim.eighths.min(0)).sum::<i64>();
    let found: i64 = targets.iter().map(|target| target.eighths).sum();
    let weights: i64 = targets.iter().map(|target| target.weight).sum();
    let (found, possible) = if targets.is_empty() {
        let possible = WHOLE * weight_of(Class::Hazard);
        let answered = said != Verdict::NoAnswer;
        (possible * i64::from(answered), possible)
    } else {
        (found, WHOLE * weights)
    };
    ((found + vain - false_stop).max(0), possible)
}

/// What a person may be asked of a claim.
fn questions(
    at: usize,
    claim: &Claim,
    fate: Fate,
    key: &Key,
    changes: &Changes<'_>,
) -> Vec<Question> {
    let words = match &claim.what {
        What::InOwnWords { line, words, .. } => Some(format!("line {line}: {words}")),
        What::Wrong { .. } | What::Missing { .. } => None,
    };
    let vain = fate == Fate::FalseAlarm;
    let of_claim = (vain || words.is_some()).then_some(Question {
        asked: Asked::Claim(at + 1),
        is: !vain,
        words,
    });
    let own = claim.step.as_ref().filter(|_| key.steps.is_empty());
    let of_step = own.map(|step| Question {
        asked: Asked::Step(at + 1),
        is: changes.step(at) == Some(Answer::Yes),
        words: Some(format!("to do: {step}")),
    });
    of_claim.into_iter().chain(of_step).collect()
}
