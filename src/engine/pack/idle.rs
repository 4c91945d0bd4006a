//! Limits, laws, tables, lists of words and fields of a pack that none of its rules speaks of.
//!
//! Contract: each is a problem at its own line. Whoever writes the limit of another pack down again in
//! their own would otherwise believe that it was changed, and nothing would be judged by it.

use super::{PACK_FILE, Pack, PackFiles, PackProblem};
use std::sync::Arc;
use wetside_base::problem::Problem;
use wetside_base::vocabulary::{Tier, Vocabulary};
use wetside_lang::node::Reads;

/// What is idle in a pack that is sound in all else: what a layer has from below is not its own to use.
pub(crate) fn idle(pack: &Pack, files: &PackFiles, vocabulary: &Vocabulary) -> Vec<PackProblem> {
    let reads = named(pack);
    let limits = pack.limits.iter().enumerate();
    let limits = limits.filter(|(at, one)| !reads.limits.contains(at) && one.changes.is_empty());
    let lists = pack.lists.iter().enumerate();
    let lists = lists.filter(|(at, _)| !reads.lists.contains(at));
    let laws = pack.laws.iter().enumerate();
    let laws = laws.filter(|(at, _)| !cites(pack, *at));
    let tables = pack.tables.iter().enumerate();
    let tables = tables.filter(|(at, _)| !reads.tables.contains(at));
    let head = files.source(PACK_FILE);
    let root = wetside_document::read(&head).root;
    let told = |key: &str, name: &str, (kind, says, help): (&'static str, String, &str)| {
        let written = root.get(key)?.value.get(name)?;
        let line = head.line_of(written.key.span.start);
        let problem = Problem::new(kind, head.line_span(line), says, help);
        Some(PackProblem {
            source: Arc::new(head.clone()),
            problem,
        })
    };
    let limits = limits.filter_map(|(_, one)| {
        let says = format!(
            "no rule of this pack speaks of the limit `{}`",
            one.limit.name
        );
        let help = "a limit serves the rules of its own pack only: let a rule say `limit.` and its \
                    name, or take it out; to judge by another limit than a pack has, write a layer \
                    that sets it";
        told("limits", &one.limit.name, ("idle-limit", says, help))
    });
    let lists = lists.filter_map(|(_, list)| {
        let says = format!(
            "no rule of this pack names the list of words `{}`",
            list.name
        );
        let help = "let a rule say `words.` and its name, or take the list out";
        told("words", &list.name, ("idle-words", says, help))
    });
    let laws = laws.filter_map(|(_, law)| {
        let says = format!(
            "no rule or limit of this pack cites the law `{}`",
            law.name()
        );
        let help = "cite it under `source`, as `law:` and its name, or take it out";
        told("laws", law.name(), ("idle-law", says, help))
    });
    let tables = tables.filter_map(|(_, table)| idle_table(files, &table.name));
    let group = vocabulary.company();
    let fields = group.into_iter().flat_map(|id| vocabulary.children(id));
    let keyed = |id| pack.tables.iter().any(|table| table.keyed_by == id);
    let fields = fields.filter(|id| !reads.fields.contains(id) && !keyed(*id));
    let fields = fields.map(|id| vocabulary.field(id));
    let fields = fields.filter(|field| field.tier != Some(Tier::Record));
    let fields = fields.filter_map(|field| {
        let says = format!("no rule of this pack reads the field `{}`", field.path);
        let help = "let a rule read it, say `tier: record` if it is only kept, or take it out";
        told("fields", &field.name, ("idle-field", says, help))
    });
    let named = limits.chain(lists).chain(laws);
    named.chain(fields).chain(tables).collect()
}

fn idle_table(files: &PackFiles, name: &str) -> Option<PackProblem> {
    let path = format!("tables/{name}.yaml");
    files.files.iter().find(|(other, _)| *other == path)?;
    let source = Arc::new(files.source(&path));
    let says = format!("no rule of this pack looks anything up in the table `{name}`");
    let help = "a table serves the rules of its own pack only: let a rule look something up in \
                it, or take the file out";
    let problem = Problem::new("idle-table", source.line_span(1), says, help);
    Some(PackProblem { source, problem })
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
