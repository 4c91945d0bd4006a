//! An exercise written by hand: a copy of a clean survey, changed, with finding marks on its lines.
//!
//! Contract: held to the same proof as a made one. The two texts are compared line by line; each stretch
//! of changed lines is a fault, or a decoy if nothing comes of it. The marks must be exactly what is
//! found, and undoing one change must take its findings away and no other's. What does not hold is a
//! problem at the line.

use super::draw::{self, Draw};
use super::fault::Sight;
use super::key::{self, Key, KeyDecoy, KeyFault, KeyFinding};
use super::lines;
use super::make::Exercise;
use super::place::{Found, Look};
use super::prove;
use super::splice::{Splice, apply};
use super::text;
use super::titles;
use std::collections::{BTreeMap, BTreeSet};
use wetside_base::finding::{Outcome, Verdict};
use wetside_base::problem::Problem;
use wetside_base::source::{Source, Span};
use wetside_base::suggest;
use wetside_engine::check::Packs;
use wetside_engine::markers::{self, Mark, Sort};

/// The most lines that are compared.
const MOST_LINES: usize = 3000;
/// The most changes of one exercise: more is another survey.
const MOST_CHANGES: usize = 24;
/// The most findings of one exercise, since matching claims with more would take too long.
const MOST_FINDINGS: usize = 16;

/// An exercise from a marked survey and the clean one that it was written from.
///
/// # Errors
/// With everything that keeps its key from being true, at the lines of the marked survey.
pub fn by_hand(marked: &Source, clean: &Source, packs: &Packs) -> Result<Exercise, Vec<Problem>> {
    let first = marked.line_span(1);
    let one = |problem: Problem| vec![problem];
    let base = Look::at(
        Source::new(clean.name.clone(), text::for_trainee(clean)),
        packs,
    );
    prove::base(&base).map_err(|defect| {
        one(Problem::new(
            "base-not-clear",
            first,
            defect.says,
            "begin from a survey that comes to `clear`",
        ))
    })?;
    let look = Look::at(
        Source::new(marked.name.clone(), text::for_trainee(marked)),
        packs,
    );
    if let Some(problem) = look.judgement.problems.first() {
        let help = "an exercise is well written; only the system is at fault";
        return Err(one(Problem::new(
            "faulty-text",
            first,
            format!("the text is faulty: {}", problem.says),
            help,
        )));
    }
    let changes = comparable(&base.source, &look.source)
        .map_err(|(kind, says, help)| one(Problem::new(kind, first, says, help)))?;
    let hand = Hand {
        changes,
        marked,
        base: &base,
        look: &look,
        packs,
    };
    let mut problems = hand.wrong_marks();
    problems.extend(hand.wrong_verdict());
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
    let changes = lines::changes(base, other);
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

struct Hand<'a> {
    changes: Vec<Splice>,
    marked: &'a Source,
    base: &'a Look,
    look: &'a Look,
    packs: &'a Packs,
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
    /// Marks that are not found, and findings that are not marked.
    fn wrong_marks(&self) -> Vec<Problem> {
        let (kept, places) = kept_lines(self.marked);
        let announced: BTreeSet<Mark> = markers::announced(self.marked)
            .marks
            .into_iter()
            .map(|mark| Mark {
                line: kept[mark.line - 1],
                ..mark
            })
            .collect();
        let found: BTreeSet<Mark> = markers::found(&self.look.source, &self.look.judgement)
            .marks
            .into_iter()
            .collect();
        let at = |mark: &Mark| {
            let line = places
                .get(mark.line.saturating_sub(1))
                .copied()
                .unwrap_or(1);
            self.marked.line_span(line)
        };
        let untrue = announced.difference(&found).map(|mark| {
            if let Some(stranger) = self.stranger(mark, at(mark)) {
                return stranger;
            }
            let says = format!(
                "`{}: {}` is marked here, and it is not found on this line",
                mark.sort.word(),
                mark.name
            );
            Problem::new("not-found", at(mark), says, "mend the line or the mark")
        });
        let unmarked = found.difference(&announced).map(|mark| {
            let says = format!("`{}` is found on this line, and no mark says so", mark.name);
            let help = format!(
                "write `# {}: {}` at the end of the line, or mend the line",
                mark.sort.word(),
                mark.name
            );
            Problem::new("not-marked", at(mark), says, help)
        });
        untrue.chain(unmarked).collect()
    }

    /// A mark that names no rule.
    fn stranger(&self, mark: &Mark, at: Span) -> Option<Problem> {
        let rules = || self.packs.packs.iter().flat_map(|pack| &pack.rules);
        let of_a_rule = matches!(mark.sort, Sort::Finds | Sort::Undecided);
        if !of_a_rule || rules().any(|rule| rule.id == mark.name) {
            return None;
        }
        let says = format!("there is no rule `{}`", mark.name);
        let ids = rules().map(|rule| rule.id.as_str());
        let help = suggest::help(&mark.name, ids, "`wetside rules` lists all rules");
        Some(Problem::new("unknown-rule", at, says, help))
    }

    /// What stands near the top as the verdict, where that is not what the survey comes to.
    fn wrong_verdict(&self) -> Option<Problem> {
        let (line, written) = markers::verdict_line(self.marked)?;
        let comes_to = self.look.judgement.verdict;
        let not_yet = matches!(comes_to, Verdict::Prepare | Verdict::FindOut);
        if written == comes_to.words() || not_yet && written == "not yet" {
            return None;
        }
        let says =
            format!("`verdict: {written}` is marked here, and the survey comes to `{comes_to}`");
        let help = format!("write `# verdict: {comes_to}`, or mend the survey");
        let at = self.marked.line_span(line);
        Some(Problem::new("not-the-verdict", at, says, help))
    }

    /// The findings of each change, by undoing it.
    fn faults(&self, problems: &mut Vec<Problem>) -> Vec<BTreeSet<Name>> {
        let all: BTreeSet<Name> = self.look.found().iter().map(name).collect();
        let mut owners: BTreeMap<Name, usize> = BTreeMap::new();
        let mut of_changes = Vec::new();
        for at in 0..self.changes.len() {
            let others = self
                .changes
                .iter()
                .enumerate()
                .filter(|(other, _)| *other != at)
                .map(|(_, splice)| splice);
            let text = apply(&self.base.source.text, others);
            let without =
                Look::without_figures(Source::new(self.marked.name.clone(), text), self.packs);
            let left: BTreeSet<Name> = without.found().iter().map(name).collect();
            if let Some(hidden) = left.difference(&all).next() {
                let says = format!("this change hides {}", words(hidden));
                self.report(
                    problems,
                    "hides",
                    at,
                    &says,
                    "change only one of the two places",
                );
            }
            let own: BTreeSet<Name> = all.difference(&left).cloned().collect();
            for finding in &own {
                if owners.insert(finding.clone(), at).is_some() {
                    let says = format!(
                        "this change and another are both needed for {}",
                        words(finding)
                    );
                    self.report(
                        problems,
                        "not-its-own",
                        at,
                        &says,
                        "let each fault be one stretch of lines",
                    );
                }
            }
            of_changes.push(own);
        }
        for finding in all.iter().filter(|finding| !owners.contains_key(*finding)) {
            let says = format!("undoing any one change leaves {} as it is", words(finding));
            self.report(
                problems,
                "not-needed",
                0,
                &says,
                "let each finding come from one change",
            );
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
        let (_, places) = kept_lines(self.marked);
        let line = self
            .changes
            .get(change)
            .map_or(1, |splice| self.lines(splice).0);
        let line = places.get(line - 1).copied().unwrap_or(1);
        problems.push(Problem::new(kind, self.marked.line_span(line), says, help));
    }

    /// The first and last line of a change in the trainee's survey.
    fn lines(&self, splice: &Splice) -> (usize, usize) {
        let first = key::line_after(splice, &self.changes, self.look);
        (first, first + splice.text.lines().count().saturating_sub(1))
    }

    fn exercise(&self, findings: &[BTreeSet<Name>]) -> Exercise {
        let id = |splice: &Splice| format!("line-{}", self.lines(splice).0);
        let title = |splice: &Splice| format!("line {} was changed", self.lines(splice).0);
        let lines = |splice: &Splice| {
            let (first, last) = self.lines(splice);
            (first..=last).collect::<Vec<usize>>()
        };
        let (mut faults, mut decoys) = (Vec::new(), Vec::new());
        for (splice, own) in self.changes.iter().zip(findings) {
            if own.is_empty() {
                decoys.push(KeyDecoy {
                    id: id(splice),
                    title: title(splice),
                    lines: lines(splice),
                    because: "nothing comes of it".to_string(),
                });
                continue;
            }
            let (findings, difficulty) = self.findings(own);
            faults.push(KeyFault {
                id: id(splice),
                title: self.title(&findings),
                difficulty,
                lines: lines(splice),
                findings,
            });
        }
        let text = &self.look.source.text;
        let sum = draw::sum(draw::EMPTY, text);
        let key = Key {
            exercise: draw::written(draw::sum(sum, &self.base.source.text)),
            survey: draw::written(sum),
            made_from: key::file_name(&self.base.source.name),
            recipe: None,
            packs: self.look.judgement.packs.clone(),
            catalogue: draw::written(draw::EMPTY),
            opportunities: self.look.judgement.counts.met,
            reasons: self.reasons(sum),
            neutral: key::neutral(&faults, self.look),
            decoys,
            faults,
        };
        Exercise {
            number: 1,
            survey: Source::new(format!("exercise-{}.yaml", key.exercise), text.clone()),
            parts: self
                .changes
                .iter()
                .map(|splice| (id(splice), vec![splice.clone()]))
                .collect(),
            base: self.base.source.text.clone(),
            harmless: Vec::new(),
            key,
        }
    }

    /// The findings of one change as the key has them, and how hard they are to see.
    fn findings(&self, own: &BTreeSet<Name>) -> (Vec<KeyFinding>, u32) {
        let mut findings = BTreeSet::new();
        let mut sight = Sight::default();
        for (finding, on) in self.look.judgement.outcomes() {
            if !own.contains(&(Some(finding.rule.clone()), on.element.clone(), None)) {
                continue;
            }
            sight.lines = sight
                .lines
                .max(1 + u32::try_from(on.lines.len()).unwrap_or(0));
            match finding.outcome {
                Outcome::Broken => {
                    findings.insert(key::rule_finding(finding, on, self.look));
                }
                _ => {
                    sight.unknowns = true;
                    let facts = on.causes.iter().map(|cause| cause.fact.clone());
                    findings.extend(facts.map(|fact| key::missing_finding(fact, self.look)));
                }
            }
        }
        let gaps = own
            .iter()
            .filter(|(rule, ..)| rule.is_none())
            .filter_map(|(.., fact)| fact.clone());
        findings.extend(gaps.map(|fact| key::missing_finding(fact, self.look)));
        (findings.into_iter().collect(), sight.points())
    }

    /// What a change comes to, by the titles of what it raises.
    fn title(&self, findings: &[KeyFinding]) -> String {
        let one = |finding: &KeyFinding| match finding {
            KeyFinding::Rule { rule, .. } => {
                titles::of(self.packs, rule).unwrap_or_else(|| rule.clone())
            }
            KeyFinding::Missing { fact, .. } => format!("`{fact}` is missing"),
        };
        let titles: BTreeSet<String> = findings.iter().map(one).collect();
        titles.into_iter().collect::<Vec<_>>().join("; ")
    }

    fn reasons(&self, seed: u64) -> Vec<String> {
        let broken = self
            .look
            .judgement
            .findings
            .iter()
            .filter_map(|finding| titles::of(self.packs, &finding.rule));
        key::offered(
            broken.collect(),
            self.look,
            self.packs,
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

/// For each line of the marked survey its line in the trainee's, and the way back.
fn kept_lines(marked: &Source) -> (Vec<usize>, Vec<usize>) {
    let (mut kept, mut places) = (Vec::new(), Vec::new());
    for line in 1..=marked.line_count() {
        kept.push(places.len() + 1);
        if !text::is_only_for_trainers(marked.slice(marked.line_span(line))) {
            places.push(line);
        }
    }
    (kept, places)
}
