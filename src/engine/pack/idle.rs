//! Limits, tables and lists of words of a pack that none of its rules speaks of.
//!
//! Contract: each is a problem at its own line. Whoever writes the limit of another pack down again in
//! their own would otherwise believe that it was changed, and nothing would be judged by it.

use super::{PACK_FILE, Pack, PackFiles, PackProblem};
use std::sync::Arc;
use wetside_base::problem::Problem;
use wetside_lang::names::List;
use wetside_lang::node::Reads;

/// What is idle in a pack that is sound in all else.
pub(crate) fn idle(pack: &Pack, files: &PackFiles) -> Vec<PackProblem> {
    let head = files.source(PACK_FILE);
    let root = wetside_document::read(&head).root;
    let name = root.get("pack").and_then(|name| name.value.as_text());
    let reads = named(pack);
    let limits = pack.limits.iter().enumerate();
    let limits = limits.filter(|(at, entry)| {
        !reads.limits.contains(at) && Some(entry.pack.as_str()) == name && entry.changes.is_empty()
    });
    let limits = limits.map(|(_, entry)| {
        let says = format!(
            "no rule of this pack speaks of the limit `{}`",
            entry.limit.name
        );
        let help = "a limit serves the rules of its own pack only: let a rule say `limit.` and its \
                    name, or take it out; to judge by another limit than a pack has, write a layer \
                    that sets it";
        (PACK_FILE.to_string(), entry.line, "idle-limit", says, help)
    });
    let tables = pack.tables.iter().enumerate();
    let tables = tables.filter(|(at, table)| {
        let path = format!("tables/{}.yaml", table.name);
        !reads.tables.contains(at) && files.files.iter().any(|(other, _)| *other == path)
    });
    let tables = tables.map(|(_, table)| {
        let says = format!(
            "no rule of this pack looks anything up in the table `{}`",
            table.name
        );
        let help = "a table serves the rules of its own pack only: let a rule look something up in \
                    it, or take the file out";
        let path = format!("tables/{}.yaml", table.name);
        (path, 1, "idle-table", says, help)
    });
    let line_of = |list: &List| {
        let written = root.get("words")?.value.get(&list.name)?;
        Some(head.line_of(written.key.span.start))
    };
    let lists = pack.lists.iter().enumerate();
    let lists = lists.filter(|(at, _)| !reads.lists.contains(at));
    let lists = lists.filter_map(|(_, list)| Some((list, line_of(list)?)));
    let lists = lists.map(|(list, line)| {
        let says = format!(
            "no rule of this pack names the list of words `{}`",
            list.name
        );
        let help = "let a rule say `words.` and its name, or take the list out";
        (PACK_FILE.to_string(), line, "idle-words", says, help)
    });
    limits
        .chain(lists)
        .chain(tables)
        .map(|(path, line, kind, says, help)| {
            let source = Arc::new(files.source(&path));
            let problem = Problem::new(kind, source.line_span(line), says, help);
            PackProblem { source, problem }
        })
        .collect()
}

/// All that the rules and rows of a pack name.
fn named(pack: &Pack) -> Reads {
    let mut reads = Reads::default();
    let of_rows = pack.usual.iter().map(super::Agreement::reads);
    for of_rule in pack.rules.iter().map(super::Rule::reads).chain(of_rows) {
        reads.limits.extend(of_rule.limits);
        reads.tables.extend(of_rule.tables);
        reads.lists.extend(of_rule.lists);
    }
    reads
}
