//! An exercise written by hand: a copy of a clean survey, changed, with what must be found on its lines.
//!
//! Contract: held to the same proof as a made one. The two texts are compared line by line; each stretch
//! of changed lines is a fault, or a decoy if nothing comes of it. The expectations must be exactly
//! what is found, and undoing one change must take its findings away and no other's. What does not hold is a
//! problem at the line.

use super::batch::Exercise;
use super::expected;
use crate::draw::{self, Draw};
use crate::fault::{Answer, Sight, by_heart};
use crate::key::offered::{Offers, offers};
use crate::key::{KeyDecoy, KeyFault, KeyFinding, made};
use crate::proof::prove;
use crate::survey::look::{Found, Look, field_path};
use crate::survey::text;
use crate::titles;
use std::collections::{BTreeMap, BTreeSet};
use wetside_base::finding::Outcome;
use wetside_base::problem::Problem;
use wetside_base::source::{Source, Span};
use wetside_edit::splice::Splice;
use wetside_engine::check::Packs;

/// The most lines that are compared.
const MOST_LINES: usize = 3000;
/// The most changes of one exercise: more is another survey.
const MOST_CHANGES: usize = 24;
/// The most findings of one exercise, since matching claims with more would take too long.
const MOST_FINDINGS: usize = 16;

/// An exercise from a survey with expectations and the clean one that it was written from.
///
/// # Errors
/// With everything that keeps its key from being true, at its lines.
pub fn by_hand(written: &Source, clean: &Source, packs: &Packs) -> Result<Exercise, Vec<Problem>> {
    let one =
        |kind, says: String, help: &str| vec![Problem::new(kind, written.line_span(1), says, help)];
    let look = |at: &Source| {
        let text = text::for_trainee(at);
        Look::at(Source::new(at.name.clone(), text), packs)
    };
    let base = look(clean);
    prove::base(&base).map_err(|defect| {
        let help = "begin from a survey that comes to `clear`";
        one("base-not-clear", defect.says, help)
    })?;
    let look = look(written);
    if let Some(problem) = look.judgement.problems.first() {
        let says = format!("the text is faulty: {}", problem.says);
        let help = "an exercise is well written; only the system is at fault";
        return Err(one("faulty-text", says, help));
    }
    let changes = comparable(&base.source, &look.source)
        .map_err(|(kind, says, help)| one(kind, says, help))?;
    let hand = Hand {
        changes,
        written,
        base: &base,
        look: &look,
    };
    let mut problems = expected::problems(written, &look);
    let faults = hand.faults(&mut problems);
    if !problems.is_empty() {
        problems.sort_by_key(|problem| problem.span);
        return Err(problems);
    }
    Ok(hand.exercise(&faults))
}

/// The changes between two surveys, if one can have been written from the other.
fn comparable(
    base: &Source,
    other: &Source,
) -> Result<Vec<Splice>, (&'static str, String, &'static str)> {
    if base.line_count().max(other.line_count()) > MOST_LINES {
        let says = format!("the survey has more than {MOST_LINES} lines");
        return Err(("too-long", says, "shorten it"));
    }
    let changes = stretches(base, other);
    if changes.len() > MOST_CHANGES {
        let says = format!(
            "this survey and `{}` differ in {} places; an exercise has {MOST_CHANGES} at most",
            base.name,
            changes.len()
        );
        let help = "name the clean survey that this one was written from";
        return Err(("too-many-changes", says, help));
    }
    Ok(changes)
}

/// The stretches of lines that differ, as splices of the first text: the longest common subsequence of lines stays, of
/// several the one that keeps earlier lines. Time and room grow with the product of both lengths.
fn stretches(base: &Source, other: &Source) -> Vec<Splice> {
    let lines = |source: &Source| -> Vec<String> {
        source
            .text
            .split_inclusive('\n')
            .map(str::to_string)
            .collect()
    };
    let (old, new) = (lines(base), lines(other));
    let width = new.len() + 1;
    let mut common = vec![0_u32; (old.len() + 1) * width];
    for i in (0..old.len()).rev() {
        for j in (0..new.len()).rev() {
            common[i * width + j] = if old[i] == new[j] {
                common[(i + 1) * width + j + 1] + 1
            } else {
                common[(i + 1) * width + j].max(common[i * width + j + 1])
            };
        }
    }
    let (mut i, mut j, mut at) = (0, 0, 0);
    let mut changes: Vec<Splice> = Vec::new();
    let mut open: Option<(usize, String)> = None;
    while i < old.len() || j < new.len() {
        if i < old.len() && j < new.len() && old[i] == new[j] {
            if let Some((start, text)) = open.take() {
                changes.push(Splice::value(Span::new(start, at), text));
            }
            at += old[i].len();
            (i, j) = (i + 1, j + 1);
            continue;
        }
        let (_, text) = open.get_or_insert((at, String::new()));
        let take_old = i < old.len()
            && (j == new.len() || common[(i + 1) * width + j] >= common[i * width + j + 1]);
        if take_old {
            at += old[i].len();
            i += 1;
        } else {
            text.push_str(&new[j]);
            j += 1;
        }
    }
    changes.extend(open.map(|(start, text)| Splice::value(Span::new(start, at), text)));
    changes
}

struct Hand<'a> {
    changes: Vec<Splice>,
    written: &'a Source,
    base: &'a Look<'a>,
    look: &'a Look<'a>,
}

/// A finding without what may change with another fault.
type Name = (Option<String>, Option<String>, Option<String>);

fn name(found: &Found) -> Name {
    match found {
        Found::Broken { rule, thing } | Found::Undecided { rule, thing, .. } => {
            (Some(rule.clone()), thing.clone(), None)
        }
        Found::Gap { fact } => (None, None, Some(fact.clone())),
        Found::Problem { kind } => (None, None, Some(kind.clone())),
    }
}

impl Hand<'_> {
    /// The findings of each change, by undoing it.
    fn faults(&self, problems: &mut Vec<Problem>) -> Vec<BTreeSet<Name>> {
        let all: BTreeSet<Name> = self.look.found().iter().map(name).collect();
        let mut owners: BTreeMap<Name, usize> = BTreeMap::new();
        let mut of_changes = Vec::new();
        for at in 0..self.changes.len() {
            let (before, others) = self.changes.split_at(at);
            let others = before.iter().chain(&others[1..]);
            let without = self.base.tried(others);
            let left: BTreeSet<Name> = without.found().iter().map(name).collect();
            if let Some(hidden) = left.difference(&all).next() {
                let says = format!("this change hides {}", words(hidden));
                let help = "change only one of the two places";
                self.report(problems, "hides", at, &says, help);
            }
            let own: BTreeSet<Name> = all.difference(&left).cloned().collect();
            for finding in &own {
                if owners.insert(finding.clone(), at).is_some() {
                    let says = format!(
                        "this change and another are both needed for {}",
                        words(finding)
                    );
                    let help = "let each fault be one stretch of lines";
                    self.report(problems, "not-its-own", at, &says, help);
                }
            }
            of_changes.push(own);
        }
        for finding in all.iter().filter(|finding| !owners.contains_key(*finding)) {
            let says = format!("undoing any one change leaves {} as it is", words(finding));
            let help = "let each finding come from one change";
            self.report(problems, "not-needed", 0, &says, help);
        }
        if all.len() > MOST_FINDINGS {
            let says = format!("there are more than {MOST_FINDINGS} findings");
            self.report(problems, "too-many", 0, &says, "make two exercises of it");
        }
        of_changes
    }

    fn report(
        &self,
        problems: &mut Vec<Problem>,
        kind: &'static str,
        change: usize,
        says: &str,
        help: &str,
    ) {
        let (_, places) = expected::kept_lines(self.written);
        let line = self
            .changes
            .get(change)
            .map_or(1, |splice| self.lines(splice).0);
        let line = places.get(line - 1).copied().unwrap_or(1);
        problems.push(Problem::new(kind, self.written.line_span(line), says, help));
    }

    /// The first and last line of a change in the trainee's survey.
    fn lines(&self, splice: &Splice) -> (usize, usize) {
        let first = made::line_after(splice, &self.changes, self.look);
        (first, first + splice.text.lines().count().saturating_sub(1))
    }

    fn exercise(&self, findings: &[BTreeSet<Name>]) -> Exercise {
        let (mut faults, mut decoys, mut parts) = (Vec::new(), Vec::new(), Vec::new());
        for (splice, own) in self.changes.iter().zip(findings) {
            let (first, last) = self.lines(splice);
            let (id, lines) = (format!("line-{first}"), (first..=last).collect());
            parts.push((id.clone(), vec![splice.clone()]));
            if own.is_empty() {
                decoys.push(KeyDecoy {
                    id,
                    title: format!("line {first} was changed"),
                    lines,
                    because: "nothing comes of it".to_string(),
                });
                continue;
            }
            let (findings, difficulty) = self.findings(own);
            faults.push(KeyFault {
                id,
                title: self.title(&findings),
                difficulty,
                lines,
                findings,
            });
        }
        let (base, look) = (self.base, self.look);
        let sum = draw::sum(draw::EMPTY, &look.source.text);
        let offers = self.offers(&faults, sum);
        let id = draw::sum(sum, &base.source.text);
        let key = made::by_hand(id, base, look, faults, decoys, offers);
        let name = format!("exercise-{}.yaml", key.exercise);
        Exercise {
            number: 1,
            survey: Source::new(name, look.source.text.clone()),
            key,
            base: base.source.text.clone(),
            parts,
            harmless: Vec::new(),
        }
    }

    /// The findings of one change as the key has them, and how hard they are to see.
    fn findings(&self, own: &BTreeSet<Name>) -> (Vec<KeyFinding>, u32) {
        let mut findings = BTreeSet::new();
        let mut sight = Sight::default();
        let mut known = false;
        for (finding, on) in self.look.judgement.outcomes() {
            if !own.contains(&(Some(finding.rule.clone()), on.element.clone(), None)) {
                continue;
            }
            sight.lines = sight
                .lines
                .max(1 + u32::try_from(on.lines.len()).unwrap_or(0));
            if finding.outcome == Outcome::Broken {
                findings.insert(made::rule_finding(finding, on, self.look));
                known |= by_heart(self.look.packs, &finding.rule);
            } else {
                sight.unknowns = Answer::Yes;
                let facts = on.causes.iter().map(|cause| cause.fact.clone());
                findings.extend(facts.map(|fact| made::missing_finding(fact, self.look)));
            }
        }
        let gaps = own
            .iter()
            .filter(|(rule, ..)| rule.is_none())
            .filter_map(|(.., fact)| fact.clone());
        findings.extend(gaps.map(|fact| made::missing_finding(fact, self.look)));
        (findings.into_iter().collect(), sight.points(known))
    }

    /// What a change comes to, by the titles of what it raises.
    fn title(&self, findings: &[KeyFinding]) -> String {
        let one = |finding: &KeyFinding| match finding {
            KeyFinding::Rule { rule, .. } => {
                titles::of(self.look.packs, rule).unwrap_or_else(|| rule.clone())
            }
            KeyFinding::Missing { fact, .. } => format!("`{fact}` is missing"),
        };
        let titles: BTreeSet<String> = findings.iter().map(one).collect();
        titles.into_iter().collect::<Vec<_>>().join("; ")
    }

    fn offers(&self, faults: &[KeyFault], seed: u64) -> Offers {
        let findings = faults.iter().flat_map(|fault| &fault.findings);
        let missing = findings.filter_map(|finding| match finding {
            KeyFinding::Missing { fact, .. } => Some(field_path(fact)),
            KeyFinding::Rule { .. } => None,
        });
        let missing: BTreeSet<String> = missing.collect();
        let fields = self.look.packs.vocabulary.fields();
        let fields = fields.filter(|(_, field)| missing.contains(&field.path));
        let found = self.look.judgement.findings.iter();
        offers(
            found.map(|finding| finding.rule.clone()).collect(),
            fields.map(|(id, _)| id).collect(),
            self.look,
            &mut Draw::new(seed),
        )
    }
}

fn words(name: &Name) -> String {
    match name {
        (Some(rule), Some(thing), _) => format!("`{rule}` for `{thing}`"),
        (Some(rule), None, _) => format!("`{rule}`"),
        (None, _, fact) => format!(
            "that `{}` is not recorded",
            fact.as_deref().unwrap_or_default()
        ),
    }
}
