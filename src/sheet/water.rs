//! The record of water treatment, and the label at the heat source.

use super::given::Job;
use super::page::{Page, Section, blank, rows, said, table, whole, words};
use super::survey::{self, LABEL, WATER};
use maud::{Markup, html};

/// What was read, put in and proved, in the order of the work.
pub(crate) fn record(job: &Job<'_>) -> String {
    let readings = html! { @for part in WATER { (rows(part.title, &job.rows(part.rows))) } };
    let signed = html! { p { (blank("Name")) (blank("Date")) (blank("Signature")) } };
    let sections = [
        ("readings", "Readings and doses", readings),
        ("log", "Log of the flush", logged(job)),
        ("signed", "Signed", signed),
    ];
    whole(&Page {
        what: "Record of water treatment",
        reference: &job.reference(),
        head: html! {
            p { "Day of the work: " (said(&job.view.said(survey::WORK_DATE))) ". Products by their names and batch numbers are written in by hand:" }
            p { (blank("Cleaner")) (blank("Inhibitor")) (blank("Biocide")) }
            (job.unfinished())
        },
        sections: sections
            .map(|(id, title, body)| Section { id, title, body })
            .into(),
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
    let reference = job.reference();
    whole(&Page {
        what: "Treated heating water",
        reference: &reference,
        head: html! {
            @if !job.is_complete() { p { strong { "Draft: do not fix this label yet." } " The job sheet says what is open." } }
        },
        sections: vec![Section {
            id: "label",
            title: "What is in the water",
            body: html! {
                (rows("What is in the water", &job.rows(LABEL)))
                p { (blank("Products")) (blank("By")) }
            },
        }],
        foot: html! { p { "After water is drained, or much is topped up, put the protection in again and test it. Do not mix products." } },
        form: "label",
    })
}
