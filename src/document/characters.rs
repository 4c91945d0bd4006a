//! What is looked at before the text is parsed: characters that nobody can see, and tabs that set
//! lines in.
//!
//! Contract: replaces each by as many spaces as it has bytes, so that every place stays where it
//! is. This module must not know the parser.

use super::copy::WorkingCopy;
use super::{MOST_PROBLEMS, scan, words};
use crate::problem::Problem;
use crate::source::Span;

/// Takes hidden characters and tabs before lines out of the working copy and reports them.
/// The second part says which lines, by their start, were set in with a tab.
pub fn clean(copy: &mut WorkingCopy<'_>) -> (Vec<Problem>, Vec<usize>) {
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
        if !words::is_hidden(character) || at == 0 && character == '\u{feff}' {
            continue;
        }
        copy.blank(span.range());
        if at >= line_end && problems.len() <= MOST_PROBLEMS {
            problems.push(words::hidden_character(character, span));
            line_end = own[at..].find('\n').map_or(own.len(), |n| at + n);
        }
    }
    problems
}

/// Where a hidden character may begin, told by its first byte. Nearly all stretches of nearly all
/// texts have none, so a stretch is first looked at as a whole.
fn suspects(text: &str) -> impl Iterator<Item = usize> {
    const STRETCH: usize = 64;
    let bytes = text.as_bytes();
    let stretches = bytes.chunks(STRETCH).enumerate();
    stretches
        .filter(|(_, stretch)| {
            stretch
                .iter()
                .fold(false, |any, byte| any | is_suspect(*byte))
        })
        .flat_map(move |(index, stretch)| {
            let first = index * STRETCH;
            (first..first + stretch.len()).filter(|at| match bytes[*at] {
                b'\r' => bytes.get(at + 1) != Some(&b'\n'),
                byte => is_suspect(byte),
            })
        })
}

fn is_suspect(byte: u8) -> bool {
    let control = byte < 0x20 && byte != b'\n' && byte != b'\t';
    control | (byte == 0x7F) | (byte == 0xC2) | (byte == 0xE2) | (byte == 0xEF)
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
