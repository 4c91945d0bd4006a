//! `tables/<name>.yaml`: what a pack knows of each word of a field.

use super::format::{ColumnFile, TableFile, Text};
use super::sheet::Sheet;
use wetside_base::source::Span;
use wetside_base::suggest;
use wetside_base::vocabulary::{FieldId, Shape, Type, Vocabulary, WordId};
use wetside_document::{Entries, Placed};
use wetside_lang::names::{Cell, Column, Holds, Row, Table};
use wetside_units::{Kind, Quantity};

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
        let help = "give the file the table's name".to_string();
        sheet.report("name-differs", name.span, says, help);
    }
    let (keyed_by, words) = key_field(sheet, &file.keyed_by?, vocabulary)?;
    let columns = file.columns?.0;
    let columns: Vec<Column> = columns.iter().filter_map(column).collect();
    let rows = read_rows(sheet, &file.rows?, vocabulary, &words, &columns);
    Some(Table {
        name: name.value.clone(),
        keyed_by,
        columns,
        rows,
    })
}

fn key_field(
    sheet: &mut Sheet<'_>,
    path: &Placed<String>,
    vocabulary: &Vocabulary,
) -> Option<(FieldId, Vec<WordId>)> {
    let field = vocabulary.find(&path.value);
    let words = field.and_then(|field| match &vocabulary.field(field).shape {
        Shape::Fact(Type::Choice(words)) => Some((field, words.clone())),
        _ => None,
    });
    if words.is_none() {
        let choices = vocabulary
            .fields()
            .filter(|(_, field)| matches!(field.shape, Shape::Fact(Type::Choice(_))));
        let paths: Vec<&str> = choices.map(|(_, field)| field.path.as_str()).collect();
        let otherwise = "name a field of the survey that has a choice of words";
        let help = suggest::help(&path.value, paths, otherwise);
        let says = format!("`{}` is not a field with a choice of words", path.value);
        sheet.report("unknown-fact", path.span, says, help);
    }
    words
}

fn column((name, file): &(Placed<String>, ColumnFile)) -> Option<Column> {
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
fn read_rows(
    sheet: &mut Sheet<'_>,
    held: &Placed<Entries<Entries<Text>>>,
    vocabulary: &Vocabulary,
    words: &[WordId],
    columns: &[Column],
) -> Vec<Row> {
    let written = &held.value.0;
    for (name, _) in written {
        let word = vocabulary.word_id(&name.value);
        if !word.is_some_and(|word| words.contains(&word)) {
            let offered = words.iter().map(|word| vocabulary.word(*word));
            let otherwise = "the rows are the words of the field that the table is keyed by";
            let help = suggest::help(&name.value, offered, otherwise);
            let says = format!("`{}` is not a word of that field", name.value);
            sheet.report("not-a-choice", name.span, says, help);
        }
    }
    let mut rows = Vec::new();
    for id in words {
        let word = vocabulary.word(*id);
        let Some((name, row)) = written.iter().find(|(name, _)| name.value == word) else {
            let says = format!("the table has no row for `{word}`");
            let help = "add the row; a cell may be `unknown`".to_string();
            sheet.report("row-missing", held.key.unwrap_or(held.span), says, help);
            continue;
        };
        let cells = columns
            .iter()
            .map(|column| read_cell(sheet, row, name.span, column));
        rows.push(Row {
            word: *id,
            cells: cells.collect(),
        });
    }
    rows
}

fn read_cell(sheet: &mut Sheet<'_>, row: &Entries<Text>, row_span: Span, column: &Column) -> Cell {
    let written = row.0.iter().find(|(name, _)| name.value == column.name);
    let Some((_, text)) = written else {
        let says = format!("this row says nothing of `{}`", column.name);
        let help = "write the cell, or `unknown`".to_string();
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
            let help = "write `yes`, `no` or `unknown`".to_string();
            sheet.report("not-a-choice", text.span, says, help);
            Cell::Unknown
        }
        (Holds::Quantity(kind), written) => match Quantity::parse(written, kind) {
            Ok(quantity) => Cell::Quantity(quantity.range),
            Err(fault) => {
                sheet.report("not-a-quantity", text.span, fault.says, fault.help);
                Cell::Unknown
            }
        },
    }
}
