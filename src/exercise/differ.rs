//! Where two surveys differ, line by line.
//!
//! Contract: each stretch of changed lines is one change; what stays is the longest common run of lines.
//! Two surveys of which neither can have been written from the other are refused. This module must not
//! know what the lines say.

use super::splice::{Sort, Splice};
use crate::source::{Source, Span};

/// The most lines that are compared.
const MOST_LINES: usize = 3000;
/// The most changes of one exercise: more is another survey.
const MOST_CHANGES: usize = 24;

/// The changes between two surveys, if one can have been written from the other.
pub(super) fn comparable(
    base: &Source,
    other: &Source,
) -> Result<Vec<Splice>, (&'static str, String, &'static str)> {
    if base.line_count().max(other.line_count()) > MOST_LINES {
        let says = format!("the survey has more than {MOST_LINES} lines");
        return Err(("too-long", says, "shorten it"));
    }
    let changes = changes(base, other);
    if changes.len() > MOST_CHANGES {
        let says = format!(
            "this survey and `{}` differ in {} places; an exercise has {MOST_CHANGES} at most",
            base.name,
            changes.len()
        );
        let help = "name the clean survey that this one was written from";
        return Err(("too-many-changes", says, help));
    }
    Ok(changes)
}

/// The stretches of lines that differ, as splices of the clean text.
///
/// The longest common subsequence of lines stays; of several the one that keeps earlier lines.
fn changes(base: &Source, other: &Source) -> Vec<Splice> {
    let lines = |source: &Source| -> Vec<String> {
        source
            .text
            .split_inclusive('\n')
            .map(str::to_string)
            .collect()
    };
    let (old, new) = (lines(base), lines(other));
    let width = new.len() + 1;
    let mut common = vec![0_u32; (old.len() + 1) * width];
    for i in (0..old.len()).rev() {
        for j in (0..new.len()).rev() {
            common[i * width + j] = match old[i] == new[j] {
                true => common[(i + 1) * width + j + 1] + 1,
                false => common[(i + 1) * width + j].max(common[i * width + j + 1]),
            };
        }
    }
    let (mut i, mut j, mut at) = (0, 0, 0);
    let mut changes: Vec<Splice> = Vec::new();
    let mut open: Option<(usize, String)> = None;
    while i < old.len() || j < new.len() {
        if i < old.len() && j < new.len() && old[i] == new[j] {
            if let Some((start, text)) = open.take() {
                changes.push(change(start, at, text));
            }
            at += old[i].len();
            (i, j) = (i + 1, j + 1);
            continue;
        }
        let (_, text) = open.get_or_insert((at, String::new()));
        let take_old = i < old.len()
            && (j == new.len() || common[(i + 1) * width + j] >= common[i * width + j + 1]);
        if take_old {
            at += old[i].len();
            i += 1;
        } else {
            text.push_str(&new[j]);
            j += 1;
        }
    }
    changes.extend(open.map(|(start, text)| change(start, at, text)));
    changes
}

fn change(start: usize, end: usize, text: String) -> Splice {
    Splice {
        at: Span::new(start, end),
        text,
        sort: Sort::Value,
    }
}
