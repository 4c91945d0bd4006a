//! Reads the reference tables: comma-separated values under comment lines, with named columns.

use std::collections::BTreeMap;
use std::path::Path;

/// One row of a table, with what is needed to point at it.
pub(crate) struct Row {
    at: String,
    cells: BTreeMap<String, String>,
}

/// The rows of a table in `tests/physics`.
pub(crate) fn rows(name: &str) -> Vec<Row> {
    let path = Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("tests/physics")
        .join(name);
    let text = std::fs::read_to_string(&path).unwrap_or_else(|why| panic!("{name}: {why}"));
    let mut lines = text
        .lines()
        .enumerate()
        .filter(|(_, line)| !line.starts_with('#'));
    let heads = cells(lines.next().expect("a line of column names").1);
    let rows: Vec<Row> = lines
        .map(|(at, line)| Row {
            at: format!("{name}, line {}", at + 1),
            cells: heads.iter().cloned().zip(cells(line)).collect(),
        })
        .collect();
    assert!(!rows.is_empty(), "{name} has no rows");
    rows
}

impl Row {
    pub(crate) fn text(&self, column: &str) -> &str {
        match self.cells.get(column) {
            Some(cell) => cell,
            None => panic!("{} has no column `{column}`", self.at),
        }
    }

    /// The number in a column; not a number where the cell is empty.
    pub(crate) fn number(&self, column: &str) -> f64 {
        match self.text(column) {
            "" => f64::NAN,
            text => text
                .parse()
                .unwrap_or_else(|_| panic!("{}: `{column}` is `{text}`", self.at)),
        }
    }

    /// Whether the cell is not empty.
    pub(crate) fn has(&self, column: &str) -> bool {
        !self.text(column).is_empty()
    }

    /// Fails unless `have` differs from the number in a column by at most this share of it.
    pub(crate) fn agrees(&self, column: &str, have: f64, share: f64) {
        self.agrees_or(column, have, share, 0.0);
    }

    /// Fails unless `have` differs from the number in a column by at most `share` of it or by at
    /// most `least`.
    pub(crate) fn agrees_or(&self, column: &str, have: f64, share: f64, least: f64) {
        let want = self.number(column);
        let miss = (have - want).abs();
        assert!(
            miss <= (share * want.abs()).max(least),
            "{}: `{column}` should be {want}, and is {have}",
            self.at
        );
    }

    pub(crate) fn at(&self) -> &str {
        &self.at
    }
}

fn cells(line: &str) -> Vec<String> {
    let mut cells = vec![String::new()];
    let mut quoted = false;
    for letter in line.chars() {
        match letter {
            '"' => quoted = !quoted,
            ',' if !quoted => cells.push(String::new()),
            letter => cells.last_mut().expect("never empty").push(letter),
        }
    }
    cells
}
