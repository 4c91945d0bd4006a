//! The papers that are handed over: the customer's page, the record of water treatment, the label at the heat source.

use super::given::Job;
use super::page::{Page, blank, rows, said, section, table, whole, words};
use super::survey::{self, DONE, EXPECT, FOUND, LABEL, TEMPERATURES, WATER};
use maud::{Markup, html};

/// The customer's page, in plain words: what was found, what was done, what to expect, when to test next.
pub(crate) fn customer(job: &Job<'_>) -> String {
    let next = job.view.said(survey::NEXT_TEST);
    let done = html! { (rows("The work", &job.rows(DONE))) (radiators(job)) };
    let next = html! {
        @if next.known { p { "The next test of the water is due on " strong { (said(&next)) } "." } }
        @else { p { "No day is recorded yet. A test each year is usual." } p { (blank("Agreed day")) } }
        p { "Keep this page and the record of water treatment with the papers of the boiler." }
    };
    let sections = vec![
        section(
            "found",
            "What was found",
            rows("Before the work", &job.rows(FOUND)),
        ),
        section("done", "What was done", done),
        section("expect", "What to expect", expect(job)),
        section("next", "When to test next", next),
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

/// What was read, put in and proved, in the order of the work.
pub(crate) fn record(job: &Job<'_>) -> String {
    let readings = html! { @for part in WATER { (rows(part.title, &job.rows(part.rows))) } };
    let signed = html! { p { (blank("Name")) (blank("Date")) (blank("Signature")) } };
    let sections = vec![
        section("readings", "Readings and doses", readings),
        section("log", "Log of the flush", logged(job)),
        section("signed", "Signed", signed),
    ];
    whole(&Page {
        what: "Record of water treatment",
        reference: &job.reference(),
        head: html! {
            p { "Day of the work: " (said(&job.view.said(survey::WORK_DATE))) ". Products by their names and batch numbers are written in by hand:" }
            p { (blank("Cleaner")) (blank("Inhibitor")) (blank("Biocide")) }
            (job.unfinished())
        },
        sections,
        foot: html! { p.faint { "Made from the survey " (words(&job.source.name)) ". What is not recorded there is not recorded here." } },
        form: "",
    })
}

fn logged(job: &Job<'_>) -> Markup {
    let (entries, more) = job.view.list(survey::FLUSH_LOG);
    let head: Vec<&str> = survey::LOGGED.iter().map(|(label, _)| *label).collect();
    let row = |entry| {
        let cell = |path: &str| {
            let value = job.view.said_in(entry, path);
            let empty = path == survey::REMARK && !value.known;
            html! { @if !empty { (said(&value)) } }
        };
        survey::LOGGED.iter().map(|(_, path)| cell(path)).collect()
    };
    let body: Vec<Vec<Markup>> = entries.into_iter().map(row).collect();
    html! {
        @if body.is_empty() { p { "No reading is logged." } }
        @else { (table("Readings in the order of the survey", &head, &body)) }
        @if more && !body.is_empty() { p { "The survey does not say that these are all." } }
    }
}

/// The label at the heat source.
pub(crate) fn label(job: &Job<'_>) -> String {
    let in_water = html! {
        (rows("What is in the water", &job.rows(LABEL)))
        p { (blank("Products")) (blank("By")) }
    };
    whole(&Page {
        what: "Treated heating water",
        reference: &job.reference(),
        head: html! {
            @if !job.is_complete() { p { strong { "Draft: do not fix this label yet." } " The job sheet says what is open." } }
        },
        sections: vec![section("label", "What is in the water", in_water)],
        foot: html! { p { "After water is drained, or much is topped up, put the protection in again and test it. Do not mix products." } },
        form: "label",
    })
}
