//! The job sheet, with everything that is known of the job.
//!
//! Contract: everything of the short report stands here in its order; a box is ticked only where the survey says
//! that it is done.

use super::draw::drawing;
use super::given::Job;
use super::page::{Page, blank, quoted, rows, said, section, table, whole, words};
use super::scene::{Mark, Scene, marks, remedies, scene};
use super::survey::{self, DOCUMENTS, DOSED, SETTINGS};
use super::{branches, steps};
use maud::{Markup, PreEscaped, html};
use std::collections::BTreeMap;
use wetside_base::finding::{Class, Finding, Outcome, Stage, Verdict};
use wetside_report::figures::{CURVES, curve};
use wetside_report::pen::{number, sentence};
use wetside_report::text::cited;
use wetside_report::{CAUTION, facts_to_find_out, figures, first_things, headline};

pub(crate) fn page(job: &Job<'_>) -> String {
    let marks = marks(job.judgement);
    let scene = scene(&job.view, &marks);
    let reference = job.reference();
    let sections = vec![
        section("verdict", "Verdict", verdict(job)),
        section(
            "findings",
            "What stands in the way",
            in_the_way(job, &marks),
        ),
        section("find-out", "To find out", to_find_out(job)),
        section("system", "The system", system(&scene, &reference)),
        section("steps", "Steps, in this order", steps::in_order(job)),
        section(
            "register",
            "Register of what is moved",
            steps::register(job),
        ),
        section("settings", "Settings", settings(job)),
        section("day", "The day", day(job)),
        section("curves", "Curves", curves(job)),
        section("branches", "Branch card", branches::card(job, &scene)),
        section("doses", "Doses", doses(job)),
        section("assumed", "What was assumed", assumed(job)),
        section("hand-over", "Before hand-over", hand_over(job)),
        section("sources", "Sources", sources(job)),
        section("parts", "The drawing as a table", parts(&scene)),
    ];
    let notes = job.view.said(survey::NOTES);
    whole(&Page {
        what: "Job sheet",
        reference: &reference,
        head: html! {
            p { "Day of the work: " (said(&job.view.said(survey::WORK_DATE))) ". Stage: " (job.judgement.stage) ". Judged by " (job.judgement.packs.join(", ")) "." }
            @if let Some(notes) = notes.value() { p { "Note: " (words(notes)) } }
        },
        sections,
        foot: html! {
            p.caution { strong { "Caution. " } (CAUTION) }
            p.faint { "Made from the survey " (words(&job.source.name)) ". What is not recorded there is not known here." }
        },
        form: "",
    })
}

fn verdict(job: &Job<'_>) -> Markup {
    let class = match job.judgement.verdict {
        Verdict::Clear => "verdict go",
        Verdict::Prepare | Verdict::FindOut => "verdict wait",
        Verdict::DoNotStart => "verdict stop",
    };
    let first = first_things(job.source, job.judgement);
    html! {
        div class=(class) {
            strong { (headline(job.judgement)) }
            @if !first.is_empty() { ol { @for one in &first { li { (quoted(one)) } } } }
        }
        @if !job.judgement.problems.is_empty() {
            h3 { (number(job.judgement.problems.len(), "problem in the file", "problems in the file")) }
            ul { @for one in &job.judgement.problems { li { (job.lines([one.span])) ": " (quoted(&one.says)) "." @if !one.help.is_empty() { " " (quoted(&sentence(&one.help))) } } } }
        }
    }
}

/// Marks in words.
fn numbers(marks: &[Mark<'_>]) -> String {
    let each = marks
        .iter()
        .map(|mark| format!("{} ({})", mark.number, mark.shape.words()));
    each.collect::<Vec<_>>().join(", ")
}

fn system(scene: &Scene<'_>, reference: &str) -> Markup {
    html! {
        p { "A picture of what is recorded, not of where the pipes run. " a href="#parts" { "The same as a table" } "." }
        (drawing(scene, reference))
        @if !scene.elsewhere.is_empty() {
            p { "These findings belong to no part of the drawing: " (numbers(&scene.elsewhere)) "." }
        }
    }
}

/// The same facts as the drawing has.
fn parts(scene: &Scene<'_>) -> Markup {
    let emitters = scene.emitters.iter().map(|one| {
        let says = html! {
            "floor " (said(&one.floor)) @if one.off { "; off the wall" }
            @for (label, valve) in [("flow valve", &one.flow), ("return valve", &one.back)] {
                "; " (label) " " (said(&valve.kind))
                @if valve.stands.is_some() { ", found " (said(&valve.found)) ", set " (said(&valve.set)) @if valve.restored.known { ", put back " (said(&valve.restored)) } }
            }
        };
        vec![words(&one.name), said(&one.kind), says, html! { (numbers(&one.marks)) }]
    });
    let things = scene.things.iter().map(|thing| {
        let says = html! {
            @for (at, (label, value)) in thing.says.iter().enumerate() { @if at > 0 { "; " } (label) " " (said(value)) }
        };
        let kind = thing.kind.as_deref().unwrap_or_default();
        vec![words(&thing.name), words(kind), says, html! { (numbers(&thing.marks)) }]
    });
    let all: Vec<Vec<Markup>> = things.chain(emitters).collect();
    html! {
        div.parts { (table("The same as the drawing shows", &["Part", "Kind", "How it stands", "Findings"], &all)) }
    }
}

/// The findings with their numbers, and advice without.
fn in_the_way(job: &Job<'_>, marks: &[Mark<'_>]) -> Markup {
    let findings = &job.judgement.findings;
    let leads = |finding: &Finding| finding.explained_by.is_none();
    let advice = findings
        .iter()
        .filter(|one| one.class == Class::Advisory && one.outcome == Outcome::Broken && leads(one));
    let advice: Vec<&Finding> = advice.collect();
    let mut undecided = findings
        .iter()
        .filter(|one| one.outcome == Outcome::Undecided);
    let assumed = undecided.any(|one| one.class != Class::Advisory);
    html! {
        @if marks.is_empty() && assumed { p { "Nothing that is known; what is to be found out below decides whether anything does." } }
        @else if marks.is_empty() { p { "Nothing that is due at this stage." } }
        @else {
            ol.steps { @for mark in marks.iter().filter(|mark| leads(mark.finding)) { li {
                strong { (mark.number) }
                div {
                    (told(job, &sentence(mark.shape.words()), mark.finding))
                    @for one in followers(findings, mark.finding) { div.follows {
                        @let number = marks.iter().find(|mark| std::ptr::eq(mark.finding, one)).map(|mark| mark.number.to_string());
                        (told(job, &format!("{} Follows from it ({}).", number.unwrap_or_default(), one.class), one))
                    } }
                }
            } } }
        }
        @if !advice.is_empty() {
            h3 { "Worth knowing" }
            ul { @for one in advice { li { (quoted(sentence(&one.title).trim_end_matches('.'))) " (" (job.lines(one.on.iter().map(|on| on.place))) ")." @for remedy in remedies(one) { " " (quoted(&sentence(remedy))) } } } }
        }
    }
}

/// The findings that one explains.
fn followers<'a>(findings: &'a [Finding], of: &'a Finding) -> impl Iterator<Item = &'a Finding> {
    findings
        .iter()
        .filter(|one| of.outcome == Outcome::Broken && one.explained_by.as_ref() == Some(&of.rule))
}

/// What a finding says, with what to do.
fn told(job: &Job<'_>, lead: &str, finding: &Finding) -> Markup {
    let so = if finding.outcome == Outcome::Broken {
        "Do: "
    } else {
        "If it is so: "
    };
    html! {
        p { strong { (lead) " " } (quoted(sentence(&finding.title).trim_end_matches('.'))) " (" (job.lines(finding.on.iter().map(|on| on.place))) ")." }
        @if let Some(departure) = &finding.departure {
            p { "Departed from, accepted by " (words(&departure.by)) " until " (words(&departure.until)) ", because " (quoted(&departure.because)) ". Instead: " (quoted(&departure.instead)) "." }
        } @else {
            @for remedy in remedies(finding) { p { (so) (quoted(remedy)) "." } }
        }
        p.rule { (finding.rule) }
    }
}

/// Facts to find out, with room for the answer.
fn to_find_out(job: &Job<'_>) -> Markup {
    let judgement = job.judgement;
    let all = facts_to_find_out(judgement);
    let all = all.iter().map(|asked| {
        let what = html! {
            (words(asked.asks)) br; span.rule { (words(asked.fact)) ", " (job.lines(asked.spans.iter().copied())) }
            @if !asked.things.is_empty() { div.each { @for thing in &asked.things { (blank(words(thing))) " " } } }
        };
        vec![what, words(asked.answers), html! {}]
    });
    let all: Vec<Vec<Markup>> = all.collect();
    html! {
        @if all.is_empty() { p { "Nothing that is due at this stage." } }
        @else { div.write.plain { (table("Facts to find out, the most decisive first", &["What", "May be answered", "Answer"], &all)) } }
        @if judgement.more_questions + judgement.more_gaps > 0 { p { "And " (judgement.more_questions + judgement.more_gaps) " more." } }
    }
}

fn settings(job: &Job<'_>) -> Markup {
    html! {
        p { "Hottest water that everything stands: " strong { (figure(job, "temperature_ceiling")) } "." }
        @for part in SETTINGS { (rows(part.title, &job.rows(part.rows))) }
    }
}

/// A figure, or why it has none.
fn figure(job: &Job<'_>, name: &str) -> Markup {
    match job.figure(name) {
        Ok(value) => html! { (value) },
        Err(why) => html! { i.open { "not worked out: " (quoted(why)) } },
    }
}

/// The stages of the day, as a table and as bars.
fn day(job: &Job<'_>) -> Markup {
    html! {
        @match job.told {
            Ok(told) => {
                @let stages: Vec<Vec<Markup>> = figures::day(told).iter().map(|cells| cells.iter().map(|cell| words(cell)).collect()).collect();
                (table("From door to door", &["Stage", "Time", "Fresh water"], &stages))
                (picture(job, DAY))
            }
            Err(why) => p { "Not worked out: " (quoted(&why.0)) "." },
        }
    }
}

/// The curve that belongs to the section on the day.
const DAY: &str = "day";

/// All curves but that one; without any where nothing is worked out, with why.
fn curves(job: &Job<'_>) -> Markup {
    html! {
        @if let Err(why) = job.told { p { "None is drawn, for nothing is worked out: " (quoted(&why.0)) "." } }
        @else { @for name in CURVES.iter().filter(|name| **name != DAY) { (picture(job, name)) } }
    }
}

/// One curve, with its caption and its numbers in words; or a line that says why it cannot be drawn.
fn picture(job: &Job<'_>, name: &str) -> Markup {
    let drawing = match curve(job.told, name) {
        Ok(drawing) => drawing,
        Err(why) => return html! { p { "The " (name) " is " (quoted(&why)) "." } },
    };
    html! {
        figure.curve {
            // What a survey says has been made text where it was drawn.
            (PreEscaped(&drawing.svg))
            figcaption {
                p { (drawing.says) }
                @if let Some((what, numbers)) = &drawing.numbers {
                    p { "In numbers, " (what) ":" }
                    ul { @for one in numbers { li { (one) } } }
                }
            }
        }
    }
}

/// What is to be put in, worked out, and what was.
fn doses(job: &Job<'_>) -> Markup {
    let worked = [
        ("Cleaner", "cleaner_dose"),
        ("for the water that goes round", "flush_volume"),
        ("in whole containers", "cleaner_containers"),
        ("Inhibitor", "inhibitor_dose"),
        ("for all the water in service", "inhibitor_basis"),
        ("in whole containers", "inhibitor_containers"),
    ];
    let worked = worked.map(|(label, name)| (label, figure(job, name)));
    html! {
        (rows("Worked out", &worked))
        (rows("Put in", &job.rows(DOSED)))
    }
}

/// What no survey says and the figures go by.
fn assumed(job: &Job<'_>) -> Markup {
    html! {
        @match job.told {
            Ok(told) => {
                p { "The mains: " (told.convention) "." }
                @if told.supposed.is_empty() { p { "Nothing beside that: all that the plan needs is recorded." } }
                @else {
                    p { "The survey does not say these. No rule goes by them." }
                    ul { @for one in &told.supposed { li { (quoted(one)) } } }
                }
            }
            Err(why) => p { "No plan is worked out, so nothing was assumed for it: " (quoted(&why.0)) "." },
        }
    }
}

/// Whether the papers are complete, and what is open.
fn hand_over(job: &Job<'_>) -> Markup {
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

/// What each finding rests on, each source once.
fn sources(job: &Job<'_>) -> Markup {
    let mut all: BTreeMap<String, usize> = BTreeMap::new();
    for finding in &job.judgement.findings {
        *all.entry(cited(&finding.source)).or_default() += 1;
    }
    html! {
        @if all.is_empty() { p { "Nothing was found, so nothing is cited. Packs: " (job.judgement.packs.join(", ")) "." } }
        @else { ul { @for (source, count) in &all { li { (words(source)) " " span.faint { "(" (number(*count, "finding", "findings")) ")" } } } } }
    }
}
