//! What is looked at before the text is parsed: characters that nobody can see, and tabs that set
//! lines in.
//!
//! Contract: replaces each by as many spaces as it has bytes, so that every place stays where it
//! is. This module must not know the parser.

use super::copy::WorkingCopy;
use super::{scan, words};
use wetside_base::problem::{MOST_TOLD, Problem};
use wetside_base::shown::is_hidden;
use wetside_base::source::Span;

/// Takes hidden characters and tabs before lines out of the working copy and reports them.
/// The second part says which lines, by their start, were set in with a tab.
pub(crate) fn clean(copy: &mut WorkingCopy<'_>) -> (Vec<Problem>, Vec<usize>) {
    let mut problems = hidden(copy);
    let tabbed = if copy.text().contains('\t') {
        tabs(copy, &mut problems)
    } else {
        Vec::new()
    };
    (problems, tabbed)
}

/// One problem for each line that holds hidden characters.
fn hidden(copy: &mut WorkingCopy<'_>) -> Vec<Problem> {
    let (mut problems, mut line_end, mut lone_return) = (Vec::new(), 0, false);
    let own = copy.own();
    for at in suspects(own) {
        // A suspect byte inside a longer character is not the start of one.
        let Some(character) = own.get(at..).and_then(|rest| rest.chars().next()) else {
            continue;
        };
        let span = Span::new(at, at + character.len_utf8());
        if character == '\r' {
            copy.break_line(at);
            if !lone_return {
                problems.push(words::odd_line_break(span));
                lone_return = true;
            }
            continue;
        }
        let order_mark = at == 0 && character == '\u{feff}';
        if !is_hidden(character) || order_mark || changes_a_picture(own, at, character) {
            continue;
        }
        copy.blank(span.range());
        if at >= line_end && problems.len() <= MOST_TOLD {
            problems.push(words::hidden_character(character, span));
            line_end = own[at..].find('\n').map_or(own.len(), |n| at + n);
        }
    }
    problems
}

/// Whether a selector says how the sign before it is drawn. Behind a letter or digit it would hide.
fn changes_a_picture(text: &str, at: usize, character: char) -> bool {
    let sign = |before: char| before >= '\u{2190}';
    let before = text[..at].chars().next_back();
    matches!(character, '\u{fe0e}' | '\u{fe0f}') && before.is_some_and(sign)
}

const STRETCH: usize = 64;

/// Where a hidden character may begin, told by its first two bytes. Nearly all stretches of nearly all
/// texts have none, so a stretch is first looked at as a whole.
fn suspects(text: &str) -> impl Iterator<Item = usize> {
    let bytes = text.as_bytes();
    let stretches = bytes.windows(STRETCH + 1).step_by(STRETCH);
    let rest = stretches.len() * STRETCH;
    let told = stretches.map(|stretch| stretch.try_into().is_ok_and(is_suspect));
    let told = told.chain((rest < bytes.len()).then_some(true)).enumerate();
    told.filter(|(_, told)| *told).flat_map(move |(index, _)| {
        let first = index * STRETCH;
        let end = bytes.len().min(first + STRETCH);
        (first..end).filter(|at| {
            let next = bytes.get(at + 1).copied();
            match bytes[*at] {
                b'\r' => next != Some(b'\n'),
                byte => suspicion(byte, next.unwrap_or(0)) != 0,
            }
        })
    })
}

/// Whether any byte of a stretch is suspect, with the byte after it. A stretch of fixed length, told byte
/// by byte without a branch, is looked at in a few steps; a function of its own keeps it so.
#[inline(never)]
fn is_suspect(stretch: &[u8; STRETCH + 1]) -> bool {
    let mut any = 0;
    for at in 0..STRETCH {
        any |= suspicion(stretch[at], stretch[at + 1]);
    }
    any != 0
}

/// Not 0 for a control character that is no tab or line break, and for the first byte of whatever may
/// not be seen. Degrees, powers and accents begin with the first two of those bytes, and are told from
/// the others by them or by their second.
fn suspicion(byte: u8, next: u8) -> u8 {
    let control = u8::from(byte < 0x20) & u8::from(byte != b'\n') & u8::from(byte != b'\t');
    let latin = u8::from(byte == 0xC2) & (u8::from(next < 0xA1) | u8::from(next == 0xAD));
    control | u8::from(byte == 0x7F) | latin | u8::from(byte > 0xC3)
}

/// One problem for all lines that are set in with tabs.
fn tabs(copy: &mut WorkingCopy<'_>, problems: &mut Vec<Problem>) -> Vec<usize> {
    let (mut lines, mut blanks) = (Vec::new(), Vec::new());
    scan::each_line(copy.text(), &mut |line| {
        if line.is_written(copy.text()) && copy.text()[line.start..line.content].contains('\t') {
            lines.push(line.start);
            blanks.push(line.start..line.content);
        }
    });
    if let Some(first) = blanks.first() {
        let span = Span::new(first.start, first.end);
        problems.push(words::tab_indentation(span, lines.len()));
    }
    for blank in blanks {
        copy.blank(blank);
    }
    lines
}
