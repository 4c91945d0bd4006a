//! The key of what was planted and proved.

use super::data::{Drawn, Key, KeyDecoy, KeyFault, KeyFinding};
use super::offered::{Offers, offers};
use crate::draw::{self, Draw};
use crate::fault::{Fault, Promise};
use crate::proof::declared;
use crate::proof::plant::Planting;
use crate::survey::look::{Found, Look};
use std::collections::BTreeSet;
use wetside_base::finding::{Finding, On, Outcome};
use wetside_base::vocabulary::FieldId;
use wetside_edit::splice::Splice;

/// What was drawn for one survey.
pub(crate) struct Changes<'c> {
    pub plantings: Vec<Planting<'c>>,
    /// Faults that were drawn and exchanged for harmless changes; their reasons are offered all the same.
    pub exchanged: Vec<&'c Fault>,
    pub harmless: Vec<Splice>,
}

impl<'c> Changes<'c> {
    /// Faults and decoys, those that were exchanged among them.
    pub(crate) fn faults(&self) -> impl Iterator<Item = &'c Fault> {
        let planted = self.plantings.iter().map(|planting| planting.fault);
        planted.chain(self.exchanged.iter().copied())
    }

    pub(crate) fn splices(&self) -> Vec<Splice> {
        let planted = self.plantings.iter().flat_map(|planting| &planting.splices);
        planted.chain(&self.harmless).cloned().collect()
    }
}

/// What an exercise was made of.
pub(crate) struct Made<'m, 'c> {
    pub number: usize,
    pub seed: u64,
    pub changes: &'m Changes<'c>,
    pub base: &'m Look<'m>,
    pub look: &'m Look<'m>,
    pub catalogue_sum: u64,
}

pub(crate) fn of(made: &Made<'_, '_>, draw: &mut Draw) -> Key {
    let all = made.changes.splices();
    let (mut faults, mut decoys) = (Vec::new(), Vec::new());
    for planting in &made.changes.plantings {
        let fault = planting.fault;
        let (id, title) = (fault.id.clone(), fault.title.clone());
        let lines = changed_lines(&planting.splices, &all, made);
        if fault.is_decoy() {
            decoys.push(KeyDecoy {
                id,
                title,
                lines,
                because: fault.because.clone(),
            });
        } else {
            faults.push(KeyFault {
                id,
                title,
                difficulty: fault.points,
                lines,
                findings: findings(planting, made.look),
            });
        }
    }
    let text = &made.look.source.text;
    let number = made.number.to_string();
    let parts = [made.base.source.text.as_str(), &number, text];
    let id = parts
        .into_iter()
        .fold(made.seed ^ made.catalogue_sum, draw::sum);
    let offers = offers(rules(made), fields(made), made.look, draw);
    Key {
        recipe: Some(Drawn {
            seed: made.seed,
            variant: made.number,
        }),
        catalogue: draw::written(made.catalogue_sum),
        ..by_hand(id, made.base, made.look, faults, decoys, offers)
    }
}

/// The key of a survey with these faults and decoys, which nobody has drawn from a catalogue.
pub(crate) fn by_hand(
    id: u64,
    base: &Look<'_>,
    look: &Look<'_>,
    faults: Vec<KeyFault>,
    decoys: Vec<KeyDecoy>,
    offers: Offers,
) -> Key {
    // The last part of its path, so that the key does not depend on where the survey lay.
    let made_from = base.source.name.rsplit(['/', '\\']).next();
    Key {
        exercise: draw::written(id),
        title: None,
        trainee: None,
        survey: draw::written(draw::sum(draw::EMPTY, &look.source.text)),
        made_from: made_from.unwrap_or_default().to_string(),
        recipe: None,
        packs: look.judgement.packs.clone(),
        catalogue: draw::written(draw::EMPTY),
        reasons: offers.reasons,
        fields: offers.fields,
        steps: offers.steps,
        neutral: neutral(&faults, look),
        decoys,
        faults,
    }
}

/// The findings that one fault promised, at their lines.
fn findings(planting: &Planting<'_>, look: &Look<'_>) -> Vec<KeyFinding> {
    let promised = planting
        .fault
        .raises
        .iter()
        .filter_map(|promise| match promise {
            Promise::Broken { rule, at } => {
                let broken = look.judgement.outcomes().filter(|(finding, on)| {
                    finding.outcome == Outcome::Broken
                        && finding.rule == *rule
                        && planting.may_be(at, on.element.as_ref())
                });
                let (finding, on) = broken.min_by_key(|(_, on)| on.place)?;
                Some(rule_finding(finding, on, look))
            }
            Promise::Missing(at) => {
                let fact = declared::fact_name(at, planting, look)?;
                Some(missing_finding(fact, look))
            }
        });
    let mut findings: Vec<KeyFinding> = promised.collect();
    findings.sort();
    findings.dedup();
    findings
}

pub(crate) fn rule_finding(finding: &Finding, on: &On, look: &Look<'_>) -> KeyFinding {
    KeyFinding::Rule {
        rule: finding.rule.clone(),
        thing: on.element.clone(),
        line: look.line_of(on.place),
    }
}

pub(crate) fn missing_finding(fact: String, look: &Look<'_>) -> KeyFinding {
    let mut waited = look.waited();
    let place = waited.find(|(name, _)| declared::is_within(name, &fact));
    let line = place.map_or(1, |(_, span)| look.line_of(span));
    KeyFinding::Missing { fact, line }
}

/// Everything found that no fault promises, and what is broken already though it is due later.
fn neutral(faults: &[KeyFault], look: &Look<'_>) -> Vec<KeyFinding> {
    let promised: BTreeSet<&KeyFinding> = faults.iter().flat_map(|fault| &fault.findings).collect();
    let judgement = &look.judgement;
    let all = judgement.findings.iter().chain(&judgement.ahead);
    let all = all.flat_map(|finding| finding.on.iter().map(|on| rule_finding(finding, on, look)));
    let rest: BTreeSet<KeyFinding> = all.filter(|finding| !promised.contains(finding)).collect();
    rest.into_iter().collect()
}

/// The lines of the trainee's survey that these splices changed.
fn changed_lines(own: &[Splice], all: &[Splice], made: &Made<'_, '_>) -> Vec<usize> {
    let lines: BTreeSet<usize> = own
        .iter()
        .flat_map(|splice| {
            let first = line_after(splice, all, made.look);
            let more = splice.text.matches('\n').count().saturating_sub(1);
            first..=first + more
        })
        .collect();
    lines.into_iter().collect()
}

/// The line on which a splice of the clean text ended up.
pub(crate) fn line_after(splice: &Splice, all: &[Splice], look: &Look<'_>) -> usize {
    let before = all.iter().filter(|other| other.at.start < splice.at.start);
    let (added, gone) = before.fold((0, 0), |(added, gone), other| {
        (added + other.text.len(), gone + other.at.len())
    });
    let at = (splice.at.start as usize + added).saturating_sub(gone);
    let at = at.min(look.source.text.len());
    let line = look.source.line_of(u32::try_from(at).unwrap_or(u32::MAX));
    // What was taken out together with its line leaves its place to the next one.
    let whole_line = splice.text.is_empty()
        && splice.at.start > 0
        && look.source.place(u32::try_from(at).unwrap_or(0)).column == 1;
    if whole_line {
        line.saturating_sub(1).max(1)
    } else {
        line.min(look.source.line_count())
    }
}

/// The rules that faults and decoys speak of, and those that are broken.
fn rules(made: &Made<'_, '_>) -> BTreeSet<String> {
    let rules = made.changes.faults().flat_map(|fault| {
        let promised = fault.raises.iter().filter_map(|promise| match promise {
            Promise::Broken { rule, .. } => Some(rule.clone()),
            Promise::Missing(_) => None,
        });
        promised.chain(fault.looks_like.iter().map(|(rule, _)| rule.clone()))
    });
    let found = made.look.found().into_iter();
    let found = found.filter_map(|found| match found {
        Found::Broken { rule, .. } => Some(rule),
        _ => None,
    });
    rules.chain(found).collect()
}

/// The fields that faults took away.
fn fields(made: &Made<'_, '_>) -> BTreeSet<FieldId> {
    let promises = made.changes.faults().flat_map(|fault| &fault.raises);
    let missing = promises.filter_map(|promise| match promise {
        Promise::Missing(at) => Some(at.route.field),
        Promise::Broken { .. } => None,
    });
    missing.collect()
}
