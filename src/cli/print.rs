//! `wetside pack print`: all that a pack asks, for people to read, in one file.

use super::exit::Exit;
use super::files::{self, Refusal};
use super::packs::{self, shown};
use super::rule;
use super::terminal::Look;
use clap::Args;
use std::path::PathBuf;
use wetside_base::vocabulary::Vocabulary;
use wetside_engine::digest;
use wetside_engine::pack::{Pack, Rule};
use wetside_report::pen::{Ink, Pen, closed, number};
use wetside_report::text::cited;

/// Write what a pack asks, why, and where that comes from: every rule with its limits and cases
///
/// Of a layer its own rules and those that it changes or retires; what it leaves alone stands in the pack below.
#[derive(Args, Debug)]
pub(super) struct Arguments {
    #[command(flatten)]
    folder: packs::Folder,
    /// Write it into this file, which must not exist yet
    #[arg(long, value_name = "FILE")]
    into: Option<PathBuf>,
    #[command(flatten)]
    look: Look,
}

pub(super) fn run(arguments: &Arguments) -> Result<Exit, Refusal> {
    let (packs, _, wrong) = arguments.folder.stack()?;
    packs::sound(&wrong, &arguments.look)?;
    let style = match arguments.into {
        Some(_) => arguments.look.on_file(),
        None => arguments.look.on_screen(),
    };
    let mut pen = Pen::new(style);
    if let Some(pack) = packs.packs.last() {
        page(&mut pen, pack, &packs.vocabulary);
    }
    let page = pen.finish();
    match &arguments.into {
        Some(path) => files::write(path, &page, false, "name a file that does not exist yet")?,
        None => shown(&page)?,
    }
    Ok(Exit::Clear)
}

fn page(pen: &mut Pen, pack: &Pack, vocabulary: &Vocabulary) {
    let own = pack.identities().pop().unwrap_or_default();
    pen.title(&format!("{} {}", own.pack, own.edition), '=', Ink::Strong);
    if own.builds_on.is_none() {
        pen.paragraph(0, &closed(&pack.title));
        pen.paragraph(0, &pack.scope);
    }
    pen.entry(0, "Content", &closed(digest::short(&own.digest)));
    if let Some(below) = &own.builds_on {
        let changes = number(own.changes.len(), "change", "changes");
        let words = format!("{below}, with {changes} of its rules, limits and tables");
        pen.entry(0, "Builds on", &closed(&words));
    }
    pen.gap();
    fields(pen, vocabulary);
    limits(pen, pack, &own.pack);
    let changed = |rule: &Rule| rule.changes.iter().any(|change| change.pack == own.pack);
    let meant = |rule: &&Rule| rule.pack == own.pack || changed(rule);
    for rule in pack.rules.iter().chain(&pack.retired).filter(meant) {
        pen.gap();
        rule::page(pen, pack, rule);
    }
}

fn fields(pen: &mut Pen, vocabulary: &Vocabulary) {
    let group = vocabulary.company().into_iter();
    let mut fields = group.flat_map(|id| vocabulary.children(id)).peekable();
    if fields.peek().is_some() {
        pen.heading("what the company asks", '-', Ink::Strong);
    }
    for id in fields {
        let field = vocabulary.field(id);
        let words = format!("{} ({})", closed(&field.says), vocabulary.answers(id));
        pen.entry(0, &field.path, &words);
    }
    pen.gap();
}

/// The limits that the pack names or changes.
fn limits(pen: &mut Pen, pack: &Pack, own: &str) {
    let mut limits = pack.limits.iter().filter(|one| one.pack == own).peekable();
    if limits.peek().is_some() {
        pen.heading("limits", '-', Ink::Strong);
    }
    for entry in limits {
        let words = format!(
            "{}: {}. Source: {}",
            entry.limit.written,
            entry.says,
            cited(&entry.cited.everywhere(&pack.laws))
        );
        pen.entry(0, &entry.limit.name, &words);
    }
    pen.gap();
}
