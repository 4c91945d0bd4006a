//! A table of words in columns.
//!
//! Contract: it keeps within its room by breaking cells at their spaces; where even single words do
//! not fit there is no table, and the caller tells the same as a list.

use crate::pen::wrap;
use crate::signs::{columns, shown};

/// Columns between two columns.
const GAP: usize = 2;

/// The lines of a table with its heads, or nothing where it does not fit.
pub(super) fn lines(
    heads: &[&str],
    rows: &[Vec<String>],
    room: usize,
    ascii: bool,
) -> Option<String> {
    let heads = heads.iter().map(|head| shown(head, ascii)).collect();
    let rows: Vec<Vec<String>> = std::iter::once(heads)
        .chain(rows.iter().map(|row| {
            let cells = row.iter().map(|cell| shown(cell, ascii));
            cells.collect()
        }))
        .collect();
    let widths = widths(&rows, room)?;
    let mut out = String::new();
    for (at, row) in rows.iter().enumerate() {
        push_row(&mut out, row, &widths);
        if at == 0 {
            let whole = widths.iter().sum::<usize>() + GAP * widths.len().saturating_sub(1);
            out.push_str(&"-".repeat(whole));
            out.push('\n');
        }
    }
    Some(out)
}

/// The widest column that can be broken gives way first.
fn widths(rows: &[Vec<String>], room: usize) -> Option<Vec<usize>> {
    let count = rows.first()?.len();
    let most = |of: &dyn Fn(&str) -> usize| -> Vec<usize> {
        let column = |at: usize| {
            rows.iter()
                .map(move |row| row.get(at).map_or("", String::as_str))
        };
        (0..count)
            .map(|at| column(at).map(of).max().unwrap_or(0))
            .collect()
    };
    let mut widths = most(&columns);
    let least = most(&|cell| cell.split(' ').map(columns).max().unwrap_or(0));
    let room = room.checked_sub(GAP * count.saturating_sub(1))?;
    while widths.iter().sum::<usize>() > room {
        let able = (0..count).filter(|at| widths[*at] > least[*at]);
        let widest = able.max_by_key(|at| (widths[*at], *at))?;
        widths[widest] -= 1;
    }
    Some(widths)
}

fn push_row(out: &mut String, row: &[String], widths: &[usize]) {
    let cells: Vec<Vec<String>> = row
        .iter()
        .zip(widths)
        .map(|(cell, width)| wrap(cell, *width))
        .collect();
    let deep = cells.iter().map(Vec::len).max().unwrap_or(0);
    for at in 0..deep {
        let mut line = String::new();
        for (cell, width) in cells.iter().zip(widths) {
            let part = cell.get(at).map_or("", String::as_str);
            line.push_str(part);
            line.push_str(&" ".repeat((width + GAP).saturating_sub(columns(part))));
        }
        out.push_str(line.trim_end());
        out.push('\n');
    }
}

#[cfg(test)]
mod tests {
    use super::lines;

    #[test]
    fn cells_give_way_and_words_do_not() {
        let rows = [vec!["hall".to_string(), "0.8 to 1.2".to_string()]];
        let heads = ["branch", "speed"];
        let wide = lines(&heads, &rows, 40, true);
        assert_eq!(
            wide.as_deref(),
            Some("branch  speed\n------------------\nhall    0.8 to 1.2\n")
        );
        let tight = lines(&heads, &rows, 14, true);
        assert_eq!(
            tight.as_deref(),
            Some("branch  speed\n--------------\nhall    0.8 to\n        1.2\n")
        );
        assert_eq!(lines(&heads, &rows, 8, true), None);
    }
}
