//! Whose turn it is: what came least often comes first, and papers are as hard as that lets them be.
//!
//! Contract: counts by the id of a fault or decoy. Which faults fit is asked elsewhere.

use super::bench::Bench;
use super::ground::{Ground, ground};
use super::options::{Options, Refused};
use crate::draw::Draw;
use crate::fault::{Catalogue, Fault};
use std::collections::{BTreeMap, BTreeSet};
use wetside_base::source::Source;
use wetside_engine::check::Packs;

/// How often each fault and decoy came so far: on papers of the same person, and on all.
#[derive(Clone, Default)]
pub(super) struct Used {
    own: BTreeMap<String, usize>,
    all: BTreeMap<String, usize>,
}

impl Used {
    pub(super) fn add(&mut self, fault: &Fault) {
        for counts in [&mut self.own, &mut self.all] {
            *counts.entry(fault.id.clone()).or_default() += 1;
        }
    }

    /// The less, the sooner it is its turn.
    pub(super) fn of(&self, fault: &Fault) -> [Option<usize>; 2] {
        [&self.own, &self.all].map(|counts| counts.get(&fault.id).copied())
    }

    /// Papers of another person follow.
    pub(super) fn next_person(&mut self) {
        self.own.clear();
    }
}

/// The points that the faults of a paper come to so that each that the survey bears can have its turn: as many as they
/// have on the average, or the nearest that so many faults come to; nothing where it bears too few.
pub(super) fn fair_points(
    survey: &Source,
    packs: &Packs,
    catalogue: &Catalogue,
    options: &Options,
) -> Result<Option<u32>, Refused> {
    let ground = ground(std::slice::from_ref(survey), packs, catalogue, options)?;
    let Ground { pool, looks, words } = ground;
    let mut draw = Draw::new(options.seed);
    let mut points: Vec<u32> = Vec::new();
    for look in looks {
        let mut bench = Bench::new(look, packs, catalogue);
        let mut borne = |fault: &usize| bench.planting(*fault, &[], words.as_ref(), &mut draw);
        let of = pool
            .iter()
            .filter_map(|fault| borne(fault).map(|way| way.fault.points));
        points.extend(of);
    }
    Ok(nearest_to_average(&points, options.faults))
}

/// Of the sums of so many of these numbers the one that lies nearest to as many averages; of two the lower.
fn nearest_to_average(numbers: &[u32], some: usize) -> Option<u32> {
    let mut sums: Vec<BTreeSet<u32>> = vec![BTreeSet::new(); some + 1];
    sums[0].insert(0);
    for number in numbers {
        for count in (0..some).rev() {
            let more: Vec<u32> = sums[count].iter().map(|sum| sum + number).collect();
            sums[count + 1].extend(more);
        }
    }
    let (all, each) = (
        numbers.len() as u32,
        numbers.iter().sum::<u32>() * some as u32,
    );
    let reached = sums.remove(some).into_iter();
    reached.min_by_key(|sum| (sum * all).abs_diff(each))
}

#[cfg(test)]
mod tests {
    use super::nearest_to_average;

    /// By hand: of 0, 0, 1, 1, 1 three come to 1, 2 or 3, and to 1.8 on the average; of 4 and 6 one comes to no 5.
    #[test]
    fn points_are_such_as_so_many_come_to() {
        assert_eq!(nearest_to_average(&[0, 0, 1, 1, 1], 3), Some(2));
        assert_eq!(nearest_to_average(&[4, 6], 1), Some(4));
        assert_eq!(nearest_to_average(&[4, 4, 4, 9], 2), Some(8));
        assert_eq!(nearest_to_average(&[4], 2), None);
    }
}
