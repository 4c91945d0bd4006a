//! `pack.yaml`: the pack's name, edition and limits.

use super::PACK_FILE;
use super::load::Sheet;
use std::sync::OnceLock;
use wetside_base::finding::Citation;
use wetside_base::source::{Source, Span};
use wetside_document::{Node, TopLine, Value, top_lines};
use wetside_lang::names::Limit;
use wetside_units::{Kind, Quantity};

/// A limit with the words and the source that stand behind it.
#[derive(Debug)]
pub struct LimitEntry {
    pub limit: Limit,
    /// Its line in `pack.yaml`, from 1.
    pub line: usize,
    words: OnceLock<LimitWords>,
    /// Its own lines, where its words are read only when somebody asks for them.
    text: &'static str,
}

/// What a limit says to people.
#[derive(Debug)]
struct LimitWords {
    says: String,
    citation: Citation,
}

impl LimitEntry {
    /// What the limit is for.
    pub fn says(&self) -> &str {
        &self.words().says
    }

    pub fn citation(&self) -> &Citation {
        &self.words().citation
    }

    fn words(&self) -> &LimitWords {
        self.words.get_or_init(|| {
            let source = Source::new(self.limit.name.clone(), self.text);
            let root = wetside_document::read(&source).root;
            let entry = root.get(&self.limit.name);
            entry.map_or_else(|| limit_words(&root), |entry| limit_words(&entry.value))
        })
    }
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

fn read_limit(sheet: &mut Sheet, name: &str, span: Span, node: &Node) -> Option<LimitEntry> {
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
            line: sheet.source.line_of(span.start),
            words: OnceLock::from(limit_words(node)),
            text: "",
        }),
        Err(fault) => {
            sheet.report("not-a-quantity", value.span, fault.says, fault.help);
            None
        }
    }
}

fn limit_words(node: &Node) -> LimitWords {
    let says = node.get("says").and_then(|entry| entry.value.as_text());
    LimitWords {
        says: says.unwrap_or_default().to_string(),
        citation: citation(node.get("source").map(|entry| &entry.value)),
    }
}

/// Reads what judges of a head that is known to be sound, and leaves the words of its limits for
/// later. Nothing where the quick look leaves a doubt; then the whole file must be read.
pub(super) fn read_trusted(text: &'static str) -> Option<Head> {
    let mut head = Head::default();
    let lines = Source::new(PACK_FILE, text);
    for line in top_lines(text) {
        let held = match line.key {
            "pack" => &mut head.name,
            "edition" => &mut head.edition,
            "title" => &mut head.title,
            "scope" => &mut head.scope,
            "limits" => {
                for limit in line.lines_under() {
                    head.limits.push(trusted_limit(text, &limit, &lines)?);
                }
                continue;
            }
            _ => return None,
        };
        *held = line.value()?.into_owned();
    }
    Some(head)
}

fn trusted_limit(
    text: &'static str,
    line: &TopLine<'static>,
    lines: &Source,
) -> Option<LimitEntry> {
    let value_of = |key: &str| line.lines_under().find(|line| line.key == key)?.value();
    let (kind, written) = (Kind::named(&value_of("kind")?)?, value_of("value")?);
    let start = line.key_span.start as usize;
    Some(LimitEntry {
        limit: Limit {
            name: line.key.to_string(),
            kind,
            range: Quantity::parse(&written, kind).ok()?.range,
            written: written.into_owned(),
        },
        line: lines.line_of(line.key_span.start),
        words: OnceLock::new(),
        text: &text[start..line.block().end],
    })
}

/// The source of a rule or limit.
pub(super) fn citation(node: Option<&Node>) -> Citation {
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
