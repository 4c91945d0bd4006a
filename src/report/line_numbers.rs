//! Places of a text as the numbers of their lines, for sentences.

use super::pen::row;
use std::collections::BTreeSet;
use wetside_base::source::{Source, Span};

/// Places as lines of the survey: `lines 3, 5 to 7 and 12`; nothing where there are none.
pub fn told(source: &Source, spans: impl IntoIterator<Item = Span>) -> Option<String> {
    let all: BTreeSet<usize> = spans
        .into_iter()
        .map(|span| source.line_of(span.start))
        .collect();
    let mut runs: Vec<(usize, usize)> = Vec::new();
    for line in all {
        match runs.last_mut() {
            Some((_, last)) if *last + 1 == line => *last = line,
            _ => runs.push((line, line)),
        }
    }
    let words: Vec<String> = runs
        .iter()
        .flat_map(|(first, last)| match last - first {
            0 => vec![first.to_string()],
            1 => vec![first.to_string(), last.to_string()],
            _ => vec![format!("{first} to {last}")],
        })
        .collect();
    match (runs.as_slice(), words.as_slice()) {
        ([], _) => None,
        (_, [one]) if runs[0].0 == runs[0].1 => Some(format!("line {one}")),
        _ => Some(format!("lines {}", row(&words))),
    }
}
