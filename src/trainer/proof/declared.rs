//! What a planted fault declares, and whether it is there.
//!
//! Contract: a broken rule counts at the line that was promised; a missing fact counts where something
//! due waits for it. What else is found because of the same fact is declared with it.

use crate::fault::{FieldPath, Promise};
use crate::proof::plant::Planting;
use crate::survey::look::{Found, Look};
use std::collections::BTreeSet;
use wetside_base::facts::FactId;
use wetside_base::finding::Outcome;
use wetside_engine::run;

pub(crate) fn kept(promise: &Promise, planting: &Planting<'_>, look: &Look<'_>) -> bool {
    match promise {
        Promise::Broken { at, .. } => {
            let fact = fact(at, planting, look);
            fact.is_some_and(|fact| stands(promise, planting, look, Some(look.line(fact))))
        }
        Promise::Missing(_) => stands(promise, planting, look, None),
    }
}

/// Whether what is promised is found: a broken rule on one line, or on any.
pub(crate) fn stands(
    promise: &Promise,
    planting: &Planting<'_>,
    look: &Look<'_>,
    line: Option<usize>,
) -> bool {
    match promise {
        Promise::Broken { rule, at } => look.judgement.outcomes().any(|(finding, on)| {
            finding.outcome == Outcome::Broken
                && finding.rule == *rule
                && planting.may_be(at, on.element.as_ref())
                && line.is_none_or(|line| look.line_of(on.place) == line)
        }),
        Promise::Missing(at) => {
            let Some(name) = fact_name(at, planting, look) else {
                return false;
            };
            look.waited().any(|(fact, _)| is_within(fact, &name))
        }
    }
}

fn fact(at: &FieldPath, planting: &Planting<'_>, look: &Look<'_>) -> Option<FactId> {
    let things = planting.fault.things.as_ref();
    look.fact(at, things, planting.thing.as_deref())
}

/// The name that findings have for a missing fact.
pub(crate) fn fact_name(
    at: &FieldPath,
    planting: &Planting<'_>,
    look: &Look<'_>,
) -> Option<String> {
    let fact = fact(at, planting, look)?;
    Some(run::fact_name(look.scene(), fact))
}

/// Whether a fact is the named one or a part of it.
pub(crate) fn is_within(fact: &str, name: &str) -> bool {
    fact == name
        || fact
            .strip_prefix(name)
            .is_some_and(|rest| rest.starts_with(['.', ':', ',']))
}

/// The facts that the plantings took away.
pub(crate) fn missing(plantings: &[&Planting<'_>], look: &Look<'_>) -> BTreeSet<String> {
    let promises = plantings.iter().flat_map(|planting| {
        let raises = planting.fault.raises.iter();
        raises.map(move |promise| (planting, promise))
    });
    let names = promises.filter_map(|(planting, promise)| match promise {
        Promise::Missing(at) => fact_name(at, planting, look),
        Promise::Broken { .. } => None,
    });
    names.collect()
}

/// Whether a fault speaks of a finding, as a promise, as a consequence or as what may be.
pub(crate) fn declares(planting: &Planting<'_>, found: &Found, missing: &BTreeSet<String>) -> bool {
    let fault = planting.fault;
    let gone = |fact: &String| missing.iter().any(|name| is_within(fact, name));
    let may = |rule: &String| fault.may_raise.contains(rule);
    match found {
        Found::Broken { rule, thing } => {
            let promised = fault.raises.iter().any(|promise| match promise {
                Promise::Broken { rule: promised, at } => {
                    promised == rule && planting.may_be(at, thing.as_ref())
                }
                Promise::Missing(_) => false,
            });
            promised || may(rule)
        }
        Found::Undecided {
            rule, waits_for, ..
        } => may(rule) || (!waits_for.is_empty() && waits_for.iter().all(gone)),
        Found::Gap { fact } => gone(fact),
        Found::Problem { .. } => false,
    }
}

pub(crate) fn promised(promise: &Promise, planting: &Planting<'_>) -> String {
    let at = |path: &FieldPath| {
        let thing = planting.thing.as_ref().filter(|_| path.of_thing);
        let of = thing.map_or(String::new(), |thing| format!(" of `{thing}`"));
        format!("`{}`{of}", path.keys.join("."))
    };
    match promise {
        Promise::Broken { rule, at: path } => format!("`{rule}` at {}", at(path)),
        Promise::Missing(path) => format!("that something waits for {}", at(path)),
    }
}

/// A finding in a few words.
pub(crate) fn words(found: &Found) -> String {
    let of = |thing: &Option<String>| {
        thing
            .as_ref()
            .map_or(String::new(), |thing| format!(" for `{thing}`"))
    };
    match found {
        Found::Broken { rule, thing } => format!("`{rule}` is broken{}", of(thing)),
        Found::Undecided {
            rule,
            thing,
            waits_for,
        } => {
            let facts: Vec<String> = waits_for.iter().map(|fact| format!("`{fact}`")).collect();
            let (of, facts) = (of(thing), facts.join(" and "));
            format!("`{rule}` is undecided{of}, waiting for {facts}")
        }
        Found::Gap { fact } => format!("`{fact}` is asked for and not recorded"),
        Found::Problem { kind } => format!("the text has a problem, `{kind}`"),
    }
}
