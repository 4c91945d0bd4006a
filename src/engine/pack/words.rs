//! The words of a rule for people, with blanks that a survey fills in.

use super::Pack;
use super::format::{RuleFile, Wording, own};
use super::head::{self, Phase};
use super::law::Cited;
use super::sheet::Sheet;
use serde::{Deserialize, Serialize};
use std::ops::Range;
use wetside_base::source::Span;
use wetside_document::Placed;
use wetside_lang::check::{self, Variable};
use wetside_lang::names::Names;
use wetside_lang::node::{Checked, Type};
use wetside_lang::parse::parse;

/// What a rule says to people.
#[derive(Clone, Debug, Default, Serialize, Deserialize)]
pub struct Words {
    pub title: String,
    pub says: Vec<Piece>,
    /// What to do, from each phase on in which it reads otherwise.
    pub remedy: Vec<(usize, Vec<Piece>)>,
    pub because: String,
    pub cited: Cited,
    pub caution: Option<String>,
}

/// A piece of a message.
#[derive(Clone, Debug, Serialize, Deserialize)]
pub enum Piece {
    Text(String),
    /// An expression whose value is put in.
    Blank(Box<Checked>),
}

pub(super) fn read(
    sheet: &mut Sheet<'_>,
    file: &RuleFile,
    pack: &Pack,
    names: Names<'_>,
    variables: &[Variable],
) -> Words {
    let whole = [
        ("title", &file.title),
        ("because", &file.because),
        ("caution", &file.caution),
    ];
    for (key, text) in whole {
        text.iter().for_each(|text| refuse_blank(sheet, key, text));
    }
    let remedy = file
        .remedy
        .as_ref()
        .map_or_else(Vec::new, |text| by_phase(sheet, text, &pack.phases));
    let mut filled = |text: &Placed<String>| pieces(sheet, text, names, variables);
    Words {
        title: own(&file.title),
        says: file.says.as_ref().map_or_else(Vec::new, &mut filled),
        remedy: remedy
            .iter()
            .map(|(phase, text)| (*phase, filled(text)))
            .collect(),
        because: own(&file.because),
        cited: Cited::read(sheet, file.source.as_ref(), &pack.laws),
        caution: file.caution.as_ref().map(|_| own(&file.caution)),
    }
}

/// The texts of a wording, in the order of the phases from which they hold.
fn by_phase(
    sheet: &mut Sheet<'_>,
    wording: &Placed<Wording>,
    phases: &[Phase],
) -> Vec<(usize, Placed<String>)> {
    let entries = match &wording.value {
        Wording::From(entries) => &entries.0,
        Wording::Always(text) => {
            let text = Placed {
                value: text.clone(),
                span: wording.span,
                key: wording.key,
            };
            return vec![(0, text)];
        }
    };
    let mut texts = Vec::new();
    for (name, text) in entries {
        match phases.iter().position(|phase| phase.name == name.value) {
            Some(phase) => texts.push((phase, text.clone())),
            None => head::no_such_phase(sheet, name, phases),
        }
    }
    texts.sort_by_key(|(phase, _)| *phase);
    if texts.first().is_some_and(|(phase, _)| *phase > 0) {
        let says = format!(
            "nothing is said of what to do in the phase `{}`",
            phases[0].name
        );
        let help = "give the first phase its words; a phase that is left out has those of the one before it";
        sheet.report("phase-missing", wording.span, says, help);
    }
    texts
}

/// What holds for every system has no blanks; there a brace is a slip.
fn refuse_blank(sheet: &mut Sheet<'_>, key: &str, text: &Placed<String>) {
    if let Some(at) = text.value.find('{') {
        let span = sheet.place(text, Span::new(at, at + 1));
        let says = format!("`{key}` is never filled in");
        let help = "blanks belong into `says` and `do`";
        sheet.report("blank-here", span, says, help);
    }
}

/// Splits a message at its blanks and checks each of them.
pub(super) fn pieces(
    sheet: &mut Sheet<'_>,
    message: &Placed<String>,
    names: Names<'_>,
    variables: &[Variable],
) -> Vec<Piece> {
    let text = message.value.trim_end();
    let mut pieces = Vec::new();
    let mut at = 0;
    while let Some(open) = text[at..].find('{').map(|found| at + found) {
        pieces.push(Piece::Text(text[at..open].to_string()));
        let Some(close) = text[open..].find('}').map(|found| open + found) else {
            let span = sheet.place(message, Span::new(open, open + 1));
            let says = "this blank is never closed";
            let help = "close it with `}`";
            sheet.report("blank-not-closed", span, says, help);
            return pieces;
        };
        pieces.extend(blank(sheet, message, open + 1..close, names, variables));
        at = close + 1;
    }
    pieces.push(Piece::Text(text[at..].to_string()));
    pieces
}

fn blank(
    sheet: &mut Sheet<'_>,
    message: &Placed<String>,
    within: Range<usize>,
    names: Names<'_>,
    variables: &[Variable],
) -> Option<Piece> {
    let at = Span::new(within.start, within.end).start;
    let (expr, mut problems) = parse(&message.value[within]);
    let (checked, faults) = check::value(&expr, names, variables);
    problems.extend(faults);
    if checked.yields == Type::Truth {
        let span = sheet.place(message, expr.span.moved(at));
        let says = "a condition cannot be put into a message";
        let help = "name a fact, a limit or a value";
        sheet.report("blank-of-no-value", span, says, help);
        return None;
    }
    let sound = sheet.adopt(message, at, problems);
    sound.then(|| Piece::Blank(Box::new(checked)))
}
