//! `wetside rule`: everything about one rule; and `wetside pack print`: all that a pack asks, for people to read.

use super::exit::Exit;
use super::files::{self, Refusal};
use super::packs::{self, shown};
use super::terminal::Look;
use clap::Args;
use std::path::PathBuf;
use wetside_base::suggest;
use wetside_base::vocabulary::Vocabulary;
use wetside_document::Node;
use wetside_engine::cases::{self, Expected};
use wetside_engine::digest;
use wetside_engine::pack::{LimitEntry, PACK_FILE, Pack, Rule};
use wetside_report::pen::{Ink, Pen, closed, number, row, sentence};
use wetside_report::text::cited;

/// Say what a rule asks, why, and where that comes from
#[derive(Args, Debug)]
pub(super) struct Arguments {
    /// The rule's id, as reports and `wetside rules` give it
    #[arg(value_name = "RULE")]
    id: String,
    #[command(flatten)]
    setting: packs::Setting,
}

pub(super) fn run(arguments: &Arguments) -> Result<Exit, Refusal> {
    let packs = arguments.setting.packs()?;
    let id = &arguments.id;
    let all = packs.packs.iter();
    let found = all.clone().filter_map(|pack| Some((pack, pack.rule(id)?)));
    let retired = all.clone().flat_map(|pack| {
        let retired = pack.retired.iter().filter(|rule| rule.id == *id);
        retired.map(move |rule| (pack, rule))
    });
    let found: Vec<(&Pack, &Rule)> = found.chain(retired).collect();
    if found.is_empty() {
        let ids = all
            .flat_map(|pack| &pack.rules)
            .map(|rule| rule.id.as_str());
        let help = suggest::help(id, ids, "`wetside rules` lists all rules");
        return Err(Refusal::new(format!("there is no rule `{id}`"), help));
    }
    let mut pen = Pen::new(arguments.setting.look.on_screen());
    for (pack, rule) in found {
        page(&mut pen, pack, rule);
    }
    shown(&pen.finish())?;
    Ok(Exit::Clear)
}

/// Where a rule lies, by when it is due, and how long a breach does harm.
fn belongs(rule: &Rule) -> String {
    let past = rule
        .until
        .map(|last| format!(", and worth knowing only once past {last}"));
    format!(
        "Part {} of {}; due by {}{}.",
        rule.part,
        rule.pack,
        rule.stage,
        past.unwrap_or_default()
    )
}

fn page(pen: &mut Pen, pack: &Pack, rule: &Rule) {
    let words = &rule.words;
    let root = wetside_document::read(&rule.source()).root;
    let written = |key: &str| {
        root.get(key)
            .and_then(|entry| entry.value.as_text())
            .map(one_line)
    };
    pen.title(&rule.id, '=', Ink::Strong);
    let is_retired = pack.retired.iter().any(|one| one.id == rule.id);
    let retired = if is_retired { ", retired" } else { "" };
    let heading = format!("{}{retired}: {}", rule.class, words.title);
    pen.paragraph(0, &sentence(&heading));
    pen.paragraph(0, &belongs(rule));
    pen.gap();
    let parts = [
        ("For each", "for_each"),
        ("When", "when"),
        ("Must", "must"),
        ("Shown at", "point_at"),
    ];
    for (word, key) in parts {
        if let Some(text) = written(key) {
            pen.entry(0, word, &text);
        }
    }
    pen.gap();
    let mut told = |word: &str, text: Option<String>| {
        if let Some(text) = text {
            pen.entry(0, word, &closed(&text));
        }
    };
    told("Says", written("says"));
    told("Do", written("do"));
    let by_phase = root.get("do").into_iter();
    for entry in by_phase.flat_map(|entry| entry.value.entries()) {
        let mut phases = pack.phases.iter();
        let phase = phases.find(|phase| phase.name == entry.key.text);
        let text = entry.value.as_text().map(one_line);
        let led = phase
            .zip(text)
            .map(|(phase, text)| format!("{}: {text}", phase.says));
        told("Do", led);
    }
    told("Why", written("because"));
    links(pen, &root);
    pen.entry(0, "Source", &cited(&words.cited.everywhere(&pack.laws)));
    if let Some(caution) = &words.caution {
        pen.entry(0, "Caution", &closed(caution));
    }
    parameters(pen, pack, rule);
    chain(pen, pack, rule);
    cases(pen, rule, &root);
}

/// Who wrote the rule, and what each layer made of it and of its limits, with the lines where that stands.
fn chain(pen: &mut Pen, pack: &Pack, rule: &Rule) {
    pen.heading("where it stands", '-', Ink::Strong);
    let written = format!("{} line {}, as it was written", rule.path(), rule.must_line);
    pen.entry(0, &rule.pack, &closed(&written));
    let limits = limits(pack, rule).into_iter().flat_map(|entry| {
        let changes = entry.changes.iter();
        changes.map(|one| (format!("{} {}", entry.limit.name, one.says), one))
    });
    let own = rule.changes.iter().map(|one| (one.says.clone(), one));
    for (says, change) in own.chain(limits) {
        let (line, because) = (change.line, &change.because);
        let who = format!("{}, {}", change.by, change.on);
        let words = format!("{PACK_FILE} line {line}, {says}; {because} ({who})");
        pen.entry(0, &change.pack, &closed(&words));
    }
    let kept = pack.keeps(rule);
    let kept = kept.map_or(String::new(), |why| {
        format!("; {why}, so no layer loosens it")
    });
    let digest = pack.digest_of(rule);
    let words = format!("{}{kept}", digest::short(&digest));
    pen.entry(0, "Content", &closed(&words));
}

/// What the rule says of others of its pack.
fn links(pen: &mut Pen, root: &Node) {
    for (word, key) in [("Explains", "explains"), ("Comes before", "comes_before")] {
        if let Some(entry) = root.get(key) {
            let links = entry.value.items().iter().filter_map(Node::as_text);
            let links: Vec<&str> = links.collect();
            pen.entry(0, word, &closed(&links.join("; ")));
        }
    }
}

/// A folded text as one line.
fn one_line(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// The limits of the pack that the rule names.
fn limits<'p>(pack: &'p Pack, rule: &Rule) -> Vec<&'p LimitEntry> {
    let (reads, limits) = (rule.reads(), (0..).zip(&pack.limits));
    let named = limits.filter(|(at, _)| reads.limits.contains(at));
    named.map(|(_, entry)| entry).collect()
}

/// One limit, with what stands between its value and what it says.
fn limit(pen: &mut Pen, pack: &Pack, entry: &LimitEntry, between: &str) {
    let (written, says) = (&entry.limit.written, &entry.says);
    let source = cited(&entry.cited.everywhere(&pack.laws));
    let words = format!("{written}{between}{says}. Source: {source}");
    pen.entry(0, &entry.limit.name, &words);
}

/// The limits and tables of the pack that the rule names.
fn parameters(pen: &mut Pen, pack: &Pack, rule: &Rule) {
    let (limits, reads) = (limits(pack, rule), rule.reads());
    let tables = (0..).zip(&pack.tables);
    let tables = tables.filter(|(at, _)| reads.tables.contains(at));
    let tables: Vec<String> = tables
        .map(|(_, table)| {
            let content = pack.stamp(&table.named()).map_or("", digest::short);
            format!("`{}` (content {content})", table.name)
        })
        .collect();
    if limits.is_empty() && tables.is_empty() {
        return;
    }
    pen.heading("limits and tables", '-', Ink::Strong);
    for entry in limits {
        limit(pen, pack, entry, ", ");
    }
    if !tables.is_empty() {
        pen.paragraph(0, &format!("Looks up {}.", row(&tables)));
    }
}

fn cases(pen: &mut Pen, rule: &Rule, root: &Node) {
    let source = rule.source();
    let written = root.get("cases").into_iter();
    let written = written.flat_map(|entry| entry.value.items());
    let cases = cases::of(rule);
    let of = match rule.changes.as_slice() {
        [] => "",
        _ => " of the rule as it was written",
    };
    let heading = format!("{}{of}", number(cases.len(), "case", "cases"));
    pen.heading(&heading, '-', Ink::Strong);
    for (case, written) in cases.iter().zip(written) {
        let then = match &case.then {
            Expected::Whole(outcome) => outcome.to_string(),
            Expected::Elements(elements) => {
                let each = elements
                    .iter()
                    .map(|(element, outcome)| format!("`{element}` {outcome}"));
                row(&each.collect::<Vec<_>>())
            }
        };
        let given = written.get("given").map(|given| given.value.span);
        let given = given.map_or(String::new(), |span| one_line(source.slice(span)));
        pen.entry(0, &case.name, &format!("{then}, given {given}"));
    }
}

/// Write what a pack asks, why, and where that comes from: every rule with its limits and cases
///
/// Of a layer its own rules and those that it changes or retires; what it leaves alone stands in the pack below.
#[derive(Args, Debug)]
pub(super) struct Print {
    #[command(flatten)]
    folder: packs::Folder,
    /// Write it into this file, which must not exist yet
    #[arg(long, value_name = "FILE")]
    into: Option<PathBuf>,
    #[command(flatten)]
    look: Look,
}

pub(super) fn print(arguments: &Print) -> Result<Exit, Refusal> {
    let (packs, _, wrong) = arguments.folder.stack()?;
    packs::sound(&wrong, &arguments.look)?;
    let style = match arguments.into {
        Some(_) => arguments.look.on_file(),
        None => arguments.look.on_screen(),
    };
    let mut pen = Pen::new(style);
    if let Some(pack) = packs.packs.last() {
        whole(&mut pen, pack, &packs.vocabulary);
    }
    let page = pen.finish();
    match &arguments.into {
        Some(path) => files::write(path, &page, false, "name a file that does not exist yet")?,
        None => shown(&page)?,
    }
    Ok(Exit::Clear)
}

fn whole(pen: &mut Pen, pack: &Pack, vocabulary: &Vocabulary) {
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
    own_limits(pen, pack, &own.pack);
    let changed = |rule: &Rule| rule.changes.iter().any(|change| change.pack == own.pack);
    let meant = |rule: &&Rule| rule.pack == own.pack || changed(rule);
    for rule in pack.rules.iter().chain(&pack.retired).filter(meant) {
        pen.gap();
        page(pen, pack, rule);
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
fn own_limits(pen: &mut Pen, pack: &Pack, own: &str) {
    let mut limits = pack.limits.iter().filter(|one| one.pack == own).peekable();
    if limits.peek().is_some() {
        pen.heading("limits", '-', Ink::Strong);
    }
    for entry in limits {
        limit(pen, pack, entry, ": ");
    }
    pen.gap();
}
