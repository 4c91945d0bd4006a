//! `tables/<name>.yaml`: what a pack knows of each word of a field, or of bands of its number.

use super::format::{ColumnFile, TableFile, Text};
use super::sheet::Sheet;
use wetside_base::source::Span;
use wetside_base::suggest;
use wetside_base::vocabulary::{FieldId, Shape, Type, Vocabulary, WordId};
use wetside_document::{Entries, Placed};
use wetside_lang::names::{Cell, Column, Holds, Key, Row, Table};
use wetside_units::{End, Exact, Interval, Kind, Quantity, print};

/// Reads one table; nothing where its frame is broken.
pub(super) fn read(
    sheet: &mut Sheet<'_>,
    file_name: &str,
    vocabulary: &Vocabulary,
) -> Option<Table> {
    let file: TableFile = sheet.typed()?;
    let name = file.table?;
    if name.value != file_name {
        let says = format!(
            "the table is called `{}`, its file `{file_name}`",
            name.value
        );
        let help = "give the file the table's name";
        sheet.report("name-differs", name.span, says, help);
    }
    let (keyed_by, keys) = key_field(sheet, &file.keyed_by?, vocabulary)?;
    let columns = file.columns?.0;
    // One whose kind is none was told by the check against the schema.
    let columns: Vec<Column> = columns.iter().map(column).collect::<Option<_>>()?;
    let held = file.rows?;
    let rows = match keys {
        Type::Choice(words) => word_rows(sheet, &held, vocabulary, words, &columns),
        Type::Quantity { kind, possible, .. } => {
            band_rows(sheet, &held, (*kind, possible), &columns)
        }
        _ => return None,
    };
    Some(Table {
        name: name.value.clone(),
        keyed_by,
        columns,
        rows,
    })
}

/// The field whose words or bands are the rows; of every element, if it is one of a list.
fn key_field<'v>(
    sheet: &mut Sheet<'_>,
    path: &Placed<String>,
    vocabulary: &'v Vocabulary,
) -> Option<(FieldId, &'v Type)> {
    let keys = vocabulary
        .fields()
        .filter_map(|(id, field)| match &field.shape {
            Shape::Fact(what @ (Type::Choice(_) | Type::Quantity { .. })) => {
                Some((field.path.as_str(), (id, what)))
            }
            _ => None,
        });
    let keys: Vec<(&str, (FieldId, &Type))> = keys.collect();
    let found = keys.iter().find(|(known, _)| *known == path.value);
    if found.is_none() {
        let paths = keys.iter().map(|(path, _)| *path);
        let otherwise = "name a field of the survey that has a choice of words or a number";
        let help = suggest::help(&path.value, paths, otherwise);
        let says = format!(
            "`{}` is not a field with a choice of words or a number",
            path.value
        );
        sheet.report("unknown-fact", path.span, says, help);
    }
    found.map(|(_, key)| *key)
}

pub(super) fn column((name, file): &(Placed<String>, ColumnFile)) -> Option<Column> {
    let holds = match file.kind.as_ref()?.value.as_str() {
        "text" => Holds::Text,
        "yes or no" => Holds::YesOrNo,
        kind => Holds::Quantity(Kind::named(kind)?),
    };
    Some(Column {
        name: name.value.clone(),
        holds,
    })
}

/// One row for every word; a problem for each that is missing or too many.
fn word_rows(
    sheet: &mut Sheet<'_>,
    held: &Placed<Entries<Entries<Text>>>,
    vocabulary: &Vocabulary,
    words: &[WordId],
    columns: &[Column],
) -> Vec<Row> {
    let written = &held.value.0;
    // A word that is misspelt is missing too.
    let mut strangers = 0;
    for (name, _) in written {
        let word = vocabulary.word_id(&name.value);
        if !word.is_some_and(|word| words.contains(&word)) {
            let offered = words.iter().map(|word| vocabulary.word(*word));
            let otherwise = "the rows are the words of the field that the table is keyed by";
            let help = suggest::help(&name.value, offered, otherwise);
            let says = format!("`{}` is not a word of that field", name.value);
            sheet.report("not-a-choice", name.span, says, help);
            strangers += 1;
        }
    }
    let mut rows = Vec::new();
    for id in words {
        let word = vocabulary.word(*id);
        let Some((name, row)) = written.iter().find(|(name, _)| name.value == word) else {
            if strangers > 0 {
                strangers -= 1;
                continue;
            }
            let says = format!("the table has no row for `{word}`");
            let help = "add the row; a cell may be `unknown`";
            sheet.report("row-missing", held.key.unwrap_or(held.span), says, help);
            continue;
        };
        let cells = read_cells(sheet, row, name.span, columns);
        rows.push(Row {
            key: Key::Word(*id),
            cells,
        });
    }
    rows
}

/// One row for each band of a number, from the lowest up: `from 15 mm`.
fn band_rows(
    sheet: &mut Sheet<'_>,
    held: &Placed<Entries<Entries<Text>>>,
    (kind, possible): (Kind, &Interval),
    columns: &[Column],
) -> Vec<Row> {
    let mut rows: Vec<(Exact, Vec<Cell>)> = Vec::new();
    for (name, row) in &held.value.0 {
        let written = name.value.strip_prefix("from ");
        let from = written.and_then(|from| Quantity::parse(from, kind).ok()?.range.single());
        let Some(from) = from.filter(|from| rows.last().is_none_or(|(last, _)| last < from)) else {
            let says = format!("`{}` does not say where a higher band begins", name.value);
            let help = "write the rows from the lowest band up, each as `from` and an exact number with its unit, as in `from 15 mm`";
            sheet.report("not-a-band", name.span, says, help);
            continue;
        };
        let band = Interval::new(End::Closed(from), End::Unbounded);
        if band.is_some_and(|band| band.intersect(possible).is_none()) {
            let says = "no survey reaches this band";
            let unit = written.and_then(|from| Quantity::parse(from, kind).ok());
            let shown = unit.map(|from| print::range_in(possible, from.unit, 4));
            let help = format!(
                "possible is {}; take the row out",
                shown.unwrap_or_default()
            );
            sheet.report("beyond-possible", name.span, says, help);
        }
        rows.push((from, read_cells(sheet, row, name.span, columns)));
    }
    let ends = rows.iter().skip(1).map(|(next, _)| End::Open(*next));
    let ends: Vec<End> = ends.chain([End::Unbounded]).collect();
    let banded = rows
        .into_iter()
        .zip(ends)
        .filter_map(|((from, cells), end)| {
            let band = Interval::new(End::Closed(from), end)?;
            Some(Row {
                key: Key::Band(band),
                cells,
            })
        });
    banded.collect()
}

/// The place of a row by its name in the file.
pub(super) fn row_named(table: &Table, name: &str, vocabulary: &Vocabulary) -> Option<usize> {
    let word = vocabulary.word_id(name);
    let begins = |band: &Interval| match &vocabulary.field(table.keyed_by).shape {
        Shape::Fact(Type::Quantity { kind, .. }) => {
            let from = Quantity::parse(name.strip_prefix("from ")?, *kind).ok()?;
            Some(from.range.single() == band.low().at())
        }
        _ => None,
    };
    table.rows.iter().position(|row| match &row.key {
        Key::Word(key) => word == Some(*key),
        Key::Band(band) => begins(band).unwrap_or(false),
    })
}

fn read_cells(
    sheet: &mut Sheet<'_>,
    row: &Entries<Text>,
    row_span: Span,
    columns: &[Column],
) -> Vec<Cell> {
    for (name, _) in &row.0 {
        if !columns.iter().any(|column| column.name == name.value) {
            let known = columns.iter().map(|column| column.name.as_str());
            let otherwise = "name it under `columns`, or take it out";
            let help = suggest::help(&name.value, known, otherwise);
            let says = format!("the table has no column `{}`", name.value);
            sheet.report("no-such-column", name.span, says, help);
        }
    }
    let cells = columns
        .iter()
        .map(|column| read_cell(sheet, row, row_span, column));
    cells.collect()
}

pub(super) fn read_cell(
    sheet: &mut Sheet<'_>,
    row: &Entries<Text>,
    row_span: Span,
    column: &Column,
) -> Cell {
    let written = row.0.iter().find(|(name, _)| name.value == column.name);
    let Some((_, text)) = written else {
        let says = format!("this row says nothing of `{}`", column.name);
        let help = "write the cell, or `unknown`";
        sheet.report("cell-missing", row_span, says, help);
        return Cell::Unknown;
    };
    let Some(text) = text else {
        return Cell::Unknown;
    };
    match (column.holds, text.value.as_str()) {
        (_, "unknown") => Cell::Unknown,
        (Holds::Text, text) => Cell::Text(text.to_string()),
        (Holds::YesOrNo, "yes") => Cell::Word(Vocabulary::YES),
        (Holds::YesOrNo, "no") => Cell::Word(Vocabulary::NO),
        (Holds::YesOrNo, other) => {
            let says = format!("`{other}` is neither `yes` nor `no`");
            let help = "write `yes`, `no` or `unknown`";
            sheet.report("not-a-choice", text.span, says, help);
            Cell::Unknown
        }
        (Holds::Quantity(kind), _) => {
            let read = sheet.quantity(text, kind);
            read.map_or(Cell::Unknown, |read| Cell::Quantity(read.range))
        }
    }
}
