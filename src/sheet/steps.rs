//! The steps of making safe in their order, and the register of what is moved with the way back.
//!
//! Contract: steps and register come finished; a box is ticked only where the survey says so of every thing in it.

use super::given::Job;
use super::page::{blank, quoted, tick, words};
use super::scene::remedies;
use maud::{Markup, html};
use wetside_base::finding::{Class, Finding, Outcome};
use wetside_engine::moved::{Register, Signature, Step, Thing, Told};
use wetside_report::pen::sentence;
use wetside_report::steps::chosen;
use wetside_units::truth::Truth;

/// Beside a step whose things may be more than those that are listed.
const MORE: &str = "The survey does not say that these are all.";

/// The steps of making safe, then those that are assumed.
pub(crate) fn in_order(job: &Job<'_>) -> Markup {
    let due = |step: &&Step| step.open.is_some() || !chosen(step, |thing| thing.due).is_empty();
    let steps = job.registers.iter().flat_map(|register| &register.steps);
    let steps: Vec<&Step> = steps.filter(due).collect();
    let assumed =
        |one: &&Finding| one.class == Class::Preparation && one.outcome == Outcome::Undecided;
    let assumed: Vec<&Finding> = job.judgement.findings.iter().filter(assumed).collect();
    html! {
        @if steps.is_empty() { p { "Nothing is recorded that has to be moved." } }
        @else { ol.steps { @for step in steps { (made_ready(step)) } } }
        @if !assumed.is_empty() {
            h3 { "Steps that are assumed, because too little is known to leave them out" }
            ul.steps { @for one in assumed { li {
                (tick(false))
                div {
                    p { (quoted(&one.title)) " (" (job.lines(one.on.iter().map(|on| on.place))) ")." }
                    @for remedy in remedies(one) { p { "Do: " (quoted(remedy)) "." } }
                }
            } } }
        }
    }
}

fn made_ready(step: &Step) -> Markup {
    let things = chosen(step, |thing| thing.due);
    let done = step.open.is_none() && things.iter().all(|thing| thing.is_set == Truth::Yes);
    let named = |truth: Truth| {
        let of = things.iter().filter(|thing| thing.is_set == truth);
        of.map(|thing| thing.name.as_str())
            .collect::<Vec<_>>()
            .join(", ")
    };
    let groups = [
        ("Still to do: ", Truth::No),
        ("Not recorded: ", Truth::Undecided),
        ("Done: ", Truth::Yes),
    ];
    // One thing that is called as its step need not be named again.
    let alone = things.len() == 1 && things[0].name == step.sort;
    html! { li {
        (tick(done))
        div {
            p { strong { (sentence(&step.sort)) } " " (sentence(&step.does)) }
            @if !(alone && done) { @for (label, truth) in groups {
                @if !named(truth).is_empty() { p { (label) (words(&named(truth))) "." } }
            } }
            @if step.open.is_some() { p { (MORE) } }
        }
    } }
}

/// What was moved, in the order of the way back.
pub(crate) fn register(job: &Job<'_>) -> Markup {
    let known = job
        .registers
        .iter()
        .filter(|register| !register.steps.is_empty());
    html! {
        @for register in known {
            p { (sentence(&register.tally())) }
            (moved(register))
        }
        p { (blank("All temporary items are off: name")) (blank("Date")) }
    }
}

fn moved(register: &Register) -> Markup {
    let moved = register.way_back();
    let moved = moved.map(|step| (step, chosen(step, |thing| thing.is_moved)));
    let shown = |(step, things): &(&Step, Vec<&Thing>)| !things.is_empty() || step.open.is_some();
    let moved: Vec<_> = moved.filter(shown).collect();
    let caption = "In the order in which it is put back";
    html! {
        @if !moved.is_empty() {
            div.wide role="region" aria-label=(caption) tabindex="0" { table {
                caption { (caption) }
                thead { tr { @for head in ["Thing", "Found", "Set", "Put back", "Set by", "Put back by"] { th scope="col" { (head) } } } }
                @for (step, things) in &moved { tbody {
                    tr.part { th scope="rowgroup" colspan="6" { (sentence(&step.sort)) " " (sentence(&step.undo)) } }
                    @for thing in things { (row(thing)) }
                    @if step.open.is_some() { tr { td colspan="6" { (MORE) } } }
                } }
            } }
        }
    }
}

fn row(thing: &Thing) -> Markup {
    html! { tr {
        th scope="row" { (words(&thing.name)) }
        td { @if thing.found.is_some() { (value(&thing.found)) } }
        td { (value(&thing.set)) @if thing.is_moved == Truth::Undecided { " (perhaps)" } }
        td { (tick(thing.is_back == Some(Truth::Yes))) @if thing.restored.as_ref().is_some_and(|told| told.value.is_some()) { " " (value(&thing.restored)) } }
        td { (signed(thing.signed_set.as_ref())) }
        td { (signed(thing.signed_back.as_ref())) }
    } }
}

fn value(told: &Option<Told>) -> Markup {
    let value = told.as_ref().and_then(|told| told.value.as_deref());
    html! {
        @match value {
            Some("yes") => "done",
            Some(value) => (words(value)),
            None => i.open { "not recorded" },
        }
    }
}

fn signed(signature: Option<&Signature>) -> Markup {
    let parts = signature
        .into_iter()
        .flat_map(|signed| [&signed.by, &signed.at]);
    let parts: Vec<&str> = parts.flatten().map(String::as_str).collect();
    words(&parts.join(", "))
}
