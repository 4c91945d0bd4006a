//! The customer's page, in plain words: what was found, what was done, what to expect, when to test next.

use super::given::Job;
use super::page::{Page, Section, blank, rows, said, table, whole};
use super::survey::{self, DONE, EXPECT, FOUND, TEMPERATURES};
use maud::{Markup, html};

pub(crate) fn page(job: &Job<'_>) -> String {
    let next = job.view.said(survey::NEXT_TEST);
    let sections = vec![
        Section {
            id: "found",
            title: "What was found",
            body: html! { (rows("Before the work", &job.rows(FOUND))) },
        },
        Section {
            id: "done",
            title: "What was done",
            body: html! {
                (rows("The work", &job.rows(DONE)))
                (radiators(job))
            },
        },
        Section {
            id: "expect",
            title: "What to expect",
            body: expect(job),
        },
        Section {
            id: "next",
            title: "When to test next",
            body: html! {
                @if next.known { p { "The next test of the water is due on " strong { (said(&next)) } "." } }
                @else { p { "No day is recorded yet. A test each year is usual." } p { (blank("Agreed day")) } }
                p { "Keep this page and the record of water treatment with the papers of the boiler." }
            },
        },
    ];
    whole(&Page {
        what: "Your heating",
        reference: &job.reference(),
        head: html! {
            p { "What was found in your heating system, what was done, and what to expect now. Where it says " i.open { "not recorded" } " nobody has written it down." }
            (job.unfinished())
        },
        sections,
        foot: html! { p { (blank("Questions to")) (blank("Telephone")) } },
        form: "",
    })
}

fn radiators(job: &Job<'_>) -> Markup {
    let (emitters, more) = job.view.list(survey::EMITTERS);
    let mut head = vec!["Room"];
    head.extend(TEMPERATURES.iter().map(|(label, _)| *label));
    head.push("Flushed");
    let row = |emitter| {
        let paths = TEMPERATURES.iter().map(|(_, path)| *path);
        let paths = [survey::ID]
            .into_iter()
            .chain(paths)
            .chain([survey::FLUSHED]);
        paths
            .map(|path| said(&job.view.said_in(emitter, path)))
            .collect()
    };
    let body: Vec<Vec<Markup>> = emitters.into_iter().map(row).collect();
    html! {
        @if body.is_empty() { p { "No radiator is listed." } }
        @else { (table("Radiators, one by one", &head, &body)) }
        @if more { p { "The survey does not say that these are all." } }
    }
}

/// What holds of every system, and of this one.
fn expect(job: &Job<'_>) -> Markup {
    let holds =
        |when: &Option<(&str, &str)>| when.is_none_or(|(path, word)| job.view.said(path).is(word));
    let held = EXPECT.iter().filter(|(when, _)| holds(when));
    html! { ul { @for (_, words) in held { li { (words) } } } p.faint { "Common practice of the trade; what the makers of boiler and products say stands above it." } }
}
