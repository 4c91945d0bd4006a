//! `fields` of `pack.yaml`: what a company asks beside the survey's own fields.
//!
//! Contract: they stand under one heading of the survey, and are fields like any other: with a kind
//! or words, a unit, what is possible, and how much they matter. What is not sound is a problem, and the field is
//! there all the same, so that the rules that read it say nothing more. Read before the pack, whose conditions
//! need them.

use super::format::{FieldFile, HeadFile, Text, own};
use super::sheet::Sheet;
use super::{PACK_FILE, PackFiles, PackProblem};
use crate::schema;
use std::sync::Arc;
use wetside_base::vocabulary::{Plan, PlanShape, Tier, Type, Vocabulary};
use wetside_document::Placed;
use wetside_schemas::Which;
use wetside_units::{End, Interval, Kind, UnitId};

/// The fields that a pack declares, and what is wrong with them.
pub(crate) fn declared(
    files: &PackFiles,
    vocabulary: &Vocabulary,
) -> (Vec<Plan>, Vec<PackProblem>) {
    let source = Arc::new(files.source(PACK_FILE));
    let reading = wetside_document::read(&source);
    let root = &reading.root;
    let head = wetside_document::typed::<HeadFile>(root).unwrap_or_default();
    let Some(fields) = head.fields else {
        return (Vec::new(), Vec::new());
    };
    let misshapen = !schema::check::problems(Which::Pack, &source, &reading).is_empty();
    let mut sheet = Sheet::new(source, root);
    let mut plans = Vec::new();
    for (name, file) in &fields.0 {
        let plan = plan(&mut sheet, name, file);
        let known = vocabulary
            .company()
            .and_then(|group| vocabulary.child(group, &name.value));
        match known {
            None => plans.push(plan),
            Some(known) if vocabulary.is_as_planned(known, &plan) => {}
            Some(_) => {
                let says = format!("another pack declares `{}` otherwise", name.value);
                let help = "give this one another name, or declare it as it is declared there";
                sheet.report("name-taken", name.span, says, help);
            }
        }
    }
    // Of what has not the shape the check against the schema says more, when the pack is read.
    let told = sheet.into_problems();
    (plans, if misshapen { Vec::new() } else { told })
}

fn plan(sheet: &mut Sheet<'_>, name: &Placed<String>, file: &FieldFile) -> Plan {
    let shape = shape(sheet, name, file);
    let tier = match own(&file.tier).as_str() {
        "minimum" => Tier::Minimum,
        "record" => Tier::Record,
        _ => Tier::Detail,
    };
    let shape = shape.unwrap_or(PlanShape::Fact(Type::Text));
    Plan {
        tier: Some(tier),
        ..Plan::new(&name.value, &own(&file.says), shape)
    }
}

/// What the field can hold; nothing where that was told, or is told by the check against the schema.
fn shape(sheet: &mut Sheet<'_>, name: &Placed<String>, file: &FieldFile) -> Option<PlanShape> {
    let (kind, words) = match (&file.kind, &file.words) {
        (Some(kind), None) => (kind, None),
        (None, Some(words)) => (name, Some(words)),
        _ => {
            let says = format!("what `{}` can hold is not said once", name.value);
            let help = "write either `kind:` or `words:`";
            sheet.report("which-kind", name.span, says, help);
            return None;
        }
    };
    let quantity = Kind::named(&kind.value).filter(|_| words.is_none());
    let idle = [
        ("unit", &file.unit),
        ("least", &file.least),
        ("most", &file.most),
    ];
    for (key, text) in idle.into_iter().filter(|_| quantity.is_none()) {
        if let Some(text) = text {
            let says = format!("`{key}` is of a quantity, and this is none");
            let help = "take it out, or say the kind of quantity";
            sheet.report("idle-key", text.span, says, help);
        }
    }
    if let Some(words) = words {
        let unknown = words.iter().find(|word| word.value == "unknown");
        if let Some(word) = unknown {
            let says = "`unknown` may be written for every field";
            let help = "take it out of the words";
            sheet.report("not-a-choice", word.span, says, help);
        }
        let words = words.iter().map(|word| word.value.clone());
        let words: Vec<String> = words.collect();
        return (words.len() > 1).then_some(PlanShape::Choice(words));
    }
    match (kind.value.as_str(), quantity) {
        ("text", _) => Some(PlanShape::Fact(Type::Text)),
        ("yes or no", _) => Some(PlanShape::Choice(vec!["yes".to_string(), "no".to_string()])),
        ("day", _) => Some(PlanShape::Fact(Type::Date)),
        ("moment", _) => Some(PlanShape::Fact(Type::DateTime)),
        (_, Some(quantity)) => measure(sheet, kind, quantity, file),
        _ => None,
    }
}

fn measure(
    sheet: &mut Sheet<'_>,
    kind: &Placed<String>,
    quantity: Kind,
    file: &FieldFile,
) -> Option<PlanShape> {
    let unit = match &file.unit {
        None if quantity.is_bare() => String::new(),
        None => {
            let usual = UnitId::usual(quantity).symbol();
            let says = format!(
                "the unit in which people write {} is not said",
                quantity.row().one
            );
            sheet.report(
                "unit-missing",
                kind.span,
                says,
                format!("write `unit: {usual}`"),
            );
            return None;
        }
        Some(unit) if UnitId::spelt(&unit.value, quantity).is_some() => unit.value.clone(),
        Some(unit) => {
            let usual = UnitId::usual(quantity).symbol();
            let says = format!("`{}` is no unit of {}", unit.value, quantity.row().one);
            let help =
                format!("write one such as `{usual}`; the units are listed in docs/units.md");
            sheet.report("unknown-unit", unit.span, says, help);
            return None;
        }
    };
    let mut end = |text: &Text| sheet.quantity(text.as_ref()?, quantity)?.range.single();
    let mut end = |text: &Text| end(text).map_or(End::Unbounded, End::Closed);
    let possible = Interval::new(end(&file.least), end(&file.most));
    if possible.is_none() {
        let says = "nothing lies between `least` and `most`";
        let span = file.least.as_ref().map_or(kind.span, |text| text.span);
        sheet.report(
            "limits-reversed",
            span,
            says,
            "let `least` be the smaller".to_string(),
        );
    }
    Some(PlanShape::Fact(Type::Quantity {
        kind: quantity,
        possible: possible?,
        usual_unit: unit,
    }))
}
