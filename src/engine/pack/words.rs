//! The words of a rule for people, with blanks that a survey fills in.

use super::head::citation;
use super::load::Sheet;
use super::place::in_file;
use wetside_base::finding::Citation;
use wetside_base::source::Span;
use wetside_document::Node;
use wetside_lang::check::{self, Variable};
use wetside_lang::names::Names;
use wetside_lang::node::{Checked, Type};
use wetside_lang::parse::parse;

/// What a rule says to people.
#[derive(Clone, Debug, Default)]
pub struct Words {
    pub title: String,
    pub says: Vec<Piece>,
    pub remedy: Vec<Piece>,
    pub because: String,
    pub citation: Citation,
    pub caution: Option<String>,
}

/// A piece of a message.
#[derive(Clone, Debug)]
pub enum Piece {
    Text(String),
    /// An expression whose value is put in.
    Blank(Box<Checked>),
}

pub(super) fn read(sheet: &mut Sheet, names: Names<'_>, variables: &[Variable]) -> Words {
    let root = sheet.root.clone();
    let text = |sheet: &Sheet, key: &str| sheet.text(key).unwrap_or_default();
    let filled = |sheet: &mut Sheet, key: &str| {
        let entry = root.get(key);
        entry.map_or_else(Vec::new, |entry| {
            pieces(sheet, &entry.value, names, variables)
        })
    };
    for key in ["title", "because", "caution"] {
        refuse_blank(sheet, &root, key);
    }
    Words {
        title: text(sheet, "title"),
        says: filled(sheet, "says"),
        remedy: filled(sheet, "do"),
        because: text(sheet, "because"),
        citation: citation(root.get("source").map(|entry| &entry.value)),
        caution: sheet.text("caution"),
    }
}

/// What holds for every system has no blanks; there a brace is a slip.
fn refuse_blank(sheet: &mut Sheet, root: &Node, key: &str) {
    let Some(entry) = root.get(key) else { return };
    let text = entry.value.as_text().unwrap_or_default();
    if let Some(at) = text.find('{') {
        let span = in_file(&sheet.source, &entry.value, Span::new(at, at + 1));
        let says = format!("`{key}` is never filled in");
        sheet.report(
            "blank-here",
            span,
            says,
            "blanks belong into `says` and `do`".to_string(),
        );
    }
}

/// Splits a message at its blanks and checks each of them.
fn pieces(sheet: &mut Sheet, node: &Node, names: Names<'_>, variables: &[Variable]) -> Vec<Piece> {
    let Some(text) = node.as_text() else {
        return Vec::new();
    };
    let text = text.trim_end();
    let mut pieces = Vec::new();
    let mut at = 0;
    while let Some(open) = text[at..].find('{').map(|found| at + found) {
        pieces.push(Piece::Text(text[at..open].to_string()));
        let Some(close) = text[open..].find('}').map(|found| open + found) else {
            let span = in_file(&sheet.source, node, Span::new(open, open + 1));
            let help = "close it with `}`".to_string();
            sheet.report(
                "blank-not-closed",
                span,
                "this blank is never closed".to_string(),
                help,
            );
            return pieces;
        };
        let inner = &text[open + 1..close];
        pieces.extend(blank(sheet, node, inner, open + 1, names, variables));
        at = close + 1;
    }
    pieces.push(Piece::Text(text[at..].to_string()));
    pieces
}

fn blank(
    sheet: &mut Sheet,
    node: &Node,
    text: &str,
    start: usize,
    names: Names<'_>,
    variables: &[Variable],
) -> Option<Piece> {
    let offset = Span::new(start, start).start;
    let (expr, mut problems) = parse(text);
    let (checked, faults) = check::value(&expr, names, variables);
    problems.extend(faults);
    if checked.yields == Type::Truth {
        let span = in_file(&sheet.source, node, expr.span.moved(offset));
        let help = "name a fact, a limit or a value".to_string();
        sheet.report(
            "blank-of-no-value",
            span,
            "a condition cannot be put into a message".to_string(),
            help,
        );
        return None;
    }
    let sound = problems.is_empty();
    for problem in problems {
        sheet.adopt(node, problem, offset);
    }
    sound.then(|| Piece::Blank(Box::new(checked)))
}
