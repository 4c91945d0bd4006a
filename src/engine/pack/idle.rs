//! Limits, tables and lists of words of a pack that none of its rules speaks of.
//!
//! Contract: each is a problem at its own line. Whoever writes the limit of another pack down again in
//! their own would otherwise believe that it was changed, and nothing would be judged by it.

use super::{PACK_FILE, Pack, PackFiles, PackProblem};
use std::sync::Arc;
use wetside_base::problem::Problem;
use wetside_lang::node::Reads;

/// What is idle in a pack that is sound in all else.
pub fn idle(pack: &Pack, files: &PackFiles) -> Vec<PackProblem> {
    let mut reads = Reads::default();
    let of_rows = pack.usual.iter().map(super::Agreement::reads);
    for of_rule in pack.rules.iter().map(super::Rule::reads).chain(of_rows) {
        reads.limits.extend(of_rule.limits);
        reads.tables.extend(of_rule.tables);
        reads.lists.extend(of_rule.lists);
    }
    let limits = pack.limits.iter().enumerate();
    let limits = limits.filter(|(at, _)| !reads.limits.contains(at));
    let limits = limits.map(|(_, entry)| {
        let says = format!("no rule of this pack speaks of the limit `{}`", entry.limit.name);
        let help = "a limit serves the rules of its own pack only: let a rule say `limit.` and its \
                    name, or take it out; to judge by another limit than a pack has, change a copy of \
                    that pack";
        (PACK_FILE.to_string(), entry.line, "idle-limit", says, help)
    });
    let tables = pack.tables.iter().enumerate();
    let tables = tables.filter(|(at, _)| !reads.tables.contains(at));
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
    let lists = pack.lists.iter().zip(&pack.list_lines).enumerate();
    let lists = lists.filter(|(at, _)| !reads.lists.contains(at));
    let lists = lists.map(|(_, (list, line))| {
        let says = format!(
            "no rule of this pack names the list of words `{}`",
            list.name
        );
        let help = "let a rule say `words.` and its name, or take the list out";
        (PACK_FILE.to_string(), *line, "idle-words", says, help)
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
