//! Whether the key of an exercise is true.
//!
//! Contract: the base is clear; every promised finding is there, at its line; nothing is found that no
//! fault declares; undoing one fault takes its findings away and no other's; no fault hides another;
//! no value sits closer to its limit than it is written; the text tells nothing. The first thing that
//! does not hold is the answer, in words that a trainer or the writer of a fault can act on.

use crate::fault::{Answer, Family};
use crate::proof::declared::{declares, kept, missing, promised, stands, words};
use crate::proof::plant::Planting;
use crate::survey::look::{Found, Look};
use crate::survey::number::{half_a_step, leading};
use wetside_base::finding::Verdict;
use wetside_edit::splice::{Sort, Splice, collide};

/// Why an exercise would not be true to its key.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Defect {
    /// Which part of the proof failed, in words joined by hyphens.
    pub kind: &'static str,
    pub says: String,
}

impl Defect {
    pub fn new(kind: &'static str, says: impl Into<String>) -> Defect {
        Defect {
            kind,
            says: says.into(),
        }
    }
}

/// A base is clear and silent.
pub fn base(look: &Look<'_>) -> Result<(), Defect> {
    if let Some(found) = look.found().first() {
        let says = format!("the survey to start from is not clean: {}", words(found));
        return Err(Defect::new("base-not-clear", says));
    }
    match look.judgement.verdict {
        Verdict::Clear => Ok(()),
        other => {
            let says = format!("the survey to start from comes to `{other}`");
            Err(Defect::new("base-not-clear", says))
        }
    }
}

/// One fault on its own keeps its promises, and nothing else happens.
pub fn alone(planting: &Planting<'_>, base: &Look<'_>) -> Result<(), Defect> {
    let fault = planting.fault;
    let look = base.tried(&planting.splices);
    holds_for(&look, &[planting])?;
    tells_nothing(planting, base)?;
    if fault.sight.edge == Answer::Yes {
        return Ok(());
    }
    for near in near(&planting.splices) {
        let look = base.tried(&near);
        let possible = look.judgement.problems.is_empty();
        if possible && holds_for(&look, &[planting]).is_err() {
            let says = format!(
                "`{}` sits closer to a limit than it is written, and its fault does not say `edge: yes`",
                fault.id
            );
            return Err(Defect::new("on-the-edge", says));
        }
    }
    Ok(())
}

/// Several faults, decoys and harmless changes in one survey, and the survey itself.
///
/// Each planting must have passed [`alone`].
pub fn together<'p>(
    plantings: &[Planting<'_>],
    harmless: &[Splice],
    base: &Look<'p>,
) -> Result<Look<'p>, Defect> {
    let all: Vec<&Planting<'_>> = plantings.iter().collect();
    let every: Vec<Splice> = splices(&all, harmless);
    if collide(&every) {
        let says = "two changes would touch the same words";
        return Err(Defect::new("same-place", says));
    }
    quiet(&all, harmless, base)?;
    let look = base.tried(&every);
    holds_for(&look, &all)?;
    let faults = only(&all, |one| !one.fault.is_decoy());
    for fault in &faults {
        let others = only(&all, |other| !std::ptr::eq(other, *fault));
        let without = base.tried(&splices(&others, harmless));
        undone(fault, &others, &look, &without)?;
    }
    if faults.len() > 2 {
        pairwise(&faults, base)?;
    }
    Ok(look)
}

fn only<'p, 'c>(
    all: &[&'p Planting<'c>],
    wanted: impl Fn(&Planting<'c>) -> bool,
) -> Vec<&'p Planting<'c>> {
    all.iter().copied().filter(|one| wanted(one)).collect()
}

/// Decoys and harmless changes alone are as silent as the base.
fn quiet(all: &[&Planting<'_>], harmless: &[Splice], base: &Look<'_>) -> Result<(), Defect> {
    let left = splices(&only(all, |one| one.fault.is_decoy()), harmless);
    if left.is_empty() {
        return Ok(());
    }
    let look = base.tried(&left);
    let not_harmless = |why: String| {
        let says = format!("what should be harmless is not: {why}");
        Err(Defect::new("not-harmless", says))
    };
    match (look.found().first(), look.judgement.verdict) {
        (Some(found), _) => not_harmless(words(found)),
        (None, Verdict::Clear) => Ok(()),
        // Numbers that are harmless each may be unlikely beside each other.
        (None, other) => not_harmless(format!("it comes to `{other}`")),
    }
}

/// Undoing a fault takes its own findings away, and only those.
fn undone(
    fault: &Planting<'_>,
    others: &[&Planting<'_>],
    with: &Look<'_>,
    without: &Look<'_>,
) -> Result<(), Defect> {
    let id = &fault.fault.id;
    for promise in &fault.fault.raises {
        // On another line it would be another fault's, and nobody could tell whose it is.
        if stands(promise, fault, without, None) {
            let says = format!("without `{id}` its findings stand as before");
            return Err(Defect::new("not-needed", says));
        }
    }
    holds_for(without, others).map_err(|defect| {
        Defect::new("hides", format!("`{id}` hides something: {}", defect.says))
    })?;
    let before = without.found();
    let gone = with.found();
    for found in gone.difference(&before) {
        let own = declares(fault, found, &missing(&[fault], with));
        // What waits for facts of several faults waits for the rest of them afterwards.
        if !own && !matches!(found, Found::Undecided { .. }) {
            let says = format!(
                "without `{id}` something of another fault goes too: {}",
                words(found)
            );
            return Err(Defect::new("not-its-own", says));
        }
    }
    Ok(())
}

/// Of any two faults, both are seen.
fn pairwise(faults: &[&Planting<'_>], base: &Look<'_>) -> Result<(), Defect> {
    for (at, one) in faults.iter().enumerate() {
        for other in &faults[at + 1..] {
            let pair = [*one, *other];
            let look = base.tried(&splices(&pair, &[]));
            holds_for(&look, &pair).map_err(|defect| {
                let (one, other, why) = (&one.fault.id, &other.fault.id, defect.says);
                let says = format!("`{one}` and `{other}` do not go together: {why}");
                Defect::new("hides", says)
            })?;
        }
    }
    Ok(())
}

fn splices(plantings: &[&Planting<'_>], more: &[Splice]) -> Vec<Splice> {
    let own = plantings
        .iter()
        .flat_map(|planting| planting.splices.iter());
    own.chain(more).cloned().collect()
}

/// All promises are kept, and nothing is found that is not declared.
fn holds_for(look: &Look<'_>, plantings: &[&Planting<'_>]) -> Result<(), Defect> {
    if let Some(problem) = look.judgement.problems.first() {
        let says = format!("the text would be faulty: {}", problem.says);
        return Err(Defect::new("faulty-text", says));
    }
    for planting in plantings {
        for promise in &planting.fault.raises {
            if !kept(promise, planting, look) {
                let says = format!(
                    "`{}` promises {}, and it is not there",
                    planting.fault.id,
                    promised(promise, planting)
                );
                return Err(Defect::new("promise-not-kept", says));
            }
        }
    }
    let missing = missing(plantings, look);
    for found in look.found() {
        let mut all = plantings.iter();
        if !all.any(|planting| declares(planting, &found, &missing)) {
            let ids = plantings.iter();
            let ids: Vec<String> = ids.map(|one| format!("`{}`", one.fault.id)).collect();
            let (found, ids) = (words(&found), ids.join(" or "));
            let says = format!("{found}, which is not declared by {ids}");
            return Err(Defect::new("not-declared", says));
        }
    }
    Ok(())
}

/// The same changes with one number moved by half a step of its last digit, up and down.
fn near(splices: &[Splice]) -> Vec<Vec<Splice>> {
    let mut all = Vec::new();
    for (at, splice) in splices.iter().enumerate() {
        if splice.sort != Sort::Value {
            continue;
        }
        for moved in half_a_step(&splice.text) {
            let mut near = splices.to_vec();
            near[at].text = moved;
            all.push(near);
        }
    }
    all
}

/// The new words have the form of the old ones: a number with more digits than its neighbours, or a unit that the
/// survey uses nowhere, gives the fault away to somebody who knows nothing of heating.
fn tells_nothing(planting: &Planting<'_>, base: &Look<'_>) -> Result<(), Defect> {
    let id = &planting.fault.id;
    for splice in &planting.splices {
        if splice.sort == Sort::Value
            && planting.fault.family != Family::UnitSlip
            && !same_form(splice, base)
        {
            let says = format!(
                "`{}` has not the form that this survey gives such values, and would give `{id}` away",
                splice.text
            );
            return Err(Defect::new("form-tells", says));
        }
    }
    Ok(())
}

fn same_form(splice: &Splice, base: &Look<'_>) -> bool {
    let Some(new) = leading(&splice.text) else {
        return true;
    };
    let old = leading(base.source.slice(splice.at));
    let digits = new.no_finer_than(old.as_ref());
    let unit = new.rest.trim_start();
    let mut known = unit.is_empty() || old.is_some_and(|old| old.rest == new.rest);
    if !known {
        base.root.walk(&mut |found| {
            let value = found.node.as_text().and_then(leading);
            known |= value.is_some_and(|value| value.rest == new.rest);
        });
    }
    known && digits
}
