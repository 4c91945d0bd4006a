//! Limits, laws, tables, lists of words and fields of a pack that none of its rules speaks of.
//!
//! Contract: each is a problem at its own line. Whoever writes the limit of another pack down again in
//! their own would otherwise believe that it was changed, and nothing would be judged by it.

use super::{LimitEntry, PACK_FILE, Pack, PackFiles, PackProblem};
use std::sync::Arc;
use wetside_base::problem::Problem;
use wetside_base::vocabulary::{Tier, Vocabulary};
use wetside_lang::names::List;
use wetside_lang::node::Reads;

/// What is idle in a pack that is sound in all else: what a layer has from below is not its own to use.
pub(crate) fn idle(pack: &Pack, files: &PackFiles, vocabulary: &Vocabulary) -> Vec<PackProblem> {
    let reads = named(pack);
    let head = Arc::new(files.source(PACK_FILE));
    let root = wetside_document::read(&head).root;
    let mut told = Vec::new();
    let mut tell = |key: &str, name: &str, kind, says: String, help: &str| {
        if let Some(written) = root.get(key).and_then(|under| under.value.get(name)) {
            let line = head.line_of(written.key.span.start);
            told.push(Problem::new(kind, head.line_span(line), says, help));
        }
    };
    for (at, LimitEntry { limit, changes, .. }) in pack.limits.iter().enumerate() {
        if !reads.limits.contains(&at) && changes.is_empty() {
            let says = format!("no rule of this pack speaks of the limit `{}`", limit.name);
            let help = "a limit serves the rules of its own pack only: let a rule say `limit.` and its \
                        name, or take it out; to judge by another limit than a pack has, write a layer \
                        that sets it";
            tell("limits", &limit.name, "idle-limit", says, help);
        }
    }
    for (at, List { name, .. }) in pack.lists.iter().enumerate() {
        if !reads.lists.contains(&at) {
            let says = format!("no rule of this pack names the list of words `{name}`");
            let help = "let a rule say `words.` and its name, or take the list out";
            tell("words", name, "idle-words", says, help);
        }
    }
    for (at, law) in pack.laws.iter().enumerate() {
        if !cites(pack, at) {
            let name = law.name();
            let says = format!("no rule or limit of this pack cites the law `{name}`");
            let help = "cite it under `source`, as `law:` and its name, or take it out";
            tell("laws", name, "idle-law", says, help);
        }
    }
    let group = vocabulary.company();
    for id in group.into_iter().flat_map(|id| vocabulary.children(id)) {
        let field = vocabulary.field(id);
        let keyed = pack.tables.iter().any(|table| table.keyed_by == id);
        if !reads.fields.contains(&id) && !keyed && field.tier != Some(Tier::Record) {
            let says = format!("no rule of this pack reads the field `{}`", field.path);
            let help = "let a rule read it, say `tier: record` if it is only kept, or take it out";
            tell("fields", &field.name, "idle-field", says, help);
        }
    }
    let tables = pack.tables.iter().enumerate();
    let tables = tables.filter(|(at, _)| !reads.tables.contains(at));
    let tables = tables.filter_map(|(_, table)| idle_table(files, &table.name));
    PackProblem::each(&head, told).chain(tables).collect()
}

fn idle_table(files: &PackFiles, name: &str) -> Option<PackProblem> {
    let path = format!("tables/{name}.yaml");
    files.files.iter().find(|(other, _)| *other == path)?;
    let says = format!("no rule of this pack looks anything up in the table `{name}`");
    let help = "a table serves the rules of its own pack only: let a rule look something up in \
                it, or take the file out";
    Some(files.problem_of(&path, "idle-table", says, help))
}

fn cites(pack: &Pack, law: usize) -> bool {
    let of_limits = pack.limits.iter().map(|entry| &entry.cited);
    let of_rules = pack.rules.iter().map(|rule| &rule.words.cited);
    of_limits.chain(of_rules).any(|cited| cited.cites(law))
}

/// All that the rules and rows of a pack name.
fn named(pack: &Pack) -> Reads {
    let mut reads = Reads::default();
    let of_rows = pack.usual.iter().map(super::Agreement::reads);
    for of_rule in pack.rules.iter().map(super::Rule::reads).chain(of_rows) {
        reads.limits.extend(of_rule.limits);
        reads.tables.extend(of_rule.tables);
        reads.lists.extend(of_rule.lists);
        reads.fields.extend(of_rule.fields);
    }
    reads
}
