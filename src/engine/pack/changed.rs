//! What a layer changes in the limits and tables of the pack below it: read with the head, before any rule.
//!
//! Contract: a limit is changed only from the value that it has, and a table only where it knows nothing yet.
//! Whether a changed limit loosens a rule is not looked at here. This module must not know rules.

use super::Pack;
use super::format::{ChangeFile, HeadFile, Text, own};
use super::sheet::Sheet;
use super::tables;
use crate::digest;
use serde::{Deserialize, Serialize};
use wetside_base::suggest;
use wetside_base::vocabulary::Vocabulary;
use wetside_document::{Entries, Placed};
use wetside_lang::names::{Cell, Table};

/// One change that a layer made.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Change {
    /// The layer, and the line of its `pack.yaml`, from 1.
    pub pack: String,
    pub line: usize,
    /// What was done: `tightened`, `set from 20 mm to 30 mm`.
    pub says: String,
    pub because: String,
    pub by: String,
    pub on: String,
}

impl ChangeFile {
    /// What is done, by its key, and what it is done to; nothing where that is not one thing.
    pub(crate) fn target(&self) -> Option<(&'static str, &Placed<String>)> {
        let all = [
            ("set_limit", &self.set_limit),
            ("extend_table", &self.extend_table),
            ("tighten", &self.tighten),
            ("replace", &self.replace),
            ("reword", &self.reword),
            ("retire", &self.retire),
        ];
        let mut written = all
            .into_iter()
            .filter_map(|(key, name)| Some((key, name.as_ref()?)));
        written.next().filter(|_| written.next().is_none())
    }

    /// The change as it is told from now on.
    pub(crate) fn told(&self, pack: &str, line: usize, says: String) -> Change {
        Change {
            pack: pack.to_string(),
            line,
            says,
            because: own(&self.because),
            by: own(&self.by),
            on: own(&self.on),
        }
    }
}

/// Changes limits and tables; what stands under `changes` beside that is left to who knows rules.
pub(super) fn limits_and_tables(
    sheet: &mut Sheet<'_>,
    file: &HeadFile,
    pack: &mut Pack,
    vocabulary: &Vocabulary,
) {
    for change in file.changes.iter().flatten() {
        let line = sheet.source.line_of(change.span.start);
        refuse_idle_keys(sheet, change);
        match change.value.target() {
            Some(("set_limit", name)) => set_limit(sheet, &change.value, name, pack, line),
            Some(("extend_table", name)) => {
                extend_table(sheet, &change.value, name, pack, vocabulary)
            }
            Some(_) => {}
            None => {
                let says = "a change says one thing that is done to one thing";
                let help = "write one of `set_limit`, `extend_table`, `tighten`, `replace`, `reword` and `retire`, with a name";
                sheet.report("which-change", change.span, says, help);
            }
        }
    }
}

/// The keys that a change reads, beside why, by whom and when.
fn keys(change: &str) -> &'static [&'static str] {
    match change {
        "set_limit" => &["from", "to"],
        "extend_table" => &["as", "columns", "rows"],
        "tighten" => &["as", "must", "says", "do", "caution", "cases"],
        "reword" => &["as", "title", "says", "do", "caution"],
        _ => &["as"],
    }
}

/// What nobody would read, and a day that is none.
fn refuse_idle_keys(sheet: &mut Sheet<'_>, change: &Placed<ChangeFile>) {
    if let Some(on) = &change.value.on {
        sheet.day(on);
    }
    let Some((key, _)) = change.value.target() else {
        return;
    };
    for (name, span) in sheet.keys_at(change.span) {
        let common = [key, "because", "by", "on"].contains(&name.as_str());
        if !common && !keys(key).contains(&name.as_str()) {
            let says = format!("`{key}` does not read `{name}`");
            let help = format!(
                "it reads {}; take this out",
                suggest::either(keys(key).iter().copied()).replace(" or ", " and ")
            );
            sheet.report("idle-key", span, says, help);
        }
    }
}

fn set_limit(
    sheet: &mut Sheet<'_>,
    file: &ChangeFile,
    name: &Placed<String>,
    pack: &mut Pack,
    line: usize,
) {
    let own_name = pack.name.clone();
    let known = pack.limits.iter().map(|entry| entry.limit.name.as_str());
    let lower = pack
        .limits
        .iter()
        .position(|entry| entry.limit.name == name.value && entry.pack != own_name);
    let Some(at) = lower else {
        let help = suggest::help(&name.value, known, "name a limit of the pack below");
        let says = format!("the pack below has no limit `{}`", name.value);
        return sheet.report("no-such-limit", name.span, says, help);
    };
    let entry = &mut pack.limits[at];
    let limit = &mut entry.limit;
    if !limit.from.is_empty() {
        let says = format!(
            "`{}` is {}, and is not one value",
            name.value, limit.written
        );
        let help = "tighten the rules that read it, or add a limit and a rule of your own";
        return sheet.report("not-one-value", name.span, says, help);
    }
    let (Some(from), Some(to)) = (&file.from, &file.to) else {
        let says = "a limit is set from one value to another";
        let help = format!("write `from: {}` and `to:`", limit.written);
        return sheet.report("value-missing", name.span, says, help);
    };
    let was = sheet.quantity(from, limit.kind);
    let range = sheet.quantity(to, limit.kind);
    let (Some(was), Some(range)) = (was.map(|it| it.range), range.map(|it| it.range)) else {
        return;
    };
    if was != limit.range {
        let says = format!("`{}` is {} now", name.value, limit.written);
        let help = "read why it was changed there; then write the value that it has, or take this change out";
        return sheet.report("stale-change", from.span, says, help);
    }
    if range == was {
        let says = "this changes nothing";
        return sheet.report("idle-change", to.span, says, "take it out".to_string());
    }
    let says = format!("set from {} to {}", limit.written, to.value);
    limit.range = range;
    limit.written = to.value.clone();
    entry.pack.clone_from(&own_name);
    entry.line = line;
    entry.changes.push(file.told(&own_name, line, says));
    let stamp = pack.stamps.entry(limit.named()).or_default();
    *stamp = digest::joined([stamp.as_str(), to.value.as_str()]);
}

/// A row as it is written, cell by cell.
fn told((name, cells): &(Placed<String>, Entries<Text>)) -> Vec<String> {
    let cells = cells.0.iter();
    let cells = cells.flat_map(|(column, cell)| [column.value.clone(), own(cell)]);
    [name.value.clone()].into_iter().chain(cells).collect()
}

fn extend_table(
    sheet: &mut Sheet<'_>,
    file: &ChangeFile,
    name: &Placed<String>,
    pack: &mut Pack,
    vocabulary: &Vocabulary,
) {
    let known = pack.tables.iter().map(|table| table.name.as_str());
    let Some(table) = pack
        .tables
        .iter()
        .position(|table| table.name == name.value)
    else {
        let help = suggest::help(&name.value, known, "name a table of the pack below");
        let says = format!("the pack below has no table `{}`", name.value);
        return sheet.report("no-such-table", name.span, says, help);
    };
    let table = &mut pack.tables[table];
    let stamp = pack.stamps.entry(table.named()).or_default();
    // Stale or not, the columns are there for the rules that read them: one mistake, one message.
    is_known(sheet, file, name, stamp);
    let before = table.columns.len();
    for column in file.columns.iter().flat_map(|columns| &columns.0) {
        let name = &column.0;
        if table.columns.iter().any(|known| known.name == name.value) {
            let says = format!("the table has a column `{}` already", name.value);
            let help = "give this one another name, or fill in its unknown cells under `rows`";
            sheet.report("name-taken", name.span, says, help);
        } else {
            table.columns.extend(tables::column(column));
        }
    }
    if fill(sheet, file, table, before, vocabulary) {
        // What rules below look up is another thing now; a further column is none of theirs.
        let held = file.rows.iter().flat_map(|rows| &rows.value.0);
        let held: Vec<String> = held.flat_map(told).collect();
        let parts = std::iter::once(stamp.as_str()).chain(held.iter().map(String::as_str));
        *stamp = digest::joined(parts);
    }
}

/// Fills in the cells: all of the further columns, and others where the table knew nothing; whether there were
/// any of those.
fn fill(
    sheet: &mut Sheet<'_>,
    file: &ChangeFile,
    table: &mut Table,
    before: usize,
    vocabulary: &Vocabulary,
) -> bool {
    let mut filled = vec![0; table.columns.len()];
    let mut old_cells = false;
    for row in &mut table.rows {
        row.cells.resize(table.columns.len(), Cell::Unknown);
    }
    let written = file.rows.as_ref().map_or(&[][..], |rows| &rows.value.0);
    for (name, cells) in written {
        let Some(row) = tables::row_named(table, &name.value, vocabulary) else {
            let says = format!("the table has no row `{}`", name.value);
            let help = "name a row as the table does";
            sheet.report("no-such-row", name.span, says, help);
            continue;
        };
        for (column, _) in &cells.0 {
            let mut columns = table.columns.iter();
            let Some(at) = columns.position(|known| known.name == column.value) else {
                let says = format!("the table has no column `{}`", column.value);
                let help = "name it under `columns` first, with its kind";
                sheet.report("no-such-column", column.span, says, help);
                continue;
            };
            if at < before && table.rows[row].cells[at] != Cell::Unknown {
                let says = format!("the table knows the `{}` of this row", column.value);
                let help = "a cell is filled in only where it is `unknown`; take this one out";
                sheet.report("cell-taken", column.span, says, help);
                continue;
            }
            filled[at] += 1;
            old_cells |= at < before;
            let cell = tables::read_cell(sheet, cells, name.span, &table.columns[at]);
            table.rows[row].cells[at] = cell;
        }
    }
    for (column, times) in table.columns.iter().zip(filled).skip(before) {
        if times < table.rows.len() {
            let says = format!("the column `{}` has no cell in some rows", column.name);
            let help = "write one for each row of the table; a cell may be `unknown`";
            let span = file.extend_table.as_ref().map(|name| name.span);
            sheet.report("cell-missing", span.unwrap_or_default(), says, help);
        }
    }
    old_cells
}

/// Whether what is changed is what the writer knew; else what it is now.
pub(crate) fn is_known(
    sheet: &mut Sheet<'_>,
    file: &ChangeFile,
    name: &Placed<String>,
    digest: &str,
) -> bool {
    let known = file.known_as.as_ref();
    let meant = known.is_some_and(|known| digest::is_meant(digest, &known.value));
    if !meant {
        let now = digest::short(digest);
        let (kind, says) = match known {
            Some(_) => (
                "stale-change",
                format!("`{}` is not what it was when this was written", name.value),
            ),
            None => (
                "digest-missing",
                format!("which `{}` is meant is not said", name.value),
            ),
        };
        let help = format!("read it as it is now; then write `as: \"{now}\"`");
        sheet.report(
            kind,
            known.map_or(name.span, |known| known.span),
            says,
            help,
        );
    }
    meant
}
