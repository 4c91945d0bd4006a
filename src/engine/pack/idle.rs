//! Limits and tables of a pack that none of its rules speaks of.
//!
//! Contract: each is a problem at its own line. Whoever writes the limit of another pack down again in
//! their own would otherwise believe that it was changed, and nothing would be judged by it.

use super::{PACK_FILE, Pack, PackFiles, PackProblem};
use std::sync::Arc;
use wetside_base::problem::Problem;
use wetside_base::source::Source;

/// What is idle in a pack that is sound in all else.
pub fn idle(pack: &Pack, files: &PackFiles) -> Vec<PackProblem> {
    let spoken_of = |name: &str| pack.rules.iter().any(|rule| rule.mentions(name));
    let limits = pack.limits.iter().filter(|entry| {
        let name = format!("limit.{}", entry.limit.name);
        !spoken_of(&name)
    });
    let limits = limits.map(|entry| {
        let says = format!("no rule of this pack speaks of the limit `{}`", entry.limit.name);
        let help = "a limit serves the rules of its own pack only: let a rule say `limit.` and its \
                    name, or take it out; to judge by another limit than a pack has, change a copy of \
                    that pack";
        (PACK_FILE.to_string(), entry.line, "idle-limit", says, help)
    });
    let tables = pack
        .tables
        .iter()
        .filter(|table| !spoken_of(&format!("{}[", table.name)));
    let tables = tables.map(|table| {
        let says = format!(
            "no rule of this pack looks anything up in the table `{}`",
            table.name
        );
        let help = "a table serves the rules of its own pack only: let a rule look something up in \
                    it, or take the file out";
        let path = format!("tables/{}.yaml", table.name);
        (path, 1, "idle-table", says, help)
    });
    limits
        .chain(tables)
        .map(|(path, line, kind, says, help)| {
            let text = files.files.iter().find(|(name, _)| *name == path);
            let text = text.map_or("", |(_, text)| text.as_ref());
            let source = Arc::new(Source::new(format!("{}/{path}", files.name), text));
            let problem = Problem::new(kind, source.line_span(line), says, help);
            PackProblem { source, problem }
        })
        .collect()
}
