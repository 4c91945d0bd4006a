//! Whose turn it is: what came least often comes first, and papers are as hard as that lets them be.
//!
//! Contract: counts by the id of a fault or decoy. Which faults fit is asked elsewhere.

use super::bench::Bench;
use super::options::{Ground, Options, Refused, ground};
use crate::draw::Draw;
use crate::fault::{Catalogue, Fault};
use std::collections::BTreeMap;
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

/// The points that the faults of a paper come to where those that the survey bears can have their turn most evenly;
/// nothing where it bears too few.
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
        let mut bench = Bench::new(look, catalogue);
        let mut borne = |fault: &usize| bench.planting(*fault, &[], words.as_ref(), &mut draw);
        let of = pool
            .iter()
            .filter_map(|fault| borne(fault).map(|way| way.fault.points));
        points.extend(of);
    }
    Ok(most_even(&points, options.faults))
}

/// Of the sums of so many of these faults, by their points, the one for which none has to come as often as for another;
/// of several the nearest to what they come to on the average.
fn most_even(points: &[u32], some: usize) -> Option<u32> {
    let mut faults: BTreeMap<u32, usize> = BTreeMap::new();
    for points in points {
        *faults.entry(*points).or_default() += 1;
    }
    // For each number of faults and sum, how often in a million papers one comes that comes most often.
    let mut often: BTreeMap<(usize, u32), usize> = BTreeMap::from([((0, 0), 0)]);
    for (points, all) in faults {
        for ((count, sum), most) in often.clone() {
            for (more, of_these) in (1..=all.min(some - count)).zip(1..) {
                let most = most.max(more * 1_000_000 / all);
                let least = often.entry((count + more, sum + of_these * points));
                least
                    .and_modify(|known| *known = most.min(*known))
                    .or_insert(most);
            }
        }
    }
    let each = points.iter().map(|points| *points as usize).sum::<usize>() * some;
    let whole = often.into_iter().filter(|((count, _), _)| *count == some);
    let best = whole.min_by_key(|((_, sum), most)| {
        let all = *sum as usize * points.len();
        (*most, all.abs_diff(each))
    });
    best.map(|((_, sum), _)| sum)
}

#[cfg(test)]
mod tests {
    use super::most_even;

    /// By hand: with one of three noughts and two of nine ones on each paper each nought comes on a third of the papers
    /// and each one on two ninths; of three ones each comes on a third as well, and 2 is nearer to 3 × 0.75. With the
    /// one 5 beside a 4 it would be on every paper.
    #[test]
    fn points_let_all_have_their_turn() {
        assert_eq!(most_even(&[0, 0, 0, 1, 1, 1, 1, 1, 1, 1, 1, 1], 3), Some(2));
        assert_eq!(most_even(&[4, 4, 4, 5, 6, 6, 6, 6], 1), Some(6));
        assert_eq!(most_even(&[4, 4, 4, 4, 5], 2), Some(8));
        assert_eq!(most_even(&[4], 2), None);
    }
}
