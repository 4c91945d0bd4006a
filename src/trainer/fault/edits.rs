//! The edits of a fault, held against the fields that they change; what it says that it raises, and what a decoy says
//! of itself.
//!
//! Contract: a value that the field could not have is a problem of the catalogue, so that no exercise
//! holds a faulty line by accident. Every rule named exists, every place is a field.

use super::draft::Draft;
use super::planned::{Edit, Family, FieldPath, Promise, Written};
use super::written::{Text, WrittenEdit, WrittenFault, WrittenValue};
use wetside_base::source::Span;
use wetside_base::suggest;
use wetside_base::vocabulary::{Shape, Type};
use wetside_document::Placed;
use wetside_units::{Date, Quantity};

pub(super) fn edits(draft: &mut Draft<'_>, written: &WrittenFault<'_>) -> Vec<Edit> {
    let items = written.edit.iter();
    items.filter_map(|item| edit(draft, item)).collect()
}

fn edit(draft: &mut Draft<'_>, item: &Placed<WrittenEdit<'_>>) -> Option<Edit> {
    let written = &item.value;
    let alone = [written.delete, written.unknown, written.remove];
    let swapped = [written.swap, written.and];
    let how = [
        written.to.is_some(),
        written.one_of.is_some(),
        written.with.is_some(),
        written.without.is_some(),
        written.unit.is_some(),
    ];
    let count = |texts: &[Option<Text<'_>>]| texts.iter().flatten().count();
    let ways = how.iter().filter(|there| **there).count();
    match (written.set, ways, count(&alone), count(&swapped)) {
        (Some(field), 1, 0, 0) => set(draft, field, written),
        (None, 0, 0, 2) => Some(Edit::Swap(
            draft.path(written.swap?)?,
            draft.path(written.and?)?,
        )),
        (None, 0, 1, 0) => match (written.delete, written.unknown) {
            (Some(field), _) => Some(Edit::Delete(draft.path(field)?)),
            (_, Some(field)) => Some(Edit::Unknown(draft.path(field)?)),
            _ => remove(draft, written.remove?),
        },
        _ => {
            let says = "this is no change of a survey";
            let help = "write `set` with one of `to`, `one_of`, `with`, `without` and `unit`; or `delete`, `unknown` or `remove` alone; or `swap` with `and`";
            draft.report("not-an-edit", item.span, says, help);
            None
        }
    }
}

fn remove(draft: &mut Draft<'_>, thing: Text<'_>) -> Option<Edit> {
    let written = thing.value;
    if draft
        .variables
        .iter()
        .any(|variable| variable.name == written)
    {
        return Some(Edit::Remove);
    }
    let says = format!("`{written}` is not the name that `for_each` gives");
    let help = "name the thing by `for_each`, and remove it by that name";
    draft.report("unknown-thing", thing.span, says, help);
    None
}

fn set(draft: &mut Draft<'_>, field: Text<'_>, written: &WrittenEdit<'_>) -> Option<Edit> {
    let path = draft.path(field)?;
    let of = of_field(draft, &path, field.span)?;
    if let Some(unit) = written.unit {
        fits(draft, unit.span, &format!("1 {}", unit.value), &of)?;
        return Some(Edit::Unit(path, unit.value.to_string()));
    }
    if let Some(text) = written.with {
        return Some(Edit::With(path, word(draft, text, &of)?));
    }
    if let Some(text) = written.without {
        return Some(Edit::Without(path, word(draft, text, &of)?));
    }
    let values = written.to.iter().chain(written.one_of.iter().flatten());
    let values: Vec<_> = values.map(|written| value(draft, written, &of)).collect();
    Some(Edit::Set(path, values.into_iter().collect::<Option<_>>()?))
}

/// A value that the field can have.
fn value(draft: &mut Draft<'_>, written: &Placed<WrittenValue<'_>>, of: &Type) -> Option<Written> {
    match (&written.value, of) {
        (WrittenValue::Words(words), Type::Set(_)) => {
            let words = words.iter().map(|text| word(draft, *text, of));
            Some(Written::Words(words.collect::<Option<_>>()?))
        }
        (WrittenValue::Word(word), _) => {
            if *word != "unknown" {
                fits(draft, written.span, word, of)?;
            }
            Some(Written::Word((*word).to_string()))
        }
        _ => {
            let says = "this is not the sort of value that the field has";
            let help = "write the value as a survey would";
            draft.report("value-expected", written.span, says, help);
            None
        }
    }
}

fn of_field(draft: &mut Draft<'_>, path: &FieldPath, at: Span) -> Option<Type> {
    match &draft.packs.vocabulary.field(path.route.field).shape {
        Shape::Fact(of) => Some(of.clone()),
        Shape::Group { .. } | Shape::List { .. } => {
            let says = format!("`{}` holds more than one value", path.keys.join("."));
            draft.report(
                "value-expected",
                at,
                says,
                "name a field that holds a value",
            );
            None
        }
    }
}

/// One of the words of the field.
fn word(draft: &mut Draft<'_>, text: Text<'_>, of: &Type) -> Option<String> {
    fits(draft, text.span, text.value, of)?;
    Some(text.value.to_string())
}

fn fits(draft: &mut Draft<'_>, span: Span, text: &str, of: &Type) -> Option<()> {
    let (says, help) = match of {
        Type::Choice(words) | Type::Set(words) => {
            let vocabulary = &draft.packs.vocabulary;
            let known = || words.iter().map(|word| vocabulary.word(*word));
            if known().any(|word| word == text) {
                return Some(());
            }
            let all = format!("it can be {}", suggest::either(known()));
            let says = format!("`{text}` is not one of the words of this field");
            (says, suggest::help(text, known(), &all))
        }
        Type::Quantity { kind, .. } => match Quantity::parse(text, *kind) {
            Ok(_) => return Some(()),
            Err(wrong) => (wrong.says, wrong.help),
        },
        Type::Date => match Date::parse(text) {
            Ok(_) => return Some(()),
            Err(wrong) => (wrong.says, wrong.help),
        },
        Type::DateTime | Type::Text => return Some(()),
    };
    draft.report("not-a-value", span, says, help);
    None
}

pub(super) fn promises(draft: &mut Draft<'_>, written: &WrittenFault<'_>) -> Vec<Promise> {
    let mut promises = Vec::new();
    for item in written.raises.iter().flat_map(|raises| &raises.value) {
        let promise = &item.value;
        match (promise.rule, promise.at, promise.missing) {
            (Some(rule), Some(at), None) => {
                let rule = draft.rule(rule);
                promises.extend(draft.path(at).map(|at| Promise::Broken { rule, at }));
            }
            (None, None, Some(missing)) => {
                promises.extend(draft.path(missing).map(Promise::Missing));
            }
            _ => {
                let help = "write `rule` with `at`, or `missing`";
                draft.report("not-a-promise", item.span, "this promises no finding", help);
            }
        }
    }
    promises
}

pub(super) fn looks_like(
    draft: &mut Draft<'_>,
    written: &WrittenFault<'_>,
) -> Option<(String, FieldPath)> {
    let look = &written.looks_like.as_ref()?.value;
    let rule = draft.rule(look.rule);
    Some((rule, draft.path(look.at)?))
}

/// A decoy explains itself and raises nothing; every other fault raises something.
pub(super) fn hold_to_family(draft: &mut Draft<'_>, written: &WrittenFault<'_>) {
    let at = written.family.key.unwrap_or(written.family.span);
    let raises = written.raises.as_ref().and_then(|raises| raises.key);
    let looks_like = written.looks_like.as_ref().and_then(|look| look.key);
    let because = written.because.and_then(|because| because.key);
    match (written.family.value, raises) {
        (Family::Decoy, Some(raises)) => {
            let help = "leave `raises` out, or name another family";
            draft.report("decoy-raises", raises, "a decoy raises nothing", help);
        }
        (Family::Decoy, None) if looks_like.is_none() || because.is_none() => {
            let says = "this decoy does not say why it is right";
            let help =
                "write `looks_like` with the rule that a hasty reader would name, and `because`";
            draft.report("decoy-unexplained", at, says, help);
        }
        (Family::Decoy, None) => {}
        (_, None) => {
            let help = "write under `raises` what it must raise, and where";
            draft.report("nothing-raised", at, "this fault promises no finding", help);
        }
        (_, Some(_)) => {
            for key in [looks_like, because].into_iter().flatten() {
                let says = "only a decoy has this";
                draft.report("only-for-decoys", key, says, "leave it out");
            }
        }
    }
}
