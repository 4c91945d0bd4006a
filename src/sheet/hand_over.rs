//! What hand-over still waits for: the papers are complete exactly when the survey is clear for hand-back.

use super::given::Job;
use super::page::{quoted, rows, table};
use super::survey::DOCUMENTS;
use maud::{Markup, html};
use wetside_base::finding::{Class, Finding, Outcome, Stage};
use wetside_report::headline;

/// Whether the papers are complete, and what is open.
pub(crate) fn waits(job: &Job<'_>) -> Markup {
    let findings = &job.at_hand_back.findings;
    let blocks = |one: &&Finding| one.class != Class::Advisory && one.departure.is_none();
    let (broken, open): (Vec<&Finding>, Vec<&Finding>) = findings
        .iter()
        .filter(blocks)
        .partition(|one| one.outcome == Outcome::Broken);
    html! {
        @if job.is_complete() {
            p.verdict.go { strong { "Complete" } br; "Judged for hand-back: " (headline(job.at_hand_back)) "." }
        } @else {
            p.verdict.wait { strong { "Not complete" } br; "Judged for hand-back: " (headline(job.at_hand_back)) "." }
            @if !broken.is_empty() {
                h3 { "To be put right" }
                ul { @for one in &broken { li { (quoted(&one.title)) " (" (one.class) ", " (job.lines(one.on.iter().map(|on| on.place))) ")." } } }
            }
            @if !open.is_empty() { (not_known(&open)) }
        }
        (rows("Papers", &job.rows(&[("Ready to be handed over", DOCUMENTS)])))
    }
}

/// How much nobody knows yet, by the stage at which it is due.
fn not_known(open: &[&Finding]) -> Markup {
    let count = |stage: Stage, class: Class| {
        let due = open
            .iter()
            .filter(|one| one.stage == stage && one.class == class);
        due.map(|one| one.count()).sum::<usize>()
    };
    let row = |stage: Stage| {
        let [hazards, steps] = [Class::Hazard, Class::Preparation].map(|class| count(stage, class));
        (hazards + steps > 0)
            .then(|| vec![html! { (stage) }, html! { (hazards) }, html! { (steps) }])
    };
    let body: Vec<Vec<Markup>> = Stage::ALL.into_iter().filter_map(row).collect();
    html! {
        (table("Not known yet, by the stage at which it is due", &["Stage", "Hazards to rule out", "Steps to do or to record"], &body))
        p { code { "wetside check --stage hand-back" } " tells each of them." }
    }
}
