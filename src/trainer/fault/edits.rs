//! The edits of a fault, read and held against the fields that they change.
//!
//! Contract: a value that the field could not have is a problem of the catalogue, so that no exercise
//! holds a faulty line by accident.

use super::draft::FaultFile;
use super::planned::{Edit, FieldPath, Written};
use wetside_base::source::Span;
use wetside_base::suggest;
use wetside_base::vocabulary::{Shape, Type};
use wetside_document::{Node, Value};
use wetside_units::{Date, Quantity};

pub(super) fn read(file: &mut FaultFile<'_>) -> Vec<Edit> {
    let items = file.items("edit");
    items.iter().filter_map(|item| edit(file, item)).collect()
}

fn edit(file: &mut FaultFile<'_>, item: &Node) -> Option<Edit> {
    let get = |key: &str| item.get(key).map(|entry| entry.value.clone());
    let keys: Vec<&str> = item
        .entries()
        .iter()
        .map(|entry| entry.key.text.as_str())
        .collect();
    let other = |first: &str| keys.iter().copied().find(|key| *key != first);
    match (keys.len(), get("set"), get("swap")) {
        (2, Some(field), _) => {
            let how = other("set")?;
            set(file, &field, how, &get(how)?)
        }
        (2, None, Some(one)) => {
            let other = get("and")?;
            Some(Edit::Swap(file.path(&one)?, file.path(&other)?))
        }
        (1, None, None) => match (get("delete"), get("unknown"), get("remove")) {
            (Some(field), ..) => Some(Edit::Delete(file.path(&field)?)),
            (_, Some(field), _) => Some(Edit::Unknown(file.path(&field)?)),
            (.., Some(thing)) => remove(file, &thing),
            _ => not_an_edit(file, item.span),
        },
        _ => not_an_edit(file, item.span),
    }
}

fn not_an_edit(file: &mut FaultFile<'_>, span: Span) -> Option<Edit> {
    let help = "write `set` with one of `to`, `one_of`, `with`, `without` and `unit`; or `delete`, `unknown` or `remove` alone; or `swap` with `and`";
    file.report("not-an-edit", span, "this is no change of a survey", help);
    None
}

fn remove(file: &mut FaultFile<'_>, thing: &Node) -> Option<Edit> {
    let written = thing.as_text()?;
    if file.variables.iter().any(|(name, _)| name == written) {
        return Some(Edit::Remove);
    }
    let says = format!("`{written}` is not the name that `for_each` gives");
    let help = "name the thing by `for_each`, and remove it by that name";
    file.report("unknown-thing", thing.span, says, help);
    None
}

fn set(file: &mut FaultFile<'_>, field: &Node, how: &str, node: &Node) -> Option<Edit> {
    let path = file.path(field)?;
    let text = node.as_text().map(str::to_string);
    match how {
        "to" => Some(Edit::Set(path.clone(), vec![value(file, &path, node)?])),
        "one_of" => {
            let values: Vec<_> = node
                .items()
                .iter()
                .map(|node| value(file, &path, node))
                .collect();
            Some(Edit::Set(path, values.into_iter().collect::<Option<_>>()?))
        }
        "with" => word(file, &path, node).map(|word| Edit::With(path, word)),
        "without" => word(file, &path, node).map(|word| Edit::Without(path, word)),
        "unit" => {
            let (unit, of) = (text?, of_field(file, &path)?);
            fits(file, node, &format!("1 {unit}"), &of)?;
            Some(Edit::Unit(path, unit))
        }
        _ => not_an_edit(file, node.span),
    }
}

/// A value that the field can have.
fn value(file: &mut FaultFile<'_>, path: &FieldPath, node: &Node) -> Option<Written> {
    match (&node.value, of_field(file, path)?) {
        (Value::List(items), Type::Set(_)) => {
            let words: Option<Vec<String>> =
                items.iter().map(|item| word(file, path, item)).collect();
            Some(Written::Words(words?))
        }
        (Value::Scalar(scalar), of) => {
            if scalar.text != "unknown" {
                fits(file, node, &scalar.text, &of)?;
            }
            Some(Written::Word(scalar.text.to_string()))
        }
        _ => {
            let help = "write the value as a survey would";
            file.report(
                "value-expected",
                node.span,
                "this is not the sort of value that the field has",
                help,
            );
            None
        }
    }
}

fn of_field(file: &mut FaultFile<'_>, path: &FieldPath) -> Option<Type> {
    match &file.packs.vocabulary.field(path.route.field).shape {
        Shape::Fact(of) => Some(of.clone()),
        Shape::Group { .. } | Shape::List { .. } => {
            let help = "name a field that holds a value";
            let span = file
                .root
                .get("edit")
                .map_or(file.root.span, |entry| entry.key.span);
            file.report(
                "value-expected",
                span,
                format!("`{}` holds more than one value", path.keys.join(".")),
                help,
            );
            None
        }
    }
}

/// One of the words of the field.
fn word(file: &mut FaultFile<'_>, path: &FieldPath, node: &Node) -> Option<String> {
    let text = node.as_text()?.to_string();
    let of = of_field(file, path)?;
    fits(file, node, &text, &of)?;
    Some(text)
}

fn fits(file: &mut FaultFile<'_>, node: &Node, text: &str, of: &Type) -> Option<()> {
    let fault = match of {
        Type::Choice(words) | Type::Set(words) => {
            let vocabulary = &file.packs.vocabulary;
            let known = || words.iter().map(|word| vocabulary.word(*word));
            if known().any(|word| word == text) {
                return Some(());
            }
            let all = format!("it can be {}", suggest::either(known()));
            (
                format!("`{text}` is not one of the words of this field"),
                suggest::help(text, known(), &all),
            )
        }
        Type::Quantity { kind, .. } => match Quantity::parse(text, *kind) {
            Ok(_) => return Some(()),
            Err(fault) => (fault.says, fault.help),
        },
        Type::Date => match Date::parse(text) {
            Ok(_) => return Some(()),
            Err(fault) => (fault.says, fault.help),
        },
        Type::DateTime | Type::Text => return Some(()),
    };
    file.report("not-a-value", node.span, fault.0, fault.1);
    None
}
