//! Symmetric equations with few entries: the order of elimination, found once, and the elimination
//! itself, done as often as the entries change.
//!
//! Contract: unknowns are numbered by their *place* in the order of elimination; only [`Pattern::new`]
//! and [`Pattern::slot`] speak of the caller's numbers. The matrix must be positive definite.
//! Equal input gives equal order. This file must not know pipes.

use smallvec::SmallVec;

/// The neighbours of one unknown. A joint of pipes has few, and a list of its own for each would cost as
/// much as a small network's solution.
type Neighbours = SmallVec<[u32; 8]>;

/// Which entries a matrix and its factor have, in the order of elimination.
#[derive(Clone, Debug)]
pub(super) struct Pattern {
    /// Place in the order of elimination of each of the caller's unknowns.
    pub(super) place: Vec<u32>,
    /// Where each column begins in `rows`, and at the end the number of entries.
    starts: Vec<u32>,
    /// The rows of the entries below the diagonal, rising in each column.
    rows: Vec<u32>,
    /// For every pair of entries of every column, the entry that their product is taken from.
    targets: Vec<u32>,
}

/// Entries of a matrix with a given pattern; after [`Pattern::factor`], those of its factor.
#[derive(Clone, Debug)]
pub(super) struct Entries {
    pub(super) diagonal: Vec<f64>,
    pub(super) below: Vec<f64>,
}

impl Pattern {
    /// The pattern of `size` unknowns of which the `pairs` share an entry. A pair may come twice.
    pub(super) fn new(size: usize, pairs: &[(u32, u32)]) -> Pattern {
        let (order, columns) = eliminate(size, neighbours(size, pairs));
        let mut place = vec![0; size];
        for (at, unknown) in order.iter().enumerate() {
            place[*unknown as usize] = at as u32;
        }
        let mut starts = Vec::with_capacity(size + 1);
        let mut rows = Vec::with_capacity(columns.iter().map(|column| column.len()).sum());
        for column in columns {
            let start = rows.len();
            starts.push(start as u32);
            rows.extend(column.iter().map(|unknown| place[*unknown as usize]));
            rows[start..].sort_unstable();
        }
        starts.push(rows.len() as u32);
        let mut pattern = Pattern {
            place,
            starts,
            rows,
            targets: Vec::new(),
        };
        pattern.targets = pattern.find_targets();
        pattern
    }

    /// Entries of this pattern, all zero.
    pub(super) fn zeros(&self) -> Entries {
        Entries {
            diagonal: vec![0.0; self.place.len()],
            below: vec![0.0; self.rows.len()],
        }
    }

    /// The index in [`Entries::below`] of the entry that two unknowns of the caller share.
    pub(super) fn slot(&self, one: u32, other: u32) -> u32 {
        let (one, other) = (self.place[one as usize], self.place[other as usize]);
        let (column, row) = (one.min(other), one.max(other));
        let (start, end) = self.column(column as usize);
        let within = self.rows[start..end].partition_point(|have| *have < row);
        (start + within) as u32
    }

    /// Turns the matrix into its factor: `L` below the diagonal, and on it the inverse of `D`, where
    /// the matrix is `L D Lᵀ`. False when the matrix is not positive definite.
    pub(super) fn factor(&self, entries: &mut Entries) -> bool {
        let (diagonal, below) = (&mut entries.diagonal[..], &mut entries.below[..]);
        let mut targets = self.targets.iter();
        for column in 0..diagonal.len() {
            let pivot = diagonal[column];
            if pivot.is_nan() || pivot <= 0.0 || pivot.is_infinite() {
                return false;
            }
            let inverse = 1.0 / pivot;
            diagonal[column] = inverse;
            let (start, end) = self.column(column);
            for at in start..end {
                let entry = below[at];
                let scaled = entry * inverse;
                diagonal[self.rows[at] as usize] -= scaled * entry;
                for other in at + 1..end {
                    let product = scaled * below[other];
                    if let Some(target) = targets.next() {
                        below[*target as usize] -= product;
                    }
                }
                below[at] = scaled;
            }
        }
        true
    }

    /// Solves the factored equations: the right-hand side, by place, becomes the solution.
    pub(super) fn solve(&self, factor: &Entries, side: &mut [f64]) {
        for column in 0..side.len() {
            let value = side[column];
            let (start, end) = self.column(column);
            for (row, entry) in self.rows[start..end].iter().zip(&factor.below[start..end]) {
                side[*row as usize] -= entry * value;
            }
        }
        for column in (0..side.len()).rev() {
            let mut value = side[column] * factor.diagonal[column];
            let (start, end) = self.column(column);
            for (row, entry) in self.rows[start..end].iter().zip(&factor.below[start..end]) {
                value -= entry * side[*row as usize];
            }
            side[column] = value;
        }
    }

    fn column(&self, column: usize) -> (usize, usize) {
        (
            self.starts[column] as usize,
            self.starts[column + 1] as usize,
        )
    }

    fn find_targets(&self) -> Vec<u32> {
        let mut targets = Vec::with_capacity(self.rows.len());
        for column in 0..self.place.len() {
            let (start, end) = self.column(column);
            for at in start..end {
                // The rows left in this column are all rows of the column eliminated at `at`, since
                // eliminating one unknown ties its neighbours together.
                let mut target = self.starts[self.rows[at] as usize];
                for other in at + 1..end {
                    while self.rows[target as usize] < self.rows[other] {
                        target += 1;
                    }
                    targets.push(target);
                }
            }
        }
        targets
    }
}

/// The neighbours of every unknown, each once.
fn neighbours(size: usize, pairs: &[(u32, u32)]) -> Vec<Neighbours> {
    let mut lists = vec![Neighbours::new(); size];
    for (one, other) in pairs {
        if one != other {
            lists[*one as usize].push(*other);
            lists[*other as usize].push(*one);
        }
    }
    for list in &mut lists {
        list.sort_unstable();
        list.dedup();
    }
    lists
}

/// Eliminates, each time, an unknown with the fewest neighbours left. Returns the order and, in
/// that order, the neighbours that each one still had.
fn eliminate(size: usize, mut lists: Vec<Neighbours>) -> (Vec<u32>, Vec<Neighbours>) {
    // Unknowns by their number of neighbours. An unknown whose number has changed since stays
    // where it was and is skipped when met, which is cheaper than to look for it.
    let mut by_count: Vec<Vec<u32>> = vec![Vec::new(); size + 1];
    for (unknown, list) in lists.iter().enumerate().rev() {
        by_count[list.len()].push(unknown as u32);
    }
    let mut gone = vec![false; size];
    let mut marked = vec![0_u32; size];
    let mut mark = 0;
    let mut order = Vec::with_capacity(size);
    let mut columns = Vec::with_capacity(size);
    let mut count = 0;
    while order.len() < size {
        let Some(unknown) = by_count[count].pop() else {
            count += 1;
            continue;
        };
        if gone[unknown as usize] || lists[unknown as usize].len() != count {
            continue;
        }
        gone[unknown as usize] = true;
        let tied = std::mem::take(&mut lists[unknown as usize]);
        for one in &tied {
            mark += 1;
            let list = &mut lists[*one as usize];
            let before = list.len();
            list.retain(|have| *have != unknown);
            for have in list.iter() {
                marked[*have as usize] = mark;
            }
            marked[*one as usize] = mark;
            list.extend(
                tied.iter()
                    .copied()
                    .filter(|have| marked[*have as usize] != mark),
            );
            if list.len() != before {
                by_count[list.len()].push(*one);
                count = count.min(list.len());
            }
        }
        order.push(unknown);
        columns.push(tied);
    }
    (order, columns)
}
