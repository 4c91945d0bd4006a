//! Cells of a table that a layer fills in, beside the rules that wait for them.

use super::Laying;
use crate::pack::Rule;

impl Laying<'_> {
    /// A cell that nobody knew keeps a rule undecided; to fill it in may let pass what waited.
    pub(super) fn refuse_filled_tables(&mut self) {
        let tables = (0..).zip(self.lower.tables.iter().zip(&self.pack.tables));
        let filled = tables.filter(|(_, (old, new))| {
            let mut rows = old.rows.iter().zip(&new.rows);
            rows.any(|(old, new)| {
                old.cells
                    .iter()
                    .zip(&new.cells)
                    .any(|(old, new)| old != new)
            })
        });
        let filled: Vec<(usize, String)> = filled
            .map(|(at, (old, _))| (at, old.name.clone()))
            .collect();
        for (at, name) in filled {
            let reads = |rule: &&Rule| rule.reads().tables.contains(&at);
            let mut rules = self.lower.rules.iter().filter(reads);
            let kept = rules.find_map(|rule| Some((rule, self.lower.keeps(rule)?)));
            if let Some((rule, why)) = kept {
                let says = format!(
                    "an unknown cell of `{name}` is filled in, which `{}` waits for, and {why}",
                    rule.id
                );
                let help = "write what you know into a column of your own";
                let span = self.sheet.source.line_span(1);
                self.sheet.report("loosens", span, says, help);
            }
        }
    }
}
