//! `pack.yaml`: the pack's name, edition and limits.

use super::load::Sheet;
use crate::document::Value;
use crate::finding::Citation;
use crate::lang::names::Limit;
use crate::source::Span;
use crate::units::{Kind, Quantity};

/// A limit with the words and the source that stand behind it.
#[derive(Clone, Debug)]
pub struct LimitEntry {
    pub limit: Limit,
    pub says: String,
    pub citation: Citation,
    /// Its line in `pack.yaml`, from 1.
    pub line: usize,
}

/// What `pack.yaml` holds.
#[derive(Debug, Default)]
pub(super) struct Head {
    pub name: String,
    pub edition: String,
    pub title: String,
    pub scope: String,
    pub limits: Vec<LimitEntry>,
}

pub(super) fn read(sheet: &mut Sheet) -> Head {
    let text = |sheet: &Sheet, key: &str| sheet.text(key).unwrap_or_default();
    let mut head = Head {
        name: text(sheet, "pack"),
        edition: text(sheet, "edition"),
        title: text(sheet, "title"),
        scope: text(sheet, "scope"),
        limits: Vec::new(),
    };
    let limits = sheet.root.get("limits").cloned();
    let entries = limits
        .as_ref()
        .map_or(&[][..], |entry| entry.value.entries());
    for entry in entries {
        if let Some(limit) = read_limit(sheet, &entry.key.text, entry.key.span, &entry.value) {
            head.limits.push(limit);
        }
    }
    head
}

fn read_limit(
    sheet: &mut Sheet,
    name: &str,
    span: Span,
    node: &crate::document::Node,
) -> Option<LimitEntry> {
    let Value::Map(_) = node.value else {
        return None;
    };
    let text = |key: &str| node.get(key).and_then(|entry| entry.value.as_text());
    let kind = Kind::named(text("kind")?)?;
    let value = &node.get("value")?.value;
    let written = value.as_text()?;
    match Quantity::parse(written, kind) {
        Ok(quantity) => Some(LimitEntry {
            limit: Limit {
                name: name.to_string(),
                kind,
                range: quantity.range,
                written: written.to_string(),
            },
            says: text("says").unwrap_or_default().to_string(),
            citation: citation(node.get("source").map(|entry| &entry.value)),
            line: sheet.source.line_of(span.start),
        }),
        Err(fault) => {
            sheet.report("not-a-quantity", value.span, fault.says, fault.help);
            None
        }
    }
}

/// The source of a rule or limit.
pub(super) fn citation(node: Option<&crate::document::Node>) -> Citation {
    let text = |key: &str| {
        let value = node?.get(key)?.value.as_text()?;
        Some(value.to_string())
    };
    Citation {
        work: text("work").unwrap_or_default(),
        clause: text("clause"),
        standing: text("standing").unwrap_or_default(),
        certainty: text("certainty").unwrap_or_default(),
    }
}
