//! The steps and the register for people.

use crate::Style;
use crate::line_numbers;
use crate::pen::{Ink, Pen, closed, row, sentence};
use wetside_base::source::Source;
use wetside_engine::moved::{Register, Signature, Step, Thing};
use wetside_units::truth::Truth;

/// Making safe in order, the count, how far the parts are read, and the way back. `read` has each state with its parts.
pub fn page(
    source: &Source,
    register: &Register,
    read: &[(&str, Vec<String>)],
    style: &Style,
) -> String {
    let mut pen = Pen::new(*style);
    pen.heading("make safe, in this order", '=', Ink::Strong);
    let due = register.steps.iter();
    let due = due.map(|step| (step, chosen(step, |thing| thing.due)));
    for (at, (step, things)) in (1..).zip(due.filter(is_shown)) {
        let shown = Shown {
            does: &step.does,
            open: step.open.is_some(),
            done: "set",
            state: |thing| thing.is_set,
            beside: |thing| {
                thing
                    .set
                    .as_ref()?
                    .value
                    .as_deref()
                    .filter(|word| *word != "yes")
            },
            signed: |thing| thing.signed_set.as_ref(),
        };
        shown.put(&mut pen, source, at, (step, &things));
    }
    pen.heading("register", '=', Ink::Strong);
    pen.paragraph(0, &closed(&register.tally()));
    if !read.is_empty() {
        pen.heading("read in the flush", '=', Ink::Strong);
    }
    for (word, parts) in read {
        pen.entry(0, word, &row(parts));
    }
    let moved = register.way_back();
    let moved = moved.map(|step| (step, chosen(step, |thing| thing.is_moved)));
    let moved: Vec<_> = moved.filter(is_shown).collect();
    if !moved.is_empty() {
        pen.heading("the way back, in this order", '=', Ink::Strong);
    }
    for (at, (step, things)) in (1..).zip(moved) {
        let shown = Shown {
            does: &step.undo,
            open: step.open.is_some(),
            done: "back",
            state: |thing| thing.is_back.unwrap_or(Truth::Undecided),
            beside: |thing| match thing.found.as_ref()?.value.as_deref() {
                None if thing.is_out() => Some("how it stood is not recorded"),
                value => value,
            },
            signed: |thing| thing.signed_back.as_ref(),
        };
        shown.put(&mut pen, source, at, (step, &things));
    }
    pen.finish()
}

/// The things of a step of which something is so, or may be.
pub fn chosen(step: &Step, is: impl Fn(&Thing) -> Truth) -> Vec<&Thing> {
    let things = step.things.iter();
    things.filter(|thing| is(thing) != Truth::No).collect()
}

fn is_shown((step, things): &(&Step, Vec<&Thing>)) -> bool {
    !things.is_empty() || step.open.is_some()
}

/// How one step is shown, forwards or backwards.
struct Shown<'a> {
    does: &'a str,
    open: bool,
    /// The word for what is done.
    done: &'a str,
    state: fn(&Thing) -> Truth,
    beside: fn(&Thing) -> Option<&str>,
    signed: fn(&Thing) -> Option<&Signature>,
}

impl Shown<'_> {
    fn put(&self, pen: &mut Pen, source: &Source, at: usize, (step, things): (&Step, &[&Thing])) {
        let of = |truth| {
            things
                .iter()
                .filter(move |thing| (self.state)(thing) == truth)
        };
        let all_done = !self.open && of(Truth::Yes).count() == things.len();
        let mark = if all_done { "[x]" } else { "[ ]" };
        let lead = format!("{at:>2} {mark} ");
        let title = format!(
            "{}: {}",
            sentence(&step.sort).trim_end_matches('.'),
            self.does
        );
        pen.hanging(0, &lead, &closed(&title), Ink::Usual);
        let groups = [
            ("to do", Truth::No),
            ("not recorded", Truth::Undecided),
            (self.done, Truth::Yes),
        ];
        for (word, truth) in groups {
            let group: Vec<&Thing> = of(truth).copied().collect();
            if !group.is_empty() {
                let signed = if truth == Truth::Yes {
                    self.signature(&group)
                } else {
                    String::new()
                };
                let named = self.named(source, &step.sort, &group);
                pen.entry(7, word, &(named + &signed));
            }
        }
        if self.open {
            let more = "the survey does not say that these are all";
            pen.paragraph(7, &sentence(more));
        }
    }

    /// The things with how they stand, and their lines.
    fn named(&self, source: &Source, sort: &str, things: &[&Thing]) -> String {
        let name = |thing: &&Thing| match ((self.beside)(thing), thing.name == sort) {
            (Some(beside), true) => beside.to_string(),
            (Some(beside), false) => format!("{} ({beside})", thing.name),
            (None, _) => thing.name.clone(),
        };
        let names: Vec<String> = things.iter().map(name).collect();
        let spans = things.iter().map(|thing| thing.span);
        let lines = line_numbers::told(source, spans).unwrap_or_default();
        format!("{}, {lines}", row(&names))
    }

    /// Who signed for all of these, if it is one.
    fn signature(&self, things: &[&Thing]) -> String {
        let first = things.first().and_then(|thing| (self.signed)(thing));
        let alike = things.iter().all(|thing| (self.signed)(thing) == first);
        first.filter(|_| alike).map(signed).unwrap_or_default()
    }
}

/// `; R. at 2026-10-14T16:10`
fn signed(signature: &Signature) -> String {
    let parts = [&signature.by, &signature.at].into_iter().flatten();
    let parts: Vec<&str> = parts.map(String::as_str).collect();
    match parts.as_slice() {
        [] => String::new(),
        _ => format!("; signed {}", parts.join(", ")),
    }
}
