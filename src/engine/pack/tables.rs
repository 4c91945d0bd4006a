//! `tables/<name>.yaml`: what a pack knows of each word of a field.

use super::load::Sheet;
use wetside_base::source::Span;
use wetside_base::suggest;
use wetside_base::vocabulary::{FieldId, Shape, Type, Vocabulary, WordId};
use wetside_document::{Node, Value};
use wetside_lang::names::{Cell, Column, Holds, Row, Table};
use wetside_units::{Kind, Quantity};

/// Reads one table; nothing where its frame is broken.
pub(super) fn read(sheet: &mut Sheet, file_name: &str, vocabulary: &Vocabulary) -> Option<Table> {
    let root = sheet.root.clone();
    let name = sheet.text("table")?;
    if name != file_name {
        let span = root
            .get("table")
            .map_or(root.span, |entry| entry.value.span);
        let says = format!("the table is called `{name}`, its file `{file_name}`");
        sheet.report(
            "name-differs",
            span,
            says,
            "give the file the table's name".to_string(),
        );
    }
    let (keyed_by, words) = key_field(sheet, &root, vocabulary)?;
    let columns = read_columns(&root);
    let rows = read_rows(sheet, &root, vocabulary, &words, &columns);
    Some(Table {
        name,
        keyed_by,
        columns,
        rows,
    })
}

fn key_field(
    sheet: &mut Sheet,
    root: &Node,
    vocabulary: &Vocabulary,
) -> Option<(FieldId, Vec<WordId>)> {
    let entry = root.get("keyed_by")?;
    let path = entry.value.as_text()?;
    let field = vocabulary.find(path);
    let words = field.and_then(|field| match &vocabulary.field(field).shape {
        Shape::Fact(Type::Choice(words)) => Some((field, words.clone())),
        _ => None,
    });
    if words.is_none() {
        let choices = vocabulary
            .fields()
            .filter(|(_, field)| matches!(field.shape, Shape::Fact(Type::Choice(_))));
        let paths: Vec<&str> = choices.map(|(_, field)| field.path.as_str()).collect();
        let help = suggest::help(
            path,
            paths,
            "name a field of the survey that has a choice of words",
        );
        let says = format!("`{path}` is not a field with a choice of words");
        sheet.report("unknown-fact", entry.value.span, says, help);
    }
    words
}

fn read_columns(root: &Node) -> Vec<Column> {
    let entries = root
        .get("columns")
        .map_or(&[][..], |entry| entry.value.entries());
    let column = |entry: &wetside_document::Entry| {
        let kind = entry.value.get("kind")?.value.as_text()?;
        let holds = match kind {
            "text" => Holds::Text,
            "yes or no" => Holds::YesOrNo,
            kind => Holds::Quantity(Kind::named(kind)?),
        };
        Some(Column {
            name: entry.key.text.to_string(),
            holds,
        })
    };
    entries.iter().filter_map(column).collect()
}

/// One row for every word; a problem for each that is missing or too many.
fn read_rows(
    sheet: &mut Sheet,
    root: &Node,
    vocabulary: &Vocabulary,
    words: &[WordId],
    columns: &[Column],
) -> Vec<Row> {
    let Some(held) = root.get("rows") else {
        return Vec::new();
    };
    for entry in held.value.entries() {
        let known = vocabulary
            .word_id(&entry.key.text)
            .is_some_and(|word| words.contains(&word));
        if !known {
            let offered = words.iter().map(|word| vocabulary.word(*word));
            let help = suggest::help(
                &entry.key.text,
                offered,
                "the rows are the words of the field that the table is keyed by",
            );
            let says = format!("`{}` is not a word of that field", entry.key.text);
            sheet.report("not-a-choice", entry.key.span, says, help);
        }
    }
    let mut rows = Vec::new();
    for word in words {
        let Some(entry) = held.value.get(vocabulary.word(*word)) else {
            let says = format!("the table has no row for `{}`", vocabulary.word(*word));
            let help = "add the row; a cell may be `unknown`".to_string();
            sheet.report("row-missing", held.key.span, says, help);
            continue;
        };
        let cells = columns
            .iter()
            .map(|column| read_cell(sheet, &entry.value, entry.key.span, column));
        rows.push(Row {
            word: *word,
            cells: cells.collect(),
        });
    }
    rows
}

fn read_cell(sheet: &mut Sheet, row: &Node, row_span: Span, column: &Column) -> Cell {
    let Some(entry) = row.get(&column.name) else {
        let says = format!("this row says nothing of `{}`", column.name);
        let help = "write the cell, or `unknown`".to_string();
        sheet.report("cell-missing", row_span, says, help);
        return Cell::Unknown;
    };
    let Value::Scalar(scalar) = &entry.value.value else {
        return Cell::Unknown;
    };
    match (column.holds, scalar.text.as_str()) {
        (_, "unknown") => Cell::Unknown,
        (Holds::Text, text) => Cell::Text(text.to_string()),
        (Holds::YesOrNo, "yes") => Cell::Word(Vocabulary::YES),
        (Holds::YesOrNo, "no") => Cell::Word(Vocabulary::NO),
        (Holds::YesOrNo, other) => {
            let says = format!("`{other}` is neither `yes` nor `no`");
            sheet.report(
                "not-a-choice",
                entry.value.span,
                says,
                "write `yes`, `no` or `unknown`".to_string(),
            );
            Cell::Unknown
        }
        (Holds::Quantity(kind), text) => match Quantity::parse(text, kind) {
            Ok(quantity) => Cell::Quantity(quantity.range),
            Err(fault) => {
                sheet.report("not-a-quantity", entry.value.span, fault.says, fault.help);
                Cell::Unknown
            }
        },
    }
}
