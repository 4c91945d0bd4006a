//! Keys that are written more than once in one map.

use super::node::Entry;
use super::words;
use wetside_base::problem::Problem;

/// Keeps the first entry under each key and gives a problem for those of the others that stand together.
pub(crate) fn drop_repeats(entries: &mut Vec<Entry>) -> Vec<Problem> {
    const FEW: usize = 16;
    let mut repeats: Vec<(usize, usize)> = Vec::new();
    if entries.len() <= FEW {
        for (at, entry) in entries.iter().enumerate().skip(1) {
            let same = |first: &Entry| first.key.text == entry.key.text;
            repeats.extend(entries[..at].iter().position(same).map(|first| (first, at)));
        }
    } else {
        let mut order: Vec<usize> = (0..entries.len()).collect();
        order.sort_by_key(|at| (&entries[*at].key.text, *at));
        for same in order.chunk_by(|a, b| entries[*a].key.text == entries[*b].key.text) {
            repeats.extend(same[1..].iter().map(|at| (same[0], *at)));
        }
    }
    if repeats.is_empty() {
        return Vec::new();
    }
    repeats.sort_unstable_by_key(|(_, at)| *at);
    // Several in a row, in the order of the first ones, slipped or were copied together: one mistake.
    let in_a_row = repeats.chunk_by(|a, b| a.0 < b.0 && a.1 + 1 == b.1);
    let problem = |row: &[(usize, usize)]| {
        let (first, at) = row[0];
        words::duplicate_key(&entries[first].key, &entries[at].key, row.len() - 1)
    };
    let problems = in_a_row.map(problem).collect();
    let mut at = 0;
    entries.retain(|_| {
        at += 1;
        repeats
            .binary_search_by_key(&(at - 1), |(_, at)| *at)
            .is_err()
    });
    problems
}
