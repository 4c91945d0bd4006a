//! `docs/safety.md`: harm by harm, what stands in the way, and what nobody checks.
//!
//! The page is made from the ways in `tests/harms`, and held to them here;
//! `WETSIDE_WRITE_PAGES=1 cargo test --test it harms::page` writes it anew.

use super::{Barriers, Harm, Kind, Way, folder, harms};
use crate::examples::packs;
use std::fmt::Write as _;
use std::fs;

const HEAD: &str = "\
# What stands in the way of harm

A flush can hurt people, flood a house, foul drinking water and spoil a heating system. This page lists the
ways to such harm that were thought of. Each was written down as a survey and judged: it must not come out
clear, and the rules that are named beside it must be what speaks. A test holds all of it, and makes this page
from the same rows.

What it does not say: that there are no other ways. Wetside knows what a survey tells it. It does not see the
house, and a wrong answer that fits the others passes. The judgement is an aid to a competent person; the law
of the place, the makers' instructions and those licensed for gas, electricity and water stand above it.

Behind each rule stands its class: a *hazard* stops the job, a *preparation* must be done first, an *advisory*
is worth knowing. *Basis* is where the danger is described, and how sure that is.
";

#[test]
fn the_page_of_safety_is_as_the_ways_are() {
    let path = folder().join("docs/safety.md");
    let made = page();
    if std::env::var_os("WETSIDE_WRITE_PAGES").is_some() {
        fs::write(path, made).expect("it can be written");
        return;
    }
    let written = fs::read_to_string(path).expect("the page is there");
    let advice = "run `WETSIDE_WRITE_PAGES=1 cargo test --test it harms::page`";
    assert!(written == made, "docs/safety.md is out of date: {advice}");
}

fn page() -> String {
    let harms = harms();
    let of_harm = |(file, _): &&(String, Harm)| file != "rightful-houses.yaml";
    let mut page = HEAD.to_string();
    for (_, harm) in harms.iter().filter(of_harm) {
        page.push_str(&section(harm));
    }
    page + &rightful(harms.iter().flat_map(|(_, harm)| &harm.ways))
}

fn section(harm: &Harm) -> String {
    let ways = harm.ways.iter().filter(|way| is_harm(way));
    let (barred, open): (Vec<&Way>, Vec<&Way>) = ways.partition(|way| is_barred(way));
    let mut section = format!("\n## {}\n\n{}.\n", harm.harm, capital(&harm.because));
    section.push_str("\n| way | what stands in the way | basis |\n|---|---|---|\n");
    for way in barred {
        let basis = way.basis.as_ref().expect("a way that is tried has a basis");
        let basis = format!("{} ({})", basis.says, basis.certainty);
        let row = [&way.way, &barrier(way), &basis].map(|cell| cell.replace('|', "\\|"));
        writeln!(section, "| {} |", row.join(" | ")).expect("text takes text");
    }
    section.push_str("\n### What nobody checks\n\n");
    if open.is_empty() {
        section.push_str("No way is known that nothing bars.\n");
    }
    for way in open {
        let because = way.because.as_deref().unwrap_or_default();
        writeln!(section, "- {}: {because}", capital(&way.way)).expect("text takes text");
    }
    section
}

fn is_barred(way: &Way) -> bool {
    match &way.barred_by {
        Some(Barriers::Rules(rules)) => !rules.is_empty(),
        Some(Barriers::Word(word)) => word != "none",
        None => false,
    }
}

/// The rules with their classes, and why they are softer than was expected.
fn barrier(way: &Way) -> String {
    let rules = match &way.barred_by {
        Some(Barriers::Rules(rules)) => rules.iter().map(|rule| with_class(rule)).collect(),
        Some(Barriers::Word(word)) if word == "unlikely" => {
            vec!["an unlikely number, until it is confirmed".to_string()]
        }
        _ => vec!["a problem of the file".to_string()],
    };
    let softer = way.softer.as_ref();
    let softer = softer.map_or(String::new(), |reason| {
        format!("; no harder, since {reason}")
    });
    rules.join(", ") + &softer
}

fn with_class(id: &str) -> String {
    let rule = packs().packs.iter().find_map(|pack| pack.rule(id));
    let class = rule.map_or_else(String::new, |rule| format!(" ({})", rule.class));
    format!("`{id}`{class}")
}

/// What is odd and sound: those that nothing stops, and those that something still does, with the reason.
fn rightful<'a>(ways: impl Iterator<Item = &'a Way>) -> String {
    let mut section = "\n## What nothing may stop\n\n".to_string();
    section.push_str("Each is odd, and lawful and sound, and comes out clear.\n\n");
    for way in ways.filter(|way| !is_harm(way)) {
        let but = way.because.as_ref();
        let but = but.map_or(String::new(), |why| format!(" (still stopped: {why})"));
        writeln!(section, "- {}{but}", capital(&way.way)).expect("text takes text");
    }
    section
}

fn is_harm(way: &Way) -> bool {
    let expected = way.expect.as_ref();
    expected.is_none_or(|expected| expected.class != Kind::Clear)
}

/// With a capital, unless the word has one of its own, as pH.
fn capital(text: &str) -> String {
    let mut letters = text.chars();
    let first = letters.next().map(|first| first.to_uppercase().to_string());
    let rest = letters.as_str();
    if rest.starts_with(char::is_uppercase) {
        return text.to_string();
    }
    first.unwrap_or_default() + rest
}
