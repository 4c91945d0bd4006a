//! Two texts held against each other, line by line.
//!
//! Contract: the longest common subsequence of lines stays; of several the one that keeps earlier lines.
//! Time and room grow with the product of both lengths, so the caller limits them. This module must not
//! know surveys.

use wetside_base::source::{Source, Span};
use wetside_edit::splice::{Sort, Splice};

/// The stretches of lines that differ, as splices of the first text.
pub(crate) fn changes(base: &Source, other: &Source) -> Vec<Splice> {
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
            common[i * width + j] = if old[i] == new[j] {
                common[(i + 1) * width + j + 1] + 1
            } else {
                common[(i + 1) * width + j].max(common[i * width + j + 1])
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
